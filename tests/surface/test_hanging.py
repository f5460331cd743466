"""How a part hangs: directions in words, the bounds of hanging by eye, liquid lines, plugs, narrow vents."""

import math
import re

import numpy as np
import pytest
from bodies import body, box, rod

from areacalc.errors import BadInput, UnknownName
from areacalc.part.part import Part
from areacalc.report.words.hung import in_words, place_words
from areacalc.surface.air.direction import direction, tilted
from areacalc.surface.air.hanging import hanging
from areacalc.surface.air.liquid_line import line
from areacalc.surface.air.trapped_air import trapped_air
from areacalc.surface.features.axes import turned_axis
from areacalc.surface.skin import State

UP = (0.0, 0.0, 1.0)
UP_X, UP_Y = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)


@pytest.fixture(scope="module")
def cup():
    """A cup whose mouth looks along -z, 16 mm bore, 27 mm deep."""
    return Part(body(rod(10, (0, 30)) - rod(8, (-1, 27))))


def test_directions_in_words(cup):
    assert direction("0, 0, 2") == (0.0, 0.0, 1.0)
    assert direction("y-") == direction("-y") == (0.0, -1.0, 0.0)
    assert direction("blind-bore-1", cup.skin) == pytest.approx((0.0, 0.0, -1.0), abs=1e-9)
    assert direction("blind-bore-1 down", cup.skin) == pytest.approx((0.0, 0.0, 1.0), abs=1e-9)
    lean = direction("blind-bore-1 tilted 15 degrees", cup.skin)
    assert -lean[2] == pytest.approx(math.cos(math.radians(15)))


@pytest.mark.parametrize(("words", "error"), [("0,0", BadInput), ("0,0,0", BadInput), ("a,b,c", BadInput),
                                              ("bore-7", UnknownName), ("outside", BadInput), ("z+ z+", BadInput),
                                              ("nan,0,1", BadInput), ("z+ tilted 1.2.3", BadInput),
                                              ("z+ tilted 500", BadInput)])  # fmt: skip
def test_directions_that_are_none_are_refused(cup, words, error):
    with pytest.raises(error):
        direction(words, cup.skin)


def test_a_turned_part_is_told_by_its_mouth_alone(cup):
    mouth = np.array([0.0, 0.0, -1.0])
    assert in_words(mouth, cup.skin) == "blind-bore-1 mouth up"
    assert in_words(-mouth, cup.skin) == "blind-bore-1 mouth down"
    assert in_words(UP_X, cup.skin) == "flat on its side"
    for towards in (0.0, 77.0, 200.0):
        assert in_words(tilted(mouth, 15.0, towards), cup.skin) == "blind-bore-1 mouth up, tilted 15 degrees"
        assert in_words(tilted(mouth, 84.0, towards), cup.skin) == "on its side, blind-bore-1 mouth raised 6 degrees"
        assert in_words(tilted(mouth, 97.0, towards), cup.skin) == "on its side, blind-bore-1 mouth lowered 7 degrees"


def test_a_milled_part_is_told_by_its_bore_and_the_side_that_rises():
    milled = Part(body(box((0, 40), (0, 40), (0, 30)) - rod(8, (-1, 20)).translate((20, 20, 0))
                       - rod(2, (0, 8)).rotate((0, 90, 0)).translate((-1, 20, 25))))  # fmt: skip
    assert turned_axis(milled.skin) is None
    mouth = np.array([0.0, 0.0, -1.0])
    leaned = mouth * math.cos(0.5)
    told = in_words(leaned - math.sin(0.5) * np.array(UP_X), milled.skin)
    assert told.endswith("tilted 29 degrees, blind-bore-2 raised")
    assert in_words(leaned + math.sin(0.5) * np.array(UP_Y), milled.skin).endswith(
        "degrees, the side drawn at the back (y+) raised"
    )
    between = math.sin(0.5) * math.sqrt(0.5) * (np.array(UP_X) + np.array(UP_Y))
    assert "the side drawn between right (x+) and back (y+) raised" in in_words(leaned + between, milled.skin)
    assert (
        in_words((0.0, 1.0, 0.0), milled.skin)
        == "flat on its side, blind-bore-1 level, the side drawn at the back (y+) uppermost"
    )


def test_a_bore_with_two_mouths_and_a_rod_without_any():
    stepped = Part(body(rod(10, (0, 30)) - rod(4, (-1, 31)) - rod(7, (20, 31))))
    assert in_words(UP, stepped.skin) == "bore-1 upright, the wide mouth of bore-1 up"
    assert in_words((0.0, 0.0, -1.0), stepped.skin) == "bore-1 upright, the narrow mouth of bore-1 up"
    tube = Part(body(rod(10, (0, 30)) - rod(4, (-1, 31))))
    assert in_words((0.0, 0.0, -1.0), tube.skin) == "bore-1 upright, the end drawn at the bottom (z-) up"
    plain = Part(body(rod(5, (0, 30))))
    assert in_words(UP_X, plain.skin) == "flat on its side"
    assert in_words(tilted(np.array(UP), 20.0), plain.skin) == "the end drawn at the top (z+) up, tilted 20 degrees"


def test_the_feature_table_gains_the_dry_skin_and_adds_up(cup):
    wetted, plain = cup.hung("z+").wetted(), cup.wetted()
    inside = plain.rows[1].area_mm2.value
    dry = wetted.area_in(State.AIRLOCKED)
    assert dry.value == pytest.approx(inside, rel=1e-6)
    assert dry.value + wetted.value.value == pytest.approx(plain.value.value, rel=1e-9)
    # leaned by 5 degrees the wall loses r tan 5 on the mean
    wall = 2 * math.pi * 8 * 8 * math.tan(math.radians(5))
    assert dry.low == pytest.approx(inside - wall, rel=1e-3)
    assert dry.high == pytest.approx(inside, rel=1e-3)
    assert wetted.value.high == pytest.approx(plain.value.value - dry.low, rel=1e-3)
    assert "hangs" in "; ".join(wetted.value.because)
    assert all(note.code != "hanging-not-considered" for note in wetted.notes)
    assert any(note.code == "hanging-not-considered" for note in plain.notes)


def test_a_plugged_mouth_traps_nothing_and_holds_nothing(cup):
    for words in ("blind-bore-1", "blind-bore-1 5 mm deep"):
        for up in ("z+", "z-"):
            hung = cup.with_choices(plug=words).hung(up)
            assert hung.hanging.air.pockets == ()
            assert hung.hanging.liquid.pockets == ()
            assert hung.wetted().area_in(State.AIRLOCKED).value == 0.0


def test_a_plug_in_one_end_of_a_through_bore_makes_a_cup():
    tube = Part(body(rod(10, (0, 30)) - rod(4, (-1, 31)))).with_choices(plug="bore-1 top 5 mm deep")
    found = [tube.hung(up).hanging.air.volume_mm3 for up in ("z+", "z-")]
    assert sorted(found) == pytest.approx([0.0, 25 * math.pi * 16], rel=1e-5)  # the round bore, not its facets


def test_masked_skin_under_air_counts_as_masked(cup):
    wetted = cup.with_choices(mask="blind-bore-1").hung("z+").wetted()
    assert wetted.area_in(State.AIRLOCKED).value == 0.0
    assert wetted.area_in(State.MASKED).value > 0.0


def test_a_liquid_line_leaves_dry_what_stands_out():
    block = body(box((0, 10), (0, 20), (0, 30)))
    dry = hanging(block, UP, line("12 mm"), accuracy_deg=0.0)
    assert dry.case.above_mm2.sum() == pytest.approx(10 * 20 + 60 * 18)
    assert hanging(block, UP, line("18 mm below the top"), accuracy_deg=0.0).case.above_mm2.sum() == pytest.approx(
        dry.case.above_mm2.sum()
    )
    leaned = Part(block).hung("z+", "12 mm").wetted().area_in(State.ABOVE_LINE)
    assert leaned.low < leaned.value < leaned.high


def test_a_line_that_misses_the_part_is_told():
    block = body(box((0, 10), (0, 20), (0, 30)))
    for words, code, dry in (("99 mm below the top", "line-below-part", 2200), ("200 mm", "line-above-part", 0)):
        hung = hanging(block, UP, line(words))
        assert [note.code for note in hung.notes] == [code]
        assert hung.case.above_mm2.sum() == pytest.approx(dry)


def test_a_cup_with_its_brim_out_of_the_liquid_stays_dry_inside():
    cup = body(box((0, 30), (0, 30), (0, 30)) - box((3, 27), (3, 27), (3, 31)))
    inside = 24 * 24 + 4 * 24 * 27
    hung = hanging(cup, UP, line("20 mm"), accuracy_deg=0.0)
    assert hung.liquid.volume_mm3 == 0.0
    assert hanging(cup, UP, line("30 mm"), accuracy_deg=0.0).liquid.volume_mm3 == pytest.approx(24 * 24 * 27)
    out = hung.case.above_mm2.sum()
    assert out == pytest.approx(inside + 4 * 30 * 10 + 30 * 30 - 24 * 24)


def test_air_under_the_line_and_skin_above_it_are_told_apart():
    bell = body(box((0, 30), (0, 30), (0, 30)) - box((3, 27), (3, 27), (-1, 27)))
    case = hanging(bell, UP, line("20 mm"), accuracy_deg=0.0).case
    assert case.airlocked_mm2.sum() == pytest.approx(4 * 24 * 20)
    assert case.above_mm2.sum() == pytest.approx(30 * 30 + 4 * 30 * 10 + 24 * 24 + 4 * 24 * 7)


@pytest.mark.parametrize("words", ["", "soon", "-3 mm"])
def test_a_liquid_line_that_is_none_is_refused(words):
    with pytest.raises(BadInput):
        line(words)


def bell_with_vent(width):
    return body(
        box((0, 30), (0, 30), (0, 30)) - box((3, 27), (3, 27), (-1, 27)) - box((10, 10 + width), (10, 15), (20, 31))
    )


def test_a_narrow_vent_frees_a_pocket_on_paper_alone():
    hung = hanging(bell_with_vent(0.1), UP, accuracy_deg=0.0)
    inside = 24 * 24 + 4 * 24 * 27 - 0.1 * 5 + 2 * 5.1 * 3  # the slit itself with it
    assert hung.airlocked_mm2.high == pytest.approx(inside, rel=1e-3)
    assert hung.airlocked_mm2.value == hung.airlocked_mm2.high
    assert hung.airlocked_mm2.low == 0.0
    assert "narrow vents" in hung.airlocked_mm2.because
    assert any(note.code == "narrow-vents" for note in hung.notes)
    assert hanging(bell_with_vent(0.5), UP, accuracy_deg=0.0).airlocked_mm2.high == 0.0
    assert hanging(bell_with_vent(0.1), UP, accuracy_deg=0.0, gap_mm=0.05).airlocked_mm2.high == 0.0


def test_the_width_of_the_way_out_is_told():
    side = body(box((0, 30), (0, 30), (0, 30)) - box((3, 27), (3, 27), (-1, 27)) - box((-1, 4), (10, 12), (10, 11.5)))
    hung = hanging(side, UP, accuracy_deg=0.0)
    assert hung.vent_widths_mm == pytest.approx((1.5,))
    cup = body(rod(10, (0, 30)) - rod(8, (-1, 27)))
    assert hanging(cup, UP).vent_widths_mm[0] == pytest.approx(16, rel=2e-3)


def test_rooms_behind_a_hairline_gap_alone_stay_dry():
    """The gap is told from wholly narrow triangles, so the lid must have some that do not reach past it."""
    lid = box((0, 30), (0, 30), (25, 30))
    pot = box((0, 30), (0, 30), (0, 24.95)) - box((3, 27), (3, 27), (3, 30))
    both = body((pot + lid).refine_to_length(0.7))
    hung = hanging(both, UP, accuracy_deg=0.0)
    room = 2 * 24 * 24 + 4 * 24 * 21.95
    assert hung.airlocked_mm2.low == pytest.approx(0.0, abs=1e-6)
    assert room < hung.airlocked_mm2.high < room + 2 * 4 * 27 * 3  # with some of the skin in the gap
    assert trapped_air(both, UP).area_mm2 == 0.0


def test_the_bounds_hold_both_readings_of_a_vent_that_runs_down_and_up():
    """A bell whose top is let out through a bend below: dry still when the liquid shuts the bell's mouth."""
    trap = box((0, 40), (0, 20), (0, 40)) - box((4, 20), (4, 16), (16, 36)) - box((8, 12), (8, 12), (-1, 17))
    trap -= box((24, 27), (8, 12), (4, 33)) + box((19, 27), (8, 12), (30, 33))
    bell = body(trap)
    hung = hanging(bell, UP, accuracy_deg=0.0)  # the down-leg ends blind: no way out
    assert not hung.traps
    assert hung.airlocked_mm2.low == hung.airlocked_mm2.value > 0.0
    bend = box((24, 34), (8, 12), (4, 7)) + box((31, 34), (8, 12), (4, 41))
    hung = hanging(body(trap - bend), UP, accuracy_deg=0.0)
    assert hung.traps
    assert hung.airlocked_mm2.low == 0.0
    assert hung.airlocked_mm2.value == hung.airlocked_mm2.high > 0.0
    assert hung.trapped_air_mm3.low == 0.0
    assert "run down and then up" in hung.airlocked_mm2.because[0]
    assert any(note.code == "water-trap" for note in hung.notes)


def test_a_place_on_a_part_is_told_by_its_bore():
    part = Part(body(box((-20, 20), (-20, 20), (0, 30)) - rod(6, (5, 31)) - rod(2, (-1, 31)).translate((14, 0, 0))))
    wide = next(f.name for f in part.skin.features if f.diameter_mm == pytest.approx(12.0, rel=0.01))
    assert place_words((6.0, 0.0, 30.0), part.skin) == f"the mouth of {wide}"
    assert re.fullmatch(r"the bottom mouth of bore-\d", place_words((16.0, 0.0, 0.0), part.skin))
    assert place_words((-20.0, -20.0, 30.0), part.skin) == "the rim of the outside"


def test_the_end_of_a_part_is_told_by_the_bore_nearer_to_it():
    block = box((0, 20), (0, 100), (0, 20)) - rod(4, (-1, 101)).rotate((-90, 0, 0)).translate((10, 0, 10))
    part = Part(body(block - rod(2, (-1, 9)).translate((10, 85, 0))))
    up = np.array([0.0, math.sin(math.radians(10)), math.cos(math.radians(10))])
    told = [in_words(each, part.skin) for each in (up, up * (1.0, -1.0, 1.0))]
    assert told[0].startswith("on its side, the end nearer bore-2 raised 10 degrees, the side drawn at the top (z+)")
    assert told[1].startswith("on its side, the end away from bore-2 raised 10 degrees")
