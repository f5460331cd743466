"""Welding and connecting, held against sets of edges and a graph library."""

import networkx
import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.shape.body import Body
from areacalc.shape.kinds import UnitBasis, UnitHow
from areacalc.shape.mesh import topology as module
from areacalc.shape.mesh.boxes import BoxTree, overlaps
from areacalc.shape.mesh.measure_loops import winding_number
from areacalc.shape.mesh.topology import connected


def body_of(vertices, triangles):
    return Body(
        "part", "part.stl", np.asarray(vertices, float), np.asarray(triangles, np.int32), UnitBasis("mm", UnitHow.GIVEN)
    )


@given(st.integers(0, 2**32 - 1), st.integers(2, 4), st.integers(1, 60))
@settings(deadline=None, max_examples=60)
def test_the_loops_find_what_sets_of_edges_find(seed, side, count):
    rng = np.random.default_rng(seed)
    points = rng.integers(0, side, (3 * count, 3)).astype(float)
    points[rng.random(points.shape) < 0.1] *= -0.0  # -0.0 is 0.0
    body = body_of(points, np.arange(3 * count).reshape(-1, 3))
    with pytest.MonkeyPatch.context() as patch:
        # which of several equal triangles go together is open; that is tested with bodies that touch
        patch.setattr("areacalc.shape.mesh.topology.settle", lambda *_: True)
        found = module.topology(body.vertices, body.triangles, body.solid_of_triangle)
    assert {tuple(p) for p in found.points.tolist()} == {tuple(p) for p in (points + 0.0).tolist()}
    assert len(found.points) == len({tuple(p) for p in (points + 0.0).tolist()})
    given_as = (body.vertices[body.triangles][found.triangle_of] + 0.0).tolist()
    assert all(new in (old, old[1:] + old[:1], old[2:] + old[:2])
               for new, old in zip(found.points[found.corners].tolist(), given_as, strict=True))  # fmt: skip
    uses: dict[frozenset[int], list[tuple[int, int]]] = {}
    for t, row in enumerate(found.corners.tolist()):
        for j in range(3):
            uses.setdefault(frozenset((row[j], row[(j + 1) % 3])), []).append((t, j))
    ends = lambda edges: {frozenset(e) for e in edges.tolist()}  # noqa: E731
    assert ends(found.open_edges) == {e for e, by in uses.items() if len(by) == 1}
    assert ends(found.crowded_edges) == {e for e, by in uses.items() if len(by) > 2}
    across = {half: -1 for by in uses.values() for half in by}
    oriented, graph = True, networkx.Graph()
    graph.add_nodes_from(range(len(found.corners)))
    for (one, i), (two, j) in (by for by in uses.values() if len(by) == 2):
        across[one, i], across[two, j] = two, one
        oriented &= found.corners[one, i] != found.corners[two, j]
        graph.add_edge(one, two)
    assert {(t, j): int(found.across[t, j]) for t, j in across} == across
    assert found.oriented == oriented
    shells = sorted(networkx.connected_components(graph), key=min)
    assert [int(s) for s in found.shell_of] == [next(i for i, s in enumerate(shells) if t in s)
                                                for t in range(len(found.corners))]  # fmt: skip


@given(st.integers(1, 40), st.lists(st.tuples(st.integers(0, 39), st.integers(0, 39))))
def test_what_hangs_together_is_what_a_graph_library_says(count, pairs):
    pairs = np.array([(a, b) for a, b in pairs if max(a, b) < count] or np.empty((0, 2)), int)
    graph = networkx.Graph(pairs.tolist())
    graph.add_nodes_from(range(count))
    shells = sorted(networkx.connected_components(graph), key=min)
    groups, label = connected(count, *pairs.T)
    assert groups == len(shells)
    assert label.tolist() == [next(i for i, s in enumerate(shells) if t in s) for t in range(count)]


@pytest.mark.parametrize(
    "mesh", [trimesh.creation.icosphere(2, 10), trimesh.creation.annulus(3, 5, 9), trimesh.creation.torus(9, 3)]
)
def test_a_closed_mesh_is_what_trimesh_says_it_is(soup, mesh):
    found = soup(mesh).topology
    assert (found.closed, found.oriented, found.shell_count) == (mesh.is_watertight, mesh.is_winding_consistent, 1)
    assert len(found.points) == len(mesh.vertices)
    row_of = found.triangle_of
    pairs = {tuple(sorted((int(row_of[t]), int(row_of[o])))) for t, row in enumerate(found.across) for o in row}
    assert pairs == set(map(tuple, np.sort(mesh.face_adjacency, axis=1).tolist()))


@pytest.mark.parametrize("shift", [(10, 0, 0), (10, 10, 0), (10, 10, 10), (10, 3, 4), (10, 0, 5)])
@pytest.mark.parametrize("solids", [(), ("left", "right")])
def test_boxes_that_touch_stay_two_closed_shells(soup, shift, solids):
    box = trimesh.creation.box((10, 10, 10))
    found = soup(box, box.copy().apply_translation(shift), solids=solids).topology
    assert found.shell_count == 2
    assert (found.across >= 0).all()
    assert {tuple(found.shell_of[found.triangle_of // 12 == box]) for box in (0, 1)} == {(0,) * 12, (1,) * 12}


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=20)
def test_the_order_of_points_and_triangles_and_of_the_corners_of_each_changes_nothing(seed):
    rng = np.random.default_rng(seed)
    mesh = trimesh.creation.torus(9, 3, 12, 9)
    order, moved = rng.permutation(len(mesh.faces)), rng.permutation(len(mesh.vertices))
    turned = np.argsort(moved)[mesh.faces[order]]
    turned = np.take_along_axis(turned, (np.arange(3) + rng.integers(0, 3, (len(order), 1))) % 3, axis=1)
    one, two = body_of(mesh.vertices, mesh.faces).topology, body_of(mesh.vertices[moved], turned).topology
    for name in ("points", "corners", "across"):
        assert (getattr(one, name) == getattr(two, name)).all()
    assert (order[two.triangle_of] == one.triangle_of).all()


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


def test_a_closed_shell_winds_once_round_what_lies_in_it():
    corner = np.array([[[0.0, 0, 0], [0, 1, 0], [1, 0, 0]], [[0, 0, 0], [1, 0, 0], [0, 0, 1]],
                       [[0, 0, 0], [0, 0, 1], [0, 1, 0]], [[1, 0, 0], [0, 1, 0], [0, 0, 1]]])  # fmt: skip
    assert winding_number(corner, np.array([0.1, 0.1, 0.1])) == pytest.approx(1.0, abs=1e-9)
    assert winding_number(corner, np.array([0.9, 0.9, 0.9])) == pytest.approx(0.0, abs=1e-9)
