"""The limits of a power supply, and the ways out of one that is too small."""

import math

import pytest

from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.plant.supply import Supply
from areacalc.plant.too_small import BuySupply, InRuns, OneRun, WaysOut, lower_density, supply_to_buy
from areacalc.report.words.equipment import ways_out_words


@pytest.mark.parametrize("limits", [(0.0, 30.0), (3.0, 0.0), (-1.0, 30.0), (3.0, math.inf), (math.nan, 30.0)])
def test_a_supply_with_no_limits_is_refused(limits):
    with pytest.raises(BadInput, match="limit is"):
        Supply(*limits)


def test_3_amperes_for_a_load_of_4():
    # 16 000 mm2 at 2.5 A/dm2 want 4 A; 3 A make 1.875 A/dm2, and 1800 s become 1800 x 2.5 / 1.875 = 2400 s
    low = lower_density(Supply(3.0, 30.0), Estimate.exact(16_000.0), 1.8, 2.5, 1800.0)
    assert low.density_a_per_dm2 == pytest.approx(1.875)
    assert low.run_s == pytest.approx(2400.0)
    assert low.in_window
    ramped = lower_density(Supply(3.0, 30.0, ramp_s=300.0), Estimate.exact(16_000.0), 1.8, 2.5, 1800.0)
    assert ramped.run_s == pytest.approx(2550.0)  # half of the ramp on top
    assert lower_density(Supply(10.0, 12.0), Estimate.exact(16_000.0), 1.8, 2.5, 1800.0) is None


def test_a_supply_to_buy_has_a_quarter_to_spare():
    assert supply_to_buy(4.32, 19.0) == BuySupply(6.0, 20.0, 4.32)  # 4.32 / 0.8 = 5.4


def test_a_density_below_every_window_is_no_way_out():
    low = lower_density(Supply(1.0, 30.0), Estimate.exact(16_000.0), 1.8, 2.5, 1800.0)
    assert not low.in_window
    assert ways_out_words(WaysOut(low, InRuns((), ("pen body",)))) == ()


def test_no_area_is_refused():
    with pytest.raises(BadInput):
        lower_density(Supply(1.0, 30.0), Estimate.exact(0.0), 1.8, 2.5, 1800.0)


def test_a_density_that_another_window_holds_names_it():
    # 3 A on 24 000 mm2 make 1.25 A/dm2: below 2.25, inside 10 to 15 A/ft2 (1.08 to 1.61)
    low = lower_density(Supply(3.0, 30.0), Estimate.exact(24_000.0), 2.25, 2.48, 900.0)
    assert not low.in_window
    assert "(BELOW the window asked for, inside 'decorative'" in ways_out_words(WaysOut(low))[0]


def test_runs_that_are_alike_are_told_once():
    runs = (*[OneRun((("knob", 90),), 60.0)] * 3, OneRun((("knob", 10),), 6.7))
    assert ways_out_words(WaysOut(in_runs=InRuns(runs))) == (
        "In 4 runs. Runs 1 to 3: 90 x knob, 60 A; run 4: 10 x knob, 6.7 A.",
    )


def test_runs_are_told_by_name():
    runs = (OneRun((("pen body", 1), ("knob", 2)), 2.5), OneRun((("cap", 3),), 1.25))
    said = ways_out_words(WaysOut(in_runs=InRuns(runs, ("lamp foot",)), buy=BuySupply(6.0, 20.0, 4.5)))
    assert said == (
        "Without lamp foot, which cannot run even alone, in 2 runs. Run 1: pen body and 2 x knob, 2.5 A; run 2: "
        "3 x cap, 1.25 A.",
        "A power supply of 6 A and 20 V or more: 4.5 A at most, and a quarter to spare.",
    )
