"""Facts of guides and codes that our figures must meet, each beside where it comes from."""

import itertools
import math

import pytest
from chemicals.safety import TWA, Carcinogen

from areacalc.bath.etch import rate
from areacalc.bath.film import RULES, UM_720, growth
from areacalc.bath.fits import change, iso_286
from areacalc.bath.gas import MIST_LIMITS
from areacalc.bath.voltage import Polarisation
from areacalc.figure import given
from areacalc.quantity import Dimension, parse

ACID = "7664-93-9"


def test_acid_in_air_by_the_tables_of_chemicals():
    # chemicals, Ontario limits: 0.2 mg/m3; IARC: strong acid mist with sulphuric acid is group 1
    ppm, unit = TWA(ACID)
    assert unit == "ppm"
    assert ppm * 98.07 / 24.45 == pytest.approx(MIST_LIMITS["Ontario"].value, rel=0.01)  # 24.45 L/mol at 25 C, 1 atm
    assert "Carcinogenic to humans (1)" in Carcinogen(ACID)["International Agency for Research on Cancer"]


def test_an_architectural_etch():
    # from memory: 80 to 100 g/m2, which is 30 to 37 um, in about 10 min at 50 to 60 g/L, 55 to 60 C: the bounds hold it
    per_min = rate(given("caustic", 55.0, "g/L"), given("etch", 57.5, "C")).estimate
    assert per_min.low * 10.0 < 80.0 / 2.699 < 100.0 / 2.699 < per_min.high * 10.0


def test_two_thousandths_of_film_grow_one_a_surface_and_close_a_bore_by_two():
    # chemprocessing.com: 0.002 in film, 0.001 in a surface; a bore shrinks 0.002 in on diameter
    charge = given("charge", parse("2 mil", Dimension.FILM) / UM_720, "A min/dm2")
    out = growth(charge, "half", RULES["720"]).outward
    assert out.estimate.value / 25.4e3 == pytest.approx(0.001)
    assert change("bore", out).estimate.value / 25.4 == pytest.approx(-0.002)


def test_four_times_the_build_up_on_a_pitch_diameter():
    # accuratemetalfl.com: threads are cut for 4 times the build-up
    assert change("thread", given("build-up", 1.0, "um")).estimate.value == pytest.approx(0.004)


@pytest.mark.parametrize(("grade", "times"), [(6, 10), (7, 16), (8, 25), (9, 40), (10, 64), (11, 100)])
def test_tolerance_grades_against_the_formula_they_are_rounded_from(grade, times):
    # from memory, both: ISO 286 grades are multiples of i = 0.45 D^(1/3) + 0.001 D um, D the middle of the step,
    # rounded; the step up to 3 mm is set higher by hand and left out
    steps = (3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0, 250.0)
    for low, high in itertools.pairwise(steps):
        held, middle = iso_286(high, "h", grade), (low * high) ** 0.5
        width_um = 1e3 * (held.most_mm - held.least_mm)
        assert width_um == pytest.approx(times * (0.45 * middle ** (1.0 / 3.0) + 0.001 * middle), rel=0.095)


@pytest.mark.parametrize(("density_a_per_dm2", "volts"), [
    (1.08, 12.0), (2.58, 22.0),  # Metal Finishing Guidebook 2011-12, p. 280: 12 to 22 V; p. 405: 10 to 24 A/ft2
])  # fmt: skip
def test_published_volts_lie_within_the_laws_bounds(density_a_per_dm2, volts):
    law = Polarisation()
    ends = [
        law.offset_v(20.0, 172.5, reference, e_fold, 0.0, 0.0) + e_fold * math.log(density_a_per_dm2)
        for reference in (law.volts.low, law.volts.high)
        for e_fold in (law.volts_per_e_fold.low, law.volts_per_e_fold.high)
    ]
    assert min(ends) <= volts <= max(ends)
