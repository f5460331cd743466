"""Welding and connecting, by sorting and by the compiled loops, which must not differ."""

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.shape.body import Body, UnitBasis, UnitHow
from areacalc.shape.mesh import topology as module
from areacalc.shape.mesh.boxes import BoxTree, overlaps


def body_of(vertices, triangles):
    return Body(
        "part", "part.stl", np.asarray(vertices, float), np.asarray(triangles, np.int32), UnitBasis("mm", UnitHow.GIVEN)
    )


def in_order(found):
    """A topology with its points in the order of their coordinates, so that two can be compared."""
    order = np.lexsort(found.points.T[::-1])
    rank = np.empty(len(order), int)
    rank[order] = np.arange(len(order))

    def edges(ends):
        return sorted(map(tuple, np.sort(rank[ends], axis=1).tolist()))

    return (found.points[order].tolist(), rank[found.corners].tolist(), found.triangle_of.tolist(),
            found.across.tolist(), found.shell_of.tolist(), found.shell_count, edges(found.open_edges),
            edges(found.crowded_edges), found.oriented, found.dropped)  # fmt: skip


@given(st.integers(0, 2**32 - 1), st.integers(2, 4), st.integers(1, 60))
@settings(deadline=None, max_examples=60)
def test_the_compiled_loops_find_what_sorting_finds(seed, side, count):
    rng = np.random.default_rng(seed)
    points = rng.integers(0, side, (3 * count, 3)).astype(float)
    points[rng.random(points.shape) < 0.1] *= -0.0  # -0.0 is 0.0
    body = body_of(points, np.arange(3 * count).reshape(-1, 3))
    with pytest.MonkeyPatch.context() as patch:
        # which of several equal triangles go together is open; that is tested with bodies that touch
        patch.setattr("areacalc.shape.mesh.crowded.settle", lambda *_: True)
        sorted_out = module.topology(body)
        patch.setattr(module, "COMPILED_FROM", -1)
        compiled = module.topology(body)
    assert in_order(compiled) == in_order(sorted_out)


@pytest.mark.parametrize(
    "mesh", [trimesh.creation.icosphere(2, 10), trimesh.creation.annulus(3, 5, 9), trimesh.creation.torus(9, 3)]
)
def test_a_closed_mesh_is_what_trimesh_says_it_is(soup, mesh):
    found = soup(mesh).topology
    assert (found.closed, found.oriented, found.shell_count) == (mesh.is_watertight, mesh.is_winding_consistent, 1)
    assert len(found.points) == len(mesh.vertices)
    pairs = {tuple(sorted((t, int(o)))) for t, row in enumerate(found.across) for o in row}
    assert pairs == set(map(tuple, np.sort(mesh.face_adjacency, axis=1).tolist()))


@pytest.mark.parametrize("shift", [(10, 0, 0), (10, 10, 0), (10, 10, 10), (10, 3, 4), (10, 0, 5)])
@pytest.mark.parametrize("solids", [(), ("left", "right")])
def test_boxes_that_touch_stay_two_closed_shells(soup, shift, solids):
    box = trimesh.creation.box((10, 10, 10))
    found = soup(box, box.copy().apply_translation(shift), solids=solids).topology
    assert found.shell_count == 2
    assert (found.across >= 0).all()
    assert found.shell_of.tolist() == [0] * 12 + [1] * 12


def test_four_boxes_round_one_edge(soup):
    box = trimesh.creation.box((10, 10, 10))
    found = soup(*(box.copy().apply_translation(d) for d in ((0, 0, 0), (10, 0, 0), (0, 10, 0), (10, 10, 0)))).topology
    assert (found.shell_count, (found.across >= 0).all()) == (4, True)


def test_a_fan_of_a_hundred_thousand_is_no_trap():
    count = 100_000
    angle = np.arange(count) * (2 * np.pi / count)
    rim = np.column_stack([np.cos(angle), np.sin(angle), np.zeros(count)])
    i = np.arange(count) + 1
    found = body_of(np.vstack([[[0, 0, 0]], rim]), np.column_stack([np.zeros(count, int), i, np.roll(i, -1)])).topology
    assert (len(found.open_edges), found.shell_count) == (count, 1)


@given(st.integers(0, 2**32 - 1))
@settings(deadline=None, max_examples=30)
def test_the_tree_of_boxes_finds_what_comparing_all_finds(seed):
    rng = np.random.default_rng(seed)
    low, other = rng.random((int(rng.integers(1, 90)), 3)), rng.random((int(rng.integers(1, 90)), 3))
    size = rng.random() * 0.3
    plain = overlaps(low, low + size, other, other + size)
    tree = BoxTree(other, other + size).overlaps(low, low + size)
    assert sorted(map(tuple, tree.tolist())) == sorted(map(tuple, plain.tolist()))
