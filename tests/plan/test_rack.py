"""A load laid out in its tank: what stops, what would do, the split into runs by name, a person's own rules."""

import pytest

from areacalc.load.read_load import load_of
from areacalc.plan.fault import Weight
from areacalc.plan.plan import plan_of
from areacalc.plan.room import NoPlace
from areacalc.report.words.equipment import ways_out_words
from areacalc.report.words.tell import tell

KNOB, ROD = ("knob", "0 25; 25 25"), ("rod", "0 12; 340 12")
MIDDLE = "length = '400 mm'\nwidth = '300 mm'\ndepth = '300 mm'"
TEN_LITRES = "length = '300 mm'\nwidth = '200 mm'\ndepth = '170 mm'"


@pytest.fixture
def planned(tmp_path):
    """A plan of (name, outline, count), of a tank, and of further tables."""

    def make(parts, tank=MIDDLE, supply_a=100.0, more=""):
        tables = []
        for (name, outline), count in parts:
            points = ", ".join(f'"{each.strip()}"' for each in outline.split(";"))
            (tmp_path / f"{name}.toml").write_text(f'unit = "mm"\noutside = [{points}]\n')
            tables.append(f'[[part]]\nname = "{name}"\nfile = "{name}.toml"\ncount = {count}\n')
        text = "\n".join([
            *tables, "[bath]", 'acid = "180 g/L"', 'temperature = "20 C"', 'cooling = "50 kW"', "[tank]", tank,
            f'[supply]\ncurrent = "{supply_a} A"\nvoltage = "30 V"\nramp = "5 min"',
            '[finish]\ndensity = "22 to 26 A/ft2"\nthickness = "12 um"', more,
        ])  # fmt: skip
        return plan_of(load_of(text, "load.toml", str(tmp_path)))

    return make


def stops(made):
    return [fault.fact for fault in made.faults if fault.weight is Weight.STOPS]


def test_twenty_knobs_hang_in_thirty_six_litres(planned):
    made = planned([(KNOB, 20)])
    rack = made.plant.room.layout
    assert (rack.rows, rack.tiers, rack.columns) == (1, 4, 5)
    assert made.can_run
    assert min(each.value for each in made.plant.room.judged) > 0.0


def test_too_many_stop_with_the_smallest_tank_and_the_runs(planned):
    made = planned([(KNOB, 100)], TEN_LITRES)
    (stop,) = stops(made)
    assert stop.kind is NoPlace.TOO_MANY_PARTS
    said = tell(stop)
    assert said.startswith("100 parts do not fit in 300 x 200 x 170 mm of liquid at once. The smallest tank")
    runs = made.plant.ways_out.in_runs.runs
    assert sum(n for run in runs for _, n in run.parts) == 100
    assert len(runs) == 2
    room = made.plant.ways_out.tank.room
    sizes = f"length = '{room.length_mm} mm'\nwidth = '{room.width_mm} mm'\ndepth = '{room.depth_mm} mm'"
    there = planned([(KNOB, 100)], sizes)
    assert there.can_run
    assert all(each.kept for each in there.plant.room.judged)


def test_a_part_that_fits_only_leaned_leans_and_a_longer_one_stops_with_a_tank_for_it(planned):
    tank = "length = '320 mm'\nwidth = '125 mm'\ndepth = '250 mm'"
    made = planned([(ROD, 1)], tank)
    assert made.can_run
    assert made.plant.room.layout.ways[0].tilt_deg > 0.0
    stopped = planned([(("rod", "0 12; 420 12"), 1), (KNOB, 2)], tank)
    (stop,) = stops(stopped)
    assert tell(stop) == (
        "rod, 420 x 12 x 12 mm, does not fit in 320 x 125 x 250 mm of liquid, upright, lying or leaned. "
        "The smallest tank for it alone: 520 x 190 x 140 mm of liquid, 13.8 L."
    )
    assert stopped.plant.ways_out.in_runs.alone == ("rod",)
    assert [run.parts for run in stopped.plant.ways_out.in_runs.runs] == [(("knob", 2),)]


def test_a_small_supply_splits_by_name_and_tells_what_is_too_much_alone(planned):
    # rods take 340 x 12 pi + 2 x 36 pi = 13 044 mm2, knobs 2 945; at the least 2.368 A/dm2: 3.09 and 0.70 A
    made = planned([(KNOB, 3), (ROD, 2)], MIDDLE, supply_a=4.0)
    split = made.plant.ways_out.in_runs
    assert [run.parts for run in split.runs] == [(("rod", 1), ("knob", 1)), (("rod", 1), ("knob", 1)), (("knob", 1),)]
    assert max(run.current_a for run in split.runs) <= 4.0
    assert ways_out_words(made.plant.ways_out)[1].startswith("In 3 runs. Runs 1 and 2: rod and knob, 4 A;")
    alone = planned([(KNOB, 3), (ROD, 1)], MIDDLE, supply_a=3.0).plant.ways_out.in_runs
    assert alone.alone == ("rod",)
    assert [run.parts for run in alone.runs] == [(("knob", 3),)]


def test_own_rules_take_the_place_of_the_usual(planned):
    broken = {j.rule.name for j in planned([(KNOB, 20)], TEN_LITRES).plant.room.judged if not j.kept}
    assert {"room at the ends", "room below"} <= broken
    own = f"{TEN_LITRES}\nclear_ends = '10 mm'\nclear_below = '20 mm'\nclear_cathodes = '40 mm'\nclear_above = '30 mm'"
    kept = planned([(KNOB, 20)], own, more="[rack]\nspacing = '10 mm'")
    assert all(each.kept for each in kept.plant.room.judged)
    assert kept.load.rack is None


def test_own_rules_under_what_touches_are_told_as_a_danger(planned):
    own = f"{TEN_LITRES}\nclear_above = '0.1 mm'\nclear_ends = '60 mm'"
    made = planned([(KNOB, 4)], own, more="[rack]\nspacing = '1 mm'")
    dangers = [tell(fault.fact) for fault in made.faults if fault.weight is Weight.SPOILS]
    assert [said.partition(":")[0] for said in dangers if "touches" in said] == [
        "Spacing between parts, so that nothing touches",
        "Liquid above the part, so that nothing touches",
    ]
    assert any("1 mm, should be at least 5 mm (safety, common practice); parts swing" in said for said in dangers)


@pytest.mark.parametrize(("told_mm", "fits"), [(75, False), (67, False), (66, True), (40, True)])
def test_a_told_cathode_distance_that_cannot_fit_is_told_with_the_room_there_is(planned, told_mm, fits):
    # (200 - 62) / 2 = 69 mm a side: less 3 mm of strip is 66, less 10 mm of gap behind it 56
    tank = "length = '350 mm'\nwidth = '200 mm'\ndepth = '250 mm'"
    strips = "[cathodes]\nmetal = '6063'\ncount = 6\nwidth = '40 mm'\nimmersed = '200 mm'\n"
    made = planned([(("puck", "0 62; 62 62"), 1)], tank, more=f"{strips}distance = '{told_mm} mm'")
    said = [tell(fault.fact) for fault in made.faults]
    assert any(each.startswith("Check the part-to-cathode distance: 56 mm, should be") for each in said) is not fits
    lines = [each for each in said if "does not fit" in each]
    assert (
        lines == []
        if fits
        else lines[0].startswith(
            f"A cathode distance of {told_mm} mm does not fit: in a tank 200 mm wide there is 56 mm on each side"
        )
    )
    assert ("bath-drop" in made.figures) is fits


def test_parts_of_an_area_alone_take_their_share_of_the_current_and_hang_nowhere(planned):
    # two knobs of 29.45 cm2 and three of 58.06 cm2 that are only an area: a knob takes 29.45 of 233.1 parts of it
    made = planned([(KNOB, 2)], more='[[part]]\nname = "cover"\narea = "9 in2"\ncount = 3')
    (wires, _) = made.plant.wires
    share = 2945.24 / (2 * 2945.24 + 3 * 9 * 645.16)
    assert wires.contact.current_a == pytest.approx(share * made.figure("current").estimate.value, rel=1e-3)
    said = [tell(fault.fact) for fault in made.faults]
    assert any(each.startswith("The rack is laid out without cover, whose files") for each in said)


def test_a_tank_of_which_a_size_is_missing_gets_no_rack(planned):
    made = planned([(KNOB, 40)], "volume = '10 L'\nlength = '300 mm'")
    assert made.plant.room.layout is None
    assert made.can_run


def test_rows_and_tiers_are_kept_to(planned):
    made = planned([(KNOB, 20)], more="[rack]\nrows = 1\ntiers = 2")
    assert made.plant.room.layout.tiers <= 2
    assert made.plant.room.layout.rows == 1
    assert not planned([(KNOB, 60)], more="[rack]\nrows = 1\ntiers = 1").can_run
