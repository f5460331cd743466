"""The bath's tables hold what their sources give: a check of copying and of units, not of the facts."""

import pytest

from areacalc.bath.alloy import MAGNESIUM_BRIGHT, MOST_COPPER, MOST_SILICON, SILICON_BRIGHT, alloy_named
from areacalc.bath.burn import EDGES_BURN
from areacalc.bath.dissolved import MOST_CONVENTIONAL, MOST_HARD
from areacalc.bath.dye import DYE_C, DYE_G_PER_L, DYED_BATH_C, LEAST_MIN, MOST_DYED, MOST_MIN, SHADES
from areacalc.bath.electrolyte import (
    acid_g_per_l,
    acid_mol_per_l,
    acid_wt_pct,
    density_kg_per_m3,
    freezing_c,
    wt_pct_at_relative_density,
)
from areacalc.bath.etch import MATTE_C, MATTE_CAUSTIC, MATTE_MINUTES, etched
from areacalc.bath.gas import MIST_LIMITS, THIN_SHARE
from areacalc.bath.seal import BOEHMITE_C, BOEHMITE_PH, SEALS
from areacalc.estimate import Estimate
from areacalc.figure import constant, given
from areacalc.quantity import Dimension, parse
from areacalc.sources import Kind

ACID = "7664-93-9"


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
    factor = alloy_named(alloy).takes.film_factor
    assert factor.value == 1.0
    assert factor.source.kind is Kind.PUBLISHED


def test_copper_alloys_film_less_for_their_charge():
    # Products Finishing: 'Hardness of hardcoat anodize', about 20 % less; 'Hardcoat anodize thickness problem', up to
    # 50 % more time
    factor = alloy_named("2024").takes.film_factor
    assert factor.low == pytest.approx(1.0 / 1.5, abs=0.001)
    assert factor.low < factor.value < 0.8 < factor.high


def test_dissolved_aluminium_by_the_guidebook_and_the_charge_rule():
    # Metal Finishing Guide Book 2012-13, p. 480: hard coating 4 to 15 g/L; Products Finishing: 2 to 20 g/L
    assert (MOST_HARD.value, MOST_CONVENTIONAL.value) == (15.0, 20.0)


def test_three_kilowatts_a_square_foot():
    # alphametal.com, sharp edges: 3000 W/ft2 is 323 W/dm2
    assert EDGES_BURN.value == pytest.approx(323.0, abs=0.1)


def test_a_constant_whose_sources_disagree_keeps_both_ends():
    assert constant("caustic", MATTE_CAUSTIC).estimate == Estimate(37.5, 30.0, 45.0, ("sources disagree",))


ICT = {  # wt%: kg/m3 at 0, 10, 20, 30, 40 C
    5: (1040.7, 1035.9, 1031.2, 1026.4, 1021.6), 10: (1076.4, 1071.1, 1065.8, 1060.5, 1055.2),
    20: (1151.9, 1145.7, 1139.4, 1133.2, 1127.0), 25: (1191.6, 1185.0, 1178.4, 1171.7, 1165.1),
    30: (1232.4, 1225.5, 1218.6, 1211.6, 1204.7), 35: (1274.3, 1267.1, 1259.9, 1252.8, 1245.6),
    40: (1317.5, 1310.2, 1302.8, 1295.5, 1288.2),
}  # fmt: skip


@pytest.mark.parametrize("wt_pct", sorted(ICT))
def test_the_rows_of_the_international_critical_tables(wt_pct):
    # International Critical Tables (1928), linear in T, coefficients as in CARMA's sulfate_utils; to the digits printed
    ours = [density_kg_per_m3(float(wt_pct), t) for t in (0.0, 10.0, 20.0, 30.0, 40.0)]
    assert ours == pytest.approx(ICT[wt_pct], abs=0.051)


@pytest.mark.parametrize(("g_per_l", "wt_pct", "mol_per_l"), [
    (100, 9.42, 1.02), (150, 13.72, 1.53), (165, 14.97, 1.68), (180, 16.20, 1.84), (190, 17.00, 1.94),
    (200, 17.81, 2.04), (210, 18.60, 2.14), (220, 19.38, 2.24), (225, 19.78, 2.29), (250, 21.69, 2.55),
])  # fmt: skip
def test_strength_by_weight_of_a_strength_by_volume(g_per_l, wt_pct, mol_per_l):
    # derived from the International Critical Tables at 20 C: the root of w rho(w) = c, found here by bisection
    low, high = 5.0, 40.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if acid_g_per_l(middle) < g_per_l else (low, middle)
    assert acid_wt_pct(float(g_per_l)) == pytest.approx(low, abs=1e-9)
    assert acid_wt_pct(float(g_per_l)) == pytest.approx(wt_pct, abs=0.0051)
    assert acid_mol_per_l(float(g_per_l)) == pytest.approx(mol_per_l, abs=0.0051)


@pytest.mark.parametrize(("relative", "celsius"), [(1.050, -3.0), (1.100, -7.5), (1.150, -15.0), (1.200, -27.0),
                                                   (1.250, -52.0)])  # fmt: skip
def test_relative_density_and_ice(relative, celsius):
    # US Army OD1002: 27, 19, 5, -17, -62 F; service manuals 18 F at 1.100: rounded to 1-2 F
    assert freezing_c(wt_pct_at_relative_density(relative)).value == pytest.approx(celsius, abs=0.01)
