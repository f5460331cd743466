"""Making up and topping up a bath: mass is kept, the result is what was asked for, and the order is safe."""

import pytest
from hypothesis import given as given_values
from hypothesis import settings
from hypothesis import strategies as st

from areacalc.bath.electrolyte import Electrolyte, density_kg_per_m3
from areacalc.bath.mixing import STOCKS, MixStep, battery_acid, mix, mixing_rise_k, stock, stock_named, top_up
from areacalc.bath.strength import acid_in_words
from areacalc.errors import BadInput, OutOfRange, UnknownName
from areacalc.sources import Kind

FEW = settings(deadline=None, max_examples=60)
STOCK_NAMES = st.sampled_from(["battery acid", *STOCKS])
STRENGTHS = st.floats(100.0, 250.0)


def masses(recipe, have_l=0.0, now=None):
    """kg in all and kg of pure acid after the recipe is followed, from what goes in and what stays."""
    held = recipe.keep_l * density_kg_per_m3(now.wt_pct) * 1e-3 if now else 0.0
    acid, water = recipe.acid_kg.estimate.value, recipe.water_l.estimate.value * 0.9982
    pure = acid * recipe.stock.wt_pct + (held * now.wt_pct if now else 0.0)
    return held + acid + water, pure / 100.0


@given_values(st.floats(0.5, 500.0), STRENGTHS, STOCK_NAMES)
@FEW
def test_a_new_bath_has_the_volume_and_strength_asked_for(volume_l, acid_g_per_l, name):
    recipe = mix(volume_l, acid_g_per_l, stock_named(name))
    whole, pure = masses(recipe)
    assert pure == pytest.approx(volume_l * acid_g_per_l * 1e-3, rel=1e-9)
    assert whole == pytest.approx(volume_l * density_kg_per_m3(recipe.wanted.wt_pct) * 1e-3, rel=1e-9)
    assert recipe.draw_off_l == 0.0


@given_values(st.floats(5.0, 10.0), STRENGTHS, STRENGTHS, STOCK_NAMES)
@FEW
def test_topping_up_ends_at_the_strength_asked_for(have_l, now, wanted, name):
    recipe = top_up(have_l, Electrolyte(now), 10.0, wanted, stock_named(name))
    whole, pure = masses(recipe, have_l, Electrolyte(now))
    assert pure / whole * 100.0 == pytest.approx(recipe.wanted.wt_pct, rel=1e-9)
    assert whole == pytest.approx(10.0 * density_kg_per_m3(recipe.wanted.wt_pct) * 1e-3, rel=1e-9)
    assert recipe.keep_l + recipe.draw_off_l == pytest.approx(have_l)
    assert min(recipe.keep_l, recipe.draw_off_l, recipe.acid_l.estimate.value) >= -1e-9
    assert recipe.water_l.estimate.value >= -1e-9


@given_values(st.floats(0.5, 100.0), st.integers(2, 20))
@FEW
def test_n_times_the_bath_takes_n_times_the_acid(volume_l, count):
    one, many = (mix(v, 180.0, battery_acid()) for v in (volume_l, count * volume_l))
    assert many.acid_l.estimate.value == pytest.approx(count * one.acid_l.estimate.value, rel=1e-12)
    assert many.warms_k.estimate.value == pytest.approx(one.warms_k.estimate.value, rel=1e-12)


def test_weak_acid_is_one_portion():
    """4 L of battery acid to 10 L of bath warm it by 3 K: under the 5 K of a portion."""
    made = mix(10.0, 180.0, battery_acid())
    assert [step.kind for step in made.steps][2] is MixStep.ACID_AT_ONCE
    assert made.portion.estimate.value == pytest.approx(made.acid_l.estimate.value)


def test_water_comes_before_acid_in_portions_that_stay_cool():
    made = mix(10.0, 180.0, stock_named("96 % acid"))
    assert [step.kind for step in made.steps] == [MixStep.PROTECT, MixStep.WATER, MixStep.ACID, MixStep.CHECK]
    # 29 K in all at once: six portions of under 5 K
    assert made.portion.estimate.value == pytest.approx(made.acid_l.estimate.value / 6.0)
    assert made.is_concentrated
    assert not mix(10.0, 180.0, battery_acid()).is_concentrated


def test_a_dilute_bath_is_topped_up_with_water_and_concentrated_acid_still_goes_into_it():
    """Water into a bath of 20 % is safe; water into strong acid is not: no step says both of one vessel."""
    made = top_up(9.0, Electrolyte(150.0), 10.0, 165.0, stock_named("96 % acid"))
    assert [step.kind for step in made.steps] == [MixStep.PROTECT, MixStep.THIN, MixStep.ACID_AT_ONCE, MixStep.CHECK]


def test_strong_acid_warms_a_bath_far_more_than_battery_acid_and_says_it_is_from_memory():
    strong, weak = mixing_rise_k(96.0, 18.0), mixing_rise_k(36.0, 18.0)
    assert strong.low > 5.0 * weak.high
    assert "from memory" in "; ".join(strong.because)
    assert mix(10.0, 180.0, battery_acid()).warms_k.source.kind is Kind.FROM_MEMORY


@pytest.mark.parametrize(("call", "error", "words"), [
    (lambda: mix(0.0, 180.0, battery_acid()), BadInput, "0 L must be above zero"),
    (lambda: mix(10.0, 600.0, battery_acid()), OutOfRange, "600 g/L is outside"),
    (lambda: mix(10.0, 180.0, stock(10.0)), BadInput, "not stronger than the bath"),
    (lambda: stock(70.0), BadInput, "give the density on the bottle"),
    (lambda: stock(100.0, density_kg_per_l=1.83), BadInput, "not sold"),
    (lambda: stock_named("vinegar"), UnknownName, "choose from battery acid"),
    (lambda: top_up(-1.0, Electrolyte(180.0), 10.0, 180.0, battery_acid()), BadInput, "must be above zero"),
])  # fmt: skip
def test_what_cannot_be_mixed_is_refused(call, error, words):
    with pytest.raises(error, match=words):
        call()


@pytest.mark.parametrize("now", [60.0, 100.0, 179.0, 181.0, 250.0])
def test_more_bath_than_is_wanted_is_drawn_off_and_nothing_is_negative(now):
    """Acid and volume balance: what stays and what is added hold the acid wanted."""
    recipe = top_up(20.0, Electrolyte(now), 10.0, 180.0, battery_acid())
    acid_l, water_l = recipe.acid_l.estimate.value, recipe.water_l.estimate.value
    assert min(acid_l, water_l, recipe.draw_off_l, recipe.keep_l) >= 0.0
    added_g = recipe.acid_kg.estimate.value * 1e3 * recipe.stock.wt_pct / 100
    assert recipe.keep_l * now + added_g == pytest.approx(1800.0, rel=1e-3)
    assert recipe.draw_off_l >= 10.0 * 0.98


# 20 C, handbook values, from memory: 1.303 at 40, 1.498 at 60, 1.611 at 70, 1.727 at 80, 1.814 at 90, 1.836 at 98 wt%
@pytest.mark.parametrize(
    ("wt_pct", "density"),
    [
        (37.0, 1.28),
        (40.0, 1.303),
        (60.0, 1.498),
        (70.0, 1.61),
        (80.0, 1.727),
        (90.0, 1.814),
        (96.0, 1.84),
        (98.0, 1.83),
    ],
)
def test_a_bottle_that_says_what_is_true_is_taken(wt_pct, density):
    assert stock(wt_pct, density_kg_per_l=density).density.value == density


@pytest.mark.parametrize(("wt_pct", "density", "says"), [
    (96.0, 1.1, "1.1 kg/L is not the density of 96 wt% acid, 1.77 to 1.83 kg/L"), (96.0, 5.0, "5 kg/L is not"),
    (37.0, 1.84, "1.84 kg/L is not the density of 37 wt% acid, 1.277 kg/L at 20 C"), (60.0, 1.25, "1.25 kg/L is not"),
])  # fmt: skip
def test_a_bottle_that_contradicts_itself_is_refused(wt_pct, density, says):
    with pytest.raises(BadInput, match=says):
        stock(wt_pct, density_kg_per_l=density)


def test_a_bath_that_is_only_thinned_takes_no_acid():
    thinned = top_up(8.5, Electrolyte(180.0), 9.144, 165.0, battery_acid())
    assert [step.kind for step in thinned.steps] == [MixStep.PROTECT, MixStep.DRAW_OFF, MixStep.THIN, MixStep.CHECK]


def test_a_range_of_acid_is_refused_with_its_middle():
    with pytest.raises(BadInput, match=r"is a range, and a plan needs one figure.*'180 g/L'"):
        acid_in_words("165 to 195 g/L")
