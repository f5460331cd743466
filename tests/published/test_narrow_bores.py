"""When a narrow bore fills by itself: F. P. Bretherton, J. Fluid Mech. 10 (1961) 166; H. Vehkamaki et al., J. Geophys.
Res. 107 (2002) 4622, surface tension of sulphuric acid; C. W. Extrand, Langmuir 33 (2017) 12903, measured tubes."""

import math
from pathlib import Path

import pytest

from areacalc.bath.electrolyte import density_kg_per_m3
from areacalc.surface.air.fills import (
    CAPILLARY_LENGTH,
    FREE_MM,
    HOLDS_MM,
    STUCK_MM,
    Fill,
    blind,
    capillary_length_mm,
    free_mm,
    head_mm,
    stuck_mm,
)


def tension_mn_per_m(wt_pct: float, temperature_c: float) -> float:
    """Vehkamaki's fit, straight in T, its coefficients as in a public planetary model."""
    w = wt_pct / 100.0
    a = 0.11864 - 0.11651 * w + 0.76852 * w**2 - 2.40909 * w**3 + 2.95434 * w**4 - 1.25852 * w**5
    b = (-0.00015709 + 0.00040102 * w - 0.0023995 * w**2 + 0.007611235 * w**3 - 0.00937386 * w**4
         + 0.00389722 * w**5)  # fmt: skip
    return 1e3 * (a + b * (temperature_c + 273.15))


def test_the_fit_gives_the_tables_water():
    assert tension_mn_per_m(0.0, 20.0) == pytest.approx(72.74, abs=0.2)  # handbooks: 72.74 to 72.75


def test_the_capillary_length_is_that_of_baths():
    lengths = [
        capillary_length_mm(tension_mn_per_m(w, t), density_kg_per_m3(w, t))
        for w in (10.0, 15.0, 20.0)
        for t in (0.0, 10.0, 25.0)
    ]
    assert CAPILLARY_LENGTH.low <= min(lengths) < CAPILLARY_LENGTH.low + 0.01
    assert CAPILLARY_LENGTH.high - 0.01 < max(lengths) <= CAPILLARY_LENGTH.high
    middle = capillary_length_mm(tension_mn_per_m(15.0, 20.0), density_kg_per_m3(15.0, 20.0))
    assert CAPILLARY_LENGTH.value == pytest.approx(middle, rel=1e-3)


def test_a_long_bubble_sticks_in_water_under_5_mm_as_bretherton_found():
    """His words: no rise where density g r2 / tension is under 0.842; in water a tube of 5 mm."""
    water = capillary_length_mm(72.75, 998.2)
    assert stuck_mm(water) == pytest.approx(5.0, abs=0.05)
    assert 998.2 * 9.80665 * (0.5e-3 * stuck_mm(water)) ** 2 / 72.75e-3 == pytest.approx(0.842)
    assert pytest.approx(4.8, abs=0.02) == STUCK_MM
    assert HOLDS_MM == stuck_mm(CAPILLARY_LENGTH.low) < STUCK_MM


@pytest.mark.parametrize("page", ["README.md", "areacalc/docs/parts.md"])
def test_what_is_written_of_narrow_bores_tells_both_limits(page):
    told = (Path(__file__).parents[2] / page).read_text()
    assert f"under {HOLDS_MM:.1f} mm" in told
    assert f"{HOLDS_MM:.1f} to {FREE_MM:.1f} mm" in told


def test_tubes_of_water_empty_by_themselves_over_10_mm_as_extrand_measured():
    water = free_mm(capillary_length_mm(72.75, 998.2))
    assert 9.5 < water <= 15.0
    assert water == pytest.approx(10.0, abs=0.1)
    assert blind(FREE_MM, 50.0)[0] is Fill.FILLS


@pytest.mark.parametrize(("bore", "head"), [(0.5, 54.6), (1.0, 27.3), (1.5, 18.2), (3.0, 9.1), (5.0, 5.5)])
def test_the_head_across_a_mouth_is_young_and_laplaces(bore, head):
    """4 tension / d, 15 wt% at 20 C: 590, 295, 197, 98 and 59 Pa."""
    by_hand = 4.0 * 73.71e-3 / (bore * 1e-3) / (1101.8 * 9.80665) * 1e3
    assert head_mm(bore, CAPILLARY_LENGTH.value) == pytest.approx(by_hand, rel=1e-9)
    assert by_hand == pytest.approx(head, abs=0.06)


def test_a_blind_bore_is_judged_by_width_and_depth():
    assert blind(3.0, 12.0) == (Fill.HOLDS, True)
    assert blind(4.79, 40.0) == (Fill.IN_DOUBT, True)  # of some baths, not of all
    assert blind(6.0, 40.0) == (Fill.IN_DOUBT, False)
    assert blind(3.0, 3.0 / math.tan(math.radians(20.0)) - 0.01) == (Fill.IN_DOUBT, False)
    assert blind(3.0, 3.0 / math.tan(math.radians(60.0)) - 0.01) == (Fill.FILLS, False)
