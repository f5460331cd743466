"""Whether a thing goes into a tank, against leaning it by hand, a tenth of a degree at a time."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from areacalc.plant.goes_in import goes_in

LEANS = [math.radians(0.1 * tenth) for tenth in range(901)]


def leant(p, q, a, b):
    """Whether p x q lies in a x b at one of the leans."""
    return any(
        p * math.cos(lean) + q * math.sin(lean) <= a and p * math.sin(lean) + q * math.cos(lean) <= b for lean in LEANS
    )


@given(st.floats(0.2, 1.5), st.floats(0.01, 1.0), st.floats(0.3, 1.0), st.floats(0.3, 1.0))
@settings(max_examples=300, deadline=None)
def test_a_plate_as_thick_as_the_room_leans_as_far_as_by_hand(p, q, a, b):
    by_hand, shrunk = leant(p, q, a, b), leant(p * 1.001, q * 1.001, a, b)
    assume(by_hand == shrunk)  # not on the edge, which tenths of a degree do not see
    assert goes_in((p, q, 1.0), (a, b, 1.0)) == by_hand or leant(p * 0.998, q * 0.998, a, b) != by_hand


@given(st.tuples(*3 * [st.floats(0.05, 1.0)]), st.lists(st.floats(-1.0, 1.0), min_size=9, max_size=9))
@settings(max_examples=60, deadline=None)
def test_what_was_turned_askew_goes_into_the_room_it_fills(size, numbers):
    turned, scale = np.linalg.qr(np.array(numbers).reshape(3, 3))
    assume(np.abs(np.diag(scale)).min() > 0.05)
    room = 1.005 * np.abs(turned) @ size
    assert goes_in(size, tuple(room))
    assert not goes_in(tuple(1.001 * np.linalg.norm(room) / np.linalg.norm(size) * np.array(size)), tuple(room))


def test_a_long_rod_goes_in_corner_to_corner():
    # along (0.765, 0.26, 0.589) 400 mm span 306, 104 and 236 mm, and 12 x 12 mm at most 11, 16.4 and 13.8 mm more
    assert goes_in((400.0, 12.0, 12.0), (320.0, 125.0, 250.0))


def test_a_room_without_end_holds_what_its_known_sides_let_through():
    assert goes_in((900.0, 10.0, 10.0), (math.inf, 20.0, 20.0))
    assert not goes_in((900.0, 30.0, 30.0), (math.inf, 20.0, math.inf))
