"""The charge rule of the trade: Products Finishing (pfonline.com), and what it means for growth."""

import pytest

from areacalc.bath.film import DEFAULT_RULE, RULES, UM_312, UM_720, growth
from areacalc.bath.window import WINDOWS
from areacalc.figure import given


def test_both_forms_in_common_units():
    # 720 A min/ft2 a mil; minutes = 3.12 um / (A/dm2): 0.3277 and 0.3205 um for one A min/dm2
    assert pytest.approx(0.3277413, abs=5e-8) == UM_720
    assert pytest.approx(0.3205128, abs=5e-8) == UM_312
    assert pytest.approx(3.0511872, abs=5e-8) == 1.0 / UM_720
    assert pytest.approx(1.8307123, abs=5e-8) == 1.0 / UM_720 * 60.0 / 100.0  # C/cm2
    assert pytest.approx(5.085, abs=5e-4) == 1.0 / UM_720 * 100.0 / 60.0  # Ah/m2


def test_the_two_forms_differ_by_2_3_per_cent():
    # derived: 312 is 736 A min/ft2 a mil
    assert pytest.approx(736.238, abs=5e-4) == 25.4 / UM_312 * 9.290304
    assert pytest.approx(0.023, abs=0.0005) == UM_720 / UM_312 - 1.0


def test_a_mil_at_24_amperes_a_square_foot_takes_half_an_hour():
    # Products Finishing: 720 / 24 = 30 min
    assert 25.4 / RULES["720"].film_per_charge.value / (24.0 / 9.290304) == pytest.approx(30.0, rel=1e-9)


@pytest.mark.parametrize(("rule", "share", "ratio"), [("720", 0.368, 1.582), ("312", 0.353, 1.547)])
def test_outward_growth_that_the_rule_implies(rule, share, ratio):
    # derived with Faraday: film over consumed metal 1.547 to 1.582, so 35 to 37 % outward
    made = growth(given("charge", 1.0, "A min/dm2"), "charge", RULES[rule])
    assert made.outward.estimate.value / made.film.estimate.value == pytest.approx(share, abs=0.0006)
    assert made.film.estimate.value / made.inward.estimate.value == pytest.approx(ratio, abs=0.001)


def test_measured_volume_growth_holds_the_share_by_charge():
    # sulphuric films at 280 K, 0.4 to 2 mol/L (Poznyak et al.): volume growth 1.26 to 1.67, so 21 to 40 % outward
    charge = given("charge", 1.0, "A min/dm2")
    reckoned = growth(charge)
    out, film = reckoned.outward.estimate, reckoned.film.estimate
    assert (out.low / film.low, out.high / film.high) == pytest.approx((1 - 1 / 1.26, 1 - 1 / 1.67), abs=0.01)


def test_decorative_films_of_the_guidebook_lie_in_its_window():
    # Guide Book 2013, p. 425: 2.5 to 12 um in 12 to 30 min at 10 to 15 A/ft2; the rule gives 4.2 to 15.9, so they meet
    window = WINDOWS["decorative"]
    least, most = 12.0 * window.least_a_per_dm2 * UM_720, 30.0 * window.most_a_per_dm2 * UM_720
    assert 2.5 < least < 12.0 < most
    assert 12.0 / RULES["312"].film_per_charge.value / window.middle_a_per_dm2 < 30.0


@pytest.mark.parametrize("um_per_charge", [
    0.309, 0.302, 0.293, 0.295,  # iasj.net article 26865, 6063 at 1.75 to 3.25 A/dm2, 20 C
    0.328, 0.3205,  # Products Finishing, both forms
    0.310,  # Spathis et al., J. Corros. Sci. Eng. 3 (2000) paper 3: 11.9 um on 1050, all current taken to oxidise
])  # fmt: skip
def test_measured_growth_lies_within_the_bounds_and_about_the_middle(um_per_charge):
    rule = DEFAULT_RULE.film_per_charge
    assert rule.low < um_per_charge < rule.high
    assert um_per_charge == pytest.approx(rule.value, rel=0.08)
