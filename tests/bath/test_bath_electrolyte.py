"""Strength, density, freezing, conductivity and heat capacity of the bath: consistency, bounds and refusals."""

import pytest
from hypothesis import given as given_values
from hypothesis import settings
from hypothesis import strategies as st

from areacalc.bath.electrolyte import (
    Electrolyte,
    acid_g_per_l,
    acid_g_per_l_from_mol,
    acid_mol_per_l,
    acid_wt_pct,
    conductivity,
    conductivity_s_per_m,
    density_kg_per_m3,
    freezing_c,
    gap_drop,
    trusted_within,
    wt_pct_at_density,
)
from areacalc.bath.heat import heat_capacity_j_per_kg_k, heat_capacity_kj_per_l_k
from areacalc.errors import BadInput, OutOfRange
from areacalc.estimate import Estimate
from areacalc.figure import given

WT = st.floats(5.0, 40.0)
C = st.floats(-5.0, 40.0)
FEW = settings(deadline=None, max_examples=60)


@given_values(WT, C)
@FEW
def test_strength_by_weight_and_by_volume_go_there_and_back(wt_pct, temperature_c):
    there = acid_g_per_l(wt_pct, temperature_c)
    assert acid_wt_pct(there, temperature_c) == pytest.approx(wt_pct, abs=1e-9)
    assert acid_g_per_l_from_mol(acid_mol_per_l(there)) == pytest.approx(there, rel=1e-12)


@given_values(WT, C)
@FEW
def test_the_hydrometer_goes_there_and_back(wt_pct, temperature_c):
    density_g_per_cm3 = density_kg_per_m3(wt_pct, temperature_c) * 1e-3
    assert wt_pct_at_density(density_g_per_cm3, temperature_c) == pytest.approx(wt_pct, abs=1e-9)


@given_values(WT, WT, C)
@FEW
def test_stronger_is_denser_and_holds_less_heat_a_kilogram(one, other, temperature_c):
    weak, strong = sorted((one, other))
    assert density_kg_per_m3(weak, temperature_c) <= density_kg_per_m3(strong, temperature_c)
    assert heat_capacity_j_per_kg_k(weak, temperature_c) >= heat_capacity_j_per_kg_k(strong, temperature_c)


@given_values(WT, C, C)
@FEW
def test_warmer_conducts_better_and_is_lighter(wt_pct, one, other):
    cold, warm = sorted((one, other))
    assert conductivity_s_per_m(wt_pct, cold) <= conductivity_s_per_m(wt_pct, warm)
    assert density_kg_per_m3(wt_pct, cold) >= density_kg_per_m3(wt_pct, warm)


@given_values(st.floats(60.0, 480.0), st.floats(0.0, 40.0), st.floats(0.0, 25.0), st.floats(0.0, 15.0))
@FEW
def test_the_bounds_of_conductivity_hold_every_bath_inside_the_bounds_of_its_inputs(acid, t_c, width, aluminium):
    low, high = max(acid - width, 55.0), min(acid + width, 500.0)
    bath = conductivity(
        given("acid", Estimate(acid, low, high), "g/L"), given("bath", t_c, "C"), given("aluminium", aluminium, "g/L")
    ).estimate
    for inside in (low, acid, high, 0.5 * (low + acid)):
        plain = conductivity_s_per_m(acid_wt_pct(inside), t_c, aluminium)
        assert bath.low <= plain * (1 + 1e-9)
        assert plain <= bath.high * (1 + 1e-9)


def test_an_interval_across_the_top_of_the_curve_holds_the_top():
    across = conductivity(given("acid", Estimate(365.0, 300.0, 440.0), "g/L"), given("bath", 20.0, "C")).estimate
    top = max(conductivity_s_per_m(w, 20.0) for w in range(25, 36))
    assert across.high >= top * 1.02


def test_away_from_room_temperature_the_equation_is_trusted_less():
    assert trusted_within(20.0).value < trusted_within(0.0).value == trusted_within(35.0).value


def test_dissolved_aluminium_lowers_the_conductivity():
    clean, aged = (conductivity(given("acid", 180.0, "g/L"), given("bath", 20.0, "C"), given("al", x, "g/L")).estimate
                   for x in (0.0, 10.0))  # fmt: skip
    assert aged.value < clean.value
    assert aged.width > clean.width


def test_a_wider_gap_drops_more():
    density, kappa = given("density", 1.5, "A/dm2"), given("kappa", 60.0, "S/m")
    far, near = (gap_drop(density, given("gap", mm, "mm"), kappa).estimate.value for mm in (200.0, 100.0))
    assert far == pytest.approx(2.0 * near, rel=1e-12)


def test_heat_by_the_litre_is_by_the_kilogram_times_density():
    by_litre = heat_capacity_kj_per_l_k(17.0, 12.0)
    assert by_litre == pytest.approx(heat_capacity_j_per_kg_k(17.0, 12.0) * density_kg_per_m3(17.0, 12.0) / 1e6)


@pytest.mark.parametrize(("acid", "temperature_c", "aluminium", "words"), [
    (acid_g_per_l(40.0) + 1.0, 20.0, 0.0, "outside 52 to 521 g/L, which is 5 to 40 wt%"),
    (600.0, 20.0, 0.0, "outside"), (20.0, 20.0, 0.0, "outside"), (float("nan"), 20.0, 0.0, "outside"),
    (180.0, -30.0, 0.0, "-30 C is outside -5 to 40 C"), (180.0, 60.0, 0.0, "60 C is outside"),
    (55.0, -5.0, 0.0, "frozen at -5 C"), (180.0, 20.0, -1.0, "not possible"), (180.0, 20.0, 500.0, "not possible"),
])  # fmt: skip
def test_a_bath_that_cannot_be_is_refused(acid, temperature_c, aluminium, words):
    with pytest.raises(BadInput, match=words) as caught:
        Electrolyte(acid, temperature_c, aluminium)
    assert "\n" not in str(caught.value)


def test_the_refusal_of_strong_acid_names_the_range_and_a_remedy():
    with pytest.raises(OutOfRange, match="outside 52 to 521 g/L") as caught:
        Electrolyte(550.0)
    assert "150 to 225 g/L" in str(caught.value)


def test_a_hydrometer_reading_outside_is_refused():
    with pytest.raises(OutOfRange, match="give the strength in wt%"):
        wt_pct_at_density(1.84)


def test_colder_where_stronger_and_bounds_hold_the_point():
    points = [freezing_c(w) for w in (5.0, 10.0, 15.0, 20.0, 30.0)]
    assert [p.value for p in points] == sorted((p.value for p in points), reverse=True)
    assert all(p.low <= p.value <= p.high for p in points)
