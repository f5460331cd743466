"""Bodies in, on and against one another: what of their skin the outside sees, by closed forms and a boolean library."""

import math

import manifold3d
import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.shape.body import Body
from areacalc.shape.kinds import UnitBasis, UnitHow
from areacalc.surface.contact import REACH
from areacalc.surface.features.features import find_features
from areacalc.surface.skin import State

SIDES = 32
TURN = np.arange(SIDES) * (2 * math.pi / SIDES)
RIM = 2 * SIDES * math.sin(math.pi / SIDES)  # length of the outline of a disk of radius 1 with flats
DISK = SIDES * math.sin(2 * math.pi / SIDES) / 2  # and its area


def box(*size, at=(0, 0, 0)):
    return trimesh.creation.box(size).apply_translation(at)


def turned(*outline):
    """The body of a closed outline of (radius, z), anticlockwise, in flats whose corners are shared by equal radii."""
    rings = [
        np.column_stack([r * np.cos(TURN), r * np.sin(TURN), np.full(SIDES, z)]) if r else np.array([[0.0, 0.0, z]])
        for r, z in outline
    ]
    starts = np.cumsum([0] + [len(ring) for ring in rings])
    i, j = np.arange(SIDES), (np.arange(SIDES) + 1) % SIDES
    faces = []
    for k in range(len(rings)):
        low, high = starts[k], starts[(k + 1) % len(rings)]
        one, two = len(rings[k]) > 1, len(rings[(k + 1) % len(rings)]) > 1
        if one:
            faces.append(np.column_stack([low + i, low + j, high + (j if two else 0 * j)]))
        if two:
            faces.append(np.column_stack([low + (i if one else 0 * i), high + j, high + i]))
    return trimesh.Trimesh(np.concatenate(rings), np.concatenate(faces), process=False)


def rod(radius, low, high):
    return turned((0, low), (radius, low), (radius, high), (0, high))


def tube(bore, radius, low, high):
    return turned((bore, low), (radius, low), (radius, high), (bore, high))


class Found:
    """What of a body's triangles counts, lies against or in others, or is sealed [mm2], and the arrangement itself."""

    def __init__(self, body):
        skin = find_features(body, as_drawn=True)
        self.arrangement, self.notes = skin.arrangement, {note.code for note in skin.notes}
        a, b, c = (body.vertices[body.triangles[:, j]] for j in range(3))
        area = 0.5 * np.linalg.norm(np.cross(b - a, c - a), axis=1)
        shares = {each.state: each for each in self.arrangement.dry}
        self.hidden, self.sealed = (
            area * shares[state].value if state in shares else 0.0 * area for state in (State.HIDDEN, State.SEALED)
        )
        self.exposed = area - self.hidden - self.sealed

    def counts(self):
        return self.arrangement.bodies, self.arrangement.united, self.arrangement.cavities


def test_the_shapes_of_this_file_are_what_they_claim():
    assert rod(5, 0, 20).area == pytest.approx(2 * 25 * DISK + 100 * RIM)
    assert tube(5, 10, 0, 20).volume == pytest.approx(75 * DISK * 20)


def test_one_body_is_all_outside(soup):
    body = soup(tube(5, 10, 0, 20))
    found = Found(body)
    assert found.exposed.sum() == pytest.approx(body.facet_area_mm2, rel=1e-14)
    assert found.counts() == (1, 0, 0)
    assert not found.notes


@pytest.mark.parametrize(("shift", "contact"), [
    ((10, 0, 0), 200.0), ((10, 4, 3), 2 * 6 * 7.0), ((0, -10, 0), 200.0), ((10, 10, 0), 0.0), ((10, 10, 10), 0.0),
    ((10 + 1e-6, 0, 0), 200.0), ((10 - 1e-6, 0, 0), 200.0), ((10 + 1e-13, 3, 0), 140.0), ((10.03, 0, 0), 0.0),
    ((25, 0, 0), 0.0),
])  # fmt: skip
@pytest.mark.parametrize("solids", [(), ("left", "right")])
def test_boxes_that_share_a_face_or_nearly(soup, shift, contact, solids):
    body = soup(box(10, 10, 10), box(10, 10, 10, at=shift), solids=solids)
    found = Found(body)
    assert found.exposed.sum() == pytest.approx(1200.0 - contact, rel=2e-7)
    assert found.hidden.sum() == pytest.approx(contact, abs=1e-4)


@pytest.mark.parametrize(("places", "apart"), [
    ([(0, 0, 0), (25, 0, 0)], 2), ([(0, 0, 0), (10, 0, 0)], None), ([(0, 0, 0), (10.2, 0, 0)], 2),
    ([(0, 0, 0), (10, 0, 0), (5, 25, 0)], 2), ([(0, 0, 0), (10, 3, 0), (0, 30, 0), (9, 31, 2), (70, 0, 0)], 3),
])  # fmt: skip
def test_bodies_that_do_not_touch_are_told_as_apart(soup, places, apart):
    body = soup(*(box(10, 10, 10, at=place) for place in places))
    told = [note.fact["count"] for note in find_features(body).notes if note.code == "loose-bodies"]
    assert told == ([] if apart is None else [apart])


def test_a_body_that_the_bath_cannot_reach_is_not_apart(soup):
    cavity = box(20, 20, 20)
    cavity.invert()
    body = soup(box(30, 30, 30), cavity, box(5, 5, 5))
    assert "loose-bodies" not in {note.code for note in find_features(body).notes}


def test_boxes_in_one_another_count_as_their_union(soup):
    body = soup(box(10, 10, 10), box(10, 10, 10, at=(5, 1, 2)))
    found = Found(body)
    assert found.exposed.sum() == pytest.approx(1200.0 - (2 * (5 * 9 + 5 * 8 + 9 * 8)), rel=1e-12)
    assert "united" in found.notes


def test_the_same_box_twice_counts_once(soup):
    found = Found(soup(box(10, 10, 10), box(10, 10, 10), solids=("a", "b")))
    assert found.exposed.sum() == pytest.approx(600.0)


@pytest.mark.parametrize("play", [0.0, 1e-6, -1e-6])
def test_a_pin_that_fills_a_bore_leaves_a_rod(soup, play):
    found = Found(soup(tube(5, 10, 0, 20), rod(5 + play, 0, 20)))
    assert found.exposed.sum() == pytest.approx(rod(10, 0, 20).area, rel=1e-6)
    assert found.hidden.sum() == pytest.approx(2 * 5 * 20 * RIM, rel=1e-6)


@pytest.mark.parametrize("play", [0.0, 1e-6, -1e-6])
def test_a_plug_in_the_middle_of_a_bore_takes_its_wall_and_gives_its_ends(soup, play):
    found = Found(soup(tube(5, 10, 0, 20), rod(5 + play, 7, 13)))
    assert found.exposed.sum() == pytest.approx(tube(5, 10, 0, 20).area - 5 * 6 * RIM + 2 * 25 * DISK, rel=1e-6)


def test_two_plugs_seal_the_bore_between_them(soup):
    found = Found(soup(tube(5, 10, 0, 20), rod(5, 0, 2), rod(5, 18, 20)))
    assert found.exposed.sum() == pytest.approx(rod(10, 0, 20).area, rel=1e-9)
    assert found.arrangement.cavities == 1
    assert found.sealed.sum() == pytest.approx(5 * 16 * RIM + 2 * 25 * DISK, rel=1e-9)


def test_one_plug_leaves_a_blind_bore(soup):
    found = Found(soup(tube(5, 10, 0, 20), rod(5, 0, 2)))
    assert found.arrangement.cavities == 0
    assert found.exposed.sum() == pytest.approx(rod(10, 0, 20).area + 5 * 18 * RIM, rel=1e-9)


@pytest.mark.parametrize("gap", [0.0, 1e-6])
def test_lids_on_both_ends_seal_a_tube(soup, gap):
    found = Found(soup(tube(5, 10, 0, 20), rod(10, 20 + gap, 22), rod(10, -2, -gap)))
    assert found.exposed.sum() == pytest.approx(rod(10, -2, 22).area, rel=1e-6)
    assert found.sealed.sum() == pytest.approx(5 * 20 * RIM + 2 * 25 * DISK, rel=1e-6)
    assert found.hidden.sum() == pytest.approx(4 * 75 * DISK, rel=1e-6)


def test_a_gap_wider_than_liquid_needs_lets_the_bath_in(soup):
    gap = 1.5 * REACH.value
    found = Found(soup(tube(5, 10, 0, 20), rod(10, 20 + gap, 22), rod(10, -2, -gap)))
    assert found.sealed.sum() == 0.0
    assert found.hidden.sum() == 0.0


@pytest.mark.parametrize("inward", [True, False])
def test_a_ball_shaped_void_is_sealed_whichever_way_it_is_turned(soup, inward):
    ball = trimesh.creation.icosphere(2, 8)
    hole = ball.copy()
    if inward:
        hole.invert()
    found = Found(soup(box(40, 40, 40), hole))
    assert found.exposed.sum() == pytest.approx(9600.0)
    assert found.sealed.sum() == pytest.approx(ball.area)
    assert found.counts() == (1, 0, 1)


def test_what_floats_in_a_void_is_sealed_too(soup):
    hole = trimesh.creation.icosphere(2, 8)
    hole.invert()
    found = Found(soup(box(40, 40, 40), hole, box(2, 2, 2)))
    assert found.exposed.sum() == pytest.approx(9600.0)
    assert found.sealed.sum() == pytest.approx(hole.area + 24.0)


def test_a_body_half_in_the_arm_of_another_is_no_void(soup):
    """Its box lies in the other's box, and one of its corners in the other's arm."""
    angle = trimesh.util.concatenate([])
    solid = manifold3d.Manifold.cube((30, 10, 10)) + manifold3d.Manifold.cube((10, 30, 10))
    mesh = solid.to_mesh64()
    angle = trimesh.Trimesh(np.array(mesh.vert_properties)[:, :3], np.array(mesh.tri_verts), process=False)
    peg = box(4, 14, 4, at=(20, 13, 5))  # from y 6, in the arm, to y 20, in the open
    found = Found(soup(angle, peg))
    assert found.arrangement.cavities == 0
    assert found.exposed.sum() == pytest.approx(angle.area - 16 + 4 * 4 * 10 + 16, rel=1e-12)


def test_a_cavity_that_another_body_breaks_open_is_no_longer_sealed(soup):
    hole = box(8, 8, 8)
    hole.invert()
    found = Found(soup(box(20, 20, 20), hole, box(2, 2, 40)))
    # the rod runs through both walls and through the void: the void stays shut, the rod in it is sealed with it
    assert found.exposed.sum() == pytest.approx(2400.0 + 4 * 2 * 20, rel=1e-12)
    assert found.sealed.sum() == pytest.approx(384.0 - 8 + 4 * 2 * 8, rel=1e-9)


def test_thousands_of_crumbs_are_told_apart_quickly(soup):
    body = soup(*(box(1, 1, 1, at=3.0 * np.array(place)) for place in np.ndindex(12, 12, 12)))
    found = Found(body)
    assert found.exposed.sum() == pytest.approx(6 * 12**3)
    assert found.counts() == (12**3, 0, 0)


def test_an_open_shell_beside_a_body_is_said_and_counted_whole(soup):
    body = soup(box(10, 10, 10), box(10, 10, 10, at=(10, 0, 0)))
    open_one = Body("part", "part.stl", body.vertices, body.triangles[:-1], UnitBasis("mm", UnitHow.GIVEN))
    found = Found(open_one)
    assert found.exposed.sum() == pytest.approx(1150.0)
    assert "open-not-united" in found.notes


def test_single_precision_and_a_turn_do_not_part_what_is_mated(soup):
    """As an STL of a turned assembly: every coordinate rounded, so that no two faces lie quite together."""
    turn = trimesh.transformations.rotation_matrix(0.7, (1, 2, 3))
    parts = [mesh.apply_transform(turn) for mesh in (tube(5, 10, 0, 20), rod(5, 0, 2), rod(5, 18, 20))]
    for part in parts:
        part.vertices = part.vertices.astype(np.float32)
    found = Found(soup(*parts))
    assert found.exposed.sum() == pytest.approx(rod(10, 0, 20).area, rel=2e-6)
    assert found.arrangement.cavities == 1


@pytest.mark.parametrize(("skin", "cavity"), [
    (((0, 0), (10, 0), (10, 5), (10, 10), (0, 10)), ((2, 3), (10, 5), (2, 7))),
    (((0, 0), (10, 0), (10, 10), (6, 10), (0, 10)), ((0, 3), (4, 3), (6, 10), (0, 7))),
    (((0, 0), (10, 0), (10, 5), (10, 10), (6, 10), (0, 10)), ((3, 2), (8, 2), (10, 5), (6, 10), (2, 6))),
])  # fmt: skip
def test_a_cavity_that_meets_the_outside_along_circles_alone_is_sealed(soup, skin, cavity):
    hole = turned(*cavity)
    hole.invert()
    found = Found(soup(turned(*skin), hole))
    assert found.exposed.sum() == pytest.approx(2 * 100 * DISK + 100 * RIM, rel=1e-9)
    assert found.sealed.sum() == pytest.approx(hole.area, rel=1e-9)


@pytest.mark.parametrize("pocketed", [True, False])
@pytest.mark.parametrize("names", [(), ("plate", "letter")])
def test_a_letter_flush_in_the_plate_of_a_print_is_no_cavity(soup, pocketed, names):
    plate = manifold3d.Manifold.cube((40, 30, 5)) + manifold3d.Manifold.cube((8, 8, 10)).translate((2, 2, 0))
    letter = manifold3d.Manifold.cube((10, 6, 2)).translate((20, 10, 3))
    meshes = []
    for solid in (plate - letter if pocketed else plate, letter):
        mesh = solid.to_mesh64()
        meshes.append(trimesh.Trimesh(np.array(mesh.vert_properties)[:, :3], np.array(mesh.tri_verts), process=False))
    turn = trimesh.transformations.rotation_matrix(0.9, (1, 2, 3))
    for mesh in meshes:
        mesh.apply_transform(turn).vertices = mesh.vertices.astype(np.float32)
    found = Found(soup(*meshes, solids=names))
    assert found.exposed.sum() == pytest.approx(plate.surface_area(), rel=1e-6)
    assert found.counts() == (2, 2, 0)
    assert "flipped" not in found.notes


def solid_of(mesh):
    return manifold3d.Manifold(manifold3d.Mesh64(np.array(mesh.vertices), mesh.faces.astype(np.uint64)))


@given(st.integers(0, 2**32 - 1), st.integers(2, 5))
@settings(deadline=None, max_examples=60)
def test_random_boxes_and_rods_count_as_the_boolean_library_says(soup, seed, count):
    """manifold3d's area of the union, less the walls of what the union seals."""
    rng = np.random.default_rng(seed)
    meshes = []
    for _ in range(count):
        shape = box(*rng.uniform(2, 12, 3)) if rng.random() < 0.5 else rod(rng.uniform(1, 5), 0, rng.uniform(2, 14))
        shape.apply_transform(trimesh.transformations.random_rotation_matrix(rng.random(3)))
        meshes.append(shape.apply_translation(rng.uniform(-8, 8, 3)))
    union = manifold3d.Manifold.batch_boolean([solid_of(mesh) for mesh in meshes], manifold3d.OpType.Add)
    found = Found(soup(*meshes))
    assert found.exposed.sum() + sealed_walls(found, meshes) == pytest.approx(union.surface_area(), rel=1e-9)


def sealed_walls(found, meshes):
    """What is sealed and still on the union: all but bodies that lie whole in others, which the union swallows."""
    first = np.cumsum([0] + [len(mesh.faces) for mesh in meshes])
    total = 0.0
    for low, high, mesh in zip(first, first[1:], meshes, strict=False):
        own = found.sealed[low:high].sum()
        total += 0.0 if own == pytest.approx(mesh.area, rel=1e-9) else own
    return total


@given(st.lists(st.tuples(*[st.integers(0, 3)] * 3), min_size=2, max_size=6, unique=True))
@settings(deadline=None, max_examples=40)
def test_blocks_on_a_grid_show_the_faces_that_no_neighbour_covers(soup, cells):
    """Every contact exact, at faces, edges and corners; the area counted by hand from the grid."""
    found = Found(soup(*(box(1, 1, 1, at=cell) for cell in cells)))
    taken = set(cells)
    steps = [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)]
    covered = sum(tuple(np.add(cell, step)) in taken for cell in cells for step in steps)
    assert found.exposed.sum() == pytest.approx(6 * len(cells) - covered, abs=1e-9)
    assert found.hidden.sum() == pytest.approx(covered, abs=1e-9)
