"""What is odd about a mesh, and what each oddity does to the bounds: the true area must stay inside them."""

import numpy as np
import pytest
import trimesh

from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.shape.body import Body
from areacalc.shape.kinds import UnitBasis, UnitHow
from areacalc.shape.mesh.soundness import judge

TUBE = trimesh.creation.annulus(4.0, 10.0, 30.0, sections=48)


def body_of(*meshes, keep=None):
    corners = np.concatenate([mesh.triangles for mesh in meshes])
    return loose(corners if keep is None else corners[keep])


def loose(corners):
    """A Body of triangles (m, 3, 3) with three corners of their own each, as STL gives them."""
    rows = np.arange(3 * len(corners), dtype=np.int32).reshape(-1, 3)
    return Body("part", "part.stl", corners.reshape(-1, 3), rows, UnitBasis("mm", UnitHow.GIVEN))


def bounds(body):
    return judge(body).bounded(Estimate.exact(body.facet_area_mm2))


def codes(found):
    return {note.code for note in found.notes}


def test_a_sound_mesh_has_nothing_to_say():
    found = judge(body_of(TUBE))
    assert (found.openings, found.oriented, found.doubled, found.crossing) == ((), True, 0, 0)
    assert (found.extra_low_mm2, found.extra_high_mm2, found.notes) == (0.0, 0.0, ())


def test_a_lost_facet_is_told_with_its_place_and_its_area_lies_in_the_bounds():
    keep = np.arange(len(TUBE.faces)) != 17
    body = body_of(TUBE, keep=keep)
    found = judge(body)
    low, high = bounds(body).low, bounds(body).high
    assert low <= TUBE.area <= high * (1 + 1e-12)
    assert high - TUBE.area < 3 * TUBE.area_faces[17]
    assert found.openings[0].edges == 3
    assert found.openings[0].centre_mm == pytest.approx(TUBE.triangles[17].mean(axis=0), abs=10.0)
    assert "open" in codes(found)


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
    found = judge(body)
    united = trimesh.boolean.union([one, two], engine="manifold").area
    estimate = found.bounded(Estimate.exact(body.facet_area_mm2))
    assert found.crossing
    assert "self-crossing" in codes(found)
    assert estimate.low <= united <= estimate.high


def test_back_to_back_faces_are_a_sheet_without_thickness():
    plate = trimesh.creation.box((20, 20, 2))
    flag = np.array([[[10, -5, 0], [30, -5, 0], [30, 5, 0]], [[10, -5, 0], [30, 5, 0], [30, -5, 0]]], float)
    corners = np.concatenate([plate.triangles, flag])
    body = loose(corners)
    found = judge(body)
    assert found.doubled == 2
    assert found.extra_low_mm2 == pytest.approx(100.0)
    assert "doubled-faces" in codes(found)


def test_mixed_normals_are_told_and_change_no_area():
    corners = TUBE.triangles.copy()
    corners[::7] = corners[::7, ::-1]
    body = loose(corners)
    found = judge(body)
    assert not found.oriented
    assert "mixed-normals" in codes(found)
    assert (found.extra_low_mm2, found.extra_high_mm2) == (0.0, 0.0)


def test_specks_are_counted_and_may_come_off():
    specks = [trimesh.creation.box((0.01,) * 3).apply_translation((20 + i, 0, 0)) for i in range(5)]
    found = judge(body_of(TUBE, *specks))
    assert found.specks == 5
    assert found.extra_low_mm2 == pytest.approx(5 * 6 * 0.01**2, rel=1e-6)


def test_slivers_thinner_than_the_rounding_are_told():
    far = TUBE.copy().apply_translation((1e5, 0, 0))
    thin = np.array([[[1e5, 0, 20], [1e5 + 10, 0, 20], [1e5 + 5, 1e-9, 20]]])
    corners = np.concatenate([far.triangles, thin])
    body = loose(corners)
    assert judge(body).slivers >= 1


def test_triangles_that_touch_no_other_are_refused():
    rng = np.random.default_rng(3)
    corners = rng.random((400, 3, 3))
    body = loose(corners)
    with pytest.raises(BadInput, match="touch no other"):
        judge(body)
