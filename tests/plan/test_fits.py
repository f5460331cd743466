"""Sizes that must end in tolerance, through the film."""

import math

import pytest
from hypothesis import given as given_by
from hypothesis import settings
from hypothesis import strategies as st

from areacalc.bath.fits import KINDS, Limits, Verdict
from areacalc.estimate import Estimate
from areacalc.figure import given
from areacalc.load.load import FitLine
from areacalc.load.read_load import BadLoad, load_of
from areacalc.plan.fault import FaultKind, Weight
from areacalc.plan.film import plan_fits
from areacalc.plan.plan import plan_of
from areacalc.report.words.tell import tell

OUT = given("growth outward", Estimate(4.0, 3.0, 5.0), "um")
LOAD = """\
[[part]]
name = "spigot"
area = "6 in2"
[[part.fit]]
name = "seat"
kind = "{kind}"
wanted = "{least} to {most} mm"
{turned}
[bath]
acid = "180 g/L"
temperature = "20 C"
[tank]
volume = "10 L"
[finish]
thickness = "12 um"
"""


def load(kind="diameter", least=11.95, most=12.0, turned=None, more=""):
    text = f'turned = "{turned} mm"' if turned is not None else ""
    return load_of(LOAD.format(kind=kind, least=least, most=most, turned=text) + more)


@pytest.mark.parametrize(
    ("kind", "mm"), [("diameter", 0.008), ("bore", -0.008), ("thread", 0.016), ("thread-bore", -0.016)]
)
def test_a_size_changes_by_twice_the_growth_and_a_pitch_diameter_by_four_times(kind, mm):
    """Four times the build-up on a 60 degree flank: 2 x growth / sin 30."""
    fit = plan_fits(load(kind), [OUT])[0].fit
    assert fit.change.estimate.value == pytest.approx(mm)


@pytest.mark.parametrize(("turned", "verdict"), [
    (11.96, Verdict.KEPT), (11.985, Verdict.KEPT), (11.9915, Verdict.MAY_BE_LOST), (11.993, Verdict.LIKELY_LOST),
    (11.999, Verdict.LOST), (11.93, Verdict.LOST), (None, Verdict.UNKNOWN),
])  # fmt: skip
def test_what_becomes_of_a_fit(turned, verdict):
    fit = plan_fits(load(turned=turned), [OUT])[0].fit  # grows by 0.006 to 0.010
    assert fit.verdict is verdict


@given_by(st.sampled_from(sorted(KINDS)), st.floats(0.0, 20.0), st.floats(0.0, 5.0), st.floats(0.0, 1.0))
@settings(deadline=None, max_examples=60)
def test_any_size_it_says_to_turn_to_ends_in_tolerance(kind, low_um, width_um, share):
    grown = given("growth outward", Estimate(low_um + 0.5 * width_um, low_um, low_um + width_um), "um")
    base = load(kind)
    fit = plan_fits(base, [grown])[0].fit
    if fit.turn_least_mm > fit.turn_most_mm:
        return
    size = fit.turn_least_mm + share * (fit.turn_most_mm - fit.turn_least_mm)
    change = fit.change.estimate
    assert size + change.low >= 11.95 - 1e-9
    assert size + change.high <= 12.0 + 1e-9


def test_a_film_known_too_loosely_leaves_no_size():
    loose = given("growth outward", Estimate(20.0, 10.0, 40.0), "um")
    fit = plan_fits(load(), [loose])[0].fit
    assert fit.verdict is Verdict.NO_ROOM
    assert fit.turn_least_mm > fit.turn_most_mm


def test_a_lost_fit_spoils_the_run_and_an_etch_is_told():
    made = plan_of(load(turned=12.03, more='surface = "matte"\n'))
    lost = next(f for f in made.faults if f.kind is Verdict.LOST)
    assert lost.weight is Weight.SPOILS
    assert "12.030 mm as turned" in tell(lost.fact)
    assert FaultKind.NO_TRIAL_ETCH in {f.kind for f in made.faults}


def test_a_fit_is_a_line_of_the_load():
    assert load(turned=11.96).parts[0].fits == (FitLine("seat", "diameter", Limits(11.95, 12.0), 11.96),)


def test_an_etch_takes_off_what_the_film_puts_on():
    """30 g/L at 35 C for 4 min takes 2.24 um off each face, by the recalled rate."""
    lost = given("metal lost", 0.5, "um")
    fit = plan_fits(load(turned=11.96), [OUT], lost)[0].fit
    assert fit.change.estimate.value == pytest.approx(2 * 0.0035)
    etched = plan_of(load(turned=11.96, more='surface = "matte"\n'))
    assert etched.figure("etch-lost").estimate.value == pytest.approx(2.24, abs=0.01)
    assert etched.fits[0].fit.filmed.estimate.value < plan_of(load(turned=11.96)).fits[0].fit.filmed.estimate.value


def test_a_fit_is_followed_from_turning_through_the_etch_to_the_film():
    trial = 'surface = "matte"\netch_trial_loss = "0.054 g"\netch_trial_area = "20 cm2"\n'
    made = plan_of(load(turned=11.98, more=trial))
    # 0.054 g / 2.699 g/cm3 / 20 cm2 = 10.0 um off each face, twice that off the diameter: 11.980 - 0.020 = 11.960
    assert "11.980 mm as turned, 11.960 mm after the etch, ends at " in tell(made.fits[0].fact())


def test_a_whitworth_flank_changes_the_pitch_diameter_more():
    text = BASE_FLANK.format(flank='flank = "55 deg"')
    wide, iso = (plan_of(load_of(t)).fits[0].fit.change.estimate.value for t in (text, BASE_FLANK.format(flank="")))
    assert wide / iso == pytest.approx(math.sin(math.radians(30.0)) / math.sin(math.radians(27.5)))
    with pytest.raises(BadLoad, match="is not a flank angle"):
        load_of(BASE_FLANK.format(flank='flank = "5 deg"'))


BASE_FLANK = """
[[part]]
area = "6 in2"
[[part.fit]]
name = "pipe thread"
kind = "thread"
wanted = "9.93 to 9.99 mm"
{flank}
[bath]
acid = "180 g/L"
temperature = "20 C"
[tank]
volume = "10 L"
"""
