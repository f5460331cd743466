"""Film from charge, its growth out and in, and the ceiling: properties, scaling and refusals."""

import pytest
from hypothesis import given as given_values
from hypothesis import settings
from hypothesis import strategies as st

from areacalc.bath.alloy import alloy_named
from areacalc.bath.ceiling import Ceiling, ceiling, ceiling_fact, dissolution_ratio
from areacalc.bath.electrolyte import Electrolyte
from areacalc.bath.film import (
    DEFAULT_RULE,
    RULES,
    UM_720,
    WAYS,
    Takes,
    aluminium_oxidised_g,
    factor_figure,
    faraday_rule,
    film_per_charge,
    film_thickness,
    growth,
    measured_rule,
)
from areacalc.errors import BadInput, UnknownName
from areacalc.estimate import Estimate
from areacalc.figure import given
from areacalc.report.words.tell import tell
from areacalc.sources import Constant, Kind, Source

FEW = settings(deadline=None, max_examples=60)
DENSITY = st.floats(0.5, 5.0)
RULE = st.sampled_from([*RULES.values(), faraday_rule(0.78)])
ALLOY = st.sampled_from([None, "6061", "2024", "casting", "7075"])


def film_of(density, minutes, rule=DEFAULT_RULE, factor=None):
    charge = given("charge on the surface", density * minutes, "A min/dm2")
    return film_thickness(charge, film_per_charge(rule, factor))


@given_values(DENSITY, st.floats(1.0, 120.0), st.floats(1.0, 120.0), RULE, ALLOY)
@FEW
def test_longer_is_never_thinner(density, one, other, rule, alloy):
    factor = alloy_named(alloy).takes.film_factor
    short, long = (film_of(density, m, rule, factor).estimate for m in sorted((one, other)))
    assert short.low <= long.low
    assert short.value <= long.value
    assert short.high <= long.high


def test_every_rule_has_the_bounds_of_what_is_published():
    for rule in RULES.values():
        assert (rule.film_per_charge.low, rule.film_per_charge.high) == (0.26, 0.35)
        assert 0.26 < rule.film_per_charge.value < 0.35


def test_rules_faraday_and_a_run_of_ones_own_are_told_apart():
    kinds = {name: rule.film_per_charge.source.kind for name, rule in RULES.items()}
    assert kinds == {"middle": Kind.DERIVED, "720": Kind.PUBLISHED, "312": Kind.PUBLISHED,
                     "round": Kind.COMMON_PRACTICE}  # fmt: skip
    assert faraday_rule(0.8).film_per_charge.source.kind is Kind.DERIVED
    assert "efficiency 0.8" in faraday_rule(0.8).film_per_charge.source.text
    own = measured_rule(12.4, 2.4, 1000.0)
    assert own.film_per_charge.source.kind is Kind.ENTERED
    assert own.is_own


@given_values(st.floats(5.0, 30.0), DENSITY, st.floats(0.2, 0.38))
@FEW
def test_a_film_measured_is_as_sure_as_the_gauge(film, density, um_per_charge):
    own = measured_rule(film, density, 60.0 * film / (um_per_charge * density)).film_per_charge
    assert own.value == pytest.approx(um_per_charge)
    assert (own.low / own.value, own.high / own.value) == pytest.approx((1.0 - 1.0 / film, 1.0 + 1.0 / film))


def test_full_efficiency_is_more_film_than_any_rule():
    assert faraday_rule(1.0).film_per_charge.low > max(r.film_per_charge.value for r in RULES.values())


@pytest.mark.parametrize(("bath", "said"), [
    (Electrolyte(180.0, 20.0, 5.0), ()),
    (Electrolyte(180.0, 0.0, 5.0), ("the charge rule, middle, is published for 4 to 27 C",)),
    (Electrolyte(100.0, 30.0, 0.0), ("12 to 20 wt%", "4 to 27 C", "2 to 20 g/L")),
])  # fmt: skip
def test_outside_what_the_rule_is_stated_for_is_said(bath, said):
    sentences = DEFAULT_RULE.outside(bath)
    assert len(sentences) == len(said)
    assert all(words in tell(each) for words, each in zip(said, sentences, strict=True))


@given_values(st.floats(1.0, 100.0), st.sampled_from(WAYS), ALLOY)
@FEW
def test_out_and_in_by_the_charge_make_up_the_film_and_the_metal_is_always_faradays(charge, way, alloy):
    takes = alloy_named(alloy).takes
    made = growth(given("charge", charge, "A min/dm2"), way, takes=takes)
    oxygen = takes.oxygen.value * (1.0 - takes.film_factor.value)
    assert made.inward.estimate.value == pytest.approx(charge * 0.20722 * (1.0 - oxygen), rel=1e-4)
    if way == "charge" and made.outward.estimate.value > 0.0:
        whole = made.outward.estimate.value + made.inward.estimate.value
        assert whole == pytest.approx(made.film.estimate.value, rel=1e-9)
    for each in (made.film, made.outward, made.inward):
        assert 0.0 <= each.estimate.low <= each.estimate.value <= each.estimate.high


def test_copper_makes_oxygen_so_that_2024_takes_less_metal_and_grows_less():
    """12 um of 2024: 0.75 of the rule (0.667 to 0.85), none to all of what is lacking is oxygen."""
    charge = given("charge", 12.0 / (UM_720 * 0.75), "A min/dm2")
    rule = RULES["720"]
    made, plain = growth(charge, rule=rule, takes=alloy_named("2024").takes), growth(charge, rule=rule)
    # by hand: 48.82 A min/dm2; metal 0.20722 x 48.82 = 10.12 um if no oxygen is made, of 33 % oxygen 6.74
    assert made.inward.estimate.high == pytest.approx(10.12, abs=0.01)
    assert made.inward.estimate.low == pytest.approx(10.12 * 0.667, abs=0.01)
    assert made.inward.estimate.value == pytest.approx(10.12 * 0.875, abs=0.01)
    assert made.outward.estimate.value == pytest.approx(12.0 - 10.12 * 0.875, abs=0.01)
    assert made.outward.estimate.high < plain.outward.estimate.high


def test_a_film_thinner_than_its_metal_only_shrinks_the_part():
    thin = Takes(Constant(0.3, "", Source(Kind.ENTERED, "test")))
    assert growth(given("charge", 10.0, "A min/dm2"), takes=thin).outward.estimate.high == 0.0


@given_values(st.floats(0.1, 1e4), st.integers(2, 40))
@FEW
def test_n_times_the_charge_is_n_times_the_metal(charge_ah, count):
    assert aluminium_oxidised_g(count * charge_ah) == pytest.approx(count * aluminium_oxidised_g(charge_ah), rel=1e-12)


@given_values(DENSITY, st.floats(120.0, 250.0), st.floats(-2.0, 25.0), st.floats(0.5, 10.0))
@FEW
def test_the_ceiling_falls_with_warmth_and_strength_and_rises_with_density(density, acid, bath_c, more):
    def top(i=density, c=acid, t=bath_c):
        return ceiling(
            given("density", i, "A/dm2"), given("acid", c, "g/L"), given("surface", t, "C"), factor_figure()
        ).estimate.value

    assert top(t=bath_c + more) < top()
    assert top(c=acid + more) < top()
    assert top(i=density * 1.1) > top()


def test_the_ceiling_is_marked_and_warns_only_where_the_bounds_meet():
    surface = given("surface", 22.0, "C")
    top = ceiling(given("density", 1.5, "A/dm2"), given("acid", 180.0, "g/L"), surface, factor_figure())
    assert top.source.kind is Kind.FROM_MEMORY
    assert ceiling_fact(given("film", 10.0, "um"), top) is None
    assert ceiling_fact(given("film", top.estimate.value, "um"), top).kind is Ceiling.NEAR
    assert ceiling_fact(given("film", top.estimate.high * 1.1, "um"), top).kind is Ceiling.PAST


def test_dissolution_at_its_reference_is_one():
    assert dissolution_ratio(20.0) == 1.0


@pytest.mark.parametrize(("call", "error", "words"), [
    (lambda: UnknownName.pick("rule", "721", RULES), UnknownName, "did you mean '720'"),
    (lambda: faraday_rule(1.2), BadInput, "not a share of the charge"),
    (lambda: faraday_rule(0.0), BadInput, "not a share of the charge"),
    (lambda: measured_rule(1.5, 2.4, 1000.0), BadInput, "cannot be right"),
    (lambda: measured_rule(20.0, 2.4, 1000.0), BadInput, "cannot be right"),
    (lambda: growth(given("charge", 10.0, "A min/dm2"), "most"), UnknownName, "choose from charge, half, third"),
])  # fmt: skip
def test_what_is_no_rule_is_refused(call, error, words):
    with pytest.raises(error, match=words):
        call()


def test_bounds_of_film_come_from_rule_and_time():
    charge = given("charge on the skin", Estimate(1.5, 1.4, 1.6, ("area",)).scaled(30.0), "A min/dm2")
    film = film_thickness(charge, film_per_charge()).estimate
    assert film.low == pytest.approx(1.4 * 30.0 * 0.26)
    assert film.high == pytest.approx(1.6 * 30.0 * 0.35)
