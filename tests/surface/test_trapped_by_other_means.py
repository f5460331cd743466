"""Trapped air told by two other methods: booleans of the space around the part, and a flood of small cells.

Booleans (manifold3d): the space around a part above a height falls into pieces; those that reach no side of a box round
the part are shut in. Their volume at any height is that of the pockets above it. Flood: the liquid rises a layer of
cells at a time, runs to wherever it may, and only where the air can get away; no theory of levels is used.
"""

import math

import cells
import manifold3d as m3
import numpy as np
import pytest
from bodies import body, box
from scipy.spatial.transform import Rotation

from areacalc.shape.body import Body
from areacalc.surface.air.level_clip import above
from areacalc.surface.air.trapped_air import trapped_air
from areacalc.surface.air.vent import leaky, without

UP = np.array([0.0, 0.0, 1.0])
PAD = 5.0


def random_solid(rng):
    """A block with bores, slots and balls cut out of it at random, turned at random."""
    solid = m3.Manifold.cube((40.0, 40.0, 40.0), True)
    for _ in range(rng.integers(3, 12)):
        kind = rng.integers(3)
        if kind == 0:
            tool = m3.Manifold.cube(tuple(rng.uniform(2, 22, 3)), True)
        elif kind == 1:
            tool = m3.Manifold.cylinder(rng.uniform(5, 45), rng.uniform(0.5, 6), rng.uniform(0.5, 6), 16, True)
        else:
            tool = m3.Manifold.sphere(rng.uniform(2, 12), 16)
        solid -= tool.rotate(tuple(rng.uniform(0, 360, 3))).translate(tuple(rng.uniform(-18, 18, 3)))
    return max(solid.decompose(), key=lambda piece: piece.volume()).rotate(tuple(rng.uniform(0, 360, 3)))


def space_around(solid):
    """The box round the solid less the solid, what of it is sealed in, and a test for a piece that reaches out."""
    low, high = np.array(solid.bounding_box()[:3]) - PAD, np.array(solid.bounding_box()[3:]) + PAD
    room = m3.Manifold.cube(tuple(high - low)).translate(tuple(low)) - solid

    def reaches_out(piece):
        bounds = np.array(piece.bounding_box())
        return bool((bounds[:2] <= low[:2] + 1e-9).any() or (bounds[3:] >= high - 1e-9).any())

    # a shell that turns its inside out is the solid itself, standing in the room
    sealed = [piece for piece in room.decompose() if piece.volume() > 0.0 and not reaches_out(piece)]
    return room, sealed, reaches_out


def shut_in(room, sealed, reaches_out, height):
    """The volume of the pieces of the space above a height that reach no side, without what is sealed."""
    pieces = room.trim_by_plane((0.0, 0.0, 1.0), height).decompose()
    volume = sum(piece.volume() for piece in pieces if piece.volume() > 0.0 and not reaches_out(piece))
    return volume - sum(piece.trim_by_plane((0.0, 0.0, 1.0), height).volume() for piece in sealed)


def told(air, height):
    """The volume of the pockets above a height, those whose level is at or below it."""
    total = 0.0
    skin = air.skin
    for number, pocket in enumerate(air.pockets):
        if pocket.level_mm <= height:
            rows = air.pocket_of == number
            _, mean = above(skin.points[skin.corners[rows]] @ air.up - height)
            total -= float(mean @ (skin.cross_mm2[rows] @ air.up))
    return total


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(220))
def test_no_pocket_is_missed_in_random_solids(seed):
    solid = random_solid(np.random.default_rng(seed))
    air = trapped_air(body(solid), UP, 0.0, 0.0)
    room, sealed, reaches_out = space_around(solid)
    size = 40.0
    levels = [pocket.level_mm for pocket in air.pockets]
    heights = [*np.linspace(-30, 30, 9), *(level + off for level in levels for off in (-1e-3, 1e-3))]
    for height in heights:
        by_boolean = shut_in(room, sealed, reaches_out, height)
        assert told(air, height) == pytest.approx(by_boolean, rel=1e-6, abs=1e-6 * size**3)


CELL = 1.0


def flooded(solid):
    """The volume left dry under liquid, by cells of 1 mm."""
    low, high = np.array(solid.bounding_box()[:3]) - 2 * CELL, np.array(solid.bounding_box()[3:]) + 2 * CELL
    shape = np.ceil((high - low) / CELL).astype(int)
    x = low[0] + (np.arange(shape[0]) + 0.5) * CELL
    y = low[1] + (np.arange(shape[1]) + 0.5) * CELL
    free = np.ones(shape, bool)
    for k in range(shape[2]):
        free[:, :, k] = ~inside(solid.slice(low[2] + (k + 0.5) * CELL).to_polygons(), x, y)
    return float(cells.flooded(~free)[0].sum()) * CELL**3


def inside(polygons, x, y):
    """Which points of a grid lie within polygons, by even and odd crossings."""
    grid = np.zeros((len(x), len(y)), bool)
    for polygon in polygons:
        following = np.roll(polygon, -1, axis=0)
        for (ax, ay), (bx, by) in zip(polygon, following, strict=True):
            if ay == by:
                continue
            rows = (y >= min(ay, by)) & (y < max(ay, by))
            at = ax + (y[rows] - ay) * (bx - ax) / (by - ay)
            grid[:, rows] ^= x[:, None] < at[None, :]
    return grid


def rod(radius, z, at=(0.0, 0.0)):
    return m3.Manifold.cylinder(z[1] - z[0], radius, radius, 48).translate((*at, z[0]))


def block_of_metal():
    return box((0, 40), (0, 20), (0, 40))


def odd_solids():
    """Named solids; made anew, since the library keeps count of them."""
    block = block_of_metal()
    bell = block - box((4, 36), (4, 16), (-1, 30))
    deep_bell = block - box((4, 36), (4, 16), (-1, 34))
    pair = box((22, 36), (4, 16), (4, 36)) + box((17, 23), (8, 12), (20, 24))
    legs = box((4, 10), (4, 16), (-1, 32)) + box((30, 36), (4, 16), (-1, 32))
    ball = m3.Manifold.sphere(15, 64) - m3.Manifold.sphere(12, 64)
    cup = rod(12, (0, 30)) - rod(9, (-1, 26))
    return {
        "cup down": bell,
        "cup up": block - box((4, 36), (4, 16), (10, 41)),
        "bell with a side hole": bell - box((-1, 5), (8, 12), (12, 18)),
        "bell with a vent": bell - box((8, 10), (8, 10), (20, 41)),
        "two chambers": block - pair - box((4, 18), (4, 16), (4, 36)) - box((8, 12), (8, 12), (-1, 5)),
        "two chambers, the neck cut short": block - pair - box((4, 18), (4, 16), (14, 36))
        - box((8, 12), (8, 12), (-1, 15)) - box((-1, 19), (-1, 21), (-1, 10)),
        "steps": block - box((4, 36), (4, 16), (-1, 10)) - box((8, 32), (6, 14), (-1, 20))
        - box((14, 26), (8, 12), (-1, 34)),
        "u down": block - legs - box((4, 36), (4, 16), (26, 32)),
        "u up": block - legs.translate((0, 0, 9)) - box((4, 36), (4, 16), (8, 14)),
        "s": block - box((4, 10), (4, 16), (-1, 32)) - box((4, 22), (4, 16), (26, 32)) - box((16, 22), (4, 16), (8, 32))
        - box((16, 36), (4, 16), (8, 14)) - box((30, 36), (4, 16), (8, 36)),
        "level bore": block - box((-1, 30), (6, 14), (10, 20)),
        "cross bores": block - box((-1, 30), (6, 14), (10, 20)) - box((14, 20), (6, 14), (-1, 34)),
        "bell in a bell": deep_bell + box((10, 30), (6, 14), (30, 36)) + box((10, 12), (6, 14), (5, 32))
        + box((28, 30), (6, 14), (5, 32)),
        "cup in a bell": deep_bell + (box((3, 30), (6, 14), (8, 20)) - box((8, 28), (8, 12), (10, 21))),
        "comb": block - m3.Manifold.batch_boolean(
            [box((x, x + 3), (4, 16), (-1, 8 + x / 2)) for x in range(4, 34, 5)], m3.OpType.Add),
        "ball, hole below": ball - rod(2, (-20, 0)),
        "ball, hole beside": ball - rod(2, (0, 20)).rotate((0, 90, 0)),
        "ball, hole above": ball - rod(2, (0, 20)),
        "tilted cup": cup.rotate((35, 0, 0)),
        "tilted bell with a vent": (cup - rod(1.5, (0, 20)).rotate((90, 0, 0)).translate((0, 0, 12)))
        .rotate((25, 10, 0)),
        "sealed": block - box((4, 36), (4, 16), (4, 36)),
        "ring": m3.Manifold.revolve(m3.CrossSection.circle(4, 32).translate((14, 0)), 64).rotate((70, 0, 0)),
    }  # fmt: skip


@pytest.fixture(scope="module")
def odd():
    return odd_solids()


@pytest.mark.parametrize("name", sorted(odd_solids()))
def test_a_flood_of_cells_leaves_the_same_dry(odd, name):
    solid = odd[name]
    air = trapped_air(body(solid), UP)
    found = flooded(solid)
    places = air.skin.points
    whole_cells = bool((np.abs(places - places.round()) < 1e-9).all())  # no cell is cut by the skin
    skin = solid.surface_area()
    slack = 1e-9 if whole_cells else 0.5 * CELL * min(skin, 6 * found ** (2 / 3)) + CELL**3
    assert air.volume_mm3 == pytest.approx(found, rel=1e-9, abs=slack)


def bell_with_a_bend():
    """A bell with a neck, let out from its top down through a bend and up again into the open."""
    trap = block_of_metal() - box((4, 20), (4, 16), (16, 36)) - box((8, 12), (8, 12), (-1, 17))
    trap -= box((24, 27), (8, 12), (4, 33)) + box((19, 27), (8, 12), (30, 33))
    trap -= box((24, 34), (8, 12), (4, 7)) + box((31, 34), (8, 12), (4, 41))
    return trap - (box((-1, 41), (-1, 21), (-1, 12)) - box((6, 41), (-1, 21), (-1, 12)))


def test_a_vent_that_runs_down_and_up_is_taken_as_shut_and_told():
    """The flood knows that the dry bend lets the air by; the pockets are on the safe side and call it dry."""
    solid = bell_with_a_bend()
    air, by_flood = trapped_air(body(solid), UP), flooded(solid)
    assert by_flood < 0.5 * air.volume_mm3
    assert leaky(air).tolist() == [True]


def random_blocks(rng):
    """A block with channels of whole millimetres cut into it: no cell is cut and no wall is thinner than a cell."""
    while True:
        metal = np.zeros((20, 20, 20), bool)
        metal[2:-2, 2:-2, 2:-2] = True
        solid = box((2, 18), (2, 18), (2, 18))
        for _ in range(rng.integers(8, 20)):
            size = rng.integers(1, 5, 3)
            size[rng.integers(3)] = rng.integers(5, 14)
            low = rng.integers(1, 18, 3)
            high = np.minimum(low + size, 19)
            metal[tuple(slice(i, j) for i, j in zip(low, high, strict=True))] = False
            solid -= box(*zip(low, high, strict=True))
        if not cells.touches_by_an_edge(metal):
            return max(solid.decompose(), key=lambda piece: piece.volume())


@pytest.mark.parametrize("seed", [*range(60), *(pytest.param(n, marks=pytest.mark.slow) for n in range(60, 200))])
def test_the_flood_lies_between_bends_shut_and_open(seed):
    """Where no vent runs down and up the two are one, and the flood is right to the last cell."""
    solid = random_blocks(np.random.default_rng(seed))
    air = trapped_air(body(solid), UP)
    found = flooded(solid)
    assert without(air, leaky(air)).volume_mm3 - 1e-6 <= found <= air.volume_mm3 + 1e-6


def test_turning_part_and_direction_together_changes_nothing():
    for seed in range(6):
        rng = np.random.default_rng(seed)
        solid = random_solid(rng)
        part = body(solid)
        turn = Rotation.from_rotvec(rng.normal(size=3)).as_matrix()
        turned = Body("part", "part.stl", part.vertices @ turn.T, part.triangles, part.unit)
        one, two = trapped_air(part, UP, 0.0, 1e-6), trapped_air(turned, turn @ UP, 0.0, 1e-6)
        assert one.area_mm2 == pytest.approx(two.area_mm2, rel=1e-8, abs=1e-8)
        assert one.volume_mm3 == pytest.approx(two.volume_mm3, rel=1e-8, abs=1e-8)
        assert not math.isnan(one.area_mm2)
