"""A split tube gives back the slope that made its film, and narrows what is said of bores."""

import pytest
from hypothesis import given as given_values
from hypothesis import settings
from hypothesis import strategies as st

from areacalc.bath.voltage import EVENING, rise_per_um
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.figure import given
from areacalc.throw.bore_line import bore_line, plain_bore
from areacalc.throw.split_tube import SplitTube, slope_of

BORE = plain_bore(8.0, 110.0)
KAPPA = given("kappa", Estimate(58.0, 56.0, 60.0), "S/m")


def film_inside(slope_v, outside_um, density):
    rise = rise_per_um(20.0).value
    line = bore_line(BORE, 10.0 * 58.0 * slope_v / density, 5.0 * 58.0 * rise * outside_um / density)
    return line.least * outside_um


@given_values(st.floats(3.0, 12.0), st.floats(12.0, 30.0), st.floats(1.5, 3.0))
@settings(deadline=None, max_examples=8)
def test_the_slope_that_made_the_film_comes_back(slope_v, outside_um, density):
    tube = SplitTube(BORE, outside_um, film_inside(slope_v, outside_um, density), density)
    found = slope_of(tube, KAPPA, rise_per_um(20.0))
    assert found.value == pytest.approx(slope_v, rel=1e-3)
    assert found.low <= slope_v * (1 + 1e-3)
    assert slope_v * (1 - 1e-3) <= found.high


def test_a_thick_film_tells_the_slope_better_than_what_is_recalled():
    widths = []
    for outside_um in (15.0, 40.0):
        tube = SplitTube(BORE, outside_um, film_inside(6.5, outside_um, 2.5), 2.5)
        found = slope_of(tube, KAPPA, rise_per_um(20.0))
        widths.append(found.high - found.low)
    assert widths[1] < 0.5 * widths[0]
    assert widths[1] < 0.6 * (EVENING.high - EVENING.low)


@pytest.mark.parametrize(("outside", "least"), [(12.0, 11.5), (12.0, 0.8), (12.0, 14.0)])
def test_films_that_tell_no_slope_are_refused(outside, least):
    with pytest.raises(BadInput, match="tell no slope"):
        SplitTube(BORE, outside, least, 2.5)
