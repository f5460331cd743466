"""What open, doubled and mated meshes do to the wetted area and its bounds, through the door that the commands use."""

import numpy as np
import pytest
import random_solids as solids
import trimesh

from areacalc.errors import BadInput
from areacalc.part.part import open_part
from areacalc.surface.features.features import find_features


def written(tmp_path, *meshes, keep=None, name="part.stl"):
    corners = np.concatenate([mesh.triangles for mesh in meshes])
    corners = corners if keep is None else corners[keep]
    mesh = trimesh.Trimesh(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3), process=False)
    mesh.export(tmp_path / name)
    return open_part(tmp_path / name, unit="mm")


def box(*size, at=(0, 0, 0)):
    return trimesh.creation.box(size).apply_translation(at)


def states(wetted):
    totals = {}
    for row in wetted.rows:
        totals[row.state.value] = totals.get(row.state.value, 0.0) + row.area_mm2.value
    return totals


def test_a_lost_face_widens_upward_and_is_told(tmp_path):
    whole = box(40, 20, 10)
    wetted = written(tmp_path, whole, keep=np.arange(12) != 5).wetted()
    assert wetted.value.low <= whole.area <= wetted.value.high * (1 + 1e-12)
    assert wetted.value.value < whole.area
    assert any(note.code == "open" and note.warns for note in wetted.notes)


def test_two_boxes_face_on_face_hide_what_touches(tmp_path):
    wetted = written(tmp_path, box(20, 20, 20), box(10, 10, 10, at=(15, 0, 0))).wetted()
    assert wetted.value.value == pytest.approx(2400 + 600 - 200)
    assert states(wetted)["hidden"] == pytest.approx(200)


def test_a_cup_in_a_cup_with_a_coating_between_is_all_wet_in_the_upper_bound(tmp_path):
    outer = solids.cut(solids.rod(20, 30), solids.rod(18, 30, (0, 0, 2)))
    inner = solids.cut(solids.rod(17.98, 30, (0, 0, 2.02)), solids.rod(16, 30, (0, 0, 4.02)))
    cups = solids.together(outer, inner)
    solids.write_stl(cups, tmp_path / "cups.stl", 0.01, 0.15)
    area = open_part(tmp_path / "cups.stl", unit="mm").wetted().value
    assert area.low < 9322.9 < solids.exact_area_mm2(cups) <= area.high * (1 + 1e-7)


def test_overlapping_boxes_count_as_their_union(tmp_path):
    wetted = written(tmp_path, box(20, 20, 20), box(20, 20, 20, at=(10, 10, 10))).wetted()
    assert wetted.value.value == pytest.approx(2 * 2400 - 6 * 100)


def test_a_body_in_the_bore_of_another_does_what_a_plug_does(tmp_path):
    tube = trimesh.creation.annulus(5.0, 10.0, 20.0, sections=48)
    plug = trimesh.creation.cylinder(5.0, 4.0, sections=48)
    open_tube = written(tmp_path, tube, name="tube.stl").wetted()
    shut = written(tmp_path, tube, *(plug.copy().apply_translation((0, 0, z)) for z in (-8.0, 8.0))).wetted()
    assert {"hidden", "sealed"} <= set(states(shut))
    assert shut.value.value < open_tube.value.value - 2 * np.pi * 5 * 20 + 2 * np.pi * 25 + 1.0
    assert states(shut)["sealed"] == pytest.approx(2 * np.pi * 5 * 12 + 2 * np.pi * 25, rel=5e-3)


def test_a_sealed_void_is_never_wetted(tmp_path):
    ball = trimesh.creation.icosphere(3, 5.0)
    ball.invert()
    wetted = written(tmp_path, box(20, 20, 20), ball).wetted()
    assert wetted.value.value == pytest.approx(2400)
    assert states(wetted)["sealed"] == pytest.approx(4 * np.pi * 25, rel=1e-2)


def test_a_body_or_a_face_given_twice_counts_once(tmp_path):
    whole = trimesh.creation.cylinder(10, 20, sections=64)
    for kept in (np.r_[: len(whole.faces), : len(whole.faces)], np.r_[: len(whole.faces), :20]):
        wetted = written(tmp_path, whole, keep=kept).wetted()
        assert wetted.value.value == pytest.approx(2 * np.pi * 10 * 20 + 2 * np.pi * 100, rel=1e-6)
        assert any(note.code == "duplicates-dropped" for note in wetted.notes)


def test_loose_triangles_are_refused_before_anything_is_looked_for(soup, monkeypatch):
    monkeypatch.setattr("areacalc.surface.features.features._found", None)  # it would take minutes on thousands
    rng = np.random.default_rng(3)
    loose = trimesh.Trimesh(rng.random((600, 3)), np.arange(600).reshape(-1, 3), process=False)
    with pytest.raises(BadInput, match="200 of its 200 triangles touch no other"):
        find_features(soup(loose))


def test_triangles_that_lie_in_a_line_have_no_area_and_are_refused(soup):
    points = np.stack([np.arange(12.0), np.zeros(12), np.zeros(12)], axis=1)
    with pytest.raises(BadInput, match="no triangle with an area"):
        find_features(soup(trimesh.Trimesh(points, np.arange(12).reshape(-1, 3), process=False)))


@pytest.mark.parametrize("at", [(20, 0, 0), (-4, 1, 2.5), (-4, 1, 0)])
def test_a_drawing_plane_beside_on_or_through_a_body_may_be_none_of_it(tmp_path, at):
    body = box(20, 10, 5)
    plane = trimesh.Trimesh([(0, 0, 0), (8, 0, 0), (8, 4, 0), (0, 4, 0)], [(0, 1, 2), (0, 2, 3)], process=False)
    area = written(tmp_path, body, plane.apply_translation(at)).wetted().value
    assert area.low <= body.area + 1e-3
    assert area.high >= body.area + 2 * plane.area - 1e-3


@pytest.mark.parametrize("inside_out", [(0,), (1,), (2,), (0, 2)])
def test_bodies_inside_out_that_share_the_faces_they_touch_with_are_bodies_still(tmp_path, inside_out):
    """As a part mirrored in its export: the same triangles lie in the contact twice, turned the same way."""
    discs = []
    for k in range(3):
        disc = solids.cut(solids.rod(10, 4, (0, 0, 4 * k)), solids.rod(3, 6, (0, 0, 4 * k - 1)))
        solids.write_stl(disc, tmp_path / "disc.stl", 0.1, 0.3)
        discs.append(trimesh.load(tmp_path / "disc.stl"))
    for k in inside_out:
        discs[k].invert()
    order = np.random.default_rng(3).permutation(sum(len(disc.faces) for disc in discs))
    part = written(tmp_path, *discs, keep=order)
    assert (part.skin.arrangement.bodies, part.skin.arrangement.united) == (3, 3)
    assert part.wetted().value.value == pytest.approx(2 * np.pi * (13 * 12 + 91), rel=1e-5)
    assert "duplicates-dropped" not in {note.code for note in part.wetted().notes}
