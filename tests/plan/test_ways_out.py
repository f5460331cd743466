"""Ways out that keep what they promise, and faults that are true of what they name."""

import pytest
from loads import BARE, SAMPLES, SHELF, bare, desk_set

from areacalc.load.read_load import load_of
from areacalc.plan.fault import FaultKind, changes_for, changes_of
from areacalc.plan.plan import plan_of
from areacalc.report.plan_summary import fault_lines
from areacalc.report.words.tell import tell


def starved(volts):
    text = BARE.replace("60 V", volts).replace("[part]]", "[part]]\ncount = 2", 1)
    keys = {"area": "130 cm2", "bath": 12, "agitation": "air", "cooling": "0 W", "litres": 10, "amps": 4, "film": 12}
    return plan_of(load_of(text.format(density="small-tank", **keys), "two.toml"))


def test_runs_are_offered_only_where_the_volts_drive_each():
    assert starved("60 V").plant.ways_out.in_runs is not None
    held = starved("20 V").plant.ways_out
    assert held.lower_density is not None
    assert held.in_runs is None


def test_the_density_offered_is_the_one_that_its_key_plans():
    low = bare(area="160 cm2", amps=3).plant.ways_out.lower_density
    (value,) = changes_for(low).values()
    there = bare(area="160 cm2", amps=3, density=value)
    assert there.figure("current").estimate.value == pytest.approx(low.current_a, rel=0.01)
    assert there.figure("time").estimate.value == pytest.approx(low.run_s, rel=0.02)


@pytest.mark.parametrize(("area", "amps"), [("1 dm2", 1.5), ("2 dm2", 3), ("2.002 dm2", 3)])
def test_a_supply_that_gives_just_the_density_asked_for_is_no_fault(area, amps):
    made = bare(area=area, amps=amps, density="1.5 A/dm2")
    assert made.plant.ways_out is None
    assert FaultKind.SUPPLY_IN_OTHER_WINDOW not in {fault.kind for fault in made.faults}


def test_trapped_air_names_the_way_up_that_traps_none():
    text = (SAMPLES / "desk-set.toml").read_text("utf-8").replace('up = "x-"', 'up = "x+"')
    made = plan_of(load_of(text, "desk-set.toml", str(SAMPLES)), shelf=SHELF)
    (air,) = (fault for fault in made.faults if fault.kind is FaultKind.AIR_IF_TILTED)
    assert changes_of(air) == {"part.up": "x-"}
    assert "`up` = x-" in tell(air.fact)
    assert FaultKind.AIR_IF_TILTED not in {fault.kind for fault in desk_set().faults}


def test_faults_that_find_no_room_are_counted_under_no_empty_heading():
    faults = tuple(fault for fault in desk_set().faults if fault.weight.word == "watch")
    assert fault_lines(faults, False, 2) == [f"Faults: {len(faults)} to watch: --full"]
