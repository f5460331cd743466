"""What logged runs teach of a bath: volts against density and warmth, film for a charge, cooling, the power supply.

Volts are fitted to the law of the plan by least squares, with what is known beforehand as one more reading of each
constant (ridge regression, the linear Bayesian estimate), and an offset of its own for each run:

    V = Vref + V0 ln(i / iref) + B (1/T - 1/Tref) + rise x film

Intervals are two standard uncertainties either way, what the meters themselves are off included. Those of volts and
film hold the next run: how far the runs scatter counts too (`scattered`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import msgspec
import numpy as np

from areacalc.arrays import Floats
from areacalc.bath.ceiling import GAS_CONSTANT
from areacalc.bath.electrolyte import kelvin
from areacalc.bath.film import GAUGE_UM
from areacalc.bath.voltage import EVENING, GROWTH_ENERGY, Polarisation, rise_per_um
from areacalc.errors import BadInput
from areacalc.logbook.came import LEAST_UM, OUTSIDE, Logged, charge_until_c, is_counted, most_film_um
from areacalc.logbook.checks import check
from areacalc.logbook.records import Event, Reading, Run
from areacalc.plan.alloy import is_of_alloy
from areacalc.plan.plan import Plan
from areacalc.plant.supply import Meters, standard
from areacalc.run.judged import JUDGED_FROM, WANDER
from areacalc.run.lesson import Lesson, Scatter, about, bore_slope, drag_out_film, scatter, scattered
from areacalc.surface.air.drag_out import FILM_ML_PER_M2


def sifted(plan: Plan, logged: Sequence[Logged]) -> tuple[list[Logged], int]:
    """The runs with what can be, and how many readings and coatings were left out.

    A run that does not say what its power supply gives had the plan's; no charge makes more film than all of it does.
    """
    supply, out, left_out = plan.load.supply, [], 0
    for each in logged:
        limits = {} if supply is None else {"supply_v": each.run.supply_v or supply.limit_v,
                                            "supply_a": each.run.supply_a or supply.limit_a}  # fmt: skip
        run = msgspec.structs.replace(each.run, **limits)
        readings = tuple(reading for reading in each.readings if _can_be(reading, run))
        kept = Logged(each.run, readings, each.begun, each.outcomes)
        most_um = most_film_um(each.run, kept.came.charge_ah)
        outcomes = tuple(one for one in each.outcomes if one.film_um is None or one.place not in OUTSIDE
                         or LEAST_UM < one.film_um <= most_um)  # fmt: skip
        out.append(Logged(each.run, readings, each.begun, outcomes))
        left_out += len(each.readings) - len(readings) + len(each.outcomes) - len(outcomes)
    return out, left_out


def _can_be(reading: Reading, run: Run) -> bool:
    try:
        check(reading, run)
    except BadInput:
        return False
    return True


_GAS = 1e-3 * GAS_CONSTANT.value  # kJ/(mol K)
_LEAST_READINGS = 3
_STRAY = 0.1  # chosen: a current this far from the middle one is not what the power supply made of its setting
_FAR = 4.0  # standard uncertainties: a reading this far from the fit is not of a good run
COATED_MIN = 20.0  # chosen: the run for which a coating learned is told
_SHOWN = 0.8  # chosen: a slope is told as learned where the readings leave at most this share of its doubt
_MOST_WITHIN = 0.5  # of a coating: chosen, a coating known no better is not planned with
_UNKNOWN_V = 10.0  # chosen: what may be known of the volts beforehand, as good as nothing


@dataclass(frozen=True, slots=True)
class Learned:
    """What runs teach; None where they do not tell. runs: how many have something that teaches.

    volts is at the tank at density_a_per_dm2 and bath_c before there is film; per_e_fold and per_k how the volts change
    with density and with warmth; film for a charge; cooling what takes heat out; given the current that the power
    supply gives of what is set; bores how the volts change with density by what came down bores; drag_out the liquid
    lifted out, as a film. left_out: readings and coatings that cannot be; of_other_alloys: runs whose coating is
    that of another alloy.
    """

    density_a_per_dm2: float
    bath_c: float
    volts: Lesson | None = None
    per_e_fold: Lesson | None = None
    per_k: Lesson | None = None
    film: Lesson | None = None
    cooling: Lesson | None = None
    given: Lesson | None = None
    bores: Lesson | None = None
    drag_out: Lesson | None = None
    left_out: int = 0
    of_other_alloys: int = 0
    runs: int = 0


def learn(plan: Plan, logged: Sequence[Logged], history: Sequence[Event] = ()) -> Learned:
    """What the runs teach, with the plan for what no meter shows: the area that takes the current, rack, heat held.

    history: what happened to the bath. Coatings count of runs of the alloy of this load.
    """
    runs, left_out = sifted(plan, logged)
    of_alloy = [each for each in runs if is_of_alloy(plan.alloys, plan.load.name, each.run)]
    found = Learned(
        plan.figures["density"].estimate.value, plan.load.bath.temperature_c, film=_film(plan, of_alloy),
        cooling=_cooling(plan, runs), given=_given(plan, runs), bores=bore_slope(plan, of_alloy),
        drag_out=drag_out_film(plan, runs, history), left_out=left_out,
        of_other_alloys=sum(bool(each.outcomes) for each in runs if each not in of_alloy),
        runs=sum(_teaches(each, each in of_alloy) for each in runs),
    )  # fmt: skip
    meters, rows = plan.load.meters, _rows(plan, runs)
    if len(rows) < _LEAST_READINGS:
        return found
    density, bath_c = math.exp(float(np.log(rows[:, 2]).mean())), float(rows[:, 3].mean()) - kelvin(0.0)
    constants, offs, known_off, used, apart = _fit(rows, density, bath_c, meters)
    (volts_v, per_e_fold, per_warmth, _), spread, at_k = constants.tolist(), offs.tolist(), kelvin(bath_c)
    per_k = -per_warmth / at_k**2
    shown = math.hypot(standard(meters.volts_v), per_e_fold * standard(meters.amps_share),
                       per_k * standard(meters.temperature_k))  # fmt: skip
    own = max(spread[0] ** 2 - apart.standard**2 / apart.runs, 0.0)  # the scatter is counted by itself
    volts = scattered(volts_v, math.sqrt(own + shown**2), apart)
    is_shown = [own <= _SHOWN * known for own, known in zip(spread, known_off.tolist(), strict=True)]
    return replace(
        found, density_a_per_dm2=density, bath_c=bath_c, volts=Lesson(volts, "V", used, apart),
        per_e_fold=Lesson(about(per_e_fold, spread[1]), "V", used) if is_shown[1] else None,
        per_k=Lesson(about(per_k, spread[2] / at_k**2), "V/K", used) if is_shown[2] else None,
    )  # fmt: skip


def _teaches(each: Logged, is_of_alloy: bool) -> bool:
    """Whether a run has a meter's reading, or a coating on this alloy."""
    read = any((r.volts_v, r.current_a, r.temperature_c) != (None, None, None) for r in each.readings)
    return read or (is_of_alloy and any(o.film_um is not None and is_counted(o.place) for o in each.outcomes))


def _fit(rows: Floats, density: float, bath_c: float, meters: Meters) -> tuple[Floats, Floats, Floats, int, Scatter]:
    """The law from the readings that belong together. A run is off it by as much as the runs scatter.

    Its constants, their standard uncertainties now and before, how many readings were used, how the runs scatter.
    """
    of_run, volts_v, at_density, bath_k, film_um = rows.T
    at_k, rise = kelvin(bath_c), rise_per_um(bath_c)
    base = np.column_stack([
        np.ones_like(volts_v), np.log(at_density / density), 1.0 / bath_k - 1.0 / at_k, film_um,
    ])  # fmt: skip
    e_folds = Polarisation().volts_per_e_fold.value
    known = np.array([15.0, e_folds, e_folds * GROWTH_ENERGY.value / _GAS, rise.value])
    wide_v = standard(EVENING.high - e_folds)
    known_off = np.array([_UNKNOWN_V, wide_v, wide_v * GROWTH_ENERGY.value / _GAS,
                          standard(rise.high - rise.value)])  # fmt: skip
    runs = np.unique(of_run)
    each = (of_run[:, None] == runs[None, :]).astype(float)
    design, start = np.hstack([base, each]), np.concatenate([known, np.zeros(len(runs))])
    used = np.ones(len(volts_v), dtype=bool)
    noise = math.hypot(
        standard(meters.volts_v), standard(WANDER.value), e_folds * standard(meters.amps_share),
        e_folds * GROWTH_ENERGY.value / _GAS / at_k**2 * standard(meters.temperature_k),
    )  # fmt: skip
    off_v = standard(WANDER.value)
    for _ in range(4):
        weight = np.concatenate([1.0 / known_off**2, np.full(len(runs), off_v**-2)])
        covariance = np.linalg.inv(design[used].T @ design[used] / noise**2 + np.diag(weight))
        found = covariance @ (design[used].T @ volts_v[used] / noise**2 + weight * start)
        left_v = volts_v - base @ found[:4]
        runs_off = scatter({int(run): float(np.median(left_v[of_run == run])) for run in runs}, noise)
        was_v, off_v = off_v, max(standard(WANDER.value), runs_off.standard)
        off = np.abs(volts_v - design @ found)
        if (runs_off.disagrees and off_v > 1.01 * was_v) or (off <= _FAR * noise).sum() < _LEAST_READINGS:
            continue
        if (used == (off <= _FAR * noise)).all():
            break
        used = off <= _FAR * noise
    return found[:4], np.sqrt(np.diag(covariance))[:4], known_off, int(used.sum()), runs_off


def _rows(plan: Plan, logged: Sequence[Logged]) -> Floats:
    """The readings of volts and amperes at over half the current, one a row.

    Which run, volts at the tank, density [A/dm2], bath [K], film so far by the charge [um].
    """
    ohm, rows = plan.run.course.setting.series_ohm, []
    for each in logged:
        area_dm2 = _area_dm2(plan, each.run)
        bath_c = _baths(each)
        for reading in each.in_acid:
            if reading.volts_v and reading.current_a and reading.current_a >= JUDGED_FROM * each.run.current_a:
                film_um = float(plan.run.course.cases.um_per_a_min_per_dm2[0]) / 60.0 / area_dm2 * charge_until_c(
                    each.run, each.in_acid, reading.at_s)  # fmt: skip
                rows.append((each.run.number, reading.volts_v - reading.current_a * ohm, reading.current_a / area_dm2,
                             kelvin(float(np.interp(reading.at_s, *bath_c))), film_um))  # fmt: skip
    return np.array(rows, dtype=float).reshape(-1, 5)


def _area_dm2(plan: Plan, run: Run) -> float:
    """The area that took the current of a run: the plan's, where it is the same load, else by current and density."""
    if math.isclose(run.area_mm2, plan.area.estimate.value, rel_tol=1e-3):
        return plan.throw.effective.estimate.value * 1e-4
    return run.current_a / run.density_a_per_dm2


def _baths(each: Logged) -> tuple[Floats, Floats]:
    """Times [s] and the bath then [C], a straight line through what was read: one reading is good to half a degree."""
    read = [(r.at_s, r.temperature_c) for r in each.in_acid if r.temperature_c is not None]
    if len(read) < 2:
        at = read[0][1] if read else each.run.temperature_c
        return np.array([0.0]), np.array([at])
    times, baths = np.array(read, dtype=float).T
    slope, start = np.polyfit(times, baths, 1)
    ends = np.array([0.0, times[-1]])
    return ends, start + slope * ends


def _film(plan: Plan, logged: Sequence[Logged]) -> Lesson | None:
    """Film for a charge, from coatings measured on the outside: each right to a gauge, the charge to the ammeter."""
    found, runs = [], []
    for each in logged:
        charge = charge_until_c(each.run, each.in_acid, each.off_s) / 60.0 / _area_dm2(plan, each.run)
        films = [o.film_um for o in each.outcomes if o.film_um is not None and o.place in OUTSIDE]
        found += [(film, charge) for film in films]
        runs += [each.run.number] * len(films)
    if not found:
        return None
    film_um, charge = np.array(found, dtype=float).T
    value, gauge = float(film_um @ charge / (charge @ charge)), standard(GAUGE_UM.value)
    off: dict[int, list[float]] = {}
    for number, (run, one) in enumerate(zip(runs, film_um / charge - value, strict=True)):
        off.setdefault(run if len(set(runs)) > 1 else -number, []).append(float(one))  # of one run, its coatings
    one_off = math.hypot(gauge / float(charge.mean()), value * standard(plan.load.meters.amps_share))
    apart = scatter({run: sum(many) / len(many) for run, many in off.items()}, one_off)
    known = math.hypot(gauge / float(np.linalg.norm(charge)), value * standard(plan.load.meters.amps_share))
    return Lesson(scattered(value, known, apart), "um/(A min/dm2)", len(found), apart if len(set(runs)) > 1 else None)


def _cooling(plan: Plan, logged: Sequence[Logged]) -> Lesson | None:
    """What takes heat out of the bath [W]: the heat put in less what the bath's rise accounts for, over all runs."""
    cases, noise, found = plan.run.course.cases, standard(plan.load.meters.temperature_k), []
    for each in logged:
        read = [r for r in each.in_acid if r.temperature_c is not None and r.at_s > 0.0]
        mean_v = [r.volts_v for r in each.in_acid if r.volts_v and r.current_a]
        if len(read) < _LEAST_READINGS or not mean_v:
            continue
        times = np.array([r.at_s for r in read])
        charge = np.array([charge_until_c(each.run, each.in_acid, at) for at in times])
        heat_j = charge * (float(np.mean(mean_v[len(mean_v) // 2 :])) + float(cases.chemical_v[0]))
        rise_j = 1e3 * cases.bath.held_kj_per_k * np.array([r.temperature_c for r in read], dtype=float)
        out_j, centred = heat_j - rise_j, times - times.mean()
        cooling = float(centred @ out_j / (centred @ centred))
        spread = 1e3 * cases.bath.held_kj_per_k * noise / math.sqrt(float(centred @ centred))
        found.append((cooling, spread, float(charge[-1] / times[-1])))
    if not found:
        return None
    cooling, spread, amps = np.array(found).T
    weight = 1.0 / spread**2
    chemical = standard(float(np.ptp(cases.chemical_v[: cases.corners])) / 2.0) * float(amps.mean())
    return Lesson(about(float(weight @ cooling / weight.sum()), math.hypot(weight.sum() ** -0.5, chemical)), "W",
                  len(found))  # fmt: skip


def _given(plan: Plan, logged: Sequence[Logged]) -> Lesson | None:
    """The current that the power supply gives, as a share of what was planned, once the ramp is over."""
    ramp_s = plan.run.course.setting.ramp_s
    read = [r.current_a / each.run.current_a for each in logged for r in each.in_acid
              if r.current_a and r.at_s > ramp_s]  # fmt: skip
    middle = float(np.median(read)) if read else 0.0
    shares = [each for each in read if abs(each - middle) <= _STRAY * middle]  # another was turned, or had no contact
    if len(shares) < _LEAST_READINGS:
        return None
    mean = float(np.mean(shares))
    spread = math.hypot(float(np.std(shares)) / math.sqrt(len(shares)), mean * standard(plan.load.meters.amps_share))
    return Lesson(about(mean, spread), "", len(shares))


def bath_keys(learned: Learned, plan: Plan) -> dict[str, str]:
    """What was learned as keys of the bath's record; an earlier run's keys are replaced by these.

    Slopes and a drag-out that are known no better than without the runs change nothing.
    """
    keys: dict[str, str] = {}
    density = learned.density_a_per_dm2
    if learned.volts is not None:
        volts = learned.volts.estimate
        keys |= {
            "measured_voltage": f"{volts.value:.4g} V", "measured_within": f"{0.5 * volts.width:.3g} V",
            "measured_temperature": f"{learned.bath_c:.4g} C",
        }  # fmt: skip
        if learned.per_e_fold is not None:
            slope, step_v = learned.per_e_fold.estimate, math.log(2.0)
            keys |= {
                "half_density_voltage": f"{volts.value - slope.value * step_v:.4g} V",
                "half_density": f"{0.5 * density:.4g} A/dm2",
                "half_density_within": f"{0.5 * slope.width * step_v:.3g} V",
            }
    film = None if learned.film is None else learned.film.estimate
    if film is not None and 0.5 * film.width < _MOST_WITHIN * film.value:
        keys |= {
            "measured_coating": f"{film.value * density * COATED_MIN:.4g} um", "measured_time": f"{COATED_MIN:g} min",
            "measured_coating_within": f"{0.5 * film.width * density * COATED_MIN:.3g} um",
        }  # fmt: skip
        if len({alloy.name for alloy in plan.alloys.of_parts}) == 1 and plan.parts[0].line.alloy is not None:
            keys["measured_alloy"] = plan.alloys.slowest.name
    if keys:
        keys["measured_density"] = f"{density:.4g} A/dm2"
    known = {"bore_slope": plan.load.bath.bore_slope or plan.load.bath.law.evening,
             "drag_out": plan.load.bath.drag_out or FILM_ML_PER_M2}  # fmt: skip
    for name, lesson in (("cooling", learned.cooling), ("bore_slope", learned.bores), ("drag_out", learned.drag_out)):
        if lesson is None or lesson.estimate.value <= 0.0:
            continue
        e, own = lesson.estimate, known.get(name)
        if e.low > 0.0 and (own is None or e.width <= own.high - own.low):
            within = max(e.high - e.value, e.value - e.low)
            keys |= {name: f"{e.value:.4g} {lesson.unit}", f"{name}_within": f"{within:.3g} {lesson.unit}"}
    return keys
