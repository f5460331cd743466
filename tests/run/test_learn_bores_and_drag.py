"""What coatings down bores and analyses of the bath teach: hidden slope and drag-out come back in their intervals."""

import msgspec
import numpy as np
import pytest
from simulated_tank import DESK_SET, desk_set, hidden, log_of

from areacalc.bath.dissolved import ACID_PER_ALUMINIUM, aluminium_per_ah
from areacalc.bath.voltage import EVENING, rise_per_um
from areacalc.logbook.came import Logged
from areacalc.logbook.records import Event, Outcome
from areacalc.plan.area import carried_by
from areacalc.plan.entry import run_of
from areacalc.plan.load_book import LoadBook
from areacalc.run.learn import bath_keys, learn
from areacalc.throw.bore_line import AT_A_THIN_END, IN_A_FACE, bore_line

SEEDS = 100
BORE = "Pen Body bore-1"


def split_runs(plan, seed, runs=3):
    """Runs of a hidden slope, measured outside and where the pen's bore is thinnest; and the slope by the plan."""
    random = np.random.default_rng(seed)
    mouth, slope_v = (IN_A_FACE, AT_A_THIN_END)[seed % 2], random.uniform(EVENING.low, EVENING.high)
    kappa = random.uniform(plan.conductivity.estimate.low, plan.conductivity.estimate.high)
    (bore,) = [bores.bore for bores, _ in plan.throw.parts[0].bores if "bore-1" in bores.names]
    logged = []
    for each in log_of(plan, seed, hidden(plan, random), runs, every_s=600.0):
        outside_um, density = random.uniform(12.0, 18.0), each.run.density_a_per_dm2
        film_mm = 5.0 * kappa * rise_per_um(20.0).value * outside_um / density
        share = bore_line(bore, 10.0 * kappa * slope_v / density, film_mm, mouth).least
        films = [um + random.uniform(-1.0, 1.0) for um in (outside_um, share * outside_um)]
        outcomes = (Outcome(run=1, film_um=films[0]), Outcome(run=1, film_um=films[1], place=BORE))
        logged.append(Logged(each.run, each.readings, (), outcomes))
    return logged, slope_v * kappa / plan.conductivity.estimate.value


def analysed(plan, seed, runs=40, loads=3, larger=1.0, with_aluminium=True):
    """Runs of loads so many times as large, between analyses of the acid, with a hidden drag-out [um]."""
    random, per_ah = np.random.default_rng(seed), aluminium_per_ah().estimate
    hidden_um = random.uniform(40.0, 160.0)
    held_ml = 0.0 if larger > 1.0 else sum(each.estimate.value for each in carried_by(plan.parts))
    run = run_of(plan, "2026-01-01T08:00")
    run = msgspec.structs.replace(run, load=run.load if larger == 1.0 else "large", area_mm2=larger * run.area_mm2,
                                  current_a=larger * run.current_a, planned_ah=larger * run.planned_ah)  # fmt: skip
    events, logged = [], []
    for month in range(1, loads + 1):
        acid, aluminium = 180.0, 5.0
        for day in (1, 20):
            read = {"acid_g_per_l": acid * (1.0 + random.uniform(-0.01, 0.01)),
                    "aluminium_g_per_l": aluminium * (1.0 + random.uniform(-0.03, 0.03))}  # fmt: skip
            told = read if with_aluminium else {"acid_g_per_l": read["acid_g_per_l"]}
            events.append(Event(vessel=1, when=f"2026-{month:02}-{day:02}T00:00", what="analysis", **told))
            for _ in range(runs if day == 1 else 0):
                lifted_l = 1e-3 * (hidden_um * run.area_mm2 * 1e-6 + held_ml)
                dissolved_g = run.charge_ah * random.uniform(per_ah.low, per_ah.high)
                acid -= (lifted_l * acid + ACID_PER_ALUMINIUM.value * dissolved_g) / run.bath_l
                aluminium += (dissolved_g - lifted_l * aluminium) / run.bath_l
                logged.append(Logged(msgspec.structs.replace(run, when=f"2026-{month:02}-03T10:00"), ()))
        events.append(Event(vessel=1, when=f"2026-{month:02}-21T00:00", what="addition"))
    return logged, events, hidden_um


def holds(lesson, true):
    return lesson.estimate.low <= true <= lesson.estimate.high


def test_a_split_part_narrows_the_bores_of_the_next_plan():
    plan = desk_set()
    logged, slope_v = split_runs(plan, 0, 12)
    learned = learn(plan, logged)
    assert holds(learned.bores, slope_v)
    assert learned.bores.estimate.width < 0.7 * (EVENING.high - EVENING.low)
    keys = {name: value for name, value in bath_keys(learned, plan).items() if name.startswith("bore_slope")}
    assert set(keys) == {"bore_slope", "bore_slope_within"}
    now, then = (each.bores[0].thrown.least_share.estimate for each in (plan, LoadBook(DESK_SET).plan_in_bath(keys)))
    assert then.width < 0.9 * now.width


def test_a_bore_of_another_load_teaches_nothing():
    plan = desk_set()
    (one,) = split_runs(plan, 1, 1)[0]
    elsewhere = tuple(msgspec.structs.replace(each, place=each.place and "cup bore-1") for each in one.outcomes)
    assert learn(plan, [Logged(one.run, one.readings, (), elsewhere)]).bores is None


def test_acid_that_is_gone_tells_the_drag_out_and_the_next_plan_takes_it():
    plan = desk_set()
    logged, events, hidden_um = analysed(plan, 0, larger=20.0)
    learned = learn(plan, logged, events)
    assert holds(learned.drag_out, hidden_um)
    assert learn(plan, logged, events[1:2]).drag_out is None
    keys = {name: value for name, value in bath_keys(learned, plan).items() if name.startswith("drag_out")}
    then = LoadBook(DESK_SET).plan_in_bath(keys).figures["drag-out"].estimate
    assert then.width < plan.figures["drag-out"].estimate.width


def test_an_addition_between_two_analyses_tells_nothing():
    plan = desk_set()
    logged, events, _ = analysed(plan, 0, runs=5, loads=1)
    added = msgspec.structs.replace(events[-1], when="2026-01-10T00:00")
    assert learn(plan, logged, [events[0], added, events[1]]).drag_out is None


@pytest.mark.slow
def test_hidden_slope_and_drag_out_are_recovered_in_90_of_100():
    plan, slopes, drags = desk_set(), 0, 0
    for seed in range(SEEDS):
        logged, slope_v = split_runs(plan, seed)
        slopes += holds(learn(plan, logged).bores, slope_v)
        runs, events, hidden_um = analysed(plan, seed, larger=(1.0, 20.0)[seed % 2], with_aluminium=seed % 3 > 0)
        drags += holds(learn(plan, runs, events).drag_out, hidden_um)
    assert (slopes >= 90, drags >= 90) == (True, True), (slopes, drags)
