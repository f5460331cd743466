"""Where acid freezes, by US Army OD1002, against the CRC Handbook."""

import pytest

from areacalc.bath.electrolyte import Electrolyte, freezing_c
from areacalc.errors import BadInput


@pytest.mark.parametrize(("wt_pct", "celsius"), [(10.0, -4.64), (20.0, -13.89)])
def test_freezing_points_of_the_crc_handbook(wt_pct, celsius):
    # from memory, CRC Handbook, concentrative properties of aqueous solutions: a band of 0.25 K, no limit
    assert freezing_c(wt_pct).value == pytest.approx(celsius, abs=0.25)


def test_a_weak_bath_is_refused_where_it_is_ice():
    assert Electrolyte(165.0, -5.0).wt_pct == pytest.approx(14.97, abs=0.01)
    with pytest.raises(BadInput, match="frozen"):
        Electrolyte(80.0, -5.0)
