"""A tank that is simulated: the plan's physics with hidden constants, noise and meter error."""

import functools
from dataclasses import replace
from pathlib import Path

import numpy as np

from areacalc.bath.cases import Cases, Unknowns
from areacalc.bath.course import Flowed, replay
from areacalc.logbook.records import Reading
from areacalc.plan.load_book import LoadBook

DESK_SET = Path(__file__).parents[2] / "sample_models" / "desk-set.toml"


@functools.cache
def desk_set():
    """The sample load, planned."""
    return LoadBook(DESK_SET).plan()


def hidden(plan, random, **known):
    """A plan's cases with one column: constants drawn from anywhere between their ends, but for those known."""
    cases, names = plan.run.course.cases, Unknowns.__slots__
    ends = {name: (getattr(cases, name)[: cases.corners].min(), getattr(cases, name)[: cases.corners].max())
            for name in names}  # fmt: skip
    drawn = {name: np.array([known.get(name, random.uniform(*ends[name]))]) for name in names}
    return Cases(**drawn, bath=cases.bath, corners=1)


def read_run(plan, seed, every_s=20.0, lost_share=0.0, lost_at_s=720.0, until_s=None, set_share=1.0, cases=None):
    """What the meters show of a run with hidden constants; from lost_at_s on a share of the area takes no current.

    Each meter is off by a constant and by noise, together no more than the load's meters may be.
    """
    random = np.random.default_rng(seed)
    cases = hidden(plan, random) if cases is None else cases
    times = np.arange(every_s, until_s or plan.run.set_s, every_s)
    set_a, ran = true_course(plan, cases, times, set_share)
    meters = plan.load.meters
    off = {name: random.uniform(-0.5, 0.5) for name in ("v", "a", "t")}
    out = []
    for time_s, current_a in zip(times, set_a, strict=True):
        volts = float(ran.at(ran.supply_v, time_s)[0])
        if time_s >= lost_at_s:
            volts -= float(cases.e_fold_v[0]) * np.log(1.0 - lost_share)
        noise = {name: off[name] + random.uniform(-0.5, 0.5) for name in off}
        out.append(Reading(
            run=0, at_s=float(time_s), volts_v=round(max(float(volts) + meters.volts_v * noise["v"], 0.0), 2),
            current_a=round(float(current_a) * (1.0 + meters.amps_share * noise["a"]), 3),
            temperature_c=round(float(ran.at(ran.bath_c, time_s)[0]) + meters.temperature_k * noise["t"], 1),
        ))  # fmt: skip
    return out


def true_course(plan, cases, times, set_share=1.0):
    """What the power supply gives at some times [A], a share of the plan's, and the course of the hidden run."""
    planned = plan.run.course
    course = replace(planned, cases=cases, **{name: getattr(planned, name)[:, :1] for name in (
        "current_a", "volts_v", "charge_c", "heat_j", "bath_c", "rise_k", "limited_by")})  # fmt: skip
    set_a = set_share * np.interp(times, planned.time_s, planned.current_a[:, 0])
    start = np.array([cases.bath.bath_c])
    return set_a, replay(course, Flowed(times, set_a, start, np.zeros(1)), float(times[-1]))


def log_of(plan, seed, cases, runs=3, every_s=30.0, set_share=1.0):
    """Runs of one tank as the logbook has them: readings, and the coating measured to a gauge's micrometre."""
    from areacalc.logbook.came import Logged
    from areacalc.logbook.records import Outcome
    from areacalc.plan.entry import run_of

    random, out = np.random.default_rng(10_000 + seed), []
    for i in range(runs):
        readings = read_run(plan, 1_000 * seed + i, every_s, cases=cases, set_share=set_share)
        charge_c = set_share * plan.run.course.at(plan.run.course.charge_c, plan.run.set_s)[:1]
        film_um = float(cases.film_um(charge_c)[0] + random.uniform(-1.0, 1.0))
        outcome = Outcome(run=i + 1, film_um=film_um)
        run = replace_number(run_of(plan, f"2026-03-0{i + 1}T10:00"), i + 1)
        out.append(Logged(run, tuple(readings), (), (outcome,)))
    return out


def replace_number(run, number):
    """A run with its number in the logbook."""
    import msgspec

    return msgspec.structs.replace(run, number=number)
