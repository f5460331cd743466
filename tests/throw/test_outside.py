"""How even the outside comes out, beside the current in whole tanks worked out by finite volumes."""

import math

import numpy as np
import pytest
from tank_solve import Tank, density_over_mean

from areacalc.figure import given
from areacalc.throw.outside import drop_per_mm, unevenness

KAPPA, V0, DENSITY = 56.5, 6.5, 248.0  # S/m, V, A/m2
FOUR = ((40, 55, 60, 180), (110, 125, 60, 110), (180, 195, 60, 90), (250, 265, 60, 90))  # x, z of parts 15 mm across


def four_parts(apart_mm):
    """Four small parts in a row, so far from the cathodes."""
    y = (apart_mm, apart_mm + 15)
    parts = tuple((x0, x1, *y, z0, z1) for x0, x1, z0, z1 in FOUR)
    return Tank((320, 2 * apart_mm + 15, 250), parts, ((20, 60), (260, 300)), 180)


def rods(count, side_mm, gap_mm, apart_mm):
    """Square rods 100 mm long in a row before walls of cathode."""
    width = side_mm + 2 * apart_mm
    length = count * side_mm + (count - 1) * gap_mm + 80
    starts = 40 + np.arange(count) * (side_mm + gap_mm)
    parts = tuple((x, x + side_mm, apart_mm, apart_mm + side_mm, 50, 150) for x in starts.tolist())
    return Tank((length, width, 200), parts, ((0, length),), 180)


CASES = {
    "four parts, 40 mm from the cathodes": four_parts(40), "four parts, 20 mm": four_parts(20),
    "thirteen rods close together": rods(13, 20, 5, 40), "one rod": rods(1, 20, 5, 60),
    "a row before short cathodes": Tank(
        (300, 90, 275), tuple((20 + 45 * k, 40 + 45 * k, 35, 55, 65, 235) for k in range(6)), ((0, 300),), 155),
}  # fmt: skip


def ways(tank):
    length, _, depth = tank.size_mm
    ends = [0.0, *(x for strip in tank.strips for x in strip), length]
    gaps = [high - low for low, high in zip(ends[::2], ends[1::2], strict=True)]
    widest = max([gaps[0], gaps[-1], *(0.5 * gap for gap in gaps[1:-1])])
    return drop_per_mm(*tank.size_mm, widest, depth - tank.immersed_mm)


def box_area(x0, x1, y0, y1, z0, z1):
    a, b, c = x1 - x0, y1 - y0, z1 - z0
    return 2.0 * (a * b + b * c + c * a)


@pytest.mark.slow
@pytest.mark.parametrize("name", CASES)
def test_the_density_strays_by_what_is_told(name):
    tank = CASES[name]
    seen = density_over_mean(tank, KAPPA, V0 / DENSITY)
    areas = [box_area(*part) for part in tank.parts]
    wagner = given("Wagner length", 1e3 * KAPPA * V0 / DENSITY, "mm")
    told = unevenness(given("area", sum(areas), "mm2"), max(areas), ways(tank), wagner).estimate
    strays = 100.0 * max(seen.max() - 1.0, 1.0 - seen.min())
    assert told.low <= strays <= told.high


@pytest.mark.slow
def test_nearer_cathodes_do_not_spoil_small_parts():
    """As the README and the rule of distance have it: within 0.7 % of the mean at 40 mm, within 1.2 % at 20."""
    for apart_mm, most in ((40, 0.007), (20, 0.012)):
        taken = density_over_mean(four_parts(apart_mm), KAPPA, V0 / DENSITY)
        assert taken.std() < 0.01
        assert abs(taken - 1.0).max() < most


def test_a_ball_alone_in_a_wide_tank_strays_by_its_radius_over_the_wagner_length():
    ball = 4.0 * math.pi * 20.0**2
    told = unevenness(
        given("area", ball, "mm2"), ball, drop_per_mm(2000.0, 2000.0, 2000.0), given("Wagner length", 1500.0, "mm")
    )
    assert told.estimate.high == pytest.approx(100.0 * 20.0 / 1500.0, rel=0.05)
