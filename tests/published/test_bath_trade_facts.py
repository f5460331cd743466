"""Facts of guides, standards and codes that stand in the bath's tables, each as its source gives it."""

from __future__ import annotations

import itertools

import pytest
from chemicals.safety import TWA, Carcinogen

from areacalc.bath.alloy import MAGNESIUM_BRIGHT, MOST_COPPER, MOST_SILICON, SILICON_BRIGHT, alloy_named
from areacalc.bath.burn import EDGES_BURN, RADIUS_PER_FILM
from areacalc.bath.dissolved import MOST_CONVENTIONAL, MOST_HARD
from areacalc.bath.dye import DYE_C, DYE_G_PER_L, DYED_BATH_C, LEAST_MIN, MOST_DYED, MOST_MIN, SHADES
from areacalc.bath.etch import MATTE_C, MATTE_CAUSTIC, MATTE_MINUTES, etched, rate
from areacalc.bath.film import UM_720
from areacalc.bath.fits import change
from areacalc.bath.gas import MIST_LIMITS, THIN_SHARE
from areacalc.bath.growth import growth
from areacalc.bath.limits import iso_286
from areacalc.bath.seal import BOEHMITE_C, BOEHMITE_PH, SEALS
from areacalc.bath.voltage import Polarisation
from areacalc.estimate import Estimate
from areacalc.figure import constant, given
from areacalc.quantity import Dimension, parse
from areacalc.sources import Kind

ACID = "7664-93-9"


def test_acid_in_air_by_the_tables_of_chemicals():
    # chemicals, Ontario limits: 0.2 mg/m3; IARC: strong acid mist with sulphuric acid is group 1
    ppm, unit = TWA(ACID)
    assert unit == "ppm"
    assert ppm * 98.07 / 24.45 == pytest.approx(MIST_LIMITS["Ontario"].value, rel=0.01)  # 24.45 L/mol at 25 C, 1 atm
    assert "Carcinogenic to humans (1)" in Carcinogen(ACID)["International Agency for Research on Cancer"]


@pytest.mark.parametrize(("name", "mg_per_m3"), [
    ("OSHA PEL", 1.0), ("NIOSH REL", 1.0), ("IDLH", 15.0), ("ACGIH TLV, thoracic", 0.2),
    ("EU indicative, thoracic", 0.05),
])  # fmt: skip
def test_acid_in_air(name, mg_per_m3):
    # NIOSH page of 7664-93-9; ACGIH by an abstract; Directive 2009/161/EU
    assert MIST_LIMITS[name].value == mg_per_m3


def test_hydrogen_stays_at_a_quarter_of_what_burns():
    # IEEE 1635: 1 % by volume; NEN-EN 50272-3: it burns from 4 %
    assert THIN_SHARE.value == 0.04 / 4.0


def test_the_matte_etch_of_the_aluminum_association():
    # Aluminum Association finishes as listed by saf.com: NaOH 4 to 6 oz/gal, 140 to 160 F, 5 min
    assert (MATTE_CAUSTIC.low, MATTE_CAUSTIC.high) == pytest.approx(
        [parse(f"{oz} oz/gal", Dimension.CONCENTRATION) for oz in (4, 6)], abs=0.07
    )
    assert (MATTE_C.low, MATTE_C.high) == pytest.approx([parse(f"{f} F", Dimension.TEMPERATURE) for f in (140, 160)],
                                                         abs=0.05)  # fmt: skip
    assert MATTE_MINUTES.value == 5.0


def test_a_micrometre_off_a_square_metre():
    # derived: 2.70 g aluminium, 4.0 g caustic soda, 3.6 L hydrogen, 42 kJ
    out = etched(given("lost", 1.0, "um"), given("area", 1e6, "mm2"))
    made = [f.estimate.value for f in (out.aluminium, out.caustic_used, out.hydrogen, out.heat)]
    assert made == pytest.approx([2.70, 4.0, 3.6, 42.0], rel=0.015)


def test_an_architectural_etch():
    # from memory: 80 to 100 g/m2, which is 30 to 37 um, in about 10 min at 50 to 60 g/L, 55 to 60 C: the bounds hold it
    per_min = rate(given("caustic", 55.0, "g/L"), given("etch", 57.5, "C")).estimate
    assert per_min.low * 10.0 < 80.0 / 2.699 < 100.0 / 2.699 < per_min.high * 10.0


def test_dye_by_the_guidebooks():
    # Metal Finishing Guidebook 2011-12, p. 412: 0.1 mil to 1.0 mil, 0.025 to 1.0 %, 140 F, 10 to 30 min
    assert (SHADES["pale"].value, MOST_DYED.value) == pytest.approx(
        [parse(f"{mil} mil", Dimension.FILM) for mil in (0.1, 1.0)]
    )
    assert (DYE_G_PER_L.low, DYE_G_PER_L.high) == (0.25, 10.0)
    assert DYE_C.value == pytest.approx(parse("140 F", Dimension.TEMPERATURE))
    assert (LEAST_MIN.value, MOST_MIN.value) == (10.0, 30.0)


def test_dyed_work_is_anodised_near_21_celsius():
    # Metal Finishing Guide Book 2013, p. 425: 68 to 72 F
    assert (DYED_BATH_C.low, DYED_BATH_C.high) == pytest.approx((20.0, 22.2), abs=0.11)


def test_seals_by_the_guidebook():
    # Metal Finishing Guide Book 2012-13, p. 484: nickel acetate 200 F, pH 5.3 to 5.5; mid-temperature 160 to 190 F
    nickel, middle = SEALS["nickel acetate"], SEALS["mid-temperature salts"]
    assert nickel.temperature_c.value == pytest.approx(parse("200 F", Dimension.TEMPERATURE), abs=0.4)
    assert (nickel.ph.low, nickel.ph.high) == (5.3, 5.5)
    assert (middle.temperature_c.low, middle.temperature_c.high) == pytest.approx(
        [parse(f"{f} F", Dimension.TEMPERATURE) for f in (160, 190)], abs=0.3
    )


def test_boehmite_forms_from_80_celsius_and_not_below_ph_4_5():
    # aluminumsurface.blogspot.com, 2010/03
    assert (BOEHMITE_C.value, BOEHMITE_PH.value) == (80.0, 4.5)


def test_alloy_limits_of_iso_10074_and_the_guidebook():
    # ISO 10074:2021 as reported by lonroy.com: over 5 % copper or 8 % silicon;
    # Metal Finishing Guide Book 2012-13, p. 478: 5 % silicon, 2 % magnesium
    assert (MOST_COPPER.value, MOST_SILICON.value, SILICON_BRIGHT.value, MAGNESIUM_BRIGHT.value) == (5.0, 8.0, 5.0, 2.0)


@pytest.mark.parametrize("alloy", ["6061", "6063", "5052", "7075"])
def test_alloys_that_follow_the_charge_rule(alloy):
    # Products Finishing: most 5000 to 7000 alloys follow it
    factor = alloy_named(alloy).film_factor
    assert factor.value == 1.0
    assert factor.source.kind is Kind.PUBLISHED


def test_copper_alloys_film_less_for_their_charge():
    # Products Finishing: 'Hardness of hardcoat anodize', about 20 % less; 'Hardcoat anodize thickness problem', up to
    # 50 % more time
    factor = alloy_named("2024").film_factor
    assert factor.low == pytest.approx(1.0 / 1.5, abs=0.001)
    assert factor.low < factor.value < 0.8 < factor.high


def test_dissolved_aluminium_by_the_guidebook_and_the_charge_rule():
    # Metal Finishing Guide Book 2012-13, p. 480: hard coating 4 to 15 g/L; Products Finishing: 2 to 20 g/L
    assert (MOST_HARD.value, MOST_CONVENTIONAL.value) == (15.0, 20.0)


def test_three_kilowatts_a_square_foot():
    # alphametal.com, sharp edges: 3000 W/ft2 is 323 W/dm2
    assert EDGES_BURN.value == pytest.approx(323.0, abs=0.1)


def test_edges_of_ten_times_the_film():
    # ISO 10074:2021 as reported by lonroy.com: 0.5 mm at 50 um
    assert RADIUS_PER_FILM.value * 50.0 * 1e-3 == pytest.approx(0.5)


def test_two_thousandths_of_film_grow_one_a_surface_and_close_a_bore_by_two():
    # chemprocessing.com: 0.002 in film, 0.001 in a surface; a bore shrinks 0.002 in on diameter
    charge = given("charge", parse("2 mil", Dimension.FILM) / UM_720, "A min/dm2")
    out = growth(charge, "half").outward
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


def test_a_constant_whose_sources_disagree_keeps_both_ends():
    assert constant("caustic", MATTE_CAUSTIC).estimate == Estimate(37.5, 30.0, 45.0, "sources disagree")


@pytest.mark.parametrize(("density_a_per_dm2", "volts"), [
    (1.5, 20.0),  # dianasattic.com archive, architectural: 150 A/m2, about 20 V
    (1.08, 12.0), (2.58, 22.0),  # Metal Finishing Guidebook 2011-12, p. 280: 12 to 22 V; p. 405: 10 to 24 A/ft2
])  # fmt: skip
def test_published_volts_lie_within_the_laws_bounds(density_a_per_dm2, volts):
    law = Polarisation().voltage(
        given("density", density_a_per_dm2, "A/dm2"), given("bath", 20.0, "C"), given("acid", 172.5, "g/L")
    )
    assert law.estimate.low <= volts <= law.estimate.high
