"""Features and true areas found from triangles alone, against the exact areas of the profiles they were made from."""

import math

import manifold3d
import numpy as np
import pytest
import trimesh
from bodies import loose
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.turn import profile_of
from areacalc.surface.features.features import find_features

PARTS = {
    "rod": "0 20, 60 20",
    "tube": "0 20, 60 20; bore through 10",
    "blind bore with drill point": "0 20, 60 20; bore left 8 x 40 drill 118",
    "stepped bore": "0 20, 60 20; bore left 10 x 20, 6 x 40 drill 118",
    "counterbore": "0 20, 60 20; bore through 12 x 8, 6",
    "chamfers": "0 20 c1, 60 20; bore through 8 chamfer 1",
    "knob": "0 18 r1, 6 18, 6 14 r0.6, 22 14, 26 8 arc r6; bore left 5 x 15 chamfer 0.6",
    "bullet": "0 0, 10 20 arc r10, 50 20",
    "taper": "0 12, 100 12, 110 8; bore left 8 x 90 drill 118",
    "groove": "0 20, 20 20, 20 14, 24 14, 24 20, 60 20; bore left 6 x 30 flat",
    "rounded rod": "0 10 r2, 40 10 r2",
    "ball": "0 0, 20 0 arc r10",
}


def corners_of(words, chord_mm, single=False):
    body = revolve(profile_of(words), chord_mm)
    points = body.vertices.astype(np.float32).astype(float) if single else body.vertices
    return points[body.triangles]


def sums(skin):
    areas = [patch.area_mm2 for patch in skin.patches]
    return sum(a.value for a in areas), sum(a.low for a in areas), sum(a.high for a in areas)


@pytest.mark.parametrize("single", [False, True])
@pytest.mark.parametrize("chord_mm", [0.2, 0.05, 0.01])
@pytest.mark.parametrize("name", PARTS)
def test_the_exact_area_lies_in_the_bounds_and_the_value_comes_nearer_than_the_facets(name, chord_mm, single):
    exact = profile_of(PARTS[name]).area_mm2.value
    body = loose(corners_of(PARTS[name], chord_mm, single))
    value, low, high = sums(find_features(body))
    assert low * (1 - 1e-12) <= exact <= high * (1 + 1e-12)
    assert abs(value - exact) <= abs(body.facet_area_mm2 - exact) + 5e-5 * exact


@pytest.mark.parametrize("single", [False, True])
@pytest.mark.parametrize("name", PARTS)
def test_a_fine_mesh_gives_the_area_to_a_millionth(name, single):
    value, low, high = sums(find_features(loose(corners_of(PARTS[name], 0.01, single))))
    exact = profile_of(PARTS[name]).area_mm2.value
    assert value == pytest.approx(exact, rel=1e-6)
    assert high - exact < 1e-5 * exact
    assert low > 0.99 * exact


@pytest.mark.parametrize("name", [n for n in PARTS if "bore" in PARTS[n]])
def test_bores_are_named_and_measured_as_the_profile_has_them(name):
    from areacalc.surface.turned import surface_of

    told = {f.name: f for f in surface_of(revolve(profile_of(PARTS[name]))).features if "bore" in f.name}
    found = {f.name: f for f in find_features(loose(corners_of(PARTS[name], 0.02, True))).features if "bore" in f.name}
    assert set(found) == set(told)
    for bore, one in told.items():
        other = found[bore]
        assert other.kind is one.kind
        assert other.diameter_mm == pytest.approx(one.diameter_mm, rel=1e-4)
        assert other.depth_mm == pytest.approx(one.depth_mm, rel=1e-3)
        assert other.area_mm2.value == pytest.approx(one.area_mm2.value, rel=1e-5)


@pytest.mark.parametrize("sides", [12, 16, 24, 36, 64])
def test_a_coarse_round_bar_is_round(sides):
    bar = trimesh.creation.cylinder(10, 40, sections=sides)
    exact = 2 * math.pi * 10 * 40 + 2 * math.pi * 100
    value, low, high = sums(find_features(loose(bar.triangles)))
    assert value == pytest.approx(exact, rel=1e-6)
    assert low <= exact <= high


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8])
def test_a_bar_of_few_flats_stays_as_it_is(sides):
    bar = trimesh.creation.cylinder(10, 40, sections=sides)
    assert sums(find_features(loose(bar.triangles)))[0] == pytest.approx(bar.area, rel=1e-9)


@pytest.mark.parametrize("sides", [12, 24])
def test_as_drawn_takes_the_flats(sides):
    bar = trimesh.creation.cylinder(10, 40, sections=sides)
    assert sums(find_features(loose(bar.triangles), as_drawn=True))[0] == pytest.approx(bar.area, rel=1e-9)


def block(sides=64):
    """80 x 40 x 20 mm: a bore of 10 down through it, one of 6 across that breaks into it, and a blind one of 8 x 12."""
    down = manifold3d.Manifold.cylinder(30, 5, 5, sides).translate((-20, 0, -15))
    across = manifold3d.Manifold.cylinder(60, 3, 3, sides).rotate((90, 0, 0)).translate((-20, 30, 0))
    blind = manifold3d.Manifold.cylinder(13, 4, 4, sides).translate((20, 0, -2))
    mesh = (manifold3d.Manifold.cube((80, 40, 20), True) - down - across - blind).to_mesh64()
    return np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts)]


def test_a_cross_drilled_block_has_its_bores():
    skin = find_features(loose(block()))
    bores = {f.name: f for f in skin.features if "bore" in f.name}
    widths = sorted(round(f.diameter_mm, 3) for f in bores.values())
    assert widths[0] == 6.0
    assert {8.0, 10.0} <= set(widths)
    blind = next(f for f in bores.values() if f.kind == "blind-bore")
    assert (blind.diameter_mm, blind.depth_mm) == pytest.approx((8.0, 12.0), rel=1e-4)
    assert blind.area_mm2.value == pytest.approx(math.pi * 8 * 12 + math.pi * 16, rel=1e-5)


def test_the_area_of_a_cross_drilled_block_converges_and_stays_in_the_bounds():
    fine = sums(find_features(loose(block(512))))[0]
    for sides in (24, 48, 96):
        value, low, high = sums(find_features(loose(block(sides))))
        assert value == pytest.approx(fine, rel=1e-4)
        assert low <= fine <= high


def test_a_sealed_void_is_named():
    hollow = trimesh.creation.icosphere(3, 5.0)
    hollow.invert()
    skin = find_features(loose(np.concatenate([trimesh.creation.box((20, 20, 20)).triangles, hollow.triangles])))
    assert sorted(f.name for f in skin.features) == ["outside", "void-1"]


@given(st.integers(0, 2**32 - 1), st.sampled_from(sorted(PARTS)))
@settings(deadline=None, max_examples=15)
def test_turning_moving_and_shuffling_change_no_name_and_no_area(seed, name):
    rng = np.random.default_rng(seed)
    corners = corners_of(PARTS[name], 0.03)
    turn = trimesh.transformations.random_rotation_matrix(rng.random(3))[:3, :3]
    moved = corners @ turn.T + rng.uniform(-50, 50, 3)
    moved = np.stack([np.roll(t, k, axis=0) for t, k in zip(moved, rng.integers(0, 3, len(moved)), strict=True)])
    one, two = find_features(loose(corners)), find_features(loose(moved[rng.permutation(len(moved))]))
    assert [(f.name, f.kind) for f in one.features] == [(f.name, f.kind) for f in two.features]
    for a, b in zip(one.features, two.features, strict=True):
        assert b.area_mm2.value == pytest.approx(a.area_mm2.value, rel=1e-6)


@given(st.sampled_from(["tube", "stepped bore", "knob"]), st.sampled_from([25.4, 1000.0, 0.1]))
@settings(deadline=None, max_examples=9)
def test_a_larger_part_is_the_same_part(name, scale):
    corners = corners_of(PARTS[name], 0.03)
    one, two = find_features(loose(corners)), find_features(loose(scale * corners))
    assert [f.name for f in one.features] == [f.name for f in two.features]
    for a, b in zip(one.features, two.features, strict=True):
        assert b.area_mm2.value == pytest.approx(scale**2 * a.area_mm2.value, rel=1e-6)


def test_a_rounding_drawn_in_very_many_rings_is_still_one_torus():
    """Rings a hundredth of a radian apart round the tube, rounded as a binary STL rounds them."""
    skin = find_features(loose(corners_of("0 18 r1, 6 18, 6 14 r0.6, 22 14, 26 8 arc r6", 2e-4, True)))
    kinds = [patch.surface.kind for patch in skin.patches]
    assert kinds.count("torus") == 3
    assert sums(skin)[0] == pytest.approx(profile_of("0 18 r1, 6 18, 6 14 r0.6, 22 14, 26 8 arc r6").area_mm2.value,
                                          rel=1e-6)  # fmt: skip
