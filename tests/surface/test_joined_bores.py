"""Plugs in bores that end in one another: what they seal hangs on every way in, not on one bore's ends."""

import math

import bodies
import numpy as np
import pytest
import random_solids as solids

import areacalc
from areacalc.errors import BadInput
from areacalc.part.part import Part
from areacalc.surface.sides import opens_words
from areacalc.surface.skin import State

DRILLED = {"bore-2": (3.5, 20, "front"), "bore-3": (3, 15, "top"), "bore-4": (3, 15, "top"), "bore-5": (3, 15, "top")}
"""Radius, way from the outside to the axis of bore-1 [mm], side: they run square into bore-1, of radius 5."""
AT_X = (-18.0, 0.0, 18.0)
OUTSIDE = 2 * (60 * 40 + 60 * 30 + 40 * 30) - 2 * math.pi * 25 - sum(math.pi * r**2 for r, _, _ in DRILLED.values())
ENDS = 2 * math.pi * 5 * 10
TURN = np.linspace(0, 2 * math.pi, 3600, endpoint=False)


def inside_mm2():
    """The walls of all five bores: 2 pi R L, less what the others take of it; r (l - sqrt(R^2 - r^2 sin^2 t)) over a
    turn of each of those."""
    found = 2 * math.pi * 5 * 60
    for r, way, _ in DRILLED.values():
        found += 2 * math.pi * r * float(np.mean(way - np.sqrt(25 - (r * np.sin(TURN)) ** 2)))
        taken = 2 * 5 * np.arcsin(np.abs(r * np.sin(TURN)) / 5) * np.abs(r * np.sin(TURN)) / 2
        found -= 2 * math.pi * float(np.mean(taken))
    return found


def from_step(tmp_path):
    path = tmp_path / "manifold.step"
    across = [solids.rod(3, 15, (x, 0, 0)) for x in AT_X]
    along, front = solids.rod(5, 62, (-31, 0, 0), (1, 0, 0)), solids.rod(3.5, 20, (0, 0, 0), (0, -1, 0))
    solids.write_step(solids.cut(solids.block((60, 40, 30), (-30, -20, -15)), along, front, *across), path)
    return areacalc.open(path)


def from_mesh(tmp_path):
    solid = bodies.box((-30, 30), (-20, 20), (-15, 15)) - bodies.rod(5, (-31, 31)).rotate((0, 90, 0))
    solid -= bodies.rod(3.5, (0, 21)).rotate((90, 0, 0))
    for x in AT_X:
        solid -= bodies.rod(3, (0, 16)).translate((x, 0, 0))
    mesh = bodies.body(solid)
    return Part(bodies.loose(mesh.vertices[mesh.triangles], single=True))


@pytest.fixture(scope="module", params=[from_step, from_mesh])
def manifold(request, tmp_path_factory):
    return request.param(tmp_path_factory.mktemp("manifold"))


def plugged(part, *words):
    return part.with_choices(plug=["bore-1 5 mm deep at both ends", *words]).wetted()


EVERY = [f"{name} {side} 3 mm deep" for name, (_, _, side) in DRILLED.items()]


def test_a_bore_plugged_at_both_ends_is_wet_through_those_that_end_in_it(manifold):
    found = plugged(manifold)
    assert found.value.value == pytest.approx(OUTSIDE + inside_mm2() - ENDS, rel=1e-3)
    assert found.area_in(State.SEALED).value == 0.0


@pytest.mark.parametrize("open_", DRILLED)
def test_one_open_bore_wets_them_all(manifold, open_):
    words = [each for each in EVERY if not each.startswith(open_)]
    touched = ENDS + sum(2 * math.pi * r * 3 for name, (r, _, _) in DRILLED.items() if name != open_)
    assert plugged(manifold, *words).value.value == pytest.approx(OUTSIDE + inside_mm2() - touched, rel=1e-3)


def test_plugs_in_every_mouth_seal_all_that_lies_between(manifold):
    found = plugged(manifold, *EVERY)
    assert found.value.value == pytest.approx(OUTSIDE, rel=1e-4)
    touched = ENDS + sum(2 * math.pi * r * 3 for r, _, _ in DRILLED.values())
    assert found.area_in(State.SEALED).value == pytest.approx(inside_mm2() - touched, rel=2e-3)


def test_a_plug_past_a_bore_that_ends_there_shuts_it_too(manifold):
    """24 mm from the left goes over the inner end of the bore at x = -18, which stays wet from its own mouth."""
    found = manifold.with_choices(plug="bore-1 left 24 mm deep").wetted()
    assert found.area_in(State.SEALED).value == 0.0
    name = min(("bore-3", "bore-4", "bore-5"), key=lambda each: manifold.skin.named(each).mouths[0][0])
    shut = manifold.with_choices(plug=["bore-1 left 24 mm deep", f"{name} top 3 mm deep"]).wetted()
    sealed = manifold.skin.named(name).area_mm2.value - 2 * math.pi * 3 * 3
    assert shut.area_in(State.SEALED).value == pytest.approx(sealed, rel=2e-3)


def test_an_end_in_another_bore_is_told_by_its_name(manifold):
    told = {f.name: opens_words(f) for f in manifold.skin.features if f.axis is not None}
    assert told == {"bore-1": "left, right", **{name: f"{side}, bore-1" for name, (_, _, side) in DRILLED.items()}}


def test_a_plug_goes_into_the_only_mouth_to_the_outside(manifold):
    said, short = (manifold.with_choices(plug=f"bore-2 {side}3 mm deep").wetted() for side in ("front ", ""))
    assert short.area_in(State.PLUGGED).value == pytest.approx(2 * math.pi * 3.5 * 3, rel=2e-3)
    assert short.value == said.value
    with pytest.raises(BadInput, match="no mouth at the back"):
        manifold.with_choices(plug="bore-2 back 3 mm deep").wetted()
    with pytest.raises(BadInput, match="say which"):
        manifold.with_choices(plug="bore-1 3 mm deep").wetted()


def test_a_hole_in_the_shoulder_of_a_wide_bore_is_reached_from_both_sides():
    block = bodies.box((-20, 20), (-20, 20), (0, 30))
    block -= bodies.rod(12, (10, 31)) + bodies.rod(4, (-1, 31)) + bodies.rod(1.5, (-1, 11)).translate((8, 0, 0))
    part = Part(bodies.body(block))
    hole = min((f for f in part.skin.features if f.diameter_mm), key=lambda f: f.diameter_mm)
    assert opens_words(hole) in ("top, bottom", "bottom, top")


def test_a_chamber_behind_a_plugged_bore_is_sealed():
    block = bodies.box((-10, 10), (-10, 10), (0, 30))
    part = Part(bodies.body(block - bodies.box((-6, 6), (-6, 6), (4, 16)) - bodies.rod(2, (15, 31))))
    for words in ("bore-1", "bore-1 top 3 mm deep"):
        found = part.with_choices(plug=words).wetted()
        assert found.value.value == pytest.approx(2 * 400 + 4 * 600 - math.pi * 4, rel=1e-3)


def test_a_land_in_a_plugged_groove_stays_wet():
    block = bodies.box((-15, 15), (-15, 15), (0, 20))
    ring = bodies.rod(9, (16, 21)) - bodies.rod(7, (15, 22))
    part = Part(bodies.body(block - ring - bodies.rod(3, (12, 21))))
    found = part.with_choices(plug="groove-1").wetted()
    wall = 2 * math.pi * 3 * 8
    assert found.area_in(State.SEALED).value == 0.0
    assert found.value.value == pytest.approx(2 * 900 + 4 * 600 - math.pi * (81 - 49) + wall, rel=1e-3)


def stacked(tmp_path, ending, upper_bore, under=()):
    """Two plates, one on the other, holes of radius 3 and of this one in line; a blind hole in the block under them."""
    low = solids.cut(solids.block((30, 20, 10)), solids.rod(3, 12, (15, 10, -1)))
    high = solids.cut(solids.block((24, 20, 8), (0, 0, 10)), solids.rod(upper_bore, 12, (15, 10, 9)))
    path = tmp_path / f"stacked.{ending}"
    whole = solids.together(low, high, *under)
    solids.write_step(whole, path) if ending == "step" else solids.write_stl(whole, path, 0.02, 0.2)
    return areacalc.open(path, unit="mm" if ending == "stl" else None)


def plugs(part, *at_z):
    """A plug 2 mm deep in each bore from its mouth at that height."""
    bores = sorted((f for f in part.skin.features if f.axis is not None), key=lambda f: min(m[2] for m in f.mouths))
    return [
        f"{bore.name} 2 mm deep from mouth {1 + np.argmin([abs(mouth[2] - z) for mouth in bore.mouths])}"
        for bore, z in zip(bores, at_z, strict=True)
    ]


@pytest.mark.parametrize("ending", ["step", "stl"])
@pytest.mark.parametrize("upper_bore", [3, 4])
def test_plugs_at_the_outer_ends_of_a_bore_through_two_bodies_seal_its_middle(tmp_path, ending, upper_bore):
    part = stacked(tmp_path, ending, upper_bore)
    outside = 2 * 30 * 20 + 2 * 30 * 10 + 2 * 20 * 18 + 2 * 24 * 8 - math.pi * (9 + upper_bore**2)
    found = part.with_choices(plug=plugs(part, 0, 18)).wetted()
    assert found.value.low <= outside * (1 + 1e-9)
    assert outside * (1 - 1e-9) <= found.value.high
    assert found.value.value == pytest.approx(outside, rel=1e-5)
    middle = 2 * math.pi * (3 * 8 + upper_bore * 6) + math.pi * (upper_bore**2 - 9)
    assert found.area_in(State.SEALED).value == pytest.approx(middle, rel=1e-3)
    wet = part.with_choices(plug=plugs(part, 10, 18)).wetted()  # the lower plug leaves its lower mouth open
    assert wet.area_in(State.SEALED).value == pytest.approx(middle - 2 * math.pi * 3 * 8, rel=1e-3)
    assert wet.value.value == pytest.approx(outside + 2 * math.pi * 3 * 8, rel=1e-5)


@pytest.mark.parametrize(("gap", "wider"), [(0.0, False), (0.01, True)])
def test_a_plugged_bore_seals_the_one_that_goes_on_in_the_body_below_and_a_gap_leaves_it_in_doubt(tmp_path, gap, wider):
    below = solids.cut(solids.block((30, 20, 10), (0, 0, -10 - gap)), solids.rod(2, 8, (15, 10, -8 - gap)))
    part = stacked(tmp_path, "step", 3, [below])
    bores = [f.name for f in part.skin.features if len(f.mouths) == 2]
    area = part.with_choices(plug=bores).wetted()
    outside = 2 * 30 * 20 + 2 * 30 * 20 + 2 * 20 * 28 + 2 * 24 * 8 - math.pi * 9
    blind = 2 * math.pi * 2 * 8 + math.pi * 4
    assert area.value.low <= outside + 1e-6 * outside
    assert area.value.value == pytest.approx(outside, rel=1e-4)
    assert any(note.code == "shut-by-contact" for note in area.notes) == wider
    assert (area.value.high >= outside + blind) == wider


@pytest.mark.parametrize("ending", ["step", "stl"])
@pytest.mark.parametrize("flush", [True, False])
def test_a_plug_that_fills_a_bore_shuts_in_the_face_of_the_body_under_it(tmp_path, ending, flush):
    """A sleeve in a blind hole, or a plate on a plate: the floor is another body's, and no more than a disc."""
    if flush:
        block = solids.cut(solids.block((20, 20, 10)), solids.rod(4, 8, (10, 10, 3)))
        parts = [block, solids.cut(solids.rod(4, 7, (10, 10, 3)), solids.rod(2.5, 9, (10, 10, 2)))]
    else:
        top = solids.cut(solids.block((20, 20, 7), (0, 0, 3)), solids.rod(2.5, 9, (10, 10, 2)))
        parts = [solids.block((20, 20, 3)), top]
    path = tmp_path / f"floor.{ending}"
    whole = solids.together(*parts)
    solids.write_step(whole, path) if ending == "step" else solids.write_stl(whole, path, 0.02, 0.2)
    part = areacalc.open(path, unit="mm" if ending == "stl" else None)
    (bore,) = [f.name for f in part.skin.features if len(f.mouths) == 2]
    assert part.with_choices(plug=bore).wetted().value.value == pytest.approx(1600 - math.pi * 2.5**2, rel=1e-5)
