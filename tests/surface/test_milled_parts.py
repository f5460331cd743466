"""Bores, pockets and areas of milled parts found from triangles alone, against closed forms; and how flats are read."""

import math
from dataclasses import dataclass

import manifold3d
import numpy as np
import pytest
import trimesh
from bodies import loose

from areacalc.surface.features.features import find_features
from areacalc.surface.skin import BoreStepKind

Solid = manifold3d.Manifold


@dataclass(frozen=True)
class Hole:
    """What a test expects of one bore: kind as in the JSON, least diameter, depth, area."""

    kind: str
    diameter_mm: float
    depth_mm: float
    area_mm2: float


@dataclass(frozen=True)
class Expected:
    """What a part is known to be: its exact area, its bores, and the names of all its features."""

    area_mm2: float
    holes: tuple[Hole, ...]
    names: tuple[str, ...]


def triangles(solid):
    """The triangles (m, 3, 3) of a manifold3d solid."""
    mesh = solid.to_mesh64()
    return np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts)]


def bar(diameter, low, high, sides, at=(0.0, 0.0), top=None):
    """A cylinder or cone along z between two heights, in flats; `top` is its diameter at the upper end."""
    radii = diameter / 2, (diameter if top is None else top) / 2
    return Solid.cylinder(high - low, *radii, sides).translate((*at, low))


def plate(holes=()):
    """60 x 40 x 12 mm, its top at z = 12."""
    solid = Solid.cube((60.0, 40.0, 12.0))
    return solid - Solid.batch_boolean(list(holes), manifold3d.OpType.Add) if holes else solid


PLATE = 2 * (60 * 40 + 60 * 12 + 40 * 12)
POINT = 4.0 / math.tan(math.radians(59.0))  # depth of a 118 degree point of 8 mm


def disk(diameter):
    return math.pi * diameter**2 / 4


def blind(sides):
    """An 8 mm drill 6 mm deep to the shoulder of its point."""
    hole = bar(8, 6, 13, sides, (20, 20)) + bar(0, 6 - POINT, 6, sides, (20, 20), top=8)
    area = math.pi * 8 * 6 + disk(8) / math.sin(math.radians(59.0))
    return plate([hole]), Expected(
        PLATE - disk(8) + area, (Hole("blind-bore", 8, 6 + POINT, area),), ("outside", "blind-bore-1"))  # fmt: skip


def counterbore(sides):
    """A through bore of 6 mm under a counterbore of 11 x 5."""
    hole = bar(6, -1, 13, sides, (20, 20)) + bar(11, 7, 13, sides, (20, 20))
    area = math.pi * 6 * 7 + math.pi * 11 * 5 + disk(11) - disk(6)
    return plate([hole]), Expected(
        PLATE - disk(6) - disk(11) + area, (Hole("through-bore", 6, 12, area),), ("outside", "bore-1"))  # fmt: skip


def countersink(sides):
    """A through bore of 6 mm with a 90 degree countersink to 12."""
    hole = bar(6, -1, 13, sides, (20, 20)) + bar(6, 9, 12, sides, (20, 20), top=12)
    area = math.pi * 6 * 9 + math.pi * (3 + 6) * 3 * math.sqrt(2)
    return plate([hole]), Expected(
        PLATE - disk(6) - disk(12) + area, (Hole("through-bore", 6, 12, area),), ("outside", "bore-1"))  # fmt: skip


def several(sides):
    """Three through bores of 5, 8 and 10 mm and a flat blind one of 6 x 4."""
    through = {5: (8, 8), 8: (20, 20), 10: (45, 25)}
    holes = [bar(d, -1, 13, sides, at) for d, at in through.items()] + [bar(6, 8, 13, sides, (32, 10))]
    wall = {d: math.pi * d * 12 for d in through}
    flat = math.pi * 6 * 4 + disk(6)
    area = PLATE + sum(wall[d] - 2 * disk(d) for d in through) + math.pi * 6 * 4
    bores = [Hole("through-bore", d, 12, wall[d]) for d in (10, 8, 5)]
    return plate(holes), Expected(
        area, (*bores, Hole("blind-bore", 6, 4, flat)), ("outside", "bore-1", "bore-2", "bore-3", "blind-bore-1")
    )


def pocket(sides):
    """A pocket of 20 x 10 x 5 with sharp corners."""
    hole = Solid.cube((20.0, 10.0, 10.0)).translate((20, 15, 7))
    return plate([hole]), Expected(PLATE + 2 * (20 + 10) * 5, (), ("outside", "pocket-1"))


def slot(sides):
    """A slot of 8 x 24 with round ends, 5 deep."""
    ends = [bar(8, 7, 13, sides, (x, 20)) for x in (20, 36)]
    hole = Solid.batch_boolean([*ends, Solid.cube((16.0, 8.0, 6.0)).translate((20, 16, 7))], manifold3d.OpType.Add)
    return plate([hole]), Expected(PLATE + (math.pi * 8 + 2 * 16) * 5, (), ("outside", "slot-1"))


def boss(sides):
    """A boss of 14 mm, 9 high, with a through bore of 6 down the middle."""
    solid = plate() + bar(14, 5, 21, sides, (30, 20))
    hole = math.pi * 6 * 21
    area = PLATE + math.pi * 14 * 9 - 2 * disk(6) + hole
    return solid - bar(6, -1, 22, sides, (30, 20)), Expected(
        area, (Hole("through-bore", 6, 21, hole),), ("outside", "bore-1"))  # fmt: skip


MILLED = {f.__name__: f for f in (blind, counterbore, countersink, several, pocket, slot, boss)}


def sums(skin):
    areas = [patch.area_mm2 for patch in skin.patches]
    return sum(a.value for a in areas), sum(a.low for a in areas), sum(a.high for a in areas)


def codes(skin):
    return {note.code for note in skin.notes}


@pytest.mark.parametrize("single", [False, True])
@pytest.mark.parametrize("sides", [12, 16, 24, 48, 96, 200])
@pytest.mark.parametrize("name", MILLED)
def test_a_milled_part_has_its_bores_and_its_area(name, sides, single):
    solid, expected = MILLED[name](sides)
    skin = find_features(loose(triangles(solid), single))
    value, low, high = sums(skin)
    assert value == pytest.approx(expected.area_mm2, rel=1e-6)
    assert low * (1 - 1e-12) <= expected.area_mm2 <= high * (1 + 1e-12)
    assert tuple(f.name for f in skin.features) == expected.names
    bores = [f for f in skin.features if f.diameter_mm is not None]
    for bore, hole in zip(bores, expected.holes, strict=True):
        assert bore.kind == hole.kind
        assert bore.diameter_mm == pytest.approx(hole.diameter_mm, rel=1e-4)
        assert bore.depth_mm == pytest.approx(hole.depth_mm, rel=1e-3)
        assert bore.area_mm2.value == pytest.approx(hole.area_mm2, rel=1e-5)


@pytest.mark.parametrize("sides", range(5, 65))
def test_the_area_of_a_round_bar_and_of_its_flats_lie_in_the_bounds(sides):
    rod = trimesh.creation.cylinder(10, 40, sections=sides)
    skin = find_features(loose(rod.triangles))
    value, low, high = sums(skin)
    exact = 2 * math.pi * 10 * 40 + 2 * math.pi * 100
    assert low <= rod.area * (1 + 1e-12)
    assert exact <= high * (1 + 1e-12)
    assert value == pytest.approx(rod.area if sides < 10 else exact, rel=1e-9)
    assert codes(skin) & {"read-as-flats", "read-as-round"} == (
        {"read-as-flats"} if sides < 10 else {"read-as-round"} if sides <= 22 else set()
    )


@pytest.mark.parametrize("sides", [6, 7, 8, 9])
@pytest.mark.parametrize("name", ["blind", "counterbore", "countersink", "several", "boss"])
def test_bores_of_few_flats_keep_the_exact_area_in_the_bounds(name, sides):
    solid, expected = MILLED[name](sides)
    _, low, high = sums(find_features(loose(triangles(solid))))
    assert low <= expected.area_mm2 <= high


def test_a_hexagon_bar_with_a_fine_bore_stays_a_hexagon_and_leaves_no_doubt():
    solid = bar(20, 0, 40, 6) - bar(8, -1, 41, 64)
    skin = find_features(loose(triangles(solid)))
    rim = 6 * 10 * 40
    ends = 2 * (1.5 * math.sqrt(3) * 100 - math.pi * 16)
    value, low, high = sums(skin)
    assert value == pytest.approx(rim + math.pi * 8 * 40 + ends, rel=1e-9)
    assert high - low < 2e-3 * value
    note = next(note for note in skin.notes if note.code == "read-as-flats")
    assert note.fact["flats"] == 6
    assert note.fact["across"].estimate.value == pytest.approx(20.0)
    assert not note.warns


def test_a_square_bar_with_chamfered_edges_is_no_round_bar():
    solid = manifold3d.CrossSection([[(-8, -10), (8, -10), (10, -8), (10, 8), (8, 10), (-8, 10), (-10, 8), (-10, -8)]])
    skin = find_features(loose(triangles(manifold3d.Manifold.extrude(solid, 30))))
    value, low, high = sums(skin)
    assert high - low < 1e-5 * value
    assert not codes(skin)


def test_as_drawn_overrules_both_readings():
    for sides in (8, 16):
        solid, _ = MILLED["several"](sides)
        skin = find_features(loose(triangles(solid)), as_drawn=True)
        assert sums(skin) == pytest.approx((solid.surface_area(),) * 3, rel=1e-5)
        assert skin.as_drawn
        assert not codes(skin)


def cross_drilled(sides):
    """A 20 mm bar with a 6 mm bore down the middle and a 4 mm hole straight through both."""
    across = manifold3d.Manifold.cylinder(24, 2, 2, sides).translate((0, 0, -12)).rotate((90, 0, 0))
    return bar(20, 0, 40, sides) - bar(6, -1, 41, sides) - across.translate((0, 0, 15))


def test_a_hole_across_a_bored_bar_breaks_into_the_bore():
    skin = find_features(loose(triangles(cross_drilled(96))))
    found = [(f.name, f.kind, round(f.diameter_mm, 3)) for f in skin.features if f.diameter_mm is not None]
    assert found[0] == ("bore-1", "through-bore", 6.0)
    assert {size for _, _, size in found[1:]} == {4.0}
    assert {f.name.rstrip("-123") for f in skin.features} <= {"outside", "bore"}


def test_the_area_of_a_bar_with_a_hole_across_converges_within_the_bounds():
    fine = sums(find_features(loose(triangles(cross_drilled(400)))))[0]
    for sides in (16, 32, 64):
        mesh = triangles(cross_drilled(sides))
        value, low, high = sums(find_features(loose(mesh)))
        assert value == pytest.approx(fine, rel=1e-4)
        assert low <= fine <= high


def test_corners_inserted_on_edges_and_faces_change_no_name_and_no_area():
    solid, expected = MILLED["several"](48)
    skin = find_features(loose(quarters(triangles(solid))))
    assert tuple(f.name for f in skin.features) == expected.names
    assert sums(skin)[0] == pytest.approx(expected.area_mm2, rel=1e-6)


def quarters(corners):
    """Each triangle in four, through the middles of its sides."""
    a, b, c = (corners[:, j] for j in range(3))
    ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
    return np.concatenate([np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))])


def test_a_plain_plate_is_all_outside():
    skin = find_features(loose(triangles(plate())))
    assert [f.name for f in skin.features] == ["outside"]
    assert len(skin.patches) == 6


def threaded(sides, blind):
    """A bore of 8.54 mm in a block of 30 x 30 x 20 mm with a thread of 1.25 mm modelled in its wall, 10 mm across."""
    block = manifold3d.Manifold.cube((30, 30, 20), True).translate((0, 0, 10))
    turn = np.arange(sides) / sides
    out = np.interp(turn, (0, 0.25, 0.5625, 0.6875, 1), (4.2, 4.2, 5, 5, 4.2))
    ring = np.column_stack([out * np.cos(2 * np.pi * turn), out * np.sin(2 * np.pi * turn)])
    low, turns = (6, 14) if blind else (-2, 20)
    thread = manifold3d.Manifold.extrude(manifold3d.CrossSection([ring]), 1.25 * turns, turns * sides - 1, 360 * turns)
    drill = manifold3d.Manifold.cylinder(30, 4.27, circular_segments=sides).translate((0, 0, 4 if blind else -2))
    return block - thread.translate((0, 0, low)) - drill


@pytest.mark.parametrize("sides", [16, 32])
@pytest.mark.parametrize("blind", [False, True])
def test_a_thread_modelled_in_a_bore_is_a_step_of_that_bore(sides, blind):
    solid = threaded(sides, blind)
    mesh = solid.to_mesh()
    found = find_features(loose(mesh.vert_properties[:, :3][mesh.tri_verts]))
    assert [f.name for f in found.features] == ["outside", "blind-bore-1" if blind else "bore-1"]
    outside, bore = found.features
    assert bore.diameter_mm == pytest.approx(8.54, rel=1e-4)
    assert bore.depth_mm == pytest.approx(16 if blind else 20, rel=1e-3)
    (thread,) = (step for step in bore.steps if step.kind is BoreStepKind.THREAD)
    assert (thread.diameter_mm, thread.depth_mm) == pytest.approx((10, 14 if blind else 20), rel=1e-3)
    assert sum(step.area_mm2.value for step in bore.steps) == pytest.approx(bore.area_mm2.value, rel=1e-9)
    assert sum(step.open_mm2 for step in bore.steps) < 0.01 * bore.area_mm2.value  # nothing is missing of its wall
    assert outside.area_mm2.value + bore.area_mm2.value == pytest.approx(solid.surface_area(), rel=3e-3)
