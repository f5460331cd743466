"""Meshes whose flats are meant, and such whose are not: the value is the likelier reading, the bounds hold both."""

import math
from itertools import pairwise, product

import manifold3d as m3
import numpy as np
import pytest

from areacalc.estimate import total
from areacalc.shape.body import Body
from areacalc.shape.kinds import SurfaceKind, UnitBasis, UnitHow
from areacalc.surface.features.features import find_features
from areacalc.surface.skin import FeatureKind


def area(solid):
    """The area found of a solid."""
    return total(feature.area_mm2 for feature in found_in(solid).features)


def area_of(triangles):
    """The area found, from corners (t, 3, 3) in single precision as an STL gives them."""
    return total(feature.area_mm2 for feature in found_of(triangles).features)


def found_in(solid):
    """The features of a solid."""
    mesh = solid.to_mesh()
    return found_of(mesh.vert_properties[:, :3][mesh.tri_verts])


def found_of(triangles):
    """The features, from corners (t, 3, 3) in single precision as an STL gives them."""
    corners = np.float32(triangles).reshape(-1, 3).astype(float)
    rows = np.arange(len(corners), dtype=np.int32).reshape(-1, 3)
    return find_features(Body("part", "part.stl", corners, rows, UnitBasis("mm", UnitHow.GIVEN)))


def bevelled(degrees):
    """A plate of 60 x 40 x 6 mm, its upper edges bevelled 4 mm wide."""
    down = 4.0 * math.tan(math.radians(degrees))
    outer = [(x, y, z) for x, y, z in product((-30, 30), (-20, 20), (0, 6 - down))]
    return m3.Manifold.hull_points([*outer, *product((-26, 26), (-16, 16), (6.0,))])


def chamfered(wide_mm):
    """A block of 40 x 30 x 12 mm with all edges chamfered at 45 degrees."""
    x, y, z = 20.0, 15.0, 6.0
    corners = [(x, y - wide_mm, z - wide_mm), (x - wide_mm, y, z - wide_mm), (x - wide_mm, y - wide_mm, z)]
    return m3.Manifold.hull_points([np.multiply(c, way) for c in corners for way in product((-1, 1), repeat=3)])


def octagon_plate():
    """A plate with cut corners and a flat bevel round its upper face."""
    ring = [(20, 12), (17, 15), (-17, 15), (-20, 12), (-20, -12), (-17, -15), (17, -15), (20, -12)]
    upper = [(19.2, 11.4), (16.4, 14.2)]
    inner = [(a * sx, b * sy, 6.0) for a, b in upper for sx, sy in product((-1, 1), repeat=2)]
    return m3.Manifold.hull_points([(x, y, z) for x, y in ring for z in (-6.0, 5.2)] + inner)


def gem():
    """Two tapers of eight flats each, base to base."""
    rings = [(6.0, 0.0), (10.0, 4.0), (7.5, 7.0)]
    turn = np.arange(8) * math.pi / 4
    return m3.Manifold.hull_points([(r * math.cos(a), r * math.sin(a), z) for r, z in rings for a in turn])


@pytest.mark.parametrize("degrees", [10, 15, 20, 25, 30, 35])
def test_a_bevelled_plate_is_flats(degrees):
    solid = bevelled(degrees)
    found = area(solid)
    assert found.value == pytest.approx(solid.surface_area(), rel=1e-6)
    assert found.high - found.low < 1e-5 * found.value


@pytest.mark.parametrize("solid", [chamfered(1.5), chamfered(0.4), octagon_plate(), gem()])
def test_flats_in_a_corner_are_meant_and_the_bounds_hold_a_curve(solid):
    found = area(solid)
    assert found.value == pytest.approx(solid.surface_area(), rel=1e-6)
    assert found.low < found.value < found.high


def spheroid(rings, sides):
    """A long spheroid of 12 x 20 mm half axes; every ring of corners is turned by half a side against the next."""
    lean = np.linspace(-math.pi / 2, math.pi / 2, rings)[1:-1]
    turn = (np.arange(sides) + 0.5 * (np.arange(rings - 2)[:, None] % 2)) * 2 * math.pi / sides
    out, up = 12 * np.cos(lean)[:, None], 20 * np.sin(lean)[:, None]
    ring = np.stack([out * np.cos(turn), out * np.sin(turn), np.broadcast_to(up, turn.shape)], axis=2)
    after = np.roll(ring, -1, axis=1)
    even, odd = np.arange(rings - 3) % 2 == 0, np.arange(rings - 3) % 2 == 1
    one, two, one_on, two_on = ring[:-1], ring[1:], after[:-1], after[1:]
    walls = [
        np.stack([one[even], one_on[even], two[even]], axis=2),
        np.stack([one_on[even], two_on[even], two[even]], axis=2),
        np.stack([one[odd], one_on[odd], two_on[odd]], axis=2),
        np.stack([one[odd], two_on[odd], two[odd]], axis=2),
    ]
    foot, top = np.broadcast_to((0.0, 0.0, -20.0), ring[0].shape), np.broadcast_to((0.0, 0.0, 20.0), ring[0].shape)
    caps = [np.stack([foot, after[0], ring[0]], axis=1), np.stack([top, ring[-1], after[-1]], axis=1)]
    return np.concatenate([*(wall.reshape(-1, 3, 3) for wall in walls), *caps])


@pytest.mark.parametrize(("rings", "sides"), [(30, 24), (48, 32), (60, 40), (90, 64)])
def test_staggered_rings_bend_outward_where_the_wall_does(rings, sides):
    flat = math.sqrt(1 - (12 / 20) ** 2)
    true_mm2 = 2 * math.pi * 12**2 * (1 + 20 / (12 * flat) * math.asin(flat))
    triangles = spheroid(rings, sides)
    facets_mm2 = 0.5 * np.linalg.norm(np.cross(*(triangles[:, k] - triangles[:, 0] for k in (1, 2))), axis=1).sum()
    found = area_of(triangles)
    assert found.low <= true_mm2 <= found.high
    assert abs(found.value - true_mm2) < 0.1 * abs(facets_mm2 - true_mm2)


def test_a_rounding_keeps_the_strip_beside_the_face_that_it_rounds_off():
    """A neck on a shoulder with a fillet of 3.5 mm in seven strips: the strip on the shoulder is the largest."""
    turn = np.linspace(0.0, math.pi / 2, 8)
    fillet = [(8.0 - 3.5 * math.sin(a), 10.0 + 3.5 * (1 - math.cos(a))) for a in turn]
    outline = [(0.0, 0.0), (13.0, 0.0), (13.0, 10.0), *fillet, (4.5, 25.0), (0.0, 25.0)]
    solid = m3.Manifold.revolve(m3.CrossSection([outline]), 52)
    walls = 2 * math.pi * (13.0 * 10.0 + 4.5 * (25.0 - 13.5)) + math.pi * (13.0**2 + 13.0**2 - 8.0**2 + 4.5**2)
    # Pappus: a quarter circle of 3.5 mm about a tube's centre at 8 mm, its centroid 2 r / pi nearer to the axis
    rounding = 2 * math.pi * (8.0 - 2 * 3.5 / math.pi) * (math.pi / 2 * 3.5)
    assert area(solid).value == pytest.approx(walls + rounding, rel=1e-6)


def frusta_mm2(outline):
    """The area of an outline of straight lines (r, z) turned about z: Pappus."""
    return sum(math.pi * (a[0] + b[0]) * math.dist(a, b) for a, b in pairwise([*outline, outline[0]]))


@pytest.mark.parametrize("sides", [36, 64, 200])
def test_a_short_bore_chamfered_at_both_ends_is_no_barrel(sides):
    """Its four edges lie on a circle of the half section, but on one cut far more coarsely than the rims."""
    outline = [(3.65, 0.0), (5.5, 0.0), (5.5, 1.8), (3.65, 1.8), (3.2, 1.35), (3.2, 0.45)]
    washer = m3.Manifold.revolve(m3.CrossSection([outline]), sides)
    found = found_in(washer)
    bore = next(feature for feature in found.features if feature.kind is FeatureKind.THROUGH_BORE)
    assert [round(step.diameter_mm, 6) for step in bore.steps] == [7.3, 6.4, 7.3]
    area_mm2 = total(feature.area_mm2 for feature in found.features)
    assert area_mm2.value == pytest.approx(frusta_mm2(outline), rel=1e-6)
    assert area_mm2.low < area_mm2.value < area_mm2.high


@pytest.mark.parametrize("outline", [
    [(0, 0), (6.5, 0), (6.5, 80), (2.5, 120), (0, 120)], [(0, 0), (6.5, 0), (4.5, 40), (4.5, 80), (0, 80)],
    [(0, 0), (6.5, 0), (6.5, 60), (4.5, 120), (0, 120)],
])  # fmt: skip
def test_a_gentle_taper_beside_a_cylinder_is_no_arc_though_one_goes_through_their_three_rings(outline):
    solid = m3.Manifold.revolve(m3.CrossSection([outline]), 90)
    found = area(solid)
    assert found.value == pytest.approx(frusta_mm2(outline), rel=1e-6)
    assert found.low < found.value < found.high


def straight_lines(*outline):
    """The features of a turned outline (z, r), cut into 24 and 96 sides, and its area."""
    ring = [(0, outline[0][0]), *((r, z) for z, r in outline), (0, outline[-1][0])]
    return [found_in(m3.Manifold.revolve(m3.CrossSection([ring]), n)) for n in (24, 96)], frusta_mm2(ring)


@pytest.mark.parametrize("outline", [
    [(0, 10), (40, 12), (80, 12), (120, 10)], [(0, 10), (20, 16), (40, 16), (60, 10)],
    [(0, 12), (40, 10), (80, 10), (120, 12)], [(0, 6.5), (60, 6.5), (120, 4.5)],
])  # fmt: skip
def test_strips_drawn_by_even_steps_are_no_arc_and_a_note_tells_the_other_reading(outline):
    cuts, lines_mm2 = straight_lines(*outline)
    for found in cuts:
        area_mm2 = total(feature.area_mm2 for feature in found.features)
        assert area_mm2.value == pytest.approx(lines_mm2, rel=1e-6)
        notes = [note.fact for note in found.notes if note.code == "read-as-cones"]
        assert len(notes) == (len(outline) == 4)
        for told in notes:
            arc_mm2 = lines_mm2 + (1 if told["more"] else -1) * told["apart"].estimate.value
            assert area_mm2.low <= arc_mm2 <= area_mm2.high


def test_two_bands_read_as_a_hollow_may_be_cones_and_bounds_and_note_hold_them():
    (coarse, fine), lines_mm2 = straight_lines((0, 12), (30, 10), (60, 12))
    area_mm2 = total(feature.area_mm2 for feature in coarse.features)
    (told,) = (note.fact for note in coarse.notes if note.code == "read-as-curve")
    assert area_mm2.low < lines_mm2 < area_mm2.high
    assert area_mm2.value + told["apart"].estimate.value == pytest.approx(lines_mm2, rel=1e-6)
    assert total(feature.area_mm2 for feature in fine.features).value == pytest.approx(lines_mm2, rel=1e-6)


@pytest.mark.parametrize("sides", [24, 120])
@pytest.mark.parametrize(("count", "start_deg"), [(5, 0), (6, 0), (6, 30), (7, 20), (8, 22.5)])
def test_a_ring_of_few_even_sides_may_be_round_and_bounds_and_note_hold_both(count, start_deg, sides):
    turn = math.radians(start_deg) + math.tau * np.arange(count) / count
    section = [(10.0 + 3.0 * math.cos(a), 3.0 * math.sin(a)) for a in turn]
    found = found_in(m3.Manifold.revolve(m3.CrossSection([section]), sides))
    area_mm2 = total(feature.area_mm2 for feature in found.features)
    cones_mm2, torus_mm2 = frusta_mm2(section), 4.0 * math.pi**2 * 10.0 * 3.0  # Pappus
    assert area_mm2.low <= cones_mm2 * (1 + 1e-6)
    assert area_mm2.high >= torus_mm2 * (1 - 1e-6)
    (told,) = (note.code for note in found.notes if note.code in ("read-as-cones", "read-as-curve"))
    assert area_mm2.value == pytest.approx(cones_mm2 if told == "read-as-cones" else torus_mm2, rel=1e-5)


@pytest.mark.parametrize("count", [6, 7, 8])
@pytest.mark.parametrize("hollow", [False, True])
def test_three_even_sides_of_a_shaft_may_be_an_arc(count, hollow):
    half, way = 3.0 * math.pi / count, -1.0 if hollow else 1.0
    turn = np.linspace(-half, half, 4)
    middle = 10.0 - way * 2.0 * math.cos(half)
    wall = [(middle + way * 2.0 * math.cos(a), 2.0 * math.sin(a)) for a in turn]
    found = area(m3.Manifold.revolve(m3.CrossSection([[(4, -6), (10, -6), *wall, (10, 6), (4, 6)]]), 120))
    cones_mm2 = frusta_mm2([(4, -6), (10, -6), *wall, (10, 6), (4, 6)])
    straight_mm2 = sum(math.pi * (a[0] + b[0]) * math.dist(a, b) for a, b in pairwise(wall))
    arc_mm2 = math.tau * (2.0 * half * 2.0 * middle + way * 2.0 * 4.0 * math.sin(half))  # Pappus
    assert found.value == pytest.approx(cones_mm2, rel=1e-6)
    assert found.high >= (cones_mm2 - straight_mm2 + arc_mm2) * (1 - 1e-6)


def test_a_belt_groove_and_a_ring_of_uneven_sides_leave_no_doubt_of_an_arc():
    belt = [(4, 0), (14, 0), (14, 4), (11, 5), (11, 9), (14, 10), (14, 14), (4, 14)]
    ring = [(10.0 + 3.0 * math.cos(a), 3.3 * math.sin(a)) for a in math.pi / 3 * np.arange(6)]
    for outline in (belt, ring):
        found = area(m3.Manifold.revolve(m3.CrossSection([outline]), 96))
        assert found.high == pytest.approx(frusta_mm2(outline), rel=1e-5)


@pytest.mark.parametrize("sides", [24, 96])
def test_a_taper_of_half_a_cylinders_length_leaves_no_doubt_of_an_arc(sides):
    outline = [(0, 0), (6.5, 0), (6.5, 80), (2.5, 120), (0, 120)]
    found = area(m3.Manifold.revolve(m3.CrossSection([outline]), sides))
    assert found.high == pytest.approx(frusta_mm2(outline), rel=1e-5)


def test_a_groove_of_three_lines_is_no_hollow_and_a_barrel_of_six_strips_is_round():
    wheel = [(4.0, 0.0), (12.0, 0.0), (12.0, 2.0), (9.0, 5.0), (9.0, 9.0), (12.0, 12.0), (12.0, 14.0), (4.0, 14.0)]
    assert area(m3.Manifold.revolve(m3.CrossSection([wheel]), 80)).value == pytest.approx(frusta_mm2(wheel), rel=1e-6)
    turn = np.linspace(-0.6, 0.6, 7)
    barrel = [(4.0, -8.0), *((2.0 + 10.0 * math.cos(a), 10.0 * math.sin(a)) for a in turn), (4.0, 8.0)]
    barrel[0], barrel[-1] = (4.0, barrel[1][1]), (4.0, barrel[-2][1])
    # Pappus: an arc of 1.2 radians of 10 mm about an axis 2 mm beyond its centre
    bulge = 2 * math.pi * (1.2 * 2.0 + 2 * 10.0 * math.sin(0.6)) * 10.0
    ends = 2 * math.pi * (barrel[1][0] ** 2 - 16.0) + 2 * math.pi * 4.0 * 20.0 * math.sin(0.6)
    found = area(m3.Manifold.revolve(m3.CrossSection([barrel]), 200))
    assert found.value == pytest.approx(bulge + ends, rel=1e-5)


def test_the_last_facets_of_an_s_may_lie_in_one_plane():
    """Two arcs that run into each other, cut at the same turn: the bounds of the flat hold a facet of either."""
    turn, one_mm, two_mm = 0.1, 6.2, 0.36
    bulge = [(one_mm * math.sin(k * turn), one_mm * (1 - math.cos(k * turn))) for k in range(15)]
    middle = bulge[-1][0] + two_mm * math.sin(14 * turn), bulge[-1][1] - two_mm * math.cos(14 * turn)
    hollow = [
        (middle[0] - two_mm * math.sin(k * turn), middle[1] + two_mm * math.cos(k * turn)) for k in range(13, 3, -1)
    ]
    outline = [(-5.0, 0.0), *bulge, *hollow, (15.0, hollow[-1][1]), (15.0, 30.0), (-5.0, 30.0)]
    found = found_in(m3.Manifold.extrude(m3.CrossSection([outline]), 1.0))
    flat = min((p for p in found.patches if p.surface.kind is SurfaceKind.PLANE), key=lambda p: p.facet_area_mm2)
    chords, arcs = 2 * math.sin(turn / 2) * (one_mm + two_mm), turn * (one_mm + two_mm)
    assert flat.facet_area_mm2 == pytest.approx(chords, rel=1e-6)
    assert flat.area_mm2.high >= arcs
    assert flat.area_mm2.low >= chords - (turn - math.sin(turn)) * two_mm**2 - 1e-4


@pytest.mark.parametrize("hollow", [False, True])
def test_two_facets_between_square_walls_may_be_a_rounding_and_the_bounds_hold_it(hollow):
    radius_mm, turn = 4.0, np.linspace(0.0, math.pi / 2, 3)
    out = 30 - radius_mm + radius_mm * np.sin(turn), 10 - radius_mm + radius_mm * np.cos(turn)
    corner = [(0, 0), (30, 0), *zip(out[0][::-1], out[1][::-1], strict=True), (0, 10)]
    section = m3.CrossSection([corner])
    if hollow:  # the same rounding in the corner of a step
        section = m3.CrossSection.square((60, 40)) - section
    solid = m3.Manifold.extrude(section, 20)
    chord, arc = 4 * radius_mm * math.sin(math.pi / 8), radius_mm * math.pi / 2
    segments = radius_mm**2 * (math.pi / 2 - 2 * math.sin(math.pi / 4))
    round_mm2 = solid.surface_area() + 20 * (arc - chord) + (-1 if hollow else 1) * segments
    found = area(solid)
    assert found.value == pytest.approx(solid.surface_area(), rel=1e-6)
    assert found.low <= round_mm2 <= found.high < 1.01 * found.value


def lands(count, radius_mm, notch_mm, hollow=False, long_mm=20.0):
    """A shaft (or a bore in a bar) with notches between lands of one flat each, and the area with arcs for flats."""
    half = math.asin(0.5 * notch_mm / radius_mm)
    deep = radius_mm - (-2.0 if hollow else 2.0)
    ring = []
    for k in range(count):
        turn = 2 * math.pi * k / count
        for r, a in ((radius_mm, -half), (deep, -half), (deep, half), (radius_mm, half)):
            ring.append((r * math.cos(turn + a), r * math.sin(turn + a)))
    outline = [m3.CrossSection([ring])]
    if hollow:
        outline = [m3.CrossSection.square((40.0, 40.0), True) - outline[0]]
    solid = m3.Manifold.extrude(outline[0], long_mm)
    land = math.pi / count - half
    chord, arc = 2 * radius_mm * math.sin(land), 2 * radius_mm * land
    segment = radius_mm**2 * (land - math.sin(land) * math.cos(land))
    more = count * (long_mm * (arc - chord) + (-2 if hollow else 2) * segment)
    return solid, solid.surface_area() + more


@pytest.mark.parametrize("hollow", [False, True])
@pytest.mark.parametrize(("count", "notch_mm", "long_mm"), [(30, 1, 20), (18, 2.4, 20), (12, 4, 20), (18, 2.4, 0.8)])
def test_lands_of_one_flat_each_may_be_arcs(count, notch_mm, long_mm, hollow):
    solid, true_mm2 = lands(count, 10.0, notch_mm, hollow, long_mm)
    found = area(solid)
    assert found.low <= true_mm2 <= found.high
    assert found.value == pytest.approx(solid.surface_area(), rel=1e-6)


def bar_on_legs(sides):
    """A bar across two tapered legs on a base: skin of the bar and of the legs hangs together round their creases."""
    solid = m3.Manifold.cube((60.0, 18.0, 6.0), True)
    for x in (-11, 11):
        solid += m3.Manifold.cylinder(16, 5, 4.2, sides).translate([x, 0, 2])
    return solid + m3.Manifold.cylinder(80, 4, circular_segments=sides, center=True).rotate([0, 90, 0]).translate(
        [0, 0, 19]
    )


def test_a_crease_is_no_bend():
    round_mm2 = bar_on_legs(1024).surface_area()
    found = area(bar_on_legs(64))
    assert found.low <= round_mm2 <= found.high
    assert found.value == pytest.approx(round_mm2, rel=1e-3)
    assert found.high - found.low < 0.02 * found.value


def drilled(sides, lean_deg=0.0, radius_mm=5.0):
    """A hole of so many flats through a plate of 40 x 40 x 10 mm, and the area with a round one."""
    hole = m3.Manifold.cylinder(30, radius_mm, circular_segments=sides, center=True).rotate((lean_deg, 0, 10))
    long = 1 / math.cos(math.radians(lean_deg))
    wall, ends = 2 * math.pi * radius_mm * 10 * long, 2 * math.pi * radius_mm**2 * long
    return m3.Manifold.cube((40, 40, 10), True) - hole, 4800 - ends + wall


@pytest.mark.parametrize(("sides", "lean_deg"), [(8, 0), (9, 0), (8, 20), (9, 33)])
def test_eight_flats_of_a_hole_are_a_bore_drawn_coarsely_and_the_bounds_hold_the_flats(sides, lean_deg):
    solid, round_mm2 = drilled(sides, lean_deg)
    found = found_in(solid)
    (bore,) = (f for f in found.features if f.kind is FeatureKind.THROUGH_BORE)
    assert bore.diameter_mm == pytest.approx(10.0, rel=1e-5)
    all_mm2 = total(feature.area_mm2 for feature in found.features)
    assert all_mm2.value == pytest.approx(round_mm2, rel=1e-5)
    assert all_mm2.low < solid.surface_area() < all_mm2.high
    assert "read-as-round" in [note.code for note in found.notes]


@pytest.mark.parametrize("lean_deg", [0, 20])
def test_seven_flats_askew_stay_flats_and_the_bounds_hold_the_bore(lean_deg):
    solid, round_mm2 = drilled(7, lean_deg)
    found = area(solid)
    assert found.value == pytest.approx(solid.surface_area(), rel=1e-6)
    assert found.low <= round_mm2 <= found.high


def test_eight_flats_are_meant_where_other_curves_are_drawn_finer():
    hole = m3.Manifold.cylinder(30, 3, circular_segments=24, center=True).translate((12, 12, 0))
    kinds = sorted(f.kind.value for f in found_in(drilled(8)[0] - hole).features)
    assert kinds == ["outside", "passage", "through-bore"]


@pytest.mark.parametrize(("bore", "flats"), [(64, True), (12, False)])
def test_a_knob_of_twelve_flats_is_flats_where_its_bore_is_drawn_finer(bore, flats):
    knob = m3.Manifold.cylinder(12, 15, circular_segments=12)
    solid = knob - m3.Manifold.cylinder(12, 4, circular_segments=bore)
    found = area(solid)
    wall, ends = 24 * 12 * 15 * math.sin(math.pi / 12), 2 * knob.slice(6).area()
    round_mm2 = math.tau * 15 * 12 + math.tau * 15**2
    rest = math.tau * 4 * 12 - math.tau * 4**2
    assert found.value == pytest.approx((wall + ends if flats else round_mm2) + rest, rel=1e-5)
    assert found.low <= solid.surface_area() * (1 + 1e-6)
    assert found.high >= (round_mm2 + rest) * (1 - 1e-6)


def test_a_countersink_of_eight_flats_belongs_to_its_hole_of_eight():
    sink = m3.Manifold.cylinder(3, 3, 6, circular_segments=8).translate((0, 0, 2))
    hole = m3.Manifold.cylinder(30, 3, circular_segments=8, center=True) + sink
    found = found_in(m3.Manifold.cube((40, 40, 10), True) - hole)
    (bore,) = (f for f in found.features if f.kind is not FeatureKind.OUTSIDE)
    assert [(s.kind.value, round(s.diameter_mm, 4)) for s in bore.steps] == [("countersink", 12.0), ("bore", 6.0)]


@pytest.mark.parametrize("sides", [8, 9, 16])
def test_three_bores_that_meet_are_three_bores_however_coarse(sides):
    solid = m3.Manifold.cube((60, 60, 20), True)
    for k in range(3):
        bore = m3.Manifold.cylinder(50, 4, circular_segments=sides).rotate((90, 0, 0))
        solid -= bore.rotate((0, 0, 120 * k + 7))
    bores = [f for f in found_in(solid).features if f.kind is not FeatureKind.OUTSIDE]
    assert [bore.diameter_mm for bore in bores] == pytest.approx([8.0] * 3, rel=1e-5)


@pytest.mark.parametrize("wider_mm", [0.01, 0.03, 0.1])
@pytest.mark.parametrize("sides", [64, 128])
def test_a_bore_that_tapers_by_a_tenth_of_a_degree_is_one_bore(wider_mm, sides):
    cube, wide = m3.Manifold.cube((30, 30, 20), True), 5 + wider_mm
    found = found_in(cube - m3.Manifold.cylinder(20, 5, wide, circular_segments=sides, center=True))
    bores = [(f.kind, round(f.diameter_mm, 3)) for f in found.features if f.kind is not FeatureKind.OUTSIDE]
    assert bores == [(FeatureKind.THROUGH_BORE, pytest.approx(2 * wide, abs=1e-3))]
    round_mm2 = 4200 - math.pi * (25 + wide**2) + math.pi * (5 + wide) * math.hypot(20, wider_mm)
    area = total(feature.area_mm2 for feature in found.features)
    assert area.low <= round_mm2 <= area.high
    assert area.value == pytest.approx(round_mm2, rel=1e-6)
