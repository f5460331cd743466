"""Dye, seal and burn risk."""

import pytest
from hypothesis import given as given_values
from hypothesis import settings
from hypothesis import strategies as st

from areacalc.bath.burn import Burning, burn
from areacalc.bath.dye import SHADES, dye_time, least_film, shades_within
from areacalc.bath.seal import DEFAULT_SEAL, SEALS, seal_bath_faults, seal_time
from areacalc.bath.window import WINDOWS
from areacalc.errors import UnknownName
from areacalc.estimate import Estimate
from areacalc.figure import given
from areacalc.report.words.tell import tell

FEW = settings(deadline=None, max_examples=60)


def film(value_um):
    return given("film", value_um, "um")


def test_a_darker_shade_wants_more_film():
    films = [SHADES[name].value for name in ("pale", "strong", "dark", "black")]
    assert films == sorted(films)
    assert least_film("black").estimate.value == films[-1]


def test_black_is_not_asked_for_the_most_that_a_guide_names():
    """The guide has dark shades and black *up to* 1.0 mil: half way from 12 um, whose own bath stops at 25 to 30 um."""
    assert least_film("black").estimate.value == pytest.approx(0.5 * (12.0 + 25.4))
    assert dye_time(film(25.4)).estimate.value == 30.0


@given_values(st.floats(0.0, 60.0))
@FEW
def test_a_film_takes_the_shades_it_is_thick_enough_for(film_um):
    within = shades_within(film_um)
    assert within == tuple(name for name in SHADES if SHADES[name].value <= film_um)


@given_values(st.floats(0.5, 60.0), st.floats(0.5, 60.0))
@FEW
def test_a_thicker_film_is_never_dyed_or_sealed_for_less(one, other):
    thin, thick = sorted((one, other))
    assert dye_time(film(thin)).estimate.value <= dye_time(film(thick)).estimate.value
    assert 10.0 <= dye_time(film(one)).estimate.value <= 30.0
    for seal in SEALS.values():
        a, b = (seal_time(film(h), seal).estimate for h in (thin, thick))
        assert a.low <= a.value <= a.high
        assert a.value <= b.value


def test_a_thin_film_still_takes_a_quarter_of_an_hour_in_hot_water():
    assert seal_time(film(2.0)).estimate.low == 15.0
    assert seal_time(film(2.0), SEALS["cold"]).estimate.value == 2.0


@pytest.mark.parametrize(("seal", "temperature_c", "ph", "words"), [
    ("hot water", 98.0, 6.0, None), ("hot water", 98.0, None, None), ("hot water", 90.0, 6.0, "outside 96 to 100 C"),
    ("hot water", 75.0, 6.0, "75 C does not seal; at least 80 C does"),
    ("hot water", 98.0, 4.0, "pH 4 does not seal; at least 4.5 does"),
    ("nickel acetate", 93.0, 4.9, "pH 4.9 is outside 5.3 to 5.5"), ("mid-temperature salts", 80.0, None, None),
    ("mid-temperature salts", 60.0, None, "outside 71 to 88 C"), ("cold", 40.0, None, "outside 25 to 30 C"),
])  # fmt: skip
def test_a_seal_bath_that_will_not_seal_is_said(seal, temperature_c, ph, words):
    faults = seal_bath_faults(SEALS[seal], temperature_c, ph)
    assert len(faults) == (words is not None)
    assert words is None or words in tell(faults[0])


@pytest.mark.parametrize(("call", "words"), [
    (lambda: least_film("mauve"), "choose from pale"),
    (lambda: UnknownName.pick("seal", "steam", SEALS), "choose from hot water"),
])  # fmt: skip
def test_names_that_are_none_are_refused(call, words):
    with pytest.raises(UnknownName, match=words):
        call()


def run(density, heat, rise, window="small-tank", bath=20.0):
    """Causes to burn at a density [A/dm2], a heat [W/dm2] and a rise of the surface [K]."""
    figures = given("i", density, "A/dm2"), given("q", heat, "W/dm2"), given("k", rise, "K"), given("t", bath, "C")
    return burn(*figures, WINDOWS[window])


def test_an_ordinary_run_shows_no_cause_to_burn():
    assert run(2.4, 45.0, 5.0).causes == ()


def test_each_cause_to_burn_is_said():
    (over,) = run(Estimate(2.8, 2.6, 3.0, ("area",)), 45.0, 5.0).causes
    assert "the current set is 3 A/dm2, above the 2.71 A/dm2" in tell(over)
    by_volts = burn(given("i", Estimate(2.6, 1.2, 3.0), "A/dm2"), *(given("", x, "") for x in (45.0, 5.0, 20.0)),
                    WINDOWS["small-tank"], holds_volts=True)  # fmt: skip
    assert "The volts set may drive up to 3 A/dm2, above the 2.71 A/dm2" in tell(by_volts.causes[0])
    (hot,) = run(3.5, 340.0, 5.0, "hard", 0.0).causes
    assert hot.kind is Burning.HOT_SURFACE


@pytest.mark.parametrize(("rise", "kind"), [
    (8.0, None), (12.0, Burning.MAY_BE_UNSTABLE), (20.0, Burning.UNSTABLE),
])  # fmt: skip
def test_a_surface_past_the_stable_rise_runs_away(rise, kind):
    # R T^2 / E at 0 C: 8.314 x 273.15^2 / 53200 = 11.66 K
    made = run(3.0, 120.0, Estimate(rise, 0.8 * rise, 1.2 * rise), "hard", 0.0)
    assert made.stable_rise.estimate.value == pytest.approx(11.66, abs=0.01)
    assert [cause.kind for cause in made.causes] == ([] if kind is None else [kind])
    assert all("a hot spot grows and burns" in tell(cause) for cause in made.causes)


def test_the_default_seal_is_hot_water():
    assert DEFAULT_SEAL.name == "hot water"


@pytest.mark.parametrize(("temperature_c", "told"), [(93.0, False), (89.0, False), (40.0, True), (99.0, True)])
def test_a_seal_of_one_published_temperature_is_told_far_from_it(temperature_c, told):
    said = seal_bath_faults(SEALS["nickel acetate"], temperature_c, 5.4)
    assert any(f"{temperature_c:g} C is far from 93 C" in tell(each) for each in said) is told
