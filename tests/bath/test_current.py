"""Density windows and the current for an area."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.bath.window import DEFAULT_WINDOW, WINDOWS, a_per_ft2, current_a, ma_per_in2, odd, own_window, window
from areacalc.errors import BadInput, UnknownName
from areacalc.estimate import Estimate
from areacalc.sources import Kind

AREAS = st.floats(1.0, 1e7)


def test_six_square_inches_take_087_to_105_a():
    six = current_a(Estimate.exact(6 * 645.16))
    assert (six.low_a, six.set_a, six.high_a) == pytest.approx((0.87, 0.96, 1.05), rel=1e-12)
    assert six.is_sure


def test_the_default_is_the_rule_of_small_shops_and_says_so():
    assert DEFAULT_WINDOW is window("small-tank")
    assert DEFAULT_WINDOW.source.kind is Kind.COMMON_PRACTICE


def test_a_window_that_is_recalled_is_marked_and_the_others_name_their_source():
    assert {name for name, each in WINDOWS.items() if each.source.kind is Kind.FROM_MEMORY} == {"hard"}
    assert {n for n, each in WINDOWS.items() if each.source.kind is Kind.PUBLISHED} == {"decorative", "conventional"}


@pytest.mark.parametrize(("words", "least", "most"), [
    ("1.2 to 1.8 A/dm2", 1.2, 1.8), ("12-15 A/ft2", 12 / 9.290304, 15 / 9.290304), ("150 mA/in2", 2.325004, 2.325004),
])  # fmt: skip
def test_a_window_of_ones_own(words, least, most):
    own = window(words)
    assert (own.least_a_per_dm2, own.most_a_per_dm2) == pytest.approx((least, most), rel=1e-6)
    assert own.source.kind is Kind.ENTERED


@pytest.mark.parametrize(("words", "error"), [
    ("decoratve", UnknownName), ("1.8 to 1.2 A/dm2", BadInput), ("0 to 2 A/dm2", BadInput), ("3 V", BadInput),
    ("12 to 15", BadInput), ("", UnknownName),
])  # fmt: skip
def test_a_window_that_is_not_one_is_refused(words, error):
    with pytest.raises(error):
        window(words)


@pytest.mark.parametrize("area", [Estimate.exact(0.0), Estimate(5.0, -1.0, 6.0)])
def test_no_area_takes_no_current(area):
    with pytest.raises(BadInput, match="takes no current"):
        current_a(area)


def test_a_density_outside_the_window_is_refused():
    with pytest.raises(BadInput, match="outside the window 'small-tank'"):
        current_a(Estimate.exact(1000.0), density_a_per_dm2=1.0)


def test_one_density_asked_for_is_met_whatever_the_area():
    """A window of one density has no inside: that is not the area's fault."""
    one = current_a(Estimate(1e4, 0.99e4, 1.02e4, ("facets",)), window("1.5 A/dm2"))
    assert one.is_sure
    assert (one.low_a, one.high_a) == pytest.approx((1.485, 1.53))


@pytest.mark.parametrize("words", ["-1 A/dm2", "0 A/dm2", "-2 to 1.5 A/dm2"])
def test_a_density_that_is_not_above_nothing_is_told_so_and_not_taken_for_a_name(words):
    with pytest.raises(BadInput, match="must be above 0"):
        window(words)


def test_bounds_on_the_area_widen_the_current_and_narrow_what_is_sure():
    known, vague = (current_a(e) for e in (Estimate.exact(1e4), Estimate(1e4, 0.95e4, 1.1e4, ("facets",))))
    assert vague.low_a == pytest.approx(0.95 * known.low_a)
    assert vague.high_a == pytest.approx(1.1 * known.high_a)
    assert (vague.sure_low_a, vague.sure_high_a) == pytest.approx((1.1 * known.low_a, 0.95 * known.high_a))
    assert vague.is_sure
    assert not current_a(Estimate(1e4, 0.5e4, 2e4, ("unknown hang",))).is_sure


def test_the_chain_names_area_density_and_the_window():
    figure = current_a(Estimate.exact(1e4), WINDOWS["hard"]).figure
    assert [line.name for _, line in figure.chain()] == ["current", "wetted area", "current density"]
    assert figure.inputs[1].source.kind is Kind.FROM_MEMORY
    assert "hard" in "; ".join(figure.estimate.because)


@given(AREAS, AREAS, st.sampled_from(sorted(WINDOWS)))
@settings(deadline=None, max_examples=50)
def test_more_area_never_takes_less_current(one, other, name):
    small, large = (current_a(Estimate.exact(a), WINDOWS[name]) for a in sorted((one, other)))
    assert small.low_a <= large.low_a
    assert small.set_a <= large.set_a
    assert small.high_a <= large.high_a


@given(AREAS, st.integers(1, 50))
@settings(deadline=None, max_examples=50)
def test_n_parts_take_n_times_the_current(area, count):
    one, all_of_them = (current_a(Estimate.exact(a)) for a in (area, area * count))
    assert all_of_them.set_a == pytest.approx(count * one.set_a, rel=1e-12)


@given(st.floats(0.5, 5.0))
@settings(deadline=None, max_examples=50)
def test_unit_systems_give_one_density(density):
    chosen = current_a(Estimate.exact(1e4), own_window(0.4, 6.0), density)
    per_ft2, per_in2 = (unit(chosen.density_a_per_dm2) for unit in (a_per_ft2, ma_per_in2))
    assert per_ft2 == pytest.approx(per_in2 * 144.0 / 1e3, rel=1e-12)
    assert chosen.set_a == pytest.approx(density, rel=1e-12)


def test_a_density_beyond_any_bath_is_told_with_the_usual_ones():
    told = odd(window("0.3 A/dm2"))
    assert told is not None
    assert [told[name] for name in ("metric", "foot", "inch")] == ["1.08 to 3.88", "10 to 36", "69.4 to 250"]
    assert odd(window("30 A/ft2")) is None
    for burns in ("30 A/dm2", "160 mA/cm2"):
        with pytest.raises(BadInput, match=r"1\.08 to 3\.88 A/dm2.*checked"):
            window(burns)
        assert odd(window(f"{burns}, checked")) is None
