"""Conductivity of the bath against tables by other hands. The equation and the 18 C table are both from memory."""

import math

import pytest

from areacalc.bath.electrolyte import (
    conductivity_s_per_m,
    density_kg_per_m3,
    gap_drop,
    trusted_within,
)
from areacalc.figure import given

KOHLRAUSCH_18_C = {  # wt%: S/m, coefficient per K; from memory
    5: (20.85, 0.0121), 10: (39.15, 0.0128), 15: (54.32, 0.0136), 20: (65.27, 0.0145), 25: (71.71, 0.0154),
    30: (73.88, 0.0162), 35: (72.43, 0.0170), 40: (68.00, 0.0178),
}  # fmt: skip


@pytest.mark.parametrize("wt_pct", sorted(KOHLRAUSCH_18_C))
def test_kohlrausch_and_holborn_at_18_celsius(wt_pct):
    # from memory, Kohlrausch & Holborn, Leitvermoegen der Elektrolyte: a band of 2 %, which is what
    # the bounds claim, and 6 % for the slopes
    table, slope = KOHLRAUSCH_18_C[wt_pct]
    assert conductivity_s_per_m(float(wt_pct), 18.0) == pytest.approx(table, rel=trusted_within(18.0).value)
    ours = math.log(conductivity_s_per_m(wt_pct, 19.0) / conductivity_s_per_m(wt_pct, 17.0)) / 2.0
    assert ours == pytest.approx(slope, rel=0.065)


@pytest.mark.parametrize("wt_pct", [5.0, 10.0, 15.0, 20.0, 30.0, 40.0])
def test_gu_wang_liaw_1997_up_to_its_constant(wt_pct):
    # Gu, Wang & Liaw, J. Electrochem. Soc. 144 (1997) 2053, as coded in PyBaMM (Sulzer2019), 25 C, c in mol/m3:
    # 1e-4 c exp(6.23 - 1.34e-4 c - 1.61e-8 c^2) S/cm; its constant makes it 10.9 % high against ours and the 18 C table
    c = wt_pct * 10.0 * density_kg_per_m3(wt_pct, 25.0) / 98.07
    theirs = 1e-4 * c * math.exp(6.23 - 1.34e-4 * c - 1.61e-8 * c * c)
    assert theirs / conductivity_s_per_m(wt_pct, 25.0) == pytest.approx(1.109, rel=0.005)


def test_the_strongest_conductor_is_near_30_per_cent():
    # from memory, Kohlrausch: the maximum at 18 C lies near 30 wt%
    assert 29.0 < max(range(5, 41), key=lambda w: conductivity_s_per_m(float(w), 18.0)) < 32.0


def test_a_quarter_volt_a_hand_of_bath():
    # derived: V = i L / kappa, 1.5 A/dm2 over 100 mm in 60 S/m
    made = gap_drop(given("density", 1.5, "A/dm2"), given("gap", 100.0, "mm"), given("kappa", 60.0, "S/m"))
    assert made.estimate.value == pytest.approx(0.25)
