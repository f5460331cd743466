"""The limits of a power supply, and the ways out of one that is too small."""

from __future__ import annotations

import math

import pytest

from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.plant.supply import Supply
from areacalc.plant.too_small import ways_out
from areacalc.report.words.equipment import ways_out_words


@pytest.mark.parametrize("limits", [(0.0, 30.0), (3.0, 0.0), (-1.0, 30.0), (3.0, math.inf), (math.nan, 30.0)])
def test_a_supply_with_no_limits_is_refused(limits):
    with pytest.raises(BadInput, match="limit is"):
        Supply(*limits)


def test_ways_out_of_3_amperes_for_a_load_of_4():
    # 16 000 mm2 at 2.5 A/dm2 want 4 A; 3 A make 1.875 A/dm2, and 1800 s become 1800 x 2.5 / 1.875 = 2400 s
    ways = ways_out(Supply(3.0, 30.0), Estimate.exact(16_000.0), 4, 1.8, 2.5, 1800.0, 4.32, 19.0)
    assert ways.lower_density is not None
    assert ways.lower_density.density_a_per_dm2 == pytest.approx(1.875)
    assert ways.lower_density.run_s == pytest.approx(2400.0)
    assert ways.lower_density.in_window
    assert (ways.fewer_parts.at_once, ways.fewer_parts.runs, ways.fewer_parts.current_a) == (3, 2, 3.0)
    assert (ways.buy.rating_a, ways.buy.rating_v) == (6.0, 20.0)  # 4.32 / 0.8 = 5.4
    assert len(ways_out_words(ways)) == 3
    ramped = ways_out(Supply(3.0, 30.0, ramp_s=300.0), Estimate.exact(16_000.0), 4, 1.8, 2.5, 1800.0, 4.32, 19.0)
    assert ramped.lower_density.run_s == pytest.approx(2550.0)  # half of the ramp on top


def test_a_density_below_the_window_is_said_to_be():
    ways = ways_out(Supply(1.0, 30.0), Estimate.exact(16_000.0), 1, 1.8, 2.5, 1800.0, 4.32, 19.0)
    assert not ways.lower_density.in_window
    assert ways.fewer_parts is None
    assert "BELOW the window" in ways_out_words(ways)[0]


@pytest.mark.parametrize("load", [(Estimate.exact(0.0), 1), (Estimate.exact(10.0), 0)])
def test_ways_out_for_no_load_are_refused(load):
    with pytest.raises(BadInput):
        ways_out(Supply(1.0, 30.0), *load, 1.8, 2.5, 1800.0, 4.0, 19.0)


def test_a_density_that_another_window_holds_names_it():
    # 3 A on 24 000 mm2 make 1.25 A/dm2: below 2.25, inside 10 to 15 A/ft2 (1.08 to 1.61)
    ways = ways_out(Supply(3.0, 30.0), Estimate.exact(24_000.0), 2, 2.25, 2.48, 900.0, 6.5, 25.0)
    assert not ways.lower_density.in_window
    assert "inside 'decorative'" in ways_out_words(ways)[0]


def test_a_supply_of_enough_amperes_is_only_short_of_volts():
    ways = ways_out(Supply(10.0, 12.0), Estimate.exact(16_000.0), 4, 1.8, 2.5, 1800.0, 4.32, 19.0)
    (said,) = ways_out_words(ways)
    assert said == "A power supply of at least 6 A and 20 V."
