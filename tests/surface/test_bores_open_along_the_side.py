"""A through bore that a keyway or a slit opens along its side has two mouths; a blind one keeps one."""

import math

import manifold3d as m3
import numpy as np
import pytest
import random_solids as solids
from bodies import body

import areacalc
from areacalc.part.part import Part


def collar(bore, key):
    """A collar 30 x 20 mm with a bore and a cut of size and place `key`."""
    return solids.cut(solids.rod(15, 20), bore, solids.block(*key))


THROUGH = solids.rod(6, 22, (0, 0, -1))
KEYWAY = ((7.5, 3, 22), (0, -1.5, -1))
SLIT = ((20, 1, 22), (0, -0.5, -1))


@pytest.mark.parametrize("key", [KEYWAY, SLIT], ids=["keyway", "slit"])
@pytest.mark.parametrize("kind", ["stl", "step"])
def test_a_through_bore_open_along_its_side_has_two_mouths(tmp_path, key, kind):
    path = tmp_path / f"collar.{kind}"
    solid = collar(THROUGH, key)
    if kind == "stl":
        solids.write_stl(solid, path, 0.05, 0.2)
    else:
        solids.write_step(solid, path)
    part = areacalc.open(path, unit="mm" if kind == "stl" else None)
    bore = next(f for f in part.skin.features if f.name == "bore-1")
    assert (bore.kind, len(bore.mouths)) == ("through-bore", 2)
    assert bore.depth_mm == pytest.approx(20, rel=1e-6)
    plugged = part.with_choices(plug="bore-1 top 5 mm deep").wetted()
    area = {row.state: row.area_mm2.value for row in plugged.rows if row.feature.name == "bore-1"}
    assert area["plugged"] == pytest.approx(bore.area_mm2.value / 4, rel=1e-3)
    assert area["wet"] == pytest.approx(bore.area_mm2.value * 3 / 4, rel=1e-3)


def test_a_blind_bore_with_a_keyway_stays_blind(tmp_path):
    path = tmp_path / "collar.stl"
    solids.write_stl(collar(solids.rod(6, 12, (0, 0, 10)), ((7.5, 3, 22), (0, -1.5, 10))), path, 0.05, 0.2)
    bore = next(f for f in areacalc.open(path, unit="mm").skin.features if f.name == "blind-bore-1")
    assert (len(bore.mouths), bore.diameter_mm, bore.depth_mm) == (1, pytest.approx(12, rel=1e-4), pytest.approx(10))


def keyed(*tools, keys, height=22, floor=-1):
    """A collar with these bores and a number of keyways round them."""
    ways = [
        solids.about_z(solids.block((7.5, 3, height), (0, -1.5, floor)), 2 * math.pi * k / keys) for k in range(keys)
    ]
    return solids.cut(solids.rod(15, 20), *tools, *ways)


def opened(solid, kind, folder):
    path = folder / f"collar.{kind}"
    if kind == "stl":
        solids.write_stl(solid, path, 0.05, 0.2)
    else:
        solids.write_step(solid, path)
    return areacalc.open(path, unit="mm" if kind == "stl" else None)


@pytest.mark.parametrize("keys", [2, 3, 4])
@pytest.mark.parametrize("kind", ["stl", "step"])
def test_keyways_leave_one_bore_and_are_measured(tmp_path, keys, kind):
    part = opened(keyed(THROUGH, keys=keys), kind, tmp_path)
    bore, *ways = (f for f in part.skin.features if f.name != "outside")
    assert (bore.name, len(bore.mouths), len(bore.steps)) == ("bore-1", 2, 1)
    assert bore.diameter_mm == pytest.approx(12, rel=1e-4)
    assert bore.depth_mm == pytest.approx(20, rel=1e-6)
    wall = 20 * 12 * (math.pi - keys * math.asin(1.5 / 6))  # the circle less a chord of 3 mm for each key
    assert bore.area_mm2.value == pytest.approx(wall, rel=1e-6)
    assert [f.kind for f in ways] == ["keyway"] * keys
    flank = 7.5 - math.sqrt(6**2 - 1.5**2)
    for way in ways:
        assert (way.width_mm, way.length_mm, way.depth_mm, len(way.opens)) == (
            pytest.approx(3, rel=1e-5), pytest.approx(20, rel=1e-5), pytest.approx(flank, rel=1e-4), 3)  # fmt: skip
    assert sum(f.area_mm2.value for f in ways) == pytest.approx(keys * 20 * (2 * flank + 3), rel=1e-6)


@pytest.mark.parametrize("kind", ["stl", "step"])
def test_a_stepped_bore_with_two_keyways_is_as_deep_as_the_part(tmp_path, kind):
    part = opened(keyed(THROUGH, solids.rod(9, 8, (0, 0, 14)), keys=2), kind, tmp_path)
    bore = next(f for f in part.skin.features if f.name == "bore-1")
    assert (len(bore.mouths), bore.diameter_mm, bore.depth_mm) == (
        2, pytest.approx(12, rel=1e-4), pytest.approx(20, rel=1e-6))  # fmt: skip
    assert [round(step.depth_mm, 3) for step in bore.steps] == [6, 0, 14]


@pytest.mark.parametrize("seed", range(4))
def test_a_plug_as_deep_as_a_step_covers_the_whole_shoulder(tmp_path, seed):
    """In single precision, turned in space, a shoulder's corners lie on either side of the plug's end."""
    solid = solids.moved(keyed(THROUGH, solids.rod(9, 8, (0, 0, 14)), keys=2), np.random.default_rng(seed))
    part = opened(solid, "stl", tmp_path)
    wet, beyond = (
        part.with_choices(plug=f"bore-1 {deep} mm deep from mouth 1").wetted().value.value for deep in (6, 6.001)
    )
    assert wet == pytest.approx(beyond, abs=0.001 * 100)


def test_a_blind_bore_with_two_keyways_stays_one_blind_bore(tmp_path):
    part = opened(keyed(solids.rod(6, 12, (0, 0, 10)), keys=2, height=12, floor=10), "stl", tmp_path)
    assert [f.name for f in part.skin.features if "bore" in f.name] == ["blind-bore-1"]
    bore = part.skin.named("blind-bore-1")
    assert (bore.diameter_mm, bore.depth_mm) == (pytest.approx(12, rel=1e-4), pytest.approx(10))
    assert bore.floor_mm2 > math.pi * 36
    assert len(part.skin.features) == 4


@pytest.mark.parametrize("keys", [1, pytest.param(2, marks=pytest.mark.slow), pytest.param(4, marks=pytest.mark.slow)])
@pytest.mark.parametrize("kind", ["stl", "step"])
def test_keyways_that_stop_short_leave_the_mouths_and_the_depth(tmp_path, keys, kind):
    """From above to 12 mm of a through bore, to 2 mm over a drill point, and from below to a step at half the depth."""
    drilled = [solids.rod(6, 16, (0, 0, 6)), solids.point(6, 4, (0, 0, 6), (0, 0, -1))]
    stepped = [solids.rod(4, 22, (0, 0, -1)), solids.rod(7.8, 11, (0, 0, 10))]
    low = [solids.about_z(solids.block((6, 2, 11), (0, -1, -1)), 2 * math.pi * k / keys) for k in range(keys)]
    for solid, name, diameter, depth, mouths in (
        (keyed(THROUGH, keys=keys, height=13, floor=8), "bore-1", 12, 20, 2),
        (keyed(THROUGH, keys=keys, height=5, floor=16), "bore-1", 12, 20, 2),
        (keyed(*drilled, keys=keys, height=13, floor=8), "blind-bore-1", 12, 18, 1),
        (solids.cut(solids.rod(15, 20), *stepped, *low), "bore-1", 8, 20, 2),
    ):
        bore = next(f for f in opened(solid, kind, tmp_path).skin.features if f.name.startswith(("bore", "blind")))
        assert (bore.name, len(bore.mouths)) == (name, mouths)
        assert (bore.diameter_mm, bore.depth_mm) == (pytest.approx(diameter, rel=1e-4), pytest.approx(depth, rel=1e-6))


def test_arcs_about_two_axes_or_far_apart_along_one_are_not_one_bore(tmp_path):
    """An obround slot, and a fork whose two half-round notches lie in line."""
    slot = [solids.rod(3, 22, (x, 0, -1)) for x in (-5, 5)] + [solids.block((10, 6, 22), (-5, -3, -1))]
    part = opened(solids.cut(solids.rod(15, 20), *slot), "step", tmp_path)
    assert [f.kind for f in part.skin.features] == ["outside", "slot"]
    notch = solids.cut(
        solids.block((30, 20, 20)), solids.block((10, 22, 22), (10, -1, 4)), solids.rod(4, 32, (-1, 10, 20), (1, 0, 0))
    )
    part = opened(notch, "step", tmp_path)
    assert "bore" not in " ".join(f.kind for f in part.skin.features)


def splined(lands, share, flats):
    """A hub of 40 x 30 mm with a bore of 20 mm splined to 24; each land, tips and roots, drawn in a number of flats."""
    turn, points = 2 * math.pi / lands, []
    for k in range(lands):
        for radius, begin, end in ((10.0, 0.0, share), (12.0, share, 1.0)):
            at = (k + begin + (end - begin) * np.arange(flats + 1) / flats) * turn
            points.append(radius * np.stack([np.cos(at), np.sin(at)], axis=1))
    hole = m3.Manifold.extrude(m3.CrossSection([np.concatenate(points)]), 32).translate((0, 0, -1))
    return Part(body(m3.Manifold.cylinder(30, 20, 20, 96) - hole))


@pytest.mark.parametrize(("lands", "share"), [(8, 0.5), (6, 0.5), (20, 0.5), (12, 0.6)])
@pytest.mark.parametrize("flats", [1, 2, 8])
def test_a_splined_bore_is_one_bore_with_keyways_however_it_is_cut(lands, share, flats):
    part = splined(lands, share, flats)
    bore, *ways = (f for f in part.skin.features if f.name != "outside")
    assert (bore.name, len(bore.mouths), [s.kind for s in bore.steps]) == ("bore-1", 2, ["bore"])
    assert (bore.diameter_mm, bore.depth_mm) == (pytest.approx(20, rel=1e-4), pytest.approx(30))
    assert [(f.kind, f.into) for f in ways] == [("keyway", ("bore-1",))] * lands
    assert bore.area_mm2.low <= 30 * 20 * math.pi * share <= bore.area_mm2.high * (1 + 1e-9)
    walls = 30 * (2 * math.pi * (10 * share + 12 * (1 - share)) + 4 * lands)
    ends = 2 * math.pi * (40 * 15 + 20**2 - 100 * share - 144 * (1 - share))
    whole = part.wetted().value
    assert whole.low <= walls + ends <= whole.high * (1 + 1e-9)


@pytest.mark.parametrize("width", [2, 5])
def test_rectangular_passages_round_a_circle_are_none_of_a_bore(width):
    tool = m3.Manifold.cube((8, width, 12)).translate((12, -width / 2, -1))
    plate = m3.Manifold.cylinder(10, 30, 30, 96)
    for k in range(8):
        plate -= tool.rotate((0, 0, 45 * k))
    found = [f for f in Part(body(plate)).skin.features if f.name != "outside"]
    assert [(f.kind, round(f.length_mm, 6), round(f.width_mm, 6)) for f in found] == [("passage", 8, width)] * 8


def around(tool, count):
    return m3.Manifold.batch_boolean([tool.rotate((0, 0, 360 / count * k)) for k in range(count)], m3.OpType.Add)


def test_a_castle_nuts_bore_goes_up_to_its_tips():
    nut = m3.Manifold.cylinder(14, 13, 13, 96) - m3.Manifold.cylinder(16, 7, 7, 64).translate((0, 0, -1))
    nut -= around(m3.Manifold.cube((20, 3, 5)).translate((0, -1.5, 10)), 6)
    bore = Part(body(nut)).skin.named("bore-1")
    assert (bore.depth_mm, bore.diameter_mm, len(bore.mouths)) == (pytest.approx(14), pytest.approx(14, rel=1e-4), 2)


def test_a_lobed_socket_is_one_pocket():
    lobes = around(m3.Manifold.cylinder(6, 1, 1, 32).translate((3, 0, 5)), 6)
    head = m3.Manifold.cylinder(10, 8, 8, 96) - m3.Manifold.cylinder(6, 3, 3, 64).translate((0, 0, 5)) - lobes
    assert [f.name for f in Part(body(head)).skin.features] == ["outside", "pocket-1"]


@pytest.mark.parametrize("sides", [10, 16, 64])
def test_three_bores_that_meet_askew_are_no_rounding(sides):
    bore = m3.Manifold.cylinder(60, 4, 4, sides).rotate((0, 90, 0))
    part = Part(body(m3.Manifold.cube((60, 60, 20), True) - around(bore, 3)))
    found = [f for f in part.skin.features if f.name != "outside"]
    assert [(f.kind, len(f.mouths)) for f in found] == [("through-bore", 2)] * 3
    for f in found:
        assert f.area_mm2.high < 1.02 * f.area_mm2.value


@pytest.mark.parametrize("lean_deg", [10, 30, 44])
def test_a_dovetail_is_a_slot(lean_deg):
    wide = 5.0 + 7.0 * math.tan(math.radians(lean_deg))
    outline = m3.CrossSection([[(-5.0, 7.0), (-wide, 0.0), (wide, 0.0), (5.0, 7.0)]])
    tool = m3.Manifold.extrude(outline, 52).rotate((90, 0, 90)).translate((-1, 20, 8))
    found = [f for f in Part(body(m3.Manifold.cube((50, 40, 15)) - tool)).skin.features if f.name != "outside"]
    assert [(f.kind, f.width_mm, f.length_mm, f.depth_mm) for f in found] == [
        ("slot", pytest.approx(2 * wide), pytest.approx(50), pytest.approx(7))
    ]  # fmt: skip
