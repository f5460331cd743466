"""Parts that a person hangs elsewhere: read from words, judged by hand, overlaps held against shapely."""

import itertools

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.errors import BadInput
from areacalc.plant.hung import box_part
from areacalc.plant.layout import Room, lay_out
from areacalc.plant.moved import Moved, moved_in_words, rehung
from areacalc.plant.spacing import USUAL

ROOM = Room(400.0, 300.0, 300.0, 13.0)
KNOBS = [box_part("knob", (25.0, 25.0, 25.0), 4)]


def test_moves_are_read_with_any_unit_and_what_is_none_is_refused():
    assert moved_in_words("knob 2 at 4 in x 2 in; pen, cap 11 at 30 x 80 mm;", "moved") == (
        Moved("knob", 2, 101.6, 50.8), Moved("pen, cap", 11, 30.0, 80.0),
    )  # fmt: skip
    assert moved_in_words("  ", "moved") == ()
    for words in ("knob at 30 x 80 mm", "knob 2 at 30 mm", "knob 2 30 x 80 mm", "knob 2 at 30 x 80", "2 at 1 x 1 mm"):
        with pytest.raises(BadInput):
            moved_in_words(words, "moved")


def test_where_everything_hangs_then_is_judged():
    # four knobs of 25 mm, 25 mm apart from 112.5 on, 50 mm under; the first goes to 20 mm of the left wall, 130 mm down
    made = lay_out(KNOBS, ROOM)
    found = rehung(made, [Moved("knob", 1, 20.0, 130.0)], USUAL)
    assert found.overlaps == found.outside == found.not_there == ()
    values = {each.rule.name: each.value for each in found.layout.judged}
    assert values["room at the ends"] == pytest.approx(20.0)
    assert values["room below"] == pytest.approx(300.0 - 155.0)
    assert values["liquid above the part"] == pytest.approx(50.0)
    assert values["spacing between parts"] == pytest.approx(25.0)
    nearer = rehung(made, [Moved("knob", 1, 150.0, 87.0)], USUAL)  # 12 mm under the second
    assert {each.rule.name: each.value for each in nearer.layout.judged}["spacing between parts"] == pytest.approx(12.0)


def test_what_touches_overlaps_or_leaves_the_liquid_is_told():
    made = lay_out(KNOBS, ROOM)
    x = sorted(place.x_mm for place in made.places)
    over = rehung(made, [Moved("knob", 1, x[1] + 20.0, 60.0)], USUAL)
    assert over.overlaps == (("knob 1", "knob 2"),)
    near = rehung(made, [Moved("knob", 1, x[1] - 27.0, 50.0)], USUAL)
    assert near.overlaps == ()
    assert [
        each.rule.name for each in near.layout.judged if each.rule.reason and each.rule.reason.value == "safety"
    ] == ["spacing between parts, so that nothing touches"]
    for x_mm, z_mm in ((-1.0, 60.0), (380.0, 60.0), (20.0, -1.0), (20.0, 280.0)):
        assert rehung(made, [Moved("knob", 1, x_mm, z_mm)], USUAL).outside == ("knob 1",)
    assert rehung(made, [Moved("knob", 5, 1.0, 1.0)], USUAL).not_there == ("knob 5",)


@given(st.lists(st.tuples(st.integers(1, 4), st.floats(0.0, 375.0), st.floats(0.0, 275.0)), max_size=4))
@settings(deadline=None, max_examples=60)
def test_overlaps_are_those_that_shapely_finds(moves):
    made = rehung(lay_out(KNOBS, ROOM), [Moved("knob", *move) for move in moves], USUAL)
    boxes = [shapely.box(*(made.layout.box(place)[i] for i in (0, 2, 3, 5))) for place in made.layout.places]
    found = {
        (f"knob {i + 1}", f"knob {j + 1}")
        for i, j in itertools.combinations(range(4), 2)
        if boxes[i].intersection(boxes[j]).area > 1e-3
    }
    assert found <= set(made.overlaps)
    assert all(boxes[int(a[-1]) - 1].intersects(boxes[int(b[-1]) - 1]) for a, b in made.overlaps)
