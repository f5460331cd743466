"""Volts of ordinary work and the thickest film of its bath: the Metal Finishing Guidebook, and recalled curves."""

import pytest

from areacalc.bath.ceiling import ceiling
from areacalc.bath.film import factor_figure
from areacalc.bath.voltage import Polarisation
from areacalc.figure import given


@pytest.mark.parametrize(("density", "least", "most"), [(1.0, 12.0, 13.0), (1.5, 14.0, 16.0), (2.0, 17.0, 18.0)])
def test_volts_as_recalled(density, least, most):
    # from memory, curves after Wernick & Pinner at 165 to 180 g/L and 20 C; a band half a volt wider than recalled
    assert least - 0.5 <= Polarisation().volts_v(density, 20.0, 172.5) <= most + 0.5


def test_ordinary_work_lies_in_the_volts_of_depots():
    # Metal Finishing Guidebook 2011-12, p. 280: 12 to 22 V; p. 405: 1.08 to 2.58 A/dm2 at 68 to 72 F
    law = Polarisation()
    assert 12.0 < law.volts_v(1.08, 20.0, 165.0) < law.volts_v(2.58, 20.0, 165.0) < 22.0


def test_the_ceiling_of_ordinary_films():
    # from memory: ordinary baths stop at 25 to 30 um
    surface = given("surface", 22.1, "C")  # of a bath at 20 C
    top = ceiling(given("i", 1.35, "A/dm2"), given("c", 175.0, "g/L"), surface, factor_figure()).estimate
    assert top.low < 25.0 < top.value < 30.0 < top.high
