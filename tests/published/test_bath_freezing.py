"""Where acid freezes: US Army OD1002 and service manuals, by relative density, which is over water and not in g/cm3."""

from __future__ import annotations

import pytest

from areacalc.bath.electrolyte import Electrolyte, freezing_c, wt_pct_at_relative_density
from areacalc.errors import BadInput


@pytest.mark.parametrize(("relative", "celsius"), [(1.050, -3.0), (1.100, -7.5), (1.150, -15.0), (1.200, -27.0),
                                                   (1.250, -52.0)])  # fmt: skip
def test_relative_density_and_ice(relative, celsius):
    # US Army OD1002: 27, 19, 5, -17, -62 F; service manuals 18 F at 1.100: rounded to 1-2 F
    assert freezing_c(wt_pct_at_relative_density(relative)).value == pytest.approx(celsius, abs=0.01)


@pytest.mark.parametrize(("wt_pct", "celsius"), [(10.0, -4.64), (20.0, -13.89)])
def test_freezing_points_of_the_crc_handbook(wt_pct, celsius):
    # from memory, CRC Handbook, concentrative properties of aqueous solutions: a band of 0.25 K, no limit
    assert freezing_c(wt_pct).value == pytest.approx(celsius, abs=0.25)


def test_a_weak_bath_is_refused_where_it_is_ice():
    assert Electrolyte(165.0, -5.0).wt_pct == pytest.approx(14.97, abs=0.01)
    with pytest.raises(BadInput, match="frozen"):
        Electrolyte(80.0, -5.0)
