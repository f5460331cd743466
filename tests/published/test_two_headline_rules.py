"""The two rules the small-tank plan rests on: both common practice with no published source, held to what is.

145 to 175 mA a square inch of wetted area; cathodes of twice the area. Units by pint's own registry, not by ours.
"""

import pint
import pytest

from areacalc.bath.window import DEFAULT_WINDOW, WINDOWS
from areacalc.estimate import Estimate
from areacalc.plant.cathode import RATIOS, cathode_for
from areacalc.sources import Kind

UNITS: pint.UnitRegistry = pint.UnitRegistry()


def density(value, unit):
    return UNITS.Quantity(value, unit).to("A/dm**2").magnitude


def test_145_to_175_milliamperes_a_square_inch_is_common_practice():
    ends = [density(value, "mA/inch**2") for value in (145.0, 175.0)]
    assert (DEFAULT_WINDOW.least_a_per_dm2, DEFAULT_WINDOW.most_a_per_dm2) == pytest.approx(ends)
    assert ends == pytest.approx([2.25, 2.71], abs=0.005)
    assert DEFAULT_WINDOW.source.kind is Kind.COMMON_PRACTICE


def test_it_lies_at_the_upper_end_of_what_guidebooks_publish():
    # Metal Finishing Guidebook 2011-12, p. 405: 10 to 24 A/ft2; Guide Book 2013, p. 425, dyed work: 10 to 15 A/ft2
    published = {"conventional": (10.0, 24.0), "decorative": (10.0, 15.0)}
    for name, ends in published.items():
        window = WINDOWS[name]
        assert (window.least_a_per_dm2, window.most_a_per_dm2) == pytest.approx([density(e, "A/ft**2") for e in ends])
        assert window.source.kind is Kind.PUBLISHED
    assert WINDOWS["decorative"].most_a_per_dm2 < DEFAULT_WINDOW.least_a_per_dm2
    assert DEFAULT_WINDOW.least_a_per_dm2 < WINDOWS["conventional"].most_a_per_dm2 < DEFAULT_WINDOW.most_a_per_dm2


def test_twice_the_area_is_common_practice_where_a_third_is_published():
    # C. A. Grubbs, Metal Finishing, 'Anode to cathode distance': anode to cathode about 3 : 1
    small, third = RATIOS["small-tank"], RATIOS["one-third"]
    assert (small.source.kind, third.source.kind) == (Kind.COMMON_PRACTICE, Kind.PUBLISHED)
    part = Estimate.exact(90_000.0)
    assert cathode_for(part, small).area_mm2.value == pytest.approx(180_000.0)
    assert cathode_for(part, third).area_mm2.value == pytest.approx(30_000.0)
