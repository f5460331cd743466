"""Where acid freezes: US Army OD1002 and service manuals, by relative density."""

from __future__ import annotations

import pytest

from areacalc.bath.electrolyte import Electrolyte, density_kg_per_m3, freezing_c
from areacalc.errors import BadInput


def wt_pct_of(density_g_per_cm3):
    low, high = 5.0, 40.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if density_kg_per_m3(middle) * 1e-3 < density_g_per_cm3 else (low, middle)
    return low


@pytest.mark.parametrize(("density", "celsius"), [(1.050, -3.0), (1.100, -7.5), (1.150, -15.0), (1.200, -27.0),
                                                  (1.250, -52.0)])  # fmt: skip
def test_relative_density_and_ice(density, celsius):
    # US Army OD1002: 27, 19, 5, -17, -62 F; service manuals 18 F at 1.100: rounded to 1-2 F
    assert freezing_c(wt_pct_of(density)).value == pytest.approx(celsius, abs=0.75)


def test_a_15_per_cent_bath_is_two_to_three_kelvin_from_ice_at_minus_5():
    # derived from the two rows about it
    margin = -5.0 - freezing_c(15.0).value
    assert 2.0 < margin < 3.1
    assert Electrolyte(165.0, -5.0).wt_pct == pytest.approx(14.97, abs=0.01)
    with pytest.raises(BadInput, match="frozen"):
        Electrolyte(80.0, -5.0)
