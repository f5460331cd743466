"""The equipment under a load: cathodes, rack, tank, and the ways out where supply or tank are too small."""

import math
from dataclasses import dataclass, replace

from areacalc.bath.course import LimitedBy
from areacalc.estimate import Estimate
from areacalc.figure import Figure
from areacalc.load.load import Load
from areacalc.plan.course import RunPlan, TimePlan, plan_run
from areacalc.plan.room import RoomPlan, offered, rack_made
from areacalc.plan.share_out import CurrentPlan, Shared, Sharing
from areacalc.plant.cathode import CathodeCheck, cathode_for, check_cathodes
from areacalc.plant.layout import lay_out
from areacalc.plant.rack import RackCheck, check_rack
from areacalc.plant.rule import Judged
from areacalc.plant.supply import Mode, Supply
from areacalc.plant.tank import LOADING
from areacalc.plant.too_small import (
    BuySupply,
    Counts,
    InRuns,
    OneRun,
    WaysOut,
    lower_density,
    split,
    supply_to_buy,
    window_in_reach,
)


def in_runs(of: Sharing, shared: Shared, room: RoomPlan) -> InRuns | None:
    """The fewest runs in which every part has room and a density inside the window.

    None where one run does it, or the volts of the supply hold a run down: fewer parts bring amperes, not volts. The
    kinds of part go in by area, the largest first.
    """
    load, parts, currents = of.load, of.parts, shared.currents
    least, limit_a = currents.window.least_a_per_dm2, load.supply.limit_a if load.supply else math.inf
    wanted = currents.density.estimate.value * currents.wanted_a / currents.set.estimate.value
    beside_mm2 = of.rack.estimate.value if of.rack else 0.0

    def each_mm2(density: float) -> list[float]:  # bores take the more the lower it is
        film, rise = Estimate.exact(shared.film_um), Estimate.exact(shared.rise_k)
        found = of.throw(Estimate.exact(density), None, film, rise).parts
        return [part.effective.estimate.value / line.line.count for part, line in zip(found, parts, strict=True)]

    at_least, at_wanted = each_mm2(least), each_mm2(wanted)
    order = sorted(range(len(parts)), key=lambda i: -at_wanted[i])
    kinds = dict(zip([i for i, part in enumerate(parts) if part.part is not None], room.parts, strict=True))
    has_sizes = room.layout is not None or room.would_do is not None

    def taken_mm2(run: Counts, each: list[float]) -> float:
        return beside_mm2 + sum(n * each[i] for n, i in zip(run, order, strict=True))

    def goes(run: Counts) -> bool:
        if least * taken_mm2(run, at_least) * 1e-4 > limit_a * (1.0 + 1e-9):
            return False
        hung = [replace(kinds[i], count=n) for n, i in zip(run, order, strict=True) if n and i in kinds]
        return not hung or not has_sizes or lay_out(hung, room.room, load.spacing) is not None

    found, alone = split(tuple(parts[i].line.count for i in order), goes)
    if len(found) == 1 and not alone:
        return None
    names = [parts[i].line.name for i in order]
    runs = tuple(
        OneRun(tuple((name, n) for name, n in zip(names, run, strict=True) if n),
            min(limit_a, wanted * taken_mm2(run, at_wanted) * 1e-4))
        for run in found
    )  # fmt: skip
    areas_mm2 = [taken_mm2(run, at_wanted) for run in found]
    if room.would_do is None and any(
        _lacks_volts(of, shared, mm2, run.current_a) for mm2, run in zip(areas_mm2, runs, strict=True)
    ):
        return None
    return InRuns(runs, tuple(names[i] for i in alone))


@dataclass(frozen=True, slots=True)
class PlantPlan:
    """Every piece of equipment's verdict. cathode_face is the cathode area facing the part [mm2].

    wires: what the layout would hang by, of either metal, where no rack is told. buy is the supply that would do, where
    none is told.
    """

    cathode_face: Figure
    cathodes: CathodeCheck | None
    rack: RackCheck | None
    room: RoomPlan
    wires: tuple[RackCheck, ...]
    loading: Judged
    ways_out: WaysOut | None
    buy: BuySupply | None

    @property
    def judged(self) -> tuple[Judged, ...]:
        more = (self.cathodes.judged if self.cathodes else (), self.rack.judged if self.rack else ())
        return (*self.room.judged, self.loading, *(j for each in more for j in each))


def plan_plant(of: Sharing, shared: Shared, time: TimePlan, most_v: float, room: RoomPlan) -> PlantPlan:
    """The equipment under a current that is shared out; most_v is what the top of the window may ask of a supply."""
    load, area, currents = of.load, of.area, shared.currents
    rack, most_a = rack_made(load), currents.most.estimate.high
    ways = _ways_out(load, shared, time, supply_to_buy(most_a, most_v))
    too_little = ways is not None and ways.lower_density is not None and not shared.currents.in_window
    if room.would_do is not None or too_little:
        split = in_runs(of, shared, room)
        ways = replace(ways or WaysOut(), in_runs=split, tank=room.would_do)
    return PlantPlan(
        cathode_face=cathode_for(area, load.ratio).figure,
        cathodes=_cathodes(load, area, currents.set, room),
        rack=check_rack(rack, currents.set, load.count, area.estimate) if rack else None,
        room=room, wires=offered(load, of.parts, room.layout, currents.set.estimate.value),
        loading=LOADING.judge(currents.set.estimate.value / load.tank.liquid_l), ways_out=ways,
        buy=supply_to_buy(most_a, most_v) if load.supply is None else None,
    )  # fmt: skip


def _cathodes(load: Load, area: Figure, current: Figure, room: RoomPlan) -> CathodeCheck | None:
    """The cathodes, where some hang; a distance that does not fit is not judged."""
    if load.cathodes is None:
        return None
    strips = load.cathodes if room.a_side_mm is None else replace(load.cathodes, distance_mm=None)
    return check_cathodes(strips, area, current, load.ratio, load.spacing.cathodes, load.tank.length_mm)


def _ways_out(load: Load, shared: Shared, time: TimePlan, buy: BuySupply) -> WaysOut | None:
    currents = shared.currents
    if load.supply is None:
        return None
    area = shared.throw.effective.estimate
    if short_of_volts(load.supply, shared.run, currents):
        run = shared.run
        driven_a, _ = run.driven_a(min(run.ramp_s, run.set_s), run.set_s)
        wanted_c = run.wanted_c(load.finish.certainty)
        return WaysOut(window_in_reach(load.supply, area, driven_a, wanted_c), buy=buy)
    if currents.in_window:
        return None
    steady_s = time.charge.estimate.value * 3600.0 / currents.wanted_a
    least, wanted = currents.window.least_a_per_dm2, currents.wanted_a / (area.value * 1e-4)
    return WaysOut(lower_density(load.supply, area, least, wanted, steady_s), buy=buy)


def _lacks_volts(of: Sharing, shared: Shared, area_mm2: float, current_a: float) -> bool:
    """Whether a run of a part of the load is short of volts, which follow the density and the heat."""
    load, currents = of.load, shared.currents
    if load.supply is None:
        return False
    area = replace(shared.asked.area, estimate=Estimate.exact(area_mm2))
    current = replace(currents.set, estimate=Estimate.exact(current_a))
    asked = replace(shared.asked, area=area, current=current)
    run = plan_run(asked, load.bath, of.measured.held, load.supply, quick=True)
    return short_of_volts(load.supply, run, replace(currents, set=current))


def short_of_volts(supply: Supply, run: RunPlan, currents: CurrentPlan) -> bool:
    """Whether the supply's volts hold the current down: at its limit, or set to it and never reaching the current."""
    if supply.mode is Mode.VOLTAGE:
        return run.most_v >= supply.limit_v * (1.0 - 1e-9) and run.most_a < currents.set.estimate.value
    return any(by is LimitedBy.VOLTAGE for by, _, _ in run.spans())
