"""Air trapped in bodies whose pockets are known in closed form, facets and all."""

import math

import manifold3d as m3
import numpy as np
import pytest
from bodies import body, body_of, box

from areacalc.errors import BadInput
from areacalc.surface.air.trapped_air import carried_liquid, trapped_air

UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
SIDES = 64


def rod(radius, z, radius_high=None):
    return m3.Manifold.cylinder(z[1] - z[0], radius, radius if radius_high is None else radius_high, SIDES).translate(
        (0.0, 0.0, z[0])
    )


def ring_area(radius):
    return 0.5 * SIDES * math.sin(2 * math.pi / SIDES) * radius**2


def ring_length(radius):
    return 2 * SIDES * math.sin(math.pi / SIDES) * radius


def turned(points, triangles, matrix):
    return body_of(points @ matrix.T, triangles)


def test_a_cup_mouth_down_is_dry_inside_and_mouth_up_it_is_not():
    cup = body(rod(10, (0, 30)) - rod(8, (-1, 27)))
    dry = trapped_air(cup, UP)
    assert dry.area_mm2 == pytest.approx(ring_area(8) + 27 * ring_length(8), rel=1e-9)
    assert dry.volume_mm3 == pytest.approx(27 * ring_area(8), rel=1e-9)
    (pocket,) = dry.pockets
    assert (pocket.level_mm, pocket.depth_mm) == pytest.approx((0.0, 27.0), abs=1e-9)
    assert math.hypot(*pocket.escapes_at[:2]) == pytest.approx(8.0)
    assert trapped_air(cup, DOWN).pockets == ()
    assert carried_liquid(cup, UP).pockets == ()
    assert carried_liquid(cup, DOWN).volume_mm3 == pytest.approx(27 * ring_area(8), rel=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_a_flat_brim_is_wet_however_its_corners_are_numbered(seed):
    """Corners on the brim are as high as the level itself, and their order decides which of them meet the air first."""
    cup = body(rod(10, (0, 30)) - rod(8, (-1, 27)))
    new = np.random.default_rng(seed).permutation(len(cup.vertices))
    points = np.empty_like(cup.vertices)
    points[new] = cup.vertices
    turn = np.array([[0.36, 0.48, -0.8], [-0.8, 0.6, 0.0], [0.48, 0.64, 0.6]])
    for matrix in (np.eye(3), turn):  # in the second the brim is level but for rounding
        air = trapped_air(body_of(points @ matrix.T, new[cup.triangles]), tuple(matrix @ UP))
        assert air.area_mm2 == pytest.approx(ring_area(8) + 27 * ring_length(8), rel=1e-9)


def test_an_inverted_u_holds_air_above_its_higher_mouth():
    block = box((0, 40), (0, 20), (0, 50)) - box((-1, 20), (-1, 21), (-1, 8))  # the left mouth ends 8 mm higher
    tube = box((5, 12), (6, 14), (-1, 40)) + box((28, 35), (6, 14), (-1, 40)) + box((5, 35), (6, 14), (33, 40))
    air = trapped_air(body(block - tube), UP)
    legs, bridge = 2 * 7 * 8 * (33 - 8), 30 * 8 * 7
    walls = 2 * (7 + 8) * 2 * (33 - 8)
    ends, sides, roof, sill = 2 * 8 * 7, 2 * 30 * 7, 30 * 8, 16 * 8
    assert air.volume_mm3 == pytest.approx(legs + bridge, rel=1e-9)
    assert air.area_mm2 == pytest.approx(walls + ends + sides + roof + sill, rel=1e-9)
    assert air.pockets[0].level_mm == pytest.approx(8.0)


@pytest.mark.parametrize(("low", "high"), [(2.0, 4.0), (10.0, 13.0), (20.0, 26.9)])
def test_a_bell_with_a_vent_holds_air_above_the_vent_alone(low, high):
    bell = box((0, 30), (0, 30), (0, 30)) - box((3, 27), (3, 27), (-1, 27)) - box((-1, 4), (10, 12), (low, high))
    air = trapped_air(body(bell), UP)
    assert air.volume_mm3 == pytest.approx(24 * 24 * (27 - high), rel=1e-9)
    assert air.area_mm2 == pytest.approx(24 * 24 + 4 * 24 * (27 - high), rel=1e-9)
    assert air.pockets[0].level_mm == pytest.approx(high)


def test_a_vent_through_the_top_of_a_bell_frees_all_its_air():
    bell = box((0, 30), (0, 30), (0, 30)) - box((3, 27), (3, 27), (-1, 27)) - box((10, 11), (10, 11), (20, 31))
    assert trapped_air(body(bell), UP).pockets == ()


def test_two_chambers_joined_by_a_hole_share_one_level_and_what_lies_below_is_dry_too():
    block = box((0, 50), (0, 20), (-20, 40))
    first = box((2, 22), (2, 18), (0, 38)) + box((4, 20), (4, 16), (-21, 1))  # open below, through a neck
    second, hole = box((28, 48), (2, 18), (-15, 38)), box((21, 29), (8, 12), (20, 24))
    shallow = body(block - first - second - hole)
    air = trapped_air(shallow, UP)
    assert air.pockets[0].level_mm == pytest.approx(-20.0)
    assert air.volume_mm3 == pytest.approx(20 * 16 * 38 + 16 * 12 * 20 + 20 * 16 * 53 + 6 * 4 * 4, rel=1e-9)
    # the same with the neck cut short: the second chamber hangs 15 mm lower than the level, and no liquid gets there
    short = body(block - first - second - hole - box((-1, 24), (-1, 21), (-21, -2)))
    air = trapped_air(short, UP)
    assert air.pockets[0].level_mm == pytest.approx(-2.0)
    assert air.volume_mm3 == pytest.approx(20 * 16 * 38 + 16 * 12 * 2 + 20 * 16 * 53 + 6 * 4 * 4, rel=1e-9)


def test_a_stepped_blind_bore_with_a_drill_point():
    tip = 5 / math.tan(math.radians(59))
    bore = rod(8, (-1, 12)) + rod(5, (0, 30)) + rod(5, (30, 30 + tip), 0.0)
    air = trapped_air(body(rod(15, (0, 45)) - bore), UP)
    slant = math.hypot(tip, 5 * math.cos(math.pi / SIDES))
    volume = 12 * ring_area(8) + 18 * ring_area(5) + tip * ring_area(5) / 3
    area = 12 * ring_length(8) + 18 * ring_length(5) + ring_area(8) - ring_area(5) + ring_length(5) * slant / 2
    assert air.volume_mm3 == pytest.approx(volume, rel=1e-9)
    assert air.area_mm2 == pytest.approx(area, rel=1e-9)


def test_a_torus_traps_nothing_lying_or_standing():
    ring = m3.Manifold.revolve(m3.CrossSection.circle(3, 32).translate((12, 0)), SIDES)
    for up in (UP, (1.0, 0.0, 0.0), (0.3, -0.5, 0.2)):
        assert trapped_air(body(ring), up).pockets == ()


def test_a_hollow_torus_drilled_below_is_dry_above_the_hole_all_the_way_round():
    outer = m3.Manifold.revolve(m3.CrossSection.circle(5, 32).translate((20, 0)), SIDES)
    inner = m3.Manifold.revolve(m3.CrossSection.circle(4, 32).translate((20, 0)), SIDES)
    drilled = outer - inner - box((19, 21), (-1, 1), (-6, -3))
    air = trapped_air(body(drilled), UP, 0.0, 0.0)
    assert len(air.pockets) == 1
    # the hole ends in the outer skin, below all of the hollow: nothing of it gets wet
    assert air.volume_mm3 > inner.volume()
    hollow = (inner + (box((19, 21), (-1, 1), (-6, -3)) ^ outer)).trim_by_plane((0, 0, 1), air.pockets[0].level_mm)
    assert air.volume_mm3 == pytest.approx(hollow.volume(), rel=1e-4)  # slivers in the hole's mouth are apart from it


@pytest.mark.parametrize("angle", [0, 25, 60, 90, 120, 155])
def test_a_hollow_sphere_with_a_small_hole_is_dry_above_the_hole(angle):
    ball = m3.Manifold.sphere(10, 48) - m3.Manifold.sphere(9, 48)
    pin = m3.Manifold.cylinder(5, 0.5, 0.5, 24).translate((0, 0, -11)).rotate((0, angle, 0))
    part = body(ball - pin)
    air = trapped_air(part, UP, 0.0, 0.0)
    level = air.pockets[0].level_mm
    turn = math.radians(angle)  # the hole's upper side leaves the wall where it is lower: outside or inside
    ends = [-math.sqrt(r**2 - 0.25) * math.cos(turn) + 0.5 * math.sin(turn) for r in (9, 10)]
    assert level == pytest.approx(min(ends), abs=0.05)  # 48 facets round
    inner, hole = m3.Manifold.sphere(9, 48), pin ^ m3.Manifold.sphere(10, 48)
    hollow = (inner + hole).trim_by_plane((0, 0, 1), level)
    sill = -math.sqrt(81 - 0.25) * math.cos(turn) - 0.5 * math.sin(turn)  # where liquid would run in
    if sill > level:  # it never does: the bottom of the ball stays dry below the level
        hollow += inner
    most = max(piece.volume() for piece in hollow.decompose())
    assert air.volume_mm3 == pytest.approx(most, rel=1e-9)


def test_a_hole_at_the_very_top_of_a_sphere_leaves_no_air():
    ball = m3.Manifold.sphere(10, 48) - m3.Manifold.sphere(9, 48) - rod(0.5, (5, 11))
    assert trapped_air(body(ball), UP).volume_mm3 == 0.0
    assert carried_liquid(body(ball), UP).volume_mm3 == pytest.approx(m3.Manifold.sphere(9, 48).volume(), rel=1e-3)


def test_a_pin_under_a_bell_does_not_open_it():
    bell = box((0, 30), (0, 30), (0, 30)) - box((3, 27), (3, 27), (-1, 27))
    pin = box((10, 12), (10, 12), (-20, 15)) + box((0, 30), (10, 12), (-20, -18))
    air = trapped_air(body(bell + pin), UP)  # two bodies apart, the pin reaching into the air
    assert air.volume_mm3 == pytest.approx(24 * 24 * 27 - 2 * 2 * 15, rel=1e-9)
    assert air.area_mm2 == pytest.approx(24 * 24 + 4 * 24 * 27 + 4 + 8 * 15, rel=1e-9)


def test_a_sealed_void_is_no_pocket():
    assert trapped_air(body(box((0, 9), (0, 9), (0, 9)) - box((2, 7), (2, 7), (2, 7))), UP).pockets == ()


def test_bodies_that_overlap_are_united_first():
    walls = [
        box((0.2, 29.8), (0.2, 29.8), (26, 30)),
        box((0, 3), (0, 30), (0, 28)), box((27, 30), (0, 30), (0, 28.5)),
        box((0.5, 29.5), (0.5, 3), (0, 27)), box((0.5, 29.5), (27, 29.5), (0, 29)),
    ]  # fmt: skip
    meshes = [body(wall) for wall in walls]
    first = np.cumsum([0, *(len(m.vertices) for m in meshes)])
    together = body_of(np.concatenate([m.vertices for m in meshes]),
                       np.concatenate([m.triangles + k for m, k in zip(meshes, first, strict=False)]))  # fmt: skip
    air = trapped_air(together, UP)
    assert air.volume_mm3 == pytest.approx(24 * 24 * 26, rel=1e-9)
    assert air.skin.share(air.dry_mm2) @ air.skin.whole_mm2 == pytest.approx(24 * 24 + 4 * 24 * 26, rel=1e-9)


def test_an_open_mesh_is_told_so_and_a_small_leak_is_shut():
    cup = body(rod(10, (0, 30)) - rod(8, (-1, 27)))
    sheet = body_of(cup.vertices, cup.triangles[: len(cup.triangles) // 2])
    assert [n.code for n in trapped_air(sheet, UP).skin.notes] == ["open-mesh-air"]
    assert trapped_air(sheet, UP).pockets == ()
    fine = body((rod(10, (0, 30)) - rod(8, (-1, 27))).refine(6))
    leaky = body_of(fine.vertices, fine.triangles[1:])
    assert [n.code for n in trapped_air(leaky, UP).skin.notes] == ["leaks-shut"]
    assert trapped_air(leaky, UP).volume_mm3 == pytest.approx(27 * ring_area(8), rel=1e-2)


def test_a_direction_without_length_is_refused():
    with pytest.raises(BadInput, match="not a direction"):
        trapped_air(body(box((0, 1), (0, 1), (0, 1))), (0.0, 0.0, 0.0))


def test_pockets_too_small_are_left_out_and_told():
    cup = body(rod(10, (0, 30)) - rod(8, (-1, 27)))
    air = trapped_air(cup, UP, least_volume_mm3=1e6)
    assert air.pockets == ()
    assert air.small_mm2 == pytest.approx(ring_area(8) + 27 * ring_length(8))
