"""The line of a bore against its own closed form, its balance of charge, and what must hold of any bore."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp
from scipy.optimize import brentq

from areacalc.errors import BadInput
from areacalc.throw.bore_line import Bore, Stretch, bore_line, plain_bore

DIAMETERS, DEPTHS = st.floats(1.0, 30.0), st.floats(2.0, 400.0)
WAGNERS, FILMS = st.floats(200.0, 8000.0), st.one_of(st.just(0.0), st.floats(1.0, 5000.0))


def closed_form(diameter_mm, depth_mm, wagner_mm):
    """(mouth, mean, least) of a blind bore with a dry floor, exactly.

    w'' = m2 exp(w), m2 = 4/(L d), w'(depth) = 0 has exp(w) = s / cos^2(b (depth - x)), b = sqrt(m2 s / 2), s the least
    share; the mouth, -w(0) x 4 a L = current out of it, fixes s.
    """
    m2 = 4.0 / (wagner_mm * diameter_mm)

    def b(s):
        return math.sqrt(0.5 * m2 * s)

    def wrong(s):
        flow = 2.0 * b(s) * math.tan(b(s) * depth_mm) * math.pi * diameter_mm**2 / 4.0
        return math.log(s) - 2.0 * math.log(math.cos(b(s) * depth_mm)) + flow / (2.0 * diameter_mm)

    top = min(1.0, 0.999999 * (0.5 * math.pi / depth_mm) ** 2 / (0.5 * m2))
    s = brentq(wrong, 1e-12, top, xtol=1e-15)
    angle = b(s) * depth_mm
    return s / math.cos(angle) ** 2, s * math.tan(angle) / angle, s


@pytest.mark.parametrize(("d", "depth", "wagner"), [
    (8.0, 110.0, 1733.0), (8.0, 110.0, 2600.0), (3.0, 10.0, 1500.0), (2.0, 200.0, 800.0), (20.0, 60.0, 5000.0),
])  # fmt: skip
def test_the_closed_form_of_the_exponential_law(d, depth, wagner):
    line = bore_line(plain_bore(d, depth, floor=False), wagner)
    assert (line.mouth, line.mean, line.least) == pytest.approx(closed_form(d, depth, wagner), rel=6e-4)


def test_the_error_falls_with_the_square_of_the_nodes():
    exact = closed_form(8.0, 110.0, 1733.0)
    nodes = np.array([24, 48, 96, 192])
    lines = [bore_line(plain_bore(8.0, 110.0, floor=False), 1733.0, nodes_a_decay=int(n)) for n in nodes]
    for which, of in ((1, "mean"), (2, "least")):
        wrong = [abs(getattr(line, of) - exact[which]) for line in lines]
        assert -np.polyfit(np.log(nodes), np.log(wrong), 1)[0] == pytest.approx(2.0, abs=0.1)


@given(DIAMETERS, DEPTHS, WAGNERS, FILMS, st.booleans())
def test_what_the_skin_takes_comes_out_of_the_mouths(d, depth, wagner, film, through):
    bore = plain_bore(d, depth, through)
    line = bore_line(bore, wagner, film)
    ends = line.shares[0], *(line.shares[-1:] if through else ())
    out = sum((film * (1.0 - s * s) - wagner * math.log(s)) * 2.0 * d for s in ends)  # u kappa / j0 x 4 a
    assert out == pytest.approx(line.mean * bore.skin_mm2, rel=1e-7)


def test_a_stepped_bore_by_a_solver_of_boundary_values():
    """9.2 x 18, 8 x 70, 2.6 x 30 mm, open at both ends, by scipy's collocation: ln s and the flow in each length."""
    d, depth, wagner, film = np.array([9.2, 8.0, 2.6]), np.array([18.0, 70.0, 30.0]), 1533.0, 83.7
    section, skin = 0.25 * np.pi * d**2, np.pi * d
    ledge = np.append(section[:-1] - section[1:], 0.0)
    stretches = tuple(Stretch(*row) for row in zip(depth, section, skin * depth, ledge, strict=True))

    def slopes(_, y):
        w, flow = y[0::2], y[1::2]
        out = np.empty_like(y)
        out[0::2] = depth[:, None] * flow / (section[:, None] * (wagner + 2.0 * film * np.exp(2.0 * w)))
        out[1::2] = depth[:, None] * skin[:, None] * np.exp(w)
        return out

    def drop(w):
        return wagner * w + film * (np.exp(2.0 * w) - 1.0)

    def ends(a, b):
        joined = [b[0] - a[2], b[2] - a[4]]
        taken = [a[3] - b[1] - ledge[0] * np.exp(b[0]), a[5] - b[3] - ledge[1] * np.exp(b[2])]
        return np.array([a[1] - 2.0 * d[0] * drop(a[0]), b[5] + 2.0 * d[2] * drop(b[4]), *joined, *taken])

    found = solve_bvp(slopes, ends, np.linspace(0.0, 1.0, 41), np.full((6, 41), -0.1), tol=1e-8)
    assert found.success
    whole = skin @ depth + ledge.sum()
    w = found.sol(np.linspace(0.0, 1.0, 2001))[0::2]
    out = -2.0 * (d[0] * drop(w[0, 0]) + d[2] * drop(w[2, -1]))
    line = bore_line(Bore(stretches, last_open=True), wagner, film)
    assert line.mean == pytest.approx(out / whole, rel=1e-3)
    assert line.least == pytest.approx(np.exp(w.min()), rel=1e-3)
    assert (out / whole, np.exp(w.min())) == pytest.approx((0.6655, 0.5366), abs=2e-4)


@given(DIAMETERS, DEPTHS, WAGNERS)
def test_half_a_through_bore_is_a_blind_one_with_a_dry_floor(d, depth, wagner):
    whole, half = (
        bore_line(plain_bore(d, 2 * depth, True), wagner),
        bore_line(plain_bore(d, depth, floor=False), wagner),
    )
    assert (whole.mouth, whole.mean, whole.least) == pytest.approx((half.mouth, half.mean, half.least), rel=3e-3)
    assert whole.least_at_mm == pytest.approx(depth, rel=1e-9)


@given(DIAMETERS, DEPTHS, WAGNERS, FILMS, st.floats(1.01, 3.0))
def test_depth_never_helps_and_never_brings_less_current_and_each_slope_helps(d, depth, wagner, film, more):
    one, deeper = plain_bore(d, depth), plain_bore(d, more * depth)
    line, below = bore_line(one, wagner, film), bore_line(deeper, wagner, film)
    evener = bore_line(one, more * wagner, film), bore_line(one, wagner, more * film + 10.0)
    for of in ("mouth", "mean", "least"):
        assert 0.0 < getattr(below, of) <= getattr(line, of) * (1 + 1e-3)
        for each in evener:
            assert getattr(line, of) <= getattr(each, of) * (1 + 1e-3) <= 1.0 + 1e-3
    assert below.mean * deeper.skin_mm2 >= line.mean * one.skin_mm2 * (1 - 1e-3)


@given(DIAMETERS, DEPTHS, WAGNERS)
def test_a_second_mouth_helps_and_a_bore_cut_in_two_lengths_is_the_same(d, depth, wagner):
    blind, through = bore_line(plain_bore(d, depth, floor=False), wagner), bore_line(plain_bore(d, depth, True), wagner)
    assert blind.mean <= through.mean
    section, wall = math.pi * d * d / 4.0, math.pi * d
    cut = Bore(tuple(Stretch(share * depth, section, share * depth * wall) for share in (0.3, 0.7)))
    assert bore_line(cut, wagner).mean == pytest.approx(blind.mean, rel=2e-3)


def test_the_limits_of_an_even_and_of_a_barred_bore():
    assert bore_line(plain_bore(20.0, 1.0), 1e6).mean == pytest.approx(1.0, abs=1e-4)
    barred = bore_line(plain_bore(0.5, 300.0, floor=False), 50.0)
    assert barred.least < 0.01
    assert barred.mean == pytest.approx(closed_form(0.5, 300.0, 50.0)[1], rel=3e-3)


def test_a_plugged_mouth_turns_the_bore_round():
    section = (math.pi * 36.0 / 4.0, math.pi * 9.0 / 4.0)
    near, far = Stretch(40.0, section[0], math.pi * 6.0 * 40.0), Stretch(40.0, section[1], math.pi * 3.0 * 40.0)
    one = bore_line(Bore((near, far), first_open=False, last_open=True), 1500.0)
    other = bore_line(Bore((far, near)), 1500.0)
    assert (one.mouth, one.mean, one.least) == pytest.approx((other.mouth, other.mean, other.least), rel=1e-9)
    assert (one.least_at_mm, other.least_at_mm) == (0.0, 80.0)


def test_a_narrow_end_starves_a_wide_chamber():
    chamber = Stretch(30.0, math.pi * 100.0 / 4.0, math.pi * 10.0 * 30.0)
    neck = Stretch(10.0, math.pi * 4.0 / 4.0, math.pi * 2.0 * 10.0)
    line = bore_line(Bore((neck, chamber)), 1500.0)
    assert line.least_at_mm == 40.0
    assert line.mean < bore_line(plain_bore(10.0, 40.0), 1500.0).mean
    in_chamber = [s for s, x in zip(line.shares, line.positions_mm, strict=True) if x >= 10.0]
    assert max(in_chamber) / min(in_chamber) < 1.1  # the neck decides, the chamber is even in itself


@pytest.mark.parametrize("make", [
    lambda: Stretch(0.0, 1.0, 1.0), lambda: Stretch(1.0, 0.0, 1.0), lambda: Bore(()),
    lambda: Bore((Stretch(1.0, 1.0, 1.0),), first_open=False), lambda: Bore((Stretch(1.0, 1.0, 0.0),)),
])  # fmt: skip
def test_what_is_no_bore_is_refused(make):
    with pytest.raises(BadInput, match="bore"):
        make()
