"""What the largest load asks of a new tank: current, volts, heat, the time of a run."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce

from areacalc.bath.ceiling import ceiling, ceiling_fact
from areacalc.bath.course import COURSE
from areacalc.bath.electrolyte import Electrolyte, acid_wt_pct
from areacalc.bath.film import DEFAULT_RULE, ThicknessRule, factor_figure, film_per_charge
from areacalc.bath.heat import LALIBERTE_2009, heat_capacity_kj_per_l_k
from areacalc.bath.window import DEFAULT_WINDOW, Window, current_a, own_window
from areacalc.errors import BadInput, Field
from areacalc.estimate import Estimate, total
from areacalc.fact import Fact
from areacalc.figure import Figure, given, worked
from areacalc.load.load import DEFAULT_CERTAINTY, USUAL_BATH, BathToday, Load
from areacalc.part.part import Part, Shelf
from areacalc.plan.alloy import plan_alloys
from areacalc.plan.area import part_areas
from areacalc.plan.course import RunGoal, RunPlan, plan_run, plan_time, plan_volts
from areacalc.plan.film import wanted_film
from areacalc.plan.heat import plan_heat
from areacalc.plan.room import part_ways
from areacalc.plan.stages import is_hard, takes_of
from areacalc.plant.hung import RackPart
from areacalc.plant.largest import Largest, boxes
from areacalc.plant.new_tank import Duty, TankChoices, TankDesign, size_tank
from areacalc.plant.rack import Rack
from areacalc.sources import Constant, Kind, Source

RAMP_S = 300.0  # what a new load file is begun with
_COOLED = Source(Kind.DERIVED, "the bath is cooled, so it stays as warm as it is")


@dataclass(frozen=True, slots=True)
class TankRun:
    """A run in a new tank: the coating wanted [um] and the share of runs that get it, bath, ramp [s], density.

    rule and factor: what a charge makes of the coating, and the alloy of that.
    """

    film_um: float = 12.0
    bath: BathToday = USUAL_BATH
    ramp_s: float = RAMP_S
    window: Window = DEFAULT_WINDOW
    certainty: float = DEFAULT_CERTAINTY
    rule: ThicknessRule = DEFAULT_RULE
    factor: Constant | None = None


def run_of(load: Load) -> TankRun:
    """The run that a load asks for, as it is planned. Raises CannotRun for a hard coating of another alloy."""
    today, finish, dense = load.bath, load.finish, load.finish.density_a_per_dm2
    window = finish.window if dense is None else own_window(dense, dense)
    alloy = plan_alloys(load, is_hard(window, today.temperature_c)).slowest
    rule = today.rule_for(alloy.name) or finish.rule
    return TankRun(
        wanted_film(finish).estimate.value, replace(today, cooling_w=0.0, cooling_within_w=0.0),
        RAMP_S if load.supply is None else load.supply.ramp_s, window, finish.certainty, rule,
        takes_of(alloy, rule).film_factor,
    )  # fmt: skip


def duty_for(load: Largest, run: TankRun | None = None) -> Duty:
    """What a load [mm2] asks for in a run.

    The current is that of the whole window, and so are volts and heat; the run, ramp included, is as long as the film
    takes at the window's middle. The bath is taken to be held at its temperature. Raises OutOfRange for an
    impossible bath.

    >>> from areacalc.plant.largest import largest
    >>> duty = duty_for(largest("a plate of 300 x 200 x 6 mm"))
    >>> round(duty.current.estimate.value, 2), round(duty.run.estimate.value / 60.0, 1)
    (31.25, 20.1)
    """
    wanted = run or TankRun()
    film_um, made, window, ramp_s = wanted.film_um, wanted.bath, wanted.window, wanted.ramp_s
    if film_um <= 0.0 or made.band_k <= 0.0:
        raise BadInput("new tank", f"{film_um:g} um of coating, {made.band_k:g} K of warming", "give both above zero")
    if ramp_s < 0.0:
        raise BadInput(Field.RAMP, "the ramp must be 0 min or longer", "give a time such as '5 min', or 0 min")
    Electrolyte(made.acid_g_per_l, made.temperature_c)
    acid, temperature = given("acid", made.acid_g_per_l, "g/L"), given("bath", made.temperature_c, "C")
    film, source = given("coating wanted", film_um, "um"), f"surface of {load.words or 'the largest load'}"
    area = given("wetted area of the largest load", load.area_mm2, "mm2", Source(Kind.DERIVED, source))
    found = current_a(area, window)
    never_warms = given("heat held by the bath, cooled", 1e9, "kJ/K", _COOLED)

    def run_at(current: float) -> RunPlan:
        setting = given("current to set", current, "A", window.source)
        per_charge = film_per_charge(wanted.rule, wanted.factor)
        asked = RunGoal(film, wanted.certainty, area, setting, per_charge, ramp_s=ramp_s)
        return plan_run(asked, made, never_warms)

    runs = [run_at(a) for a in (found.set_a, found.low_a, found.high_a)]
    time, heats = plan_time(runs[0], wanted.certainty), [plan_heat(run, made, temperature) for run in runs]
    capacity = worked("heat capacity of the bath", "J/(L K)", "heat capacity x density", LALIBERTE_2009,
                      lambda c, t: 1e3 * heat_capacity_kj_per_l_k(acid_wt_pct(c), t), acid, temperature)  # fmt: skip
    energies = [run.figure("heat of a run", "J", "heat added up", run.at_end(run.course.heat_j)) for run in runs]
    near = ceiling_fact(film, ceiling(time.density, acid, heats[0].surface, factor_figure(wanted.factor)))
    return Duty(
        found.figure, _across([plan_volts(run)["voltage-end"] for run in runs]), _across([h.heat for h in heats]),
        _across(energies), time.time, given("after the ramp", max(runs[0].set_s - runs[0].ramp_s, 1.0), "s", COURSE),
        capacity, given("warming allowed", made.band_k, "K"), (near,) if near is not None else (),
    )  # fmt: skip


def _across(figures: Sequence[Figure]) -> Figure:
    """A figure of the middle setting, with least and most of the whole window."""
    first, ends = figures[0], [figure.estimate for figure in figures]
    low, high = min(e.low for e in ends), max(e.high for e in ends)
    return replace(first, estimate=replace(first.estimate, low=low, high=high), inputs=tuple(figures))


_ROUNDS = 3  # a tank sized for more surface hangs its parts a little deeper, on longer wires


def sized(
    load: Largest, run: TankRun | None = None, choices: TankChoices | None = None, rack: Rack | None = None,
    facts: Sequence[Fact] = (),
) -> tuple[Duty, TankDesign]:  # fmt: skip
    """What a load asks for, with more facts to tell, and the tank for that.

    Its most holds the aluminium wires that it hangs by, bare, unless its rack takes no current. Raises BadInput and
    OutOfRange.
    """
    bare_mm2 = 0.0
    for _ in range(_ROUNDS):
        hung = load.on_bare_wires(bare_mm2)
        duty = duty_for(hung, run)
        duty = replace(duty, facts=(*duty.facts, *facts))
        design = size_tank(hung, duty, choices)
        if rack is not None and not rack.takes_current:
            break
        bare_mm2 = max(each.rack.bare_mm2.high for each in design.wires)
    return duty, design


def hung_best(part: Part) -> Part:
    """A part hung as `hang` ranks the ways; as it is where its way is told, makes no difference or cannot be told."""
    return part.hung(part.ranked[0].up) if part.wants_a_way else part


def largest_of(parts: Sequence[Part], counts: Sequence[int], upright: bool = False) -> Largest:
    """Parts with so many of each, hung as each says; else free, or with the longest side down."""
    each = [part.wetted().value for part in parts]
    for part, area in zip(parts, each, strict=True):
        if area.low <= 0.0:
            raise BadInput(part.name, "nothing of it is wet", "take a mask or plug away")
    areas = [area.scaled(n) for area, n in zip(each, counts, strict=True)]
    words = ", ".join(f"{n} x {part.name}" if n > 1 else part.name for n, part in zip(counts, parts, strict=True))
    kinds = []
    for part, n in zip(parts, counts, strict=True):
        ways = part_ways(part)
        if upright and part.hanging is None:
            ways = tuple(way for way in ways if way.high_mm == max(each.high_mm for each in ways))
        kinds.append(RackPart(part.name, n, ways))
    return Largest(tuple(kinds), total(areas), tuple(area.value for area in each), words)


def largest_in(load: Load, free: bool, upright: bool = False) -> tuple[Largest, list[Part]]:
    """All parts of a load file as one load, and those opened; free: each hangs as is best for it where it may.

    Raises BadLoad for parts that cannot be opened.
    """
    parts, made = [], []
    for area in part_areas(load, Shelf()):
        line = area.line
        if area.part is None:
            made.append(square_of(area.each.estimate, line.name, line.count))
            continue
        part = replace(area.part, body=replace(area.part.body, name=line.name))
        part = hung_best(part) if free else part
        parts.append(part)
        made.append(largest_of([part], [line.count], upright))
    words = ", ".join(f"{p.count} x {p.name}" if p.count > 1 else p.name for p in load.parts)
    return replace(reduce(Largest.joined, made), words=words), parts


def square_of(area_mm2: Estimate, words: str, count: int = 1) -> Largest:
    """A load of which only the area is known: square plates, both faces of which make up the area of one."""
    side = (0.5 * area_mm2.value) ** 0.5
    return boxes(words, (side, side, 1.0), area_mm2, count)
