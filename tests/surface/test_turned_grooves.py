"""Grooves turned into the outside: width, depth and floor, whatever the file's fineness; necks and steps are none."""

import math

import manifold3d as m3
import numpy as np
import pytest
from bodies import loose

from areacalc.estimate import total
from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.turn import profile_of
from areacalc.surface.features.features import find_features
from areacalc.surface.skin import FeatureKind
from areacalc.surface.turned import surface_of

BAR = 12.0


def grooves_of(outline, sides):
    """The grooves of an outline (r, z) turned about z, as a binary STL gives it."""
    mesh = m3.Manifold.revolve(m3.CrossSection([outline]), sides).to_mesh()
    found = find_features(loose(mesh.vert_properties[:, :3][mesh.tri_verts], single=True))
    return [f for f in found.features if f.kind is FeatureKind.GROOVE]


def grooves(*dips, sides=48, end=40.0):
    """The grooves of a bar of 24 mm with dips (z, r) in its outline."""
    return grooves_of([(0.0, 0.0), (BAR, 0.0), *((r, z) for z, r in dips), (BAR, end), (0.0, end)], sides)


def square(begin, width, floor):
    return [(begin, BAR), (begin, floor), (begin + width, floor), (begin + width, BAR)]


@pytest.mark.parametrize("sides", [24, 48, 160])
def test_an_o_ring_and_a_circlip_groove_have_names_and_sizes(sides):
    ring, clip = grooves(*square(5, 1.3, 11.0), *square(20, 2.7, 10.2), sides=sides)
    sizes = [(f.name, f.width_mm, f.depth_mm, f.diameter_mm) for f in (ring, clip)]
    assert sizes[0] == ("groove-1", *(pytest.approx(x, rel=1e-5) for x in (2.7, 1.8, 20.4)))
    assert sizes[1] == ("groove-2", *(pytest.approx(x, rel=1e-5) for x in (1.3, 1.0, 22.0)))
    # floor and two rings
    assert ring.area_mm2.value == pytest.approx(math.tau * 10.2 * 2.7 + math.tau * (12.0**2 - 10.2**2), rel=1e-5)


def test_a_groove_for_a_belt_a_vee_and_a_round_one_are_grooves():
    turn = np.linspace(0.0, math.pi, 25)
    belt = [(10, BAR), (12, 9.0), (15, 9.0), (17, BAR)]
    round_ = [(15 - 2 * math.cos(a), BAR - 2 * math.sin(a)) for a in turn]
    found = [grooves(*dips)[0] for dips in (belt, [(10, BAR), (13, 9.0), (16, BAR)], round_)]
    assert [(f.width_mm, f.depth_mm) for f in found] == [pytest.approx(x, rel=1e-4) for x in ((7, 3), (6, 3), (4, 2))]


def test_a_relief_beside_a_shoulder_is_a_groove_without_the_shoulders_face():
    outline = [(0, 0), (8, 0), (8, 14), (7.7, 14), (7.7, 16), (14, 16), (14, 30), (0, 30)]
    (groove,) = grooves_of(outline, 64)
    assert (groove.width_mm, groove.depth_mm, groove.diameter_mm) == pytest.approx((2.0, 0.3, 15.4), rel=1e-4)
    assert groove.area_mm2.value == pytest.approx(math.tau * 7.7 * 2.0 + math.pi * (8.0**2 - 7.7**2), rel=1e-4)


@pytest.mark.parametrize("dips", [square(10, 25, 6.0), [(20, BAR), (20, 9.0), (39.9, 9.0), (39.9, 9.0)], []])
def test_a_neck_a_step_and_a_plain_bar_have_no_groove(dips):
    assert grooves(*dips) == []


def test_the_waist_of_a_handle_is_no_groove_and_a_round_bottom_is_told_between_its_corners():
    turn = np.linspace(0.0, 1.0, 9)
    hollow = [(20 - 6 * math.sin(a), 16 - 6 * math.cos(a)) for a in turn[::-1]]
    hollow += [(20 + 6 * math.sin(a), 16 - 6 * math.cos(a)) for a in turn[1:]]
    at, up = 20 - 12 * math.sin(1.0), 16 - 12 * math.cos(1.0)  # the middle of the bulge that it runs out into
    bulge = [(at + 6 * math.sin(a), up + 6 * math.cos(a)) for a in turn[:-1]]
    waist = [*bulge, *hollow, *((40 - z, r) for z, r in reversed(bulge))]
    assert grooves(*((z, r) for z, r in waist)) == []
    bottom = [(20 - 2 * math.cos(a), BAR - 2 * math.sin(a)) for a in np.linspace(0.0, math.pi, 16)]
    assert grooves(*bottom)[0].diameter_mm == pytest.approx(2 * (BAR - 2), rel=1e-5)


@pytest.mark.parametrize("words", [
    "0 24, 5 24, 5 20.4, 7.7 20.4, 7.7 24, 20 24, 20 22, 21.3 22, 21.3 24, 40 24; bore through left 10",
    "0 16, 14 16, 14 15.4, 16 15.4, 16 28, 22 28 arc r6, 24 24, 26 24, 28 28, 40 28", "0 20, 10 14, 20 14, 30 20, 60 8",
    "0 24, 10 24, 14 24 arc r2 in, 40 24 thread M24",
])  # fmt: skip
def test_a_lathe_profile_has_the_grooves_of_its_mesh_by_the_same_names(words):
    body = revolve(profile_of(words))
    skin = surface_of(body)
    told = [f for f in skin.features if f.kind is FeatureKind.GROOVE]
    found = [f for f in find_features(loose(body.vertices[body.triangles], single=True)).features
             if f.kind is FeatureKind.GROOVE]  # fmt: skip
    assert [f.name for f in told] == [f.name for f in found]
    for one, other in zip(told, found, strict=True):
        sizes = [(f.width_mm, f.depth_mm, f.diameter_mm, f.area_mm2.value) for f in (one, other)]
        assert sizes[0] == pytest.approx(sizes[1], rel=1e-3)
    assert total(f.area_mm2 for f in skin.features).value == pytest.approx(body.profile.area_mm2.value, rel=1e-12)
    assert {p.feature for p in skin.patches} == set(range(len(skin.features)))
