"""What holds for the air trapped in any solid, however it is turned."""

import manifold3d as m3
import numpy as np
import pytest
from bodies import body, body_of
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from areacalc.surface.air.hanging import hanging
from areacalc.surface.air.trapped_air import carried_liquid, trapped_air

# how long an example takes says nothing of it: the machine may be busy
fast = settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
coordinate = st.floats(-15, 15)
place = st.tuples(coordinate, coordinate, coordinate)
turn = st.tuples(*[st.floats(-3, 3)] * 3)
direction = turn.filter(lambda v: np.linalg.norm(v) > 0.1)
tool = st.tuples(st.sampled_from(["box", "rod", "ball"]), st.floats(1, 8), st.floats(4, 30), turn, place)
cuts = st.lists(tool, min_size=1, max_size=5)


def shaped(kind, radius, length, turned, at):
    made = {
        "box": lambda: m3.Manifold.cube((2 * radius, radius, length), True),
        "rod": lambda: m3.Manifold.cylinder(length, radius, radius, 16, True),
        "ball": lambda: m3.Manifold.sphere(radius, 16),
    }[kind]()
    return made.rotate(tuple(57.3 * t for t in turned)).translate(at)


def solid_of(tools):
    return m3.Manifold.cube((32.0, 32.0, 32.0), True) - m3.Manifold.batch_boolean(
        [shaped(*each) for each in tools], m3.OpType.Add
    )


@fast
@given(cuts, direction, turn)
def test_turning_part_and_direction_together_changes_nothing(tools, up, by):
    part = body(solid_of(tools))
    matrix = Rotation.from_rotvec(by).as_matrix()
    turned = body_of(part.vertices @ matrix.T, part.triangles)
    one, two = trapped_air(part, up), trapped_air(turned, matrix @ np.array(up))
    assert one.area_mm2 + one.small_mm2 == pytest.approx(two.area_mm2 + two.small_mm2, rel=1e-7, abs=1e-6)
    assert one.volume_mm3 == pytest.approx(two.volume_mm3, rel=1e-7, abs=0.1)  # a small pocket may fall either side


@fast
@given(st.lists(place, min_size=5, max_size=40, unique=True), direction)
def test_a_convex_part_traps_nothing(points, up):
    try:
        hull = m3.Manifold.hull_points(np.array(points))
        ConvexHull(np.array(points))
    except Exception:
        return
    if hull.num_tri() == 0:
        return
    air, liquid = (trapped_air(body(hull), sign * np.array(up), 0.0, 1e-9) for sign in (1.0, -1.0))
    assert (air.area_mm2, air.volume_mm3, liquid.volume_mm3) == (0.0, 0.0, 0.0)


@fast
@given(cuts, tool, direction)
def test_a_vent_never_adds_dry_skin_but_its_own_wall(tools, more, up):
    before = solid_of(tools)
    hole = shaped(*more)
    after = before - hole
    wall = (hole ^ before).surface_area()
    dry = trapped_air(body(before), up, 0.0, 0.0)
    vented = trapped_air(body(after), up, 0.0, 0.0)
    # what was sealed may now be open and hold air, so only parts without a void can be compared
    if len(before.decompose()) == len(after.decompose()) == 1:
        assert vented.area_mm2 <= dry.area_mm2 + wall + 1e-6
        assert vented.volume_mm3 <= dry.volume_mm3 + (hole ^ before).volume() + 1e-6


@fast
@given(cuts, direction)
def test_air_going_down_is_liquid_coming_up_the_other_way(tools, up):
    part = body(solid_of(tools))
    mirrored = body_of(-part.vertices, part.triangles[:, ::-1])
    air, liquid = trapped_air(part, up), carried_liquid(mirrored, up)
    assert air.area_mm2 == pytest.approx(liquid.area_mm2, rel=1e-9, abs=1e-9)
    assert air.volume_mm3 == pytest.approx(liquid.volume_mm3, rel=1e-9, abs=1e-9)


@fast
@given(cuts, direction)
def test_dry_skin_is_part_of_the_skin_and_its_bounds_hold_it(tools, up):
    part = body(solid_of(tools))
    hung = hanging(part, up)
    share = hung.dry_shares[0]
    assert ((share.low <= share.value) & (share.value <= share.high)).all()
    assert ((share.value >= 0.0) & (share.value <= 1.0)).all()
    assert hung.airlocked_mm2.value == pytest.approx(float(share.value @ hung.skin.whole_mm2), rel=1e-6, abs=1e-6)
