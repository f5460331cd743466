"""Triangles that pass through one another: the quick search finds what holding all against all finds."""

import numpy as np
import pytest
import trimesh

from areacalc.shape.body import Body, UnitBasis, UnitHow
from areacalc.shape.mesh import crossing
from areacalc.shape.mesh.crossing import crossing_pairs
from areacalc.shape.mesh.soundness import judge

ASKEW = trimesh.transformations.rotation_matrix(0.7, (1.0, 2.0, 0.5))[:3, :3]


def all_against_all(points, corners, slack_mm, monkeypatch):
    with monkeypatch.context() as few:
        few.setattr(crossing, "_FEW", len(corners))
        return crossing_pairs(points, corners, slack_mm)


@pytest.mark.parametrize("stretch", [(1, 1, 1), (1, 1, 40)])
@pytest.mark.parametrize("seed", range(4))
def test_random_triangles(stretch, seed, monkeypatch):
    rng = np.random.default_rng(seed)
    count = 2000
    points = (rng.random((count, 1, 3)) * 20 + rng.normal(size=(count, 3, 3)) * stretch).reshape(-1, 3) @ ASKEW
    corners = np.arange(3 * count, dtype=np.int32).reshape(-1, 3)
    quick = crossing_pairs(points, corners, 1e-6)
    plain = all_against_all(points, corners, 1e-6, monkeypatch)
    assert len(plain) > 100
    assert {*map(tuple, quick.tolist())} == {*map(tuple, plain.tolist())}
    assert len(quick) == len(plain)


def test_a_fine_turned_part_that_lies_askew_is_searched():
    tube = trimesh.creation.annulus(4.0, 10.0, 60.0, sections=15_000)
    assert len(crossing_pairs(tube.vertices @ ASKEW, tube.faces.astype(np.int32), 1e-5)) == 0


def test_skin_through_itself_is_found_in_a_large_mesh_too():
    ball = trimesh.creation.icosphere(6, 10.0)  # 81920 triangles
    other = ball.copy().apply_translation((12.0, 0.3, 0.1))
    keep = np.arange(2 * len(ball.faces)) != 7  # an open shell cannot be united, so its crossings count here
    corners = np.concatenate([ball.triangles, other.triangles])[keep]
    rows = np.arange(3 * len(corners), dtype=np.int32).reshape(-1, 3)
    found = judge(Body("balls", "balls.stl", corners.reshape(-1, 3), rows, UnitBasis("mm", UnitHow.GIVEN)))
    hidden = ball.area + other.area - trimesh.boolean.union([ball, other], engine="manifold").area
    assert found.crossing > 100
    assert found.extra_low_mm2 >= hidden


def test_a_search_that_would_take_too_long_is_given_up_and_told(monkeypatch):
    monkeypatch.setattr(crossing, "_MOST", 10)
    ball = trimesh.creation.icosphere(4, 10.0)
    found = judge(Body("ball", "ball.stl", ball.vertices, ball.faces.astype(np.int32), UnitBasis("mm", UnitHow.GIVEN)))
    assert found.crossing is None
    assert [(note.code, note.warns) for note in found.notes] == [("crossings-not-searched", True)]
