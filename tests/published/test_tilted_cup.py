"""A round cup hung mouth down and tilted: dry area and air from the geometry of a cylinder cut by a plane.

With the bore's axis tilted by t from the vertical, radius r, depth D: a point of the wall at angle p from the highest
rim point is dry from (r - r cos p) tan t above the mouth to the end. Where 2 r tan t <= D, integrating over p gives the
wall 2 pi r (D - r tan t), the whole floor pi r^2, and the air pi r^2 (D - r tan t) (the cut cylinder of any handbook of
solid geometry, such as Bronshtein and Semendyayev, Handbook of Mathematics). Steeper: the integrals are done by scipy.
"""

import math

import manifold3d as m3
import numpy as np
import pytest
from bodies import body
from scipy.integrate import quad

from areacalc.surface.air.trapped_air import trapped_air

RADIUS, DEPTH = 8.0, 27.0


def cup(sides):
    solid = m3.Manifold.cylinder(30.0, 10.0, 10.0, sides) - m3.Manifold.cylinder(
        DEPTH + 1, RADIUS, RADIUS, sides
    ).translate((0, 0, -1.0))
    return body(solid)


def smooth(tilt_rad):
    """(dry area, air) of the round cup."""
    slope = math.tan(tilt_rad)

    def dry_length(p):
        return max(0.0, DEPTH - RADIUS * (1 - math.cos(p)) * slope)

    def chord_air(x):  # x towards the highest point of the rim
        return 2 * math.sqrt(max(RADIUS**2 - x**2, 0.0)) * max(0.0, DEPTH - (RADIUS - x) * slope)

    def chord(x):
        return 2 * math.sqrt(max(RADIUS**2 - x**2, 0.0))

    edge = RADIUS - DEPTH / slope  # floor is dry from here on
    wall_end = math.acos(max(-1.0, edge / RADIUS))
    start = max(-RADIUS, edge)
    wall = 2 * RADIUS * quad(dry_length, 0, wall_end, epsabs=1e-11)[0]
    return wall + quad(chord, start, RADIUS)[0], quad(chord_air, start, RADIUS)[0]


def faceted(sides, tilt_rad):
    """(dry area, air) of the cup with flats: its bore cut by the level of its highest mouth corner, by booleans."""
    bore = m3.Manifold.cylinder(DEPTH, RADIUS, RADIUS, sides)
    normal = np.array([math.sin(tilt_rad), 0.0, math.cos(tilt_rad)])
    level = RADIUS * math.sin(tilt_rad)
    air = bore.trim_by_plane(tuple(normal), level)
    mesh = air.to_mesh64()
    points, corners = np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts)
    a, b, c = (points[corners[:, j]] for j in range(3))
    area = 0.5 * np.linalg.norm(np.cross(b - a, c - a), axis=1)
    on_level = np.abs(points[corners] @ normal - level).max(axis=1) < 1e-9
    on_mouth = np.abs(points[corners][:, :, 2]).max(axis=1) < 1e-9
    return area[~(on_level | on_mouth)].sum(), air.volume()


@pytest.mark.parametrize("degrees", [5, 10, 20, 35, 45, 58, 60, 70, 80, 85])
def test_dry_area_and_air_of_the_faceted_cup(degrees):
    tilt = math.radians(degrees)
    found = trapped_air(cup(48), (math.sin(tilt), 0.0, math.cos(tilt)), 0.0, 0.0)
    area, air = faceted(48, tilt)
    assert found.area_mm2 == pytest.approx(area, rel=1e-6)
    assert found.volume_mm3 == pytest.approx(air, rel=1e-6)


@pytest.mark.parametrize("degrees", [5, 20, 45, 60, 80])
def test_it_converges_to_the_round_cup(degrees):
    tilt = math.radians(degrees)
    area, air = smooth(tilt)
    if 2 * RADIUS * math.tan(tilt) <= DEPTH:
        shorter = DEPTH - RADIUS * math.tan(tilt)
        assert area == pytest.approx(2 * math.pi * RADIUS * shorter + math.pi * RADIUS**2, rel=1e-9)
        assert air == pytest.approx(math.pi * RADIUS**2 * shorter, rel=1e-9)
    off = []
    for sides in (64, 256):
        found = trapped_air(cup(sides), (math.sin(tilt), 0.0, math.cos(tilt)), 0.0, 0.0)
        off.append((abs(found.area_mm2 / area - 1), abs(found.volume_mm3 / air - 1)))
    assert max(off[0]) < 1e-2
    assert off[1][0] < off[0][0] / 10  # of second order in the width of a flat: 16 times
    assert off[1][1] < off[0][1] / 10
