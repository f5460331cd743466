"""Layouts: closed ones by hand; random ones checked by shapely; the smallest tank; runs."""

import itertools
import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.errors import BadInput
from areacalc.plant.hung import box_part
from areacalc.plant.layout import Room, lay_out, smallest
from areacalc.plant.spacing import USUAL, Spacing
from areacalc.plant.too_small import split

SMALL, MIDDLE, LARGE = (300.0, 200.0, 170.0), (400.0, 300.0, 300.0), (800.0, 400.0, 400.0)
KNOB = (25.0, 25.0, 25.0)


def hung(number, tank, size=KNOB, **rules):
    return lay_out([box_part("knob", size, number)], Room(*tank, 13.0), Spacing(**rules))


def grid(made):
    return made and (made.rows, made.tiers, made.columns)


# A knob takes 25 mm and 25 mm to the next: n in a row take 50 n - 25 mm. At the usual 50 mm to the ends 300 mm hold 4
# (175), 400 hold 6 (275), 800 hold 14 (675); at the least of 5 mm 300 hold 6. Above 50, below 75: 170 mm of liquid hold
# 1 tier, 300 hold 4 (175 of 175), 400 hold 6. Two rows take 75 mm of the width between the cathodes.
@pytest.mark.parametrize(("number", "tank", "as_hung"), [
    (1, SMALL, (1, 1, 1)), (1, MIDDLE, (1, 1, 1)), (1, LARGE, (1, 1, 1)),
    (4, SMALL, (1, 1, 4)), (4, MIDDLE, (1, 1, 4)), (4, LARGE, (1, 1, 4)),
    (12, SMALL, (2, 1, 6)), (12, MIDDLE, (1, 2, 6)), (12, LARGE, (1, 1, 12)),
    (20, SMALL, (2, 2, 5)), (20, MIDDLE, (1, 4, 5)), (20, LARGE, (1, 2, 10)),
    (60, MIDDLE, (2, 4, 8)), (60, LARGE, (1, 5, 12)),
])  # fmt: skip
def test_equal_parts_hang_as_by_hand(number, tank, as_hung):
    assert grid(hung(number, tank)) == as_hung


def test_sixty_knobs_in_ten_litres_hang_closer_than_usual_and_a_hundred_do_not_hang():
    # two rows of three tiers of ten are the most at 5 mm: 10 x 25 + 9 x 5 = 295 > 290, so nine: 265; four tiers are
    # 10 + 4 x 25 + 3 x 5 + 10 = 135, five 165 of 170: 2 x 5 x 9 = 90
    assert grid(hung(60, SMALL))[0] == 2
    closer = {j.rule.name: j.value for j in hung(60, SMALL).judged if not j.kept}
    assert 5.0 <= closer["spacing between parts"] < 25.0
    assert hung(90, SMALL) is not None
    assert hung(91, SMALL) is None


def test_clearances_are_told_as_they_are():
    # 4 knobs: 175 mm long, 25 high, 25 thick in 300 x 200 x 170
    found = {j.rule.name: j.value for j in hung(4, SMALL).judged}
    assert found == {
        "spacing between parts": 25.0, "room at the ends": 62.5, "room below": 95.0, "liquid above the part": 50.0,
        "part-to-cathode distance": 74.5,  # (200 - 25) / 2 - 13
    }  # fmt: skip


def test_habits_give_way_before_evenness():
    broken = [j.rule.name for j in hung(20, SMALL).judged if not j.kept]
    assert set(broken) == {"part-to-cathode distance", "room at the ends", "room below"}


def test_a_rod_longer_than_the_tank_leans_and_one_longer_than_the_slope_does_not_hang():
    # inside 310 x 190 mm at the least clearances and 50 above: at 35 degrees off upright 340 mm span
    # 340 sin + 12 cos = 205 and 340 cos + 12 sin = 285
    room = Room(320.0, 125.0, 250.0, 13.0)
    (way,) = lay_out([box_part("rod", (340.0, 12.0, 12.0))], room).ways
    assert way.tilt_deg > 0.0
    lean = math.radians(way.tilt_deg)
    assert way.along_mm == pytest.approx(340.0 * math.sin(lean) + 12.0 * math.cos(lean))
    assert way.high_mm == pytest.approx(340.0 * math.cos(lean) + 12.0 * math.sin(lean))
    assert lay_out([box_part("rod", (420.0, 12.0, 12.0))], room) is None


def test_a_narrow_side_looks_at_the_cathodes_only_where_a_broad_one_cannot():
    plate = [box_part("plate", (100.0, 80.0, 6.0))]
    (broad,) = lay_out(plate, Room(*MIDDLE, 13.0)).ways
    assert broad.across_mm == 6.0
    (narrow,) = lay_out(plate, Room(60.0, 250.0, 100.0, 13.0)).ways
    assert (narrow.along_mm, narrow.across_mm, narrow.high_mm) == (6.0, 100.0, 80.0)


def test_ten_thousand_parts_are_not_laid_out_one_by_one():
    found = smallest([box_part("knob", KNOB, 10_000)])
    assert len(found.places) == 10_000
    assert lay_out([box_part("knob", KNOB, 10_000)], Room(*MIDDLE, 13.0)) is None


def test_a_part_through_the_surface_hangs_in_the_uppermost_tier_beside_those_below():
    from dataclasses import replace

    tall, knob = replace(box_part("tall", (30.0, 10.0, 120.0)), stands_out=True), box_part("knob", KNOB, 2)
    made = lay_out([knob, tall], Room(*MIDDLE, 13.0))
    tops = {made.parts[p.part].name: (p.z_mm, p.tier) for p in made.places}
    assert tops["tall"] == (0.0, 0)
    assert tops["knob"] == (50.0, 0)


def test_rows_tiers_and_own_rules_are_kept():
    assert grid(hung(20, MIDDLE, tiers=3)) == (2, 2, 5)
    assert grid(hung(20, MIDDLE, rows=1, tiers=2)) is not None
    assert hung(60, MIDDLE, rows=1, tiers=1) is None
    own = lay_out([box_part("knob", KNOB, 4)], Room(*SMALL, 13.0), USUAL.own(between=10.0, below=30.0))
    assert {j.rule.name: j.kept for j in own.judged}["spacing between parts"]
    assert own.size_mm[0] == pytest.approx(4 * 25.0 + 3 * 10.0)
    with pytest.raises(BadInput):
        USUAL.own(ends=0.0)
    with pytest.raises(BadInput):
        Spacing(rows=0)


def test_each_rule_has_its_reason_its_cost_and_a_least():
    assert {name: rule.reason.value for name, rule in USUAL.rules.items()} == {
        "between": "evenness", "ends": "habit", "below": "habit", "above": "evenness", "cathodes": "habit",
    }  # fmt: skip
    for rule in USUAL.rules.values():
        assert rule.why
        assert rule.least.source.text
        assert 0.0 < rule.floor < rule.limit.value


SIDES = st.floats(4.0, 120.0)
PARTS = st.lists(st.tuples(SIDES, SIDES, SIDES, st.integers(1, 8)), min_size=1, max_size=5)
TANKS = st.tuples(st.floats(60.0, 900.0), st.floats(80.0, 700.0), st.floats(40.0, 600.0))


def check(made, room, counts):
    """Held against shapely: no overlap, no gap too small, inside the tank, under the liquid, every part there."""
    assert [sum(p.part == k for p in made.places) for k in range(len(counts))] == counts
    fronts, across = [], []
    for place in made.places:
        x, y, z, x2, y2, z2 = made.box(place)
        fronts.append(shapely.box(x, z, x2, z2))
        across.append((y, y2))
    inside = shapely.box(0.0, 0.0, room.length_mm, room.depth_mm).buffer(1e-6)
    assert all(inside.contains(front) for front in fronts)
    assert all(z.bounds[1] >= 10.0 - 1e-6 for z in fronts)  # the least liquid above
    assert min(a for a, _ in across) >= room.behind_mm + 20.0 - 1e-6  # the least to a cathode
    assert max(b for _, b in across) <= room.width_mm - room.behind_mm - 20.0 + 1e-6
    gap = made.gaps.between_mm - 1e-6
    for i, j in itertools.combinations(range(len(fronts)), 2):
        apart = max(across[i][0] - across[j][1], across[j][0] - across[i][1])
        assert apart >= gap or shapely.distance(fronts[i], fronts[j]) >= gap


@given(PARTS, TANKS)
@settings(deadline=None, max_examples=60)
def test_no_layout_overlaps_or_leaves_the_liquid(sizes, tank):
    room = Room(*tank, 13.0)
    made = lay_out([box_part(f"part {i}", size[:3], size[3]) for i, size in enumerate(sizes)], room)
    if made is not None:
        check(made, room, [size[3] for size in sizes])


@given(PARTS, st.floats(0.0, 60_000.0))
@settings(deadline=None, max_examples=25)
def test_the_smallest_tank_keeps_every_rule_and_is_found_to_do_so(sizes, a_side_mm2):
    parts = [box_part(f"part {i}", size[:3], size[3]) for i, size in enumerate(sizes)]
    found = smallest(parts, None, Room.of(behind_mm=13.0), a_side_mm2)
    check(found, found.room, [size[3] for size in sizes])
    assert all(each.kept for each in found.judged)
    again = lay_out(parts, found.room)
    assert all(each.kept for each in again.judged)


def test_a_tank_too_small_for_the_rules_has_no_smallest():
    assert smallest([box_part("knob", KNOB, 20)], None, Room.of(length_mm=120.0)) is None
    assert smallest([box_part("knob", KNOB, 20)], None, Room.of(length_mm=130.0, behind_mm=13.0)) is not None


def fewest_by_hand(sizes, limit):
    """The fewest runs by trying every partition of a few things into runs."""
    best = len(sizes)
    for runs in itertools.product(range(len(sizes)), repeat=len(sizes)):
        loads = [sum(s for s, r in zip(sizes, runs, strict=True) if r == run) for run in set(runs)]
        if max(loads) <= limit:
            best = min(best, len(loads))
    return best


@given(st.lists(st.integers(1, 9), min_size=1, max_size=5))
@settings(deadline=None, max_examples=60)
def test_few_parts_get_the_fewest_runs(sizes):
    ordered = sorted(sizes, reverse=True)
    runs, _ = split(tuple(1 for _ in ordered), lambda run: sum(n * s for n, s in zip(run, ordered, strict=True)) <= 10)
    assert len(runs) == fewest_by_hand(ordered, 10)
    assert [sum(run[k] for run in runs) for k in range(len(ordered))] == [1] * len(ordered)


def test_what_does_not_go_alone_is_told_and_the_rest_is_split():
    runs, alone = split((1, 5, 2), lambda run: 20 * run[0] + 3 * run[1] + 4 * run[2] <= 10)
    assert alone == (0,)
    assert [sum(run[k] for run in runs) for k in range(3)] == [0, 5, 2]
    assert len(runs) == 3  # 15 + 8 = 23 over 10
