"""Random bodies in, on and against one another, their area and air held against cells, booleans and closed forms."""

import math

import cells
import curved_shapes as curves
import manifold3d
import numpy as np
import pytest
import random_solids as solids
import trimesh
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy import ndimage
from scipy.spatial.transform import Rotation

import areacalc
from areacalc.shape.body import Body
from areacalc.surface.air.bath_skin import bath_skin
from areacalc.surface.air.hanging import hanging
from areacalc.surface.choice import Choices
from areacalc.surface.features.features import find_features
from areacalc.surface.wetted import wetted_area

SEEDS = st.integers(0, 2**32 - 1)


def wetted(body):
    skin = find_features(body, as_drawn=True)
    return skin, wetted_area(skin, Choices()).value


def box(size, at):
    return trimesh.creation.box(size).apply_translation(np.asarray(at, float) + np.asarray(size, float) / 2)


def shuffled(body, rng):
    order = rng.permutation(len(body.triangles))
    return Body(body.name, body.source, body.vertices, body.triangles[order], body.unit)


def random_blocks(rng):
    """Corners and sizes of boxes of whole millimetres: free, round a hollow, or piled on and in a large one."""
    sort = rng.integers(3)
    if sort == 0:
        return [(rng.integers(0, 8, 3), rng.integers(1, 8, 3)) for _ in range(rng.integers(2, 7))]
    if sort == 1:
        x, y, z = rng.integers(6, 11, 3)
        walls = [((0, 0, 0), (x, y, 1)), ((0, 0, z - 1), (x, y, 1)), ((0, 0, 1), (1, y, z - 2)),
                 ((x - 1, 0, 1), (1, y, z - 2)), ((1, 0, 1), (x - 2, 1, z - 2)), ((1, y - 1, 1), (x - 2, 1, z - 2)),
        ]  # fmt: skip
        kept = rng.permutation(6)[: rng.integers(4, 7)]
        more = [(rng.integers(-1, 9, 3), rng.integers(1, 7, 3)) for _ in range(rng.integers(0, 4))]
        return [(np.array(at), np.array(size)) for at, size in (walls[i] for i in kept)] + more
    large = rng.integers(5, 11, 3)
    return [(np.zeros(3, int), large)] + [
        (rng.integers(-2, large + 1), rng.integers(1, 6, 3)) for _ in range(rng.integers(1, 6))
    ]


def metal_of(blocks):
    low = np.min([at for at, _ in blocks], axis=0) - 2
    metal = np.zeros(np.max([at + size for at, size in blocks], axis=0) + 2 - low, bool)
    for at, size in blocks:
        metal[tuple(slice(a, a + s) for a, s in zip(at - low, size, strict=True))] = True
    return metal


def at_the_level(metal, held):
    """Faces that look up at the very level of the liquid, at the bottom of a pocket: dry or wet, nobody can say."""
    pockets, count = ndimage.label(held)
    bottoms = (pockets == n for n in range(1, count + 1))
    return sum((metal[:, :, z - 1] & each[:, :, z]).sum() for each in bottoms for z in [each.any((0, 1)).argmax()])


@pytest.mark.slow
@given(SEEDS)
@example(seed=1260)  # a ledge flush with the rim that the air escapes under
@settings(max_examples=50)
def test_blocks_flush_sunk_and_nested_show_the_faces_that_cells_show_and_hold_the_air_they_hold(soup, seed):
    rng = np.random.default_rng(seed)
    blocks = random_blocks(rng)
    metal = metal_of(blocks)
    held, room = cells.flooded(metal)
    by_an_edge = cells.touches_by_an_edge(metal)
    if by_an_edge and cells.faces(metal, cells.flooded(metal, True)[1]) != cells.faces(metal, room):
        return  # whether liquid passes there decides what is sealed
    turn, shift = Rotation.random(random_state=seed).as_matrix(), rng.uniform(-20, 20, 3)
    meshes = [box(size, at).apply_transform(np.block([[turn, shift[:, None]], [0, 0, 0, 1]])) for at, size in blocks]
    if rng.random() < 0.5:  # as an STL has it
        for mesh in meshes:
            mesh.vertices = mesh.vertices.astype(np.float32)
    skin, area = wetted(shuffled(soup(*meshes), rng))
    slack = 1e-6 * max(1.0, area.value)
    assert area.value == pytest.approx(cells.faces(metal, room), abs=slack)
    if by_an_edge:
        return  # air may pass there or not
    hung = hanging(bath_skin(skin), turn[:, 2])
    volume, dry = float(held.sum()), cells.faces(metal, held)
    assert hung.trapped_air_mm3.low - 1e-3 <= volume <= hung.trapped_air_mm3.high + 1e-3
    assert hung.airlocked_mm2.low - 1e-3 <= dry <= hung.airlocked_mm2.high + at_the_level(metal, held) + 1e-3


def random_shapes(rng):
    shapes = []
    for _ in range(rng.integers(2, 6)):
        sides, radius, length = int(rng.integers(5, 40)), rng.uniform(1, 5), rng.uniform(2, 14)
        shape = trimesh.creation.box(rng.uniform(2, 12, 3))
        if rng.random() < 0.5:
            shape = trimesh.creation.cylinder(radius, length, sections=sides)
        shape.apply_transform(trimesh.transformations.random_rotation_matrix(rng.random(3)))
        shapes.append(shape.apply_translation(rng.uniform(-6, 6, 3)))
    return shapes


def as_solid(mesh):
    return manifold3d.Manifold(manifold3d.Mesh64(np.array(mesh.vertices), mesh.faces.astype(np.uint64)))


@given(SEEDS)
@settings(max_examples=15)
def test_the_order_of_bodies_and_triangles_is_the_same_to_the_area_and_so_is_their_union_as_one_mesh(soup, seed):
    rng = np.random.default_rng(seed)
    shapes = random_shapes(rng)
    union = manifold3d.Manifold.batch_boolean([as_solid(shape) for shape in shapes], manifold3d.OpType.Add)
    mesh = union.to_mesh64()
    one = trimesh.Trimesh(np.array(mesh.vert_properties)[:, :3], np.array(mesh.tri_verts), process=False)
    expected = sum(piece.surface_area() for piece in union.decompose() if piece.volume() > 0)
    for meshes in (shapes, [shapes[i] for i in rng.permutation(len(shapes))], [one]):
        _, area = wetted(shuffled(soup(*meshes), rng))
        assert area.value == pytest.approx(expected, rel=1e-7)


@given(st.floats(0.0, 0.019), st.booleans())
@example(gap=0.0016136962214111288, rounded=False)  # a wall seen edge on from the highest corner
@example(gap=0.01816403248295053, rounded=False)  # triangles whose corners miss each other by rounding alone
@settings(max_examples=20)
def test_a_lid_nearer_than_liquid_can_follow_shuts_its_tube_and_the_bounds_hold_that_it_does_not(soup, gap, rounded):
    ring = manifold3d.Manifold.cube((20, 20, 10)) - manifold3d.Manifold.cube((10, 10, 12)).translate((5, 5, -1))
    mesh = ring.to_mesh64()
    tube = trimesh.Trimesh(np.array(mesh.vert_properties)[:, :3], np.array(mesh.tri_verts), process=False)
    meshes = [tube, box((20, 20, 2), (0, 0, 10 + gap))]
    turn = Rotation.random(random_state=int(gap * 1e9) % 2**31).as_matrix()
    for each in meshes:
        each.vertices = each.vertices @ turn.T
        if rounded:
            each.vertices = each.vertices.astype(np.float32)
    skin, area = wetted(soup(*meshes))
    assert area.low == pytest.approx(2160.0, rel=1e-5)
    assert area.value == pytest.approx(2160.0, rel=1e-5)
    assert area.high == pytest.approx(2160.0 if gap < 9e-6 else 2760.0, rel=1e-5) or 9e-6 <= gap <= 4e-5
    hung = hanging(bath_skin(skin), turn[:, 2], accuracy_deg=0.0)
    assert hung.trapped_air_mm3.value == pytest.approx(1000.0, rel=1e-3)
    assert hung.airlocked_mm2.value == pytest.approx(500.0, rel=1e-3)


def pin_in_a_plate(r, turned):
    plate = solids.cut(solids.block((8 * r, 6 * r, 2 * r), (-4 * r, -3 * r, 0)), solids.rod(r, 9 * r, (0, 0, -2 * r)))
    pin = solids.about_z(solids.rod(r, 4 * r, (0, 0, -r)), turned)
    return [plate, pin], 152 * r * r + 4 * math.pi * r * r


def bolt_through_two_plates(r, turned):
    plates = [
        solids.cut(solids.block((8 * r, 8 * r, r), (-4 * r, -4 * r, z)), solids.rod(r, 9 * r, (0, 0, -3 * r)))
        for z in (0, r)
    ]
    bolt = solids.fuse(solids.rod(r, 3 * r, (0, 0, -r)), solids.rod(2 * r, r, (0, 0, 2 * r)))
    return [*plates, solids.about_z(bolt, turned)], 192 * r * r + 6 * math.pi * r * r


def pin_over_a_chamber(r, turned):
    body = solids.cut(solids.rod(2 * r, 6 * r), solids.rod(r, 6 * r, (0, 0, 2 * r)))
    pin = solids.about_z(solids.rod(r, 4 * r, (0, 0, 3 * r)), turned)
    return [body, pin], (8 + 24 + 2) * math.pi * r * r


def ball_in_a_socket(r, turned):
    cup = solids.cut(solids.rod(1.5 * r, 1.5 * r, (0, 0, -1.5 * r)), solids.ball(r, (0, 0, 0)))
    return [cup, solids.about_z(solids.ball(r, (0, 0, 0)), turned)], (2.25 + 4.5 + 1.25 + 2) * math.pi * r * r


def ball_on_a_plate(r, turned):
    plate = solids.block((4 * r, 4 * r, r), (-2 * r, -2 * r, -r))
    return [plate, solids.about_z(solids.ball(r, (0.3 * r, 0, r)), turned)], 48 * r * r + 4 * math.pi * r * r


def peg_sunk_in_a_block(r, turned):
    block = solids.block((4 * r, 4 * r, 3 * r), (-2 * r, -2 * r, -3 * r))
    return [block, solids.about_z(solids.rod(r, 4 * r, (0, 0, -r)), turned)], 80 * r * r + 6 * math.pi * r * r


def shaft_with_play(r, turned):
    plate = solids.cut(solids.block((8 * r, 8 * r, r), (-4 * r, -4 * r, 0)), solids.rod(1.02 * r, r))
    shaft = solids.about_z(solids.rod(r, 3 * r, (0, 0, -r)), turned)
    hole = 2 * math.pi * 1.02 * r * (r - 1.02 * r)
    return [plate, shaft], 160 * r * r + hole + 8 * math.pi * r * r


MATES = (pin_in_a_plate, bolt_through_two_plates, pin_over_a_chamber, ball_in_a_socket, ball_on_a_plate,
         peg_sunk_in_a_block, shaft_with_play)  # fmt: skip


def check_mates(tmp_path, mates, seed, ending):
    """The area by closed form is within the bounds; to 1e-6 and nearly certain where the faces are exact."""
    rng = np.random.default_rng(seed)
    bodies, exact = mates(rng.uniform(3, 6), rng.uniform(0.1, 6))
    bodies = [bodies[i] for i in rng.permutation(len(bodies))]
    whole = solids.moved(solids.together(*bodies), rng)
    path = tmp_path / f"mates.{ending}"
    if ending == "step":
        solids.write_step(whole, path)
    else:
        solids.write_stl(whole, path, float(rng.choice([0.1, 0.01])), float(rng.choice([0.4, 0.1])))
    area = areacalc.open(path, unit="mm").wetted().value
    slack = 1e-6 * exact
    assert area.low - slack <= exact <= area.high + slack
    assert area.value == pytest.approx(exact, rel=1e-5 if ending == "step" else 5e-3)


@pytest.mark.parametrize("mates", MATES)
def test_round_mates_count_as_their_union(tmp_path, mates):
    check_mates(tmp_path, mates, 1, "stl")


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2, 8))
@pytest.mark.parametrize("ending", ["stl", "step"])
@pytest.mark.parametrize("mates", MATES)
def test_many_round_mates_count_as_their_union(tmp_path, mates, ending, seed):
    check_mates(tmp_path, mates, seed, ending)


def test_bodies_that_only_come_near_are_not_told_as_touching(soup):
    rod = trimesh.creation.cylinder(5, 40, sections=12)
    near = rod.copy().apply_translation((10.2, 0, 0))
    skin = find_features(soup(rod, near))  # drawn coarsely, they may lie 0.3 mm farther out than their facets
    assert skin.arrangement.united == 0
    assert "united" not in {note.code for note in skin.notes}


def check_spline_in_a_plate(tmp_path, seed, ending):
    """A pin turned to a spline fills its plate: neither mesh nor file says what surface they share."""
    rng = np.random.default_rng([seed, 7])
    z, r = np.linspace(0, 24, 6), rng.uniform(3, 7, 6)
    half = [
        curves.line((0, 0), (0, r[0])),
        curves.spline(list(zip(z, r, strict=True))),
        curves.line((24, r[-1]), (24, 0)),
    ]
    pin, block = (
        solids.about_z(curves.turned(half), float(rng.uniform(0, 6))),
        solids.block((40, 40, 5), (-20, -20, rng.uniform(4, 14))),
    )
    exact = solids.exact_area_mm2(solids.fuse(block, pin))
    whole = solids.moved(solids.together(solids.cut(block, curves.turned(half)), pin), rng)
    path = tmp_path / f"mates.{ending}"
    if ending == "step":
        solids.write_step(whole, path)
    else:
        solids.write_stl(whole, path, float(rng.choice([0.1, 0.05, 0.01])), float(rng.choice([0.4, 0.3, 0.1])))
    area = areacalc.open(path, unit="mm").wetted().value
    assert area.low <= exact <= area.high
    assert area.value == pytest.approx(exact, rel=5e-3)


@pytest.mark.parametrize(("ending", "seed"), [("stl", 8), ("step", 4)])
def test_a_pin_turned_to_a_spline_is_hidden_where_it_fills_its_plate(tmp_path, ending, seed):
    check_spline_in_a_plate(tmp_path, seed, ending)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(30, 36))
@pytest.mark.parametrize("ending", ["stl", "step"])
def test_many_pins_turned_to_splines_are_hidden_where_they_fill_their_plates(tmp_path, ending, seed):
    check_spline_in_a_plate(tmp_path, seed, ending)


@pytest.mark.parametrize(("ending", "chord_mm"), [("step", 0.0), ("stl", 0.1), ("stl", 0.01)])
@pytest.mark.parametrize(("ball_mm", "bore_mm", "above_mm", "vent"), [
    (5.0, 3.0, 0.0, False), (5.0, 4.5, 0.0, False), (4.0, 1.0, 0.0, False),
    (5.0, 4.5, 0.1, False), (5.0, 3.0, 0.0, True),
])  # fmt: skip
def test_a_ball_on_the_rim_of_a_bore_may_seal_it(tmp_path, ending, chord_mm, ball_mm, bore_mm, above_mm, vent):
    """It touches along a circle alone: both readings are in the bounds, and told. A slot in the rim lets liquid in."""
    deep = math.sqrt(ball_mm**2 - bore_mm**2)
    plate = solids.cut(solids.block((20, 20, 10)), solids.rod(bore_mm, 7, (10, 10, 4)))
    if vent:
        plate = solids.cut(plate, solids.block((12, 1.0, 3), (10, 9.5, 8)))
    whole = solids.together(plate, solids.ball(ball_mm, (10, 10, 10 + deep + above_mm)))
    path = tmp_path / f"ball.{ending}"
    solids.write_step(whole, path) if ending == "step" else solids.write_stl(whole, path, chord_mm, 0.4)
    found = areacalc.open(path, unit="mm" if ending == "stl" else None).wetted()
    wet = solids.exact_area_mm2(whole)
    seals = above_mm == 0.0 and not vent
    shut = 2 * math.pi * bore_mm * 6 + math.pi * bore_mm**2 + 2 * math.pi * ball_mm * (ball_mm - deep) if seals else 0.0
    assert found.value.low <= wet - shut + 1e-6 * wet
    assert found.value.high >= wet - 1e-6 * wet
    assert found.value.value == pytest.approx(wet - shut, rel=5e-3)
    assert any(note.code == "shut-by-contact" for note in found.notes) == seals
    assert seals or found.value.low > 0.99 * wet


@pytest.mark.parametrize("ending", ["step", "stl"])
@pytest.mark.parametrize(("larger_mm", "sure"), [(0.005, True), (-0.005, False)])
def test_a_pin_pressed_in_touches_for_sure_and_one_with_a_little_play_may(tmp_path, ending, larger_mm, sure):
    pin, path = 3 + larger_mm, tmp_path / f"pin.{ending}"
    plate = solids.cut(solids.block((20, 20, 10)), solids.rod(3, 12, (10, 10, -1)))
    whole = solids.together(plate, solids.rod(pin, 16, (10, 10, -3)))
    solids.write_step(whole, path) if ending == "step" else solids.write_stl(whole, path, 0.02, 0.2)
    area = areacalc.open(path, unit="mm" if ending == "stl" else None).wetted().value
    united = 1600 + 2 * math.pi * pin * 6
    assert area.value == pytest.approx(united, rel=1e-3)
    assert area.low <= united * (1 + 1e-6)
    apart = 0.0 if sure else 4 * math.pi * 3 * 10
    assert area.high == pytest.approx(united + apart, rel=2e-3)


def test_plugs_whose_facets_pass_through_the_bore_are_bodies_of_their_own(tmp_path):
    """They share the corners of its rim, and beside a cross-bore the mesher turns a facet of its wall."""
    block = solids.cut(solids.block((60, 30, 30), (-30, -15, -15)), solids.rod(4, 62, (-31, 0, 0), (1, 0, 0)))
    plugs = [solids.rod(4, 8, (x, 0, 0), (1, 0, 0)) for x in (-30, 22)]
    body = solids.together(solids.cut(block, solids.rod(3, 16)), *plugs, solids.rod(3, 5, (0, 0, 10)))
    solids.write_stl(body, tmp_path / "ports.stl", 0.1, 0.5)
    part = areacalc.open(tmp_path / "ports.stl", unit="mm")
    assert (part.skin.arrangement.bodies, part.skin.arrangement.cavities) == (4, 1)
    assert part.wetted().value.value == pytest.approx(9000.0, rel=1e-6)
