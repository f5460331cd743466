"""Triangles that pass through one another: the quick search finds what holding all against all finds."""

import numpy as np
import pytest
import trimesh

from areacalc.shape.body import Body
from areacalc.shape.kinds import UnitBasis, UnitHow
from areacalc.shape.mesh import soundness
from areacalc.shape.mesh.soundness import crossing_pairs, judge

ASKEW = trimesh.transformations.rotation_matrix(0.7, (1.0, 2.0, 0.5))[:3, :3]


def all_against_all(points, corners, slack_mm):
    """Every pair whose boxes meet, worked out in plain arrays."""
    places = points[corners]
    low, high = places.min(axis=1), places.max(axis=1)
    pairs = np.argwhere(((low[:, None] <= high[None]) & (high[:, None] >= low[None])).all(axis=2))
    pairs = pairs[pairs[:, 0] < pairs[:, 1]]
    found = np.zeros(len(pairs), bool)
    for plane, other in (places[pairs].swapaxes(0, 1), places[pairs[:, ::-1]].swapaxes(0, 1)):
        normal = np.cross(plane[:, 1] - plane[:, 0], plane[:, 2] - plane[:, 0])
        normal /= np.linalg.norm(normal, axis=1, keepdims=True)
        height = np.einsum("pkc,pc->pk", other - plane[:, :1], normal)
        for j in range(3):
            h0, h1 = height[:, j], height[:, (j + 1) % 3]
            at = np.nonzero((np.minimum(h0, h1) < -slack_mm) & (np.maximum(h0, h1) > slack_mm))[0]
            hit = other[at, j] + (h0[at] / (h0[at] - h1[at]))[:, None] * (other[at, (j + 1) % 3] - other[at, j])
            inside = np.ones(len(at), bool)
            for side in range(3):
                along = plane[at, (side + 1) % 3] - plane[at, side]
                reach = np.einsum("pc,pc->p", np.cross(normal[at], along), hit - plane[at, side])
                inside &= reach > -slack_mm * np.linalg.norm(along, axis=1)
            found[at[inside]] = True
    both = np.ones(len(pairs), bool)
    for one, two in (places[pairs].swapaxes(0, 1), places[pairs[:, ::-1]].swapaxes(0, 1)):
        normal = np.cross(one[:, 1] - one[:, 0], one[:, 2] - one[:, 0])
        height = np.einsum("pkc,pc->pk", two - one[:, :1], normal) / np.linalg.norm(normal, axis=1, keepdims=True)
        both &= (height.min(axis=1) < -slack_mm) & (height.max(axis=1) > slack_mm)
    return pairs[found & both]


@pytest.mark.parametrize("stretch", [(1, 1, 1), (1, 1, 40)])
@pytest.mark.parametrize("seed", range(4))
def test_random_triangles(stretch, seed):
    rng = np.random.default_rng(seed)
    count = 600
    points = (rng.random((count, 1, 3)) * 20 + rng.normal(size=(count, 3, 3)) * stretch).reshape(-1, 3) @ ASKEW
    corners = np.arange(3 * count, dtype=np.int32).reshape(-1, 3)
    quick = crossing_pairs(points, corners, 1e-6)
    plain = all_against_all(points, corners, 1e-6)
    assert len(plain) > 100
    assert {*map(tuple, quick.tolist())} == {*map(tuple, plain.tolist())}
    assert len(quick) == len(plain)


@pytest.mark.slow
def test_a_fine_turned_part_that_lies_askew_is_searched():
    tube = trimesh.creation.annulus(4.0, 10.0, 60.0, sections=15_000)
    assert len(crossing_pairs(tube.vertices @ ASKEW, tube.faces.astype(np.int32), 1e-5)) == 0


def test_skin_through_itself_is_found_in_a_large_mesh_too():
    ball = trimesh.creation.icosphere(6, 10.0)  # 81920 triangles
    other = ball.copy().apply_translation((12.0, 0.3, 0.1))
    keep = np.arange(2 * len(ball.faces)) != 7  # an open shell cannot be united, so its crossings count here
    corners = np.concatenate([ball.triangles, other.triangles])[keep]
    rows = np.arange(3 * len(corners), dtype=np.int32).reshape(-1, 3)
    notes = judge(Body("balls", "balls.stl", corners.reshape(-1, 3), rows, UnitBasis("mm", UnitHow.GIVEN)))
    hidden = ball.area + other.area - trimesh.boolean.union([ball, other], engine="manifold").area
    (told,) = [note for note in notes if note.code == "self-crossing"]
    assert told.fact["count"] > 100
    assert told.less_mm2 >= hidden


def test_a_search_that_would_take_too_long_is_given_up_and_told(monkeypatch):
    monkeypatch.setattr(soundness, "_MOST", 10)
    ball = trimesh.creation.icosphere(4, 10.0)
    notes = judge(Body("ball", "ball.stl", ball.vertices, ball.faces.astype(np.int32), UnitBasis("mm", UnitHow.GIVEN)))
    assert [(note.code, note.warns) for note in notes] == [("crossings-not-searched", True)]
    assert notes[0].less_mm2 == pytest.approx(ball.area)
