"""How much room a part takes as it hangs."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from areacalc.plant.hung import hung_ways
from areacalc.surface.air.direction import narrow_side

BOX = np.array([[x, y, z] for x in (0, 8) for y in (0, 30) for z in (0, 60)], float)


def hung_size_mm(points, up):
    """Across, along and high as it hangs."""
    first = hung_ways(points, narrow_side(points, up), np.array(up))[0]
    return first.across_mm, first.along_mm, first.high_mm


@given(st.floats(-math.pi, math.pi))
def test_a_box_turned_about_the_vertical_takes_the_same_room(turn):
    c, s = math.cos(turn), math.sin(turn)
    turned = BOX @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    assert hung_size_mm(turned, (0.0, 0.0, 1.0)) == pytest.approx((8.0, 30.0, 60.0))


def test_a_box_on_its_edge_is_as_high_as_its_diagonal():
    half = math.sqrt(0.5)
    across, along, high = hung_size_mm(BOX, (half, half, 0.0))
    assert (across, along, high) == pytest.approx((38.0 * half, 60.0, 38.0 * half))
