"""Narrow bores and chambers behind them: which fill by themselves, what stays bare, and what a person may do."""

import json
import math
import re
from pathlib import Path

import manifold3d as m3
import numpy as np
import pytest
from bodies import body, box, rod
from typed import typed

import areacalc
from areacalc.errors import BadInput
from areacalc.part.part import Part
from areacalc.report.words.notes import note_words
from areacalc.surface.air.best_hanging import one_way
from areacalc.surface.air.fills import Fill
from areacalc.surface.air.narrow_mouths import Facing, Help
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.skin import State
from areacalc.surface.wetted import bare_areas

SAMPLES = Path(__file__).parents[2] / "sample_models"
BLOCK = box((-20, 20), (-20, 20), (0, 30))
UP, UP_X, DOWN = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 0.0, -1.0)
WALL = math.pi * 3.0 * 20.0 + math.pi * 1.5**2


def hung(solid, up=UP, **choices):
    part = Part(body(solid)).with_choices(**choices).hung(up)
    return part, part.hanging.narrow, part.wetted()


@pytest.fixture(scope="module")
def blind():
    return BLOCK - rod(1.5, (10, 31))


@pytest.mark.parametrize(("up", "choices"), [
    ("z+", {"plug": "bore-1 20 mm deep from mouth 1"}),
    ("z+", {"plug": "bore-1 20 mm deep from mouth 1", "mask": "x above 80 mm"}),
    ((-0.03, 0.0, 1.0), {"plug": "bore-1 20 mm deep from mouth 1"}),  # some of it under air
])  # fmt: skip
def test_what_is_told_to_count_as_wet_is_what_the_table_has_as_wet(up, choices, tmp_path):
    """A tube of 9 mm, 100 mm long: without the 20 mm of a plug, the 20 of a mask, and what air holds by its shape."""
    (tmp_path / "tube.toml").write_text('outside = ["0 14", "100 14"]\nunit = "mm"\nbores = ["through 9"]\n')
    wetted = areacalc.open(tmp_path / "tube.toml").with_choices(**choices).hung(up).wetted()
    (wet,) = (r.area_mm2.value for r in wetted.rows if r.feature.name == "bore-1" and r.state is State.WET)
    (told,) = (n.fact["area"].estimate.value for n in wetted.notes if n.fact.kind is SurfaceNote.AIR_MAY_BE_HELD)
    assert told == pytest.approx(wet, rel=1e-3)
    if up == "z+":
        assert told == pytest.approx(math.pi * 9.0 * (60.0 if "mask" in choices else 80.0), rel=1e-3)


@pytest.mark.parametrize(("up", "facing"), [(UP, Facing.UP), (UP_X, Facing.LEVEL), (DOWN, Facing.DOWN)])
def test_a_blind_bore_of_3_mm_holds_its_air_however_it_hangs(blind, up, facing):
    part, (found,), wetted = hung(blind, up)
    assert (found.fill, found.facing, found.room.features) == (Fill.HOLDS, facing, ("blind-bore-1",))
    assert (found.room.diameter_mm, found.room.depth_mm) == pytest.approx((3.0, 20.0), rel=1e-3)
    bare = wetted.area_in(State.AIR_HELD).value + wetted.area_in(State.AIRLOCKED).value
    assert bare == pytest.approx(WALL, rel=1e-3)
    whole = sum(f.area_mm2.value for f in part.skin.features)
    assert (wetted.value.value, wetted.value.low) == pytest.approx((whole - WALL, whole - WALL), rel=1e-3)
    notes = [n for n in wetted.notes if n.fact.kind is SurfaceNote.AIR_HELD]
    assert len(notes) == 1
    if facing is Facing.DOWN:
        assert wetted.value.high == pytest.approx(whole - WALL, rel=1e-3)
        assert found.helps == (Help.MOUTH_UP, Help.SYRINGE)  # turned over alone, it keeps its air all the same
    else:
        assert wetted.value.high == pytest.approx(whole, rel=1e-3)
        assert found.helps[0] is Help.SYRINGE
        assert part.hanging.liquid.volume_mm3 == 0.0  # what holds air carries nothing out


@pytest.mark.parametrize("lean_deg", [96.0, 110.0, 150.0])
def test_a_narrow_bore_leaned_mouth_down_keeps_all_its_air_and_not_only_what_its_shape_traps(blind, lean_deg):
    up = (0.0, math.sin(math.radians(lean_deg)), math.cos(math.radians(lean_deg)))
    part, _, wetted = hung(blind, up)
    bare = bare_areas(wetted.rows)["blind-bore-1"]
    assert wetted.area_in(State.AIRLOCKED).value < 0.99 * WALL
    assert (bare.value, bare.high) == pytest.approx((WALL, WALL), rel=2e-3)
    ranked = one_way(part.bath_skin, up, accuracy_deg=0.0)
    assert ranked.outcome.bare_mm2 == pytest.approx(bare.value, rel=1e-6)  # the ranking has the same figure


@pytest.mark.parametrize("up", [UP, UP_X])
def test_a_through_bore_fills_however_it_hangs(up):
    part, (found,), wetted = hung(BLOCK - rod(1.5, (-1, 31)), up)
    assert found.fill is Fill.FILLS
    assert len(found.room.mouths) == 2
    assert not found.helps
    assert wetted.value.low == pytest.approx(sum(f.area_mm2.low for f in part.skin.features))
    assert not [n for n in wetted.notes if n.fact.kind is SurfaceNote.AIR_HELD]


def test_a_plug_at_one_end_makes_a_through_bore_blind():
    _part, (found,), wetted = hung(BLOCK - rod(1.5, (-1, 31)), plug="bore-1 bottom 2 mm deep")
    assert (found.fill, len(found.room.mouths)) == (Fill.HOLDS, 1)
    assert found.room.depth_mm == pytest.approx(28.0)
    assert wetted.area_in(State.AIR_HELD).value == pytest.approx(math.pi * 3.0 * 28.0, rel=2e-3)
    assert wetted.area_in(State.PLUGGED).value == pytest.approx(math.pi * 3.0 * 2.0, rel=2e-3)


def test_a_chamber_behind_one_port_of_1_5_mm_holds_its_air():
    chamber = BLOCK - box((-8, 8), (-8, 8), (7, 23)) - rod(0.75, (15, 31))
    _part, (found,), wetted = hung(chamber)
    assert found.fill is Fill.HOLDS
    assert found.room.chamber
    assert found.room.diameter_mm == pytest.approx(1.5)
    assert found.room.depth_mm == pytest.approx(23.0)
    inside = 6 * 16.0**2 - math.pi * 0.75**2 + math.pi * 1.5 * 7.0
    assert wetted.area_in(State.AIR_HELD).value == pytest.approx(inside, rel=1e-3)
    assert wetted.value.high - wetted.value.low == pytest.approx(inside, rel=1e-3)
    (note,) = (n for n in wetted.notes if n.fact.kind is SurfaceNote.AIR_HELD)
    assert note_words(note.fact).startswith("the chamber in bore-1 and pocket-1 (1.5 mm mouth) keeps a bubble")


def test_a_second_port_lets_a_chamber_fill_where_it_lies_higher():
    """30 mm between the mouths withstand 4 x 73.7 mN/m / 1.5 mm, 18 to 19 mm of acid; side by side they do not."""
    chamber = BLOCK - box((-8, 8), (-8, 8), (7, 23)) - rod(0.75, (-1, 31))
    _, (upright,), wet = hung(chamber)
    assert upright.fill is Fill.FILLS
    assert not wet.area_in(State.AIR_HELD).high
    _, (level,), bare = hung(chamber, UP_X)
    assert (level.fill, level.stays, level.helps[0]) == (Fill.IN_DOUBT, True, Help.TILT)
    inside = 6 * 16.0**2 + math.pi * 1.5 * 14.0
    upper = bare.area_in(State.AIRLOCKED).value  # over both ports
    assert bare.area_in(State.AIR_HELD).value + upper == pytest.approx(inside, rel=1e-2)
    assert bare.value.high - bare.value.low > bare.area_in(State.AIR_HELD).value


def test_between_stuck_and_free_both_readings_are_in_the_bounds():
    part, (found,), wetted = hung(BLOCK - rod(3.5, (5, 31)))
    assert (found.fill, found.stays) == (Fill.IN_DOUBT, False)
    inside = math.pi * 7.0 * 25.0 + math.pi * 3.5**2
    assert wetted.value.value == pytest.approx(sum(f.area_mm2.value for f in part.skin.features), rel=1e-3)
    assert wetted.value.high - wetted.value.low == pytest.approx(inside, rel=1e-2)


@pytest.mark.parametrize("solid", [
    BLOCK - rod(5.2, (5, 31)),  # wide
    BLOCK - rod(1.5, (28.6, 31)),  # shallow
    BLOCK - rod(1.5, (5, 31)) - box((-0.5, 0.5), (0, 30), (3, 31)),  # slit along its side
    BLOCK - rod(4.0, (10, 31)) - rod(1.5, (-1, 31)),  # stepped, both ends open
    BLOCK - rod(1.5, (-1, 31)) - rod(1.5, (-30, 30)).rotate((0, 90, 0)).translate((0, 0, 15)),  # crossed
])  # fmt: skip
def test_what_lets_its_air_go_is_wet(solid):
    _part, found, wetted = hung(solid)
    assert all(each.fill is Fill.FILLS for each in found)
    assert wetted.area_in(State.AIR_HELD).high == 0.0


def test_below_a_wide_counterbore_only_the_narrow_length_holds_air():
    _, found, wetted = hung(BLOCK - rod(4.0, (26, 31)) - rod(1.5, (6, 31)))
    assert [each.fill for each in found] == [Fill.HOLDS, Fill.FILLS]
    assert wetted.area_in(State.AIR_HELD).value == pytest.approx(WALL, rel=1e-3)


@pytest.mark.parametrize(("choices", "bare_mm2"), [
    ({"add": "blind-bore-1 texture 1.5"}, 1.5 * WALL),
    ({"mask": "z above 20 mm"}, math.pi * 3.0 * 10.0 + math.pi * 1.5**2),
])  # fmt: skip
def test_the_note_tells_what_the_wetted_area_loses(blind, choices, bare_mm2):
    _part, _found, wetted = hung(blind, **choices)
    (told,) = [n.fact["area"].estimate.value for n in wetted.notes if n.fact.kind is SurfaceNote.AIR_HELD]
    assert told == pytest.approx(bare_mm2, rel=1e-3)
    assert wetted.value.high - wetted.value.value == pytest.approx(bare_mm2, rel=1e-3)


def test_the_note_tells_the_area_in_the_table_where_flats_may_be_round():
    wetted = hung(BLOCK - m3.Manifold.cylinder(21.0, 1.5, 1.5, 6).translate((0, 0, 10)))[2]
    (told,) = [n.fact["area"].estimate.value for n in wetted.notes if n.fact.kind is SurfaceNote.AIR_HELD]
    assert told == pytest.approx(wetted.area_in(State.AIR_HELD).value, rel=1e-3)
    assert wetted.area_in(State.AIR_HELD).high > 1.1 * told


def test_a_masked_bore_is_not_told_to_keep_its_air():
    three = BLOCK
    for x in (-10.0, 0.0, 10.0):
        three -= rod(1.5, (10, 31)).translate((x, 0, 0))
    (told,) = [n for n in hung(three, mask="blind-bore-2")[2].notes if n.fact.kind is SurfaceNote.AIR_HELD]
    assert told.fact["features"] == ("blind-bore-1", "blind-bore-3")
    assert told.fact["area"].estimate.value == pytest.approx(2.0 * WALL, rel=1e-3)


def test_a_bore_filled_with_a_syringe_is_wet(blind):
    part, (found,), wetted = hung(blind, fill="bores under 4 mm")
    assert found.fill is Fill.BY_HAND
    assert not found.helps
    assert wetted.value.low == pytest.approx(sum(f.area_mm2.low for f in part.skin.features))
    with pytest.raises(BadInput, match="names no bore"):
        hung(blind, fill="z from 0 to 5 mm")
    with pytest.raises(BadInput, match="names no bore"):
        Part(body(blind)).with_choices(fill="z from 0 to 5 mm").wetted()


def test_ten_bores_alike_are_told_once():
    holes = [rod(1.5, (10, 31)).translate((x, y, 0)) for x in (-14, -7, 0, 7, 14) for y in (-8, 8)]
    solid = BLOCK
    for hole in holes:
        solid -= hole
    _, found, wetted = hung(solid)
    assert len(found) == 10
    (note,) = (n for n in wetted.notes if n.fact.kind is SurfaceNote.AIR_HELD)
    assert "and 9 like it (3 mm) keep a bubble" in note_words(note.fact)
    assert wetted.value.high - wetted.value.low == pytest.approx(10 * WALL, rel=1e-3)


def test_above_the_liquid_line_nothing_is_held(blind):
    part = Part(body(blind)).hung(UP, "20 mm")
    assert part.hanging.narrow == ()
    assert part.wetted().area_in(State.AIR_HELD).high == 0.0


def test_the_verdict_turns_with_the_part(blind):
    turned = blind.rotate((37.0, 21.0, 0.0))
    up = np.array(Part(body(turned)).skin.named("blind-bore-1").axis) * -1.0
    _, (found,), wetted = hung(turned, tuple(up))
    assert (found.fill, found.facing) == (Fill.HOLDS, Facing.UP)
    assert wetted.area_in(State.AIR_HELD).value == pytest.approx(WALL, rel=1e-3)


def test_trapped_air_in_a_bore_plugged_in_part_is_all_that_no_plug_touches():
    part = Part(body(BLOCK - rod(6.0, (-1, 31)))).with_choices(plug="bore-1 top 12 mm deep").hung(UP)
    assert part.wetted().area_in(State.AIRLOCKED).value == pytest.approx(math.pi * 12.0 * 18.0, rel=2e-3)


def test_hang_and_area_tell_narrow_bores_on_the_screen_and_in_json(tmp_path):
    file = tmp_path / "pin.toml"
    file.write_text('outside = ["0 12", "40 12"]\nunit = "mm"\nbores = ["left 3 x 20 flat"]\n')
    said = typed("hang", file).stdout
    assert "196 mm2 (0 to 196) bare in blind-bore-1, nothing carried out" in " ".join(said.split())
    assert "blind-bore-1 (3 mm) keeps a bubble" in said
    assert re.search(r"blind-bore-1 +3 mm +1 +mouth up +holds air +syringe", typed("hang", file, "--full").stdout)
    ring = typed("hang", SAMPLES / "ring.stl", "--unit", "mm", "--directions", "0").stdout
    assert "Narrow openings that fill by themselves: bore-2, bore-3, bore-4 and bore-5." in ring
    part = json.loads(typed("area", file, "--up", "blind-bore-1", "--json").stdout)["parts"][0]
    (narrow,) = part["narrow"]
    assert (narrow["fills"], narrow["facing"], narrow["helps"]) == ("holds air", "mouth up", ["syringe", "second hole"])
    assert narrow["area_mm2"] == pytest.approx(WALL)
    assert {row["state"] for row in part["features"] if row["name"] == "blind-bore-1"} == {"wet", "air held"}
    filled = json.loads(typed("area", file, "--up", "blind-bore-1", "--fill", "blind-bore-1", "--json").stdout)
    assert filled["parts"][0]["narrow"][0]["fills"] == "filled by hand"
    assert filled["wetted_area_mm2"]["low"] == part["wetted_area_mm2"]["high"]


def test_a_tapered_bore_whose_mouth_looks_down_and_traps_nothing_is_told_as_one_that_may_keep_a_bubble():
    """Its upper wall falls inward at 18 degrees, its mouth looks 8 down: no air is above its top."""
    up = (0.0, math.sin(math.radians(98.0)), math.cos(math.radians(98.0)))
    taper = m3.Manifold.cylinder(7.1, 2.0, 4.25, 96).translate((0.0, 0.0, 23.0))
    _, found, wetted = hung(BLOCK - taper, up)
    assert [(each.facing, each.clings) for each in found] == [(Facing.DOWN, Fill.IN_DOUBT)]
    assert wetted.area_in(State.AIRLOCKED).value == 0.0
    assert bare_areas(wetted.rows)[found[0].room.features[0]].high > 100.0
    told = [n.fact["features"] for n in wetted.notes if n.fact.kind is SurfaceNote.AIR_MAY_BE_HELD]
    assert told == [found[0].room.features]
