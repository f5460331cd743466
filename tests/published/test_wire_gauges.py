"""American wire gauges against a published table: en.wikibooks.org, Engineering Tables, AWG."""

import pytest

from areacalc.plant.stock import INCHES, awg_mm2

TABLE_MM2 = {10: 5.26, 8: 8.37, 6: 13.3, 4: 21.2, 2: 33.6, 1: 42.4, 0: 53.5, -1: 67.4, -2: 85.0, -3: 107.0}


@pytest.mark.parametrize(("gauge", "mm2"), TABLE_MM2.items())
def test_a_gauge_has_the_section_of_the_table(gauge, mm2):
    assert awg_mm2(gauge) == pytest.approx(mm2, rel=3e-3)


def test_cables_are_named_for_their_gauge():
    named = dict(INCHES.cables)
    assert named["10 AWG"] == awg_mm2(10)
    assert named["4/0 AWG"] == awg_mm2(-3)
    assert list(named.values()) == sorted(named.values())
