"""What is odd about a mesh, and what each oddity does to the bounds: the true area must stay inside them."""

import numpy as np
import pytest
import trimesh
from bodies import loose

from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.shape.mesh.mend import mend
from areacalc.shape.mesh.openings import openings
from areacalc.shape.mesh.soundness import judge
from areacalc.surface.wetted import widened

TUBE = trimesh.creation.annulus(4.0, 10.0, 30.0, sections=48)


def body_of(*meshes, keep=None):
    corners = np.concatenate([mesh.triangles for mesh in meshes])
    return loose(corners if keep is None else corners[keep])


def bounds(body):
    return widened(Estimate.exact(body.facet_area_mm2), judge(body))


def said(body):
    """What is odd about a mesh, by code: the fact, and what may come off and on [mm2]."""
    return {note.code: (note.fact, note.less_mm2, note.more_mm2) for note in judge(body)}


def test_a_sound_mesh_has_nothing_to_say():
    assert judge(body_of(TUBE)) == ()


def test_a_lost_facet_is_told_with_its_place_and_its_area_lies_in_the_bounds():
    keep = np.arange(len(TUBE.faces)) != 17
    body = body_of(TUBE, keep=keep)
    low, high = bounds(body).low, bounds(body).high
    assert low <= TUBE.area <= high * (1 + 1e-12)
    assert high - TUBE.area < 3 * TUBE.area_faces[17]
    (hole,) = openings(body.topology)
    assert hole.edges == 3
    assert hole.centre_mm == pytest.approx(TUBE.triangles[17].mean(axis=0), abs=10.0)
    assert "open" in said(body)


def test_an_open_sheet_may_be_wet_on_both_sides():
    sheet = trimesh.creation.icosphere(3, 10.0).slice_plane([0, 0, 0], [0, 0, 1])
    both = bounds(body_of(sheet))
    assert both.high >= 2 * sheet.area * (1 - 1e-9)
    assert both.low <= sheet.area


def test_two_strands_through_each_other_in_one_skin_widen_downward():
    one = trimesh.creation.box((40, 10, 10))
    two = trimesh.creation.box((10, 40, 10)).apply_translation((0, 0, 3))
    holed = np.arange(24) != 0  # an open shell cannot be united, so its crossings count here
    body = body_of(one, two, keep=holed)
    united = trimesh.boolean.union([one, two], engine="manifold").area
    estimate = bounds(body)
    assert "self-crossing" in said(body)
    assert estimate.low <= united <= estimate.high


def test_back_to_back_faces_are_a_sheet_without_thickness():
    plate = trimesh.creation.box((20, 20, 2))
    flag = np.array([[[10, -5, 0], [30, -5, 0], [30, 5, 0]], [[10, -5, 0], [30, 5, 0], [30, -5, 0]]], float)
    corners = np.concatenate([plate.triangles, flag])
    told, less, _ = said(loose(corners))["doubled-faces"]
    assert told["count"] == 2
    assert less == pytest.approx(100.0)


def test_mixed_normals_are_told_and_change_no_area():
    corners = TUBE.triangles.copy()
    corners[::7] = corners[::7, ::-1]
    found = said(loose(corners))
    assert set(found) == {"mixed-normals"}
    assert found["mixed-normals"][1:] == (0.0, 0.0)


def test_specks_are_counted_and_may_come_off():
    specks = [trimesh.creation.box((0.01,) * 3).apply_translation((20 + i, 0, 0)) for i in range(5)]
    told, less, _ = said(body_of(TUBE, *specks))["specks"]
    assert told["count"] == 5
    assert less == pytest.approx(5 * 6 * 0.01**2, rel=1e-6)


def test_slivers_thinner_than_the_rounding_are_told():
    far = TUBE.copy().apply_translation((1e5, 0, 0))
    thin = np.array([[[1e5, 0, 20], [1e5 + 10, 0, 20], [1e5 + 5, 1e-9, 20]]])
    corners = np.concatenate([far.triangles, thin])
    assert "slivers" in said(loose(corners))


def test_triangles_that_touch_no_other_are_refused():
    rng = np.random.default_rng(3)
    corners = rng.random((400, 3, 3))
    body = loose(corners)
    with pytest.raises(BadInput, match="touch no other"):
        judge(body)


def quads(size):
    """The six faces of a box as two triangles each, cut along either diagonal."""
    box = trimesh.creation.box(size)
    first = []
    for axis in range(3):
        for end in (-1, 1):
            ring = np.zeros((4, 3))
            ring[:, axis] = end
            ring[:, (axis + 1) % 3], ring[:, (axis + 2) % 3] = [-1, 1, 1, -1][::end], [-1, -1, 1, 1][::end]
            first.append(ring * np.array(size) / 2)
    faces = np.array(first)
    return (
        box.area,
        faces[:, [[0, 1, 2], [0, 2, 3]]].reshape(-1, 3, 3),
        faces[:, [[1, 2, 3], [1, 3, 0]]].reshape(-1, 3, 3),
    )


def test_a_mesh_of_four_sided_faces_given_twice_counts_once_whichever_way_they_are_cut():
    area, one, other = quads((20.0, 10.0, 5.0))
    for again in (one, other):
        mended = mend(loose(np.concatenate([one, again])))
        assert mended.facet_area_mm2 == pytest.approx(area)
        assert {note.code for note in mended.notes} == {"duplicates-dropped"}


def test_a_face_too_many_is_told_and_may_come_off():
    _, one, other = quads((20.0, 10.0, 5.0))
    a, b, c = other[0]
    middle = (a + b + c) / 3
    extra = np.array([[a, b, middle], [b, c, middle], [c, a, middle], other[1]])
    body = loose(np.concatenate([one, extra]))
    found = bounds(body)
    assert found.low <= body.facet_area_mm2 - 50.0
