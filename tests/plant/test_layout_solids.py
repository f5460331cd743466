"""Layouts of real solids, not their boxes: random ones hung any way, checked by manifold3d."""

import itertools

import manifold3d as m3
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.plant.hung import RackPart, free_ways, hung_ways
from areacalc.plant.layout import Room, lay_out

SIDE = st.floats(5.0, 60.0)
SOLIDS = st.tuples(SIDE, SIDE, SIDE, st.floats(0.2, 0.8), st.booleans())  # an angle, or a stepped round part
DIRECTION = st.tuples(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(0.1, 1.0))
PARTS = st.lists(st.tuples(SOLIDS, st.integers(1, 5), st.none() | DIRECTION), min_size=1, max_size=3)
TANKS = st.tuples(st.floats(120.0, 700.0), st.floats(150.0, 500.0), st.floats(80.0, 500.0))


def solid(words):
    long, wide, high, share, is_round = words
    if is_round:
        step = m3.Manifold.cylinder(high, 0.5 * share * wide, circular_segments=24)
        return m3.Manifold.cylinder(share * high, 0.5 * wide, circular_segments=24) + step
    flange = m3.Manifold.cube((long, wide, share * 0.5 * high))
    return flange + m3.Manifold.cube((share * 0.5 * long, wide, high))


def points(made):
    return np.asarray(made.to_mesh().vert_properties[:, :3], float)


def in_place(made, way, box):
    """The solid as it hangs in its place: x along, y across, z up from the liquid's surface."""
    axes = np.array(way.axes)
    turned = made.transform(np.hstack([axes, np.zeros((3, 1))]))
    low = points(turned).min(axis=0)
    return turned.translate((box[0] - low[0], box[1] - low[1], -box[5] - low[2]))


@given(PARTS, TANKS)
@settings(deadline=None, max_examples=30)
def test_no_solid_cuts_another_or_leaves_the_liquid(parts, tank):
    room = Room(*tank, 13.0)
    solids = [solid(words) for words, _, _ in parts]
    kinds = []
    for i, (made, (_, count, up)) in enumerate(zip(solids, parts, strict=True)):
        if up is None:
            ways = free_ways(points(made))
        else:
            unit = np.array(up) / np.linalg.norm(up)
            along = np.cross(unit, (0.0, 1.0, 0.0) if abs(unit[0]) > 0.5 else (1.0, 0.0, 0.0))
            ways = hung_ways(points(made), along / np.linalg.norm(along), unit)
        kinds.append(RackPart(f"part {i}", count, ways))
    found = lay_out(kinds, room)
    if found is None:
        return
    assert len(found.places) == sum(count for _, count, _ in parts)
    hung = [in_place(solids[p.part], found.ways[p.part], found.box(p)) for p in found.places]
    for each in hung:
        x, y, z, x2, y2, z2 = each.bounding_box()
        assert x > 0.0
        assert x2 < room.length_mm
        assert y > room.behind_mm
        assert y2 < room.width_mm - room.behind_mm
        assert z > -room.depth_mm
        assert z2 <= -10.0 + 1e-3  # the least liquid above
    for one, other in itertools.combinations(hung, 2):
        assert one.min_gap(other, 5.0) >= 5.0 - 1e-3  # the least that nothing touches at
