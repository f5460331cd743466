"""Trapped air in meshes drawn coarsely: the air of the round part lies in the bounds, and near the value."""

import math

import manifold3d
import numpy as np
import pytest

from areacalc.shape.body import Body
from areacalc.shape.kinds import UnitBasis, UnitHow
from areacalc.surface.air.bath_skin import bath_skin
from areacalc.surface.air.hanging import hanging
from areacalc.surface.features.features import find_features

Solid = manifold3d.Manifold


def bowl(sides):
    return Solid.cylinder(15, 20, 20, sides).translate((0, 0, -15)) - Solid.sphere(14, sides)


def cup(sides):
    return Solid.cylinder(30, 12, 12, sides) - Solid.cylinder(30, 8, 8, sides).translate((0, 0, 5))


def funnel(sides):
    return Solid.cylinder(30, 16, 16, sides) - Solid.cylinder(20, 3, 12, sides).translate((0, 0, 10.0001))


def hung(shape, sides, lean_deg):
    """A shape mouth down, leaning, hung exactly so."""
    mesh = shape(sides).to_mesh64()
    points, corners = np.array(mesh.vert_properties)[:, :3].copy(), np.array(mesh.tri_verts).astype(np.int32)
    part = find_features(Body("part", "part.stl", points, corners, UnitBasis("mm", UnitHow.GIVEN)))
    lean, about = math.radians(lean_deg), math.radians(7.0)
    up = -np.array([math.sin(lean) * math.cos(about), math.sin(lean) * math.sin(about), math.cos(lean)])
    return hanging(bath_skin(part), up, accuracy_deg=0.0)


@pytest.mark.parametrize(("shape", "mm3"), [
    (bowl, 2.0 / 3.0 * math.pi * 14.0**3), (cup, math.pi * 64.0 * 25.0),
    (funnel, math.pi * 20.0 / 3.0 * (9.0 + 36.0 + 144.0)),
])  # fmt: skip
@pytest.mark.parametrize("sides", [16, 24, 48])
def test_mouth_down_the_air_is_that_of_the_round_part(shape, mm3, sides):
    found = hung(shape, sides, 0.0).trapped_air_mm3
    assert found.low <= mm3 <= found.high
    assert found.value == pytest.approx(mm3, rel=5e-3)
    facets = 0.5 * sides * math.sin(2.0 * math.pi / sides) / math.pi
    assert abs(found.value / mm3 - 1.0) < 0.2 * (1.0 - facets), "nearer than the facets"


@pytest.mark.slow
@pytest.mark.parametrize("shape", [bowl, cup, funnel])
@pytest.mark.parametrize("lean_deg", [3.0, 15.0, 35.0])
def test_hung_askew_the_bounds_hold_the_round_part(shape, lean_deg):
    true = hung(shape, 360, lean_deg)
    for sides in (16, 24, 48, 96):
        found = hung(shape, sides, lean_deg)
        for name in ("trapped_air_mm3", "airlocked_mm2"):
            told, truth = getattr(found, name), getattr(true, name).value
            assert told.low <= truth * (1.0 + 2e-4), (sides, name)
            assert told.high >= truth * (1.0 - 2e-4), (sides, name)


def test_air_that_a_part_holds_half_way_over_lies_in_the_bounds():
    """Two slots, open to opposite sides, with roofs that slope by 1 and 4 degrees: both hold air only between."""
    one = Solid.cube((40, 10, 4)).rotate((0, -1, 0)).translate((25, 5, 8))
    two = Solid.cube((40, 10, 4)).translate((-40, 0, 0)).rotate((0, -4, 0)).translate((35, 5, 25))
    mesh = (Solid.cube((60, 20, 40)) - one - two).to_mesh64()
    points, corners = np.array(mesh.vert_properties)[:, :3].copy(), np.array(mesh.tri_verts).astype(np.int32)
    part = bath_skin(find_features(Body("part", "part.stl", points, corners, UnitBasis("mm", UnitHow.GIVEN))))
    told = hanging(part, (0.0, 0.0, 1.0), accuracy_deg=5.0).airlocked_mm2
    leans = [math.radians(degrees) for degrees in np.linspace(-5.0, 5.0, 11).tolist()]
    held = [hanging(part, (math.sin(x), 0.0, math.cos(x)), accuracy_deg=0.0).airlocked_mm2.value for x in leans]
    assert max(held) > 1.15 * max(held[0], held[5], held[-1])
    assert told.low <= min(held)
    assert max(held) <= told.high * 1.01
