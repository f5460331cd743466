"""Bands, masks and added surface where one length of a feature differs from the next: by closed forms."""

import functools
import math

import pytest
import trimesh
from bodies import body_of
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.part.part import Part
from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.thread import parse_thread
from areacalc.shape.profile.turn import profile_of
from areacalc.surface.air.hanging import By


def sketched(words):
    return Part(revolve(profile_of(words)))


def lying(radius, low, high):
    """The arc of a circle between two heights over its middle, both sides of it."""
    return 2.0 * radius * (math.asin(high / radius) - math.asin(low / radius))


def segment(radius, low, high):
    """The area of a disk between two heights over its middle."""

    def below(y):
        return y * math.sqrt(radius**2 - y**2) + radius**2 * math.asin(y / radius)

    return below(high) - below(low)


@functools.cache
def rod(sides):
    mesh = trimesh.creation.cylinder(10.0, 30.0, sections=sides)
    return Part(body_of(mesh.vertices, mesh.faces))


@pytest.mark.parametrize("sides", [16, 48, 200])
@settings(max_examples=15, deadline=None)
@given(low=st.floats(-9.9, 9.5), share=st.floats(0.05, 1.0))
def test_a_band_along_a_lying_rod_holds_its_true_share(sides, low, share):
    low, high = round(low, 4), round(low + share * (9.95 - low), 4)
    truth = 30.0 * lying(10.0, low, high) + 2.0 * segment(10.0, low, high)
    found = rod(sides).with_choices(wet_only=f"y from {low:.4f} to {high:.4f} mm").wetted().value
    assert found.low <= truth <= found.high
    assert found.value == pytest.approx(truth, rel=1.0 / sides)


@pytest.mark.parametrize("sides", [16, 48, 200])
@settings(max_examples=8, deadline=None)
@given(line=st.floats(0.1, 19.9), top=st.booleans())
def test_a_liquid_line_along_a_lying_rod_is_held_without_a_tilt(sides, line, top):
    line = round(line, 4)
    high = 10.0 - line if top else line - 10.0
    truth = 30.0 * lying(10.0, -10.0, high) + 2.0 * segment(10.0, -10.0, high)
    words = f"{line:.4f} mm below the top" if top else f"{line:.4f} mm"
    found = rod(sides).hung((0.0, 1.0, 0.0), words, By(accuracy_deg=0.0)).wetted().value
    assert found.low <= truth <= found.high
    assert found.high - found.low < 0.2 * truth + 5000.0 / sides  # near its top a rod is level


def test_a_liquid_line_square_to_the_axis_crosses_every_flat_alike():
    found = sketched("0 20, 30 20; unit mm").hung("x+", "12 mm", By(accuracy_deg=0.0)).wetted().value
    truth = math.pi * (20.0 * 12.0 + 10.0**2)
    assert (found.low, found.value, found.high) == pytest.approx((truth, truth, truth), rel=1e-9)


@settings(max_examples=10, deadline=None)
@given(low=st.floats(0.2, 8.0), share=st.floats(0.05, 1.0))
def test_a_band_over_a_ball_and_a_fillet_of_a_sketch_is_theirs(low, share):
    low, high = round(low, 4), round(low + share * (9.9 - low), 4)
    ball = sketched("0 0, 10 20 arc r10, 20 20; unit mm").with_choices(wet_only=f"x from {low:.4f} to {high:.4f} mm")
    found, zone = ball.wetted().value, 2.0 * math.pi * 10.0 * (high - low)  # Archimedes: of a ball's zone
    assert found.low <= zone <= found.high
    assert found.value == pytest.approx(zone, rel=2e-3)
    part = sketched("0 40, 10 40 r9.95, 10 0; unit mm").with_choices(
        wet_only=f"x from 0.05 to {high:.4f} mm", mask="left-end"
    )
    sine = (high - 0.05) / 9.95  # the arc turns about x 0.05 and a radius of 10.05: Pappus
    fillet = 2.0 * math.pi * 9.95 * (10.05 * math.asin(sine) + 9.95 * sine)
    told = part.wetted().value
    assert told.low <= fillet <= told.high


def test_a_thread_added_to_one_length_counts_on_that_length():
    words = "0 20, 40 20; bore left 10 x 10, 5 x 30{}; unit mm"
    only = {"wet_only": "blind-bore-1 step 3"}
    added = sketched(words.format("")).with_choices(add="blind-bore-1 step 3 thread M6", **only).wetted().value
    drawn = sketched(words.format(" thread M6")).with_choices(**only).wetted().value
    assert added.value == pytest.approx(drawn.value, rel=1e-6)
    assert added.value == pytest.approx(20.0 * parse_thread("M6", "").area_per_length_mm, rel=1e-6)


def test_texture_on_one_length_leaves_the_rest_as_it_is():
    part = sketched("0 20, 40 20; bore left 10 x 10, 5 x 30; unit mm").with_choices(add="blind-bore-1 step 3 texture 3")
    first = part.with_choices(wet_only="blind-bore-1 step 1").wetted().value
    third = part.with_choices(wet_only="blind-bore-1 step 3").wetted().value
    assert first.value == pytest.approx(math.pi * 10.0 * 10.0, rel=1e-6)
    assert third.value == pytest.approx(3.0 * math.pi * 5.0 * 20.0, rel=1e-6)


def test_a_knurl_is_as_uncertain_as_it_is_and_its_neighbour_is_not():
    part = sketched("0 12, 20 12 knurl 0.8, 40 12; unit mm")
    knurled = part.with_choices(wet_only="x from 0 to 20 mm", mask="left-end").wetted().value
    smooth = part.with_choices(wet_only="x from 20 to 40 mm", mask="right-end").wetted().value
    plain = math.pi * 12.0 * 20.0
    assert knurled.low == pytest.approx(plain)
    assert knurled.high == pytest.approx(plain * math.sqrt(2.0), rel=1e-3)  # sharp 90 degree ridges
    assert (smooth.low, smooth.value, smooth.high) == pytest.approx((plain, plain, plain))
