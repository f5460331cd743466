"""Fits through etch and film, and limits as people write them."""

import math

import pytest
from hypothesis import assume, settings
from hypothesis import given as given_values
from hypothesis import strategies as st

from areacalc.bath.film import growth
from areacalc.bath.fits import KINDS, Limits, Verdict, change, fit, iso_286, limits, times
from areacalc.errors import BadInput, OutOfRange, UnknownName
from areacalc.estimate import Estimate
from areacalc.figure import given
from areacalc.sources import Kind

FEW = settings(deadline=None, max_examples=80)
UM = st.floats(0.0, 40.0)


def um(name, value, low=None, high=None):
    return given(name, Estimate(value, value if low is None else low, value if high is None else high, ("test",)), "um")


@given_values(st.sampled_from(sorted(KINDS)), st.floats(1.0, 200.0), UM, UM, UM, UM)
@FEW
def test_any_size_turned_inside_what_is_said_ends_inside_the_limits(kind, size_mm, one, other, off, width):
    low, high = sorted((one, other))
    wanted = Limits(size_mm, size_mm + width * 1e-3)
    made = fit("pin", kind, wanted, um("outward", 0.5 * (low + high), low, high), um("etched", off))
    assume(made.turn_least_mm <= made.turn_most_mm)
    for share in (0.0, 0.5, 1.0):
        turned_mm = made.turn_least_mm + share * (made.turn_most_mm - made.turn_least_mm)
        for out_um in (low, high):
            ends = turned_mm + KINDS[kind].value * (out_um - off) * 1e-3
            assert wanted.least_mm - 1e-9 <= ends <= wanted.most_mm + 1e-9


@given_values(st.sampled_from(sorted(KINDS)), st.floats(1.0, 200.0), UM, UM)
@FEW
def test_turned_etched_and_filmed_follow_each_other(kind, turned_mm, out_um, off_um):
    made = fit("pin", kind, Limits(0.1, 1000.0), um("outward", out_um), um("etched", off_um), turned_mm)
    k = KINDS[kind].value
    assert made.etched.estimate.value == pytest.approx(turned_mm - k * off_um * 1e-3, abs=1e-9)
    assert made.filmed.estimate.value == pytest.approx(made.etched.estimate.value + k * out_um * 1e-3, abs=1e-9)
    assert made.filmed.estimate.value == pytest.approx(turned_mm + made.change.estimate.value, abs=1e-9)


@given_values(st.floats(1.0, 200.0), st.floats(0.5, 20.0))
@FEW
def test_the_size_to_turn_to_ends_in_the_middle(size_mm, out_um):
    made = fit("bore", "bore", Limits(size_mm, size_mm + 0.1), um("outward", out_um))
    again = fit("bore", "bore", made.wanted, um("outward", out_um), turned_mm=made.turn_to.estimate.value)
    assert again.filmed.estimate.value == pytest.approx(made.wanted.middle_mm, abs=1e-9)


def test_a_shaft_grows_a_bore_shrinks_and_an_etch_does_the_opposite():
    film, none = um("outward", 5.0), um("outward", 0.0)
    etch = um("etched", 5.0)
    assert change("diameter", film).estimate.value == pytest.approx(0.010)
    assert change("bore", film).estimate.value == pytest.approx(-0.010)
    assert change("diameter", none, etch).estimate.value == pytest.approx(-0.010)
    assert change("bore", none, etch).estimate.value == pytest.approx(0.010)
    assert change("step", film).estimate.value == pytest.approx(0.005)
    assert change("diameter", film, etch).estimate.value == 0.0


@pytest.mark.parametrize("flank_deg", [29.0, 30.0, 47.5, 55.0, 60.0])
def test_a_flank_moved_square_to_itself_moves_the_pitch_line_so(flank_deg):
    # by construction: a flank at half the angle from the axis' normal, shifted by h along its own normal
    half, h = math.radians(0.5 * flank_deg), 1e-3
    normal = (math.cos(half), math.sin(half))  # (along, out) of the flank out = along / tan(half)
    moved = (h * normal[0], h * normal[1])
    outward_at_same_place = moved[1] + moved[0] / math.tan(half)
    assert times("thread", flank_deg).value == pytest.approx(2.0 * outward_at_same_place / h, rel=1e-12)
    assert times("thread-bore", flank_deg).value == -times("thread", flank_deg).value


@pytest.mark.parametrize(("turned_mm", "verdict"), [
    (11.985, Verdict.KEPT), (11.991, Verdict.MAY_BE_LOST), (12.000, Verdict.LOST), (11.970, Verdict.LOST),
    (None, Verdict.UNKNOWN),
])  # fmt: skip
def test_what_becomes_of_a_fit(turned_mm, verdict):
    made = fit("pin", "diameter", limits("12 h7"), um("outward", 4.5, 4.2, 4.8), turned_mm=turned_mm)
    assert made.verdict is verdict
    aim = (made.turn_to.estimate.value, made.turn_least_mm, made.turn_most_mm)
    assert tuple(round(size_mm, 3) for size_mm in aim) == (11.982, 11.974, 11.99)


def test_limits_closer_than_the_film_is_known_leave_no_room():
    made = fit("pin", "thread", Limits(5.32, 5.325), um("outward", 5.0, 4.0, 6.0))
    assert made.turn_least_mm > made.turn_most_mm
    assert made.verdict is Verdict.NO_ROOM


def test_the_chain_goes_down_to_growth_and_film():
    charge = given("charge", 36.0, "A min/dm2")
    made = fit(
        "pin", "diameter", limits("12 +-0.02"), growth(charge, "half").outward, um("metal etched off", 0.5), 11.99
    )
    names = [figure.name for _, figure in made.filmed.chain()]
    assert {
        "size after the coating",
        "size as turned",
        "change of size",
        "growth outward, on each side",
        "coating thickness",
    } <= set(names)
    assert all(figure.source.text for _, figure in made.filmed.chain())


@pytest.mark.parametrize(("words", "least", "most"), [
    ("11.95 to 12.00 mm", 11.95, 12.0), ("11.95..12", 11.95, 12.0), ("12 +-0.02", 11.98, 12.02),
    ("12 mm ± 0.02 mm", 11.98, 12.02), ("0.5 in +-0.001", 12.6746, 12.7254), ("0.5 +/- 0.001 in", 12.6746, 12.7254),
    ("1/2 in +-0.001", 12.6746, 12.7254), ("12 +0.02/-0.01", 11.99, 12.02), ("12 +0/-0.018", 11.982, 12.0),
    ("12 -0.01/-0.03", 11.97, 11.99), ("12,5 ±0,1", 12.4, 12.6), ("0.4995 in to 0.5", 12.6873, 12.7),
    ("12 h7", 11.982, 12.0), ("12 H7", 12.0, 12.018), ("25 js6", 24.9935, 25.0065), ("20 f7", 19.959, 19.98),
    ("20mm g6", 19.98, 19.993),
])  # fmt: skip
def test_limits_as_people_write_them(words, least, most):
    made = limits(words)
    assert (made.least_mm, made.most_mm) == pytest.approx((least, most), abs=1e-9)


def test_grades_are_marked_and_numbers_are_the_persons():
    assert limits("12 h7").source.kind is Kind.FROM_MEMORY
    assert limits("12 +-0.02").source.kind is Kind.ENTERED


@given_values(st.floats(0.5, 250.0), st.sampled_from("efgh"), st.integers(5, 11))
@FEW
def test_a_shaft_and_a_bore_of_one_letter_mirror_each_other(size_mm, letter, grade):
    shaft, bore = iso_286(size_mm, letter, grade), iso_286(size_mm, letter.upper(), grade)
    assert bore.least_mm - size_mm == pytest.approx(size_mm - shaft.most_mm, abs=2e-6)
    assert bore.most_mm - bore.least_mm == pytest.approx(shaft.most_mm - shaft.least_mm, abs=2e-6)


@pytest.mark.parametrize(("call", "error", "words"), [
    (lambda: limits("12"), BadInput, "holds no limits"), (lambda: limits("12 z7"), BadInput, "holds no limits"),
    (lambda: limits("12 h14"), OutOfRange, "give the limits in numbers"),
    (lambda: limits("300 h7"), OutOfRange, "250 mm"),
    (lambda: limits("12 to 11"), BadInput, "smaller first"), (lambda: limits("-3 to 5"), BadInput, "not limits"),
    (lambda: limits(""), BadInput, "holds no limits"), (lambda: limits("12 kg +-1 kg"), BadInput, "length"),
    (lambda: Limits(1.0, math.inf), BadInput, "not limits"),
    (lambda: times("shaft"), UnknownName, "choose from diameter"),
    (lambda: times("thread", 5.0), BadInput, "not a flank angle"),
    (lambda: fit("pin", "diameter", Limits(1.0, 2.0), um("out", 1.0), turned_mm=-1.0), BadInput, "not a size"),
])  # fmt: skip
def test_what_is_no_size_is_refused(call, error, words):
    with pytest.raises(error, match=words):
        call()
