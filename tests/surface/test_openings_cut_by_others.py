"""Bores that keyways and slits open, grooves round a land, T-slots: what is left of each is named and measured."""

import math

import pytest
import random_solids as solids

import areacalc

block, rod, cut, about_z = solids.block, solids.rod, solids.cut, solids.about_z
CUTS = {"step": None, "coarse": (0.3, 0.5), "fine": (0.02, 0.1)}  # chord [mm] and angle [rad] of an STL


@pytest.fixture(params=CUTS)
def opened(request, tmp_path):
    """A solid as areacalc reads it from its file."""

    def read(solid):
        if CUTS[request.param] is None:
            solids.write_step(solid, tmp_path / "part.step")
            return areacalc.open(tmp_path / "part.step")
        solids.write_stl(solid, tmp_path / "part.stl", *CUTS[request.param])
        return areacalc.open(tmp_path / "part.stl", unit="mm")

    return read


def shown(part):
    """Name, width or diameter, depth and area of all but the outside."""
    return {
        f.name: (f.diameter_mm or f.width_mm, f.depth_mm, f.area_mm2.value)
        for f in part.skin.features
        if f.name != "outside"
    }


def near(**expected):
    return {name.replace("_", "-"): pytest.approx(sizes, rel=5e-3) for name, sizes in expected.items()}


def tapered(length, *keys):
    """A collar with a bore of 12 mm at its floor, wider by 1 to 10, and keyways from its top."""
    return cut(rod(15, 30), solids.cone(9 - length / 10, 9, length, (0, 0, 30 - length)), *keys)


def test_a_tapered_bore_with_a_keyway_right_through_has_two_mouths(opened):
    part = opened(tapered(30, block((11, 3, 32), (0, -1.5, -1))))
    bore = part.skin.named("bore-1")
    assert (len(bore.mouths), bore.steps[0].kind, bore.steps[0].narrow_mm) == (2, "taper", pytest.approx(12, rel=1e-3))
    assert part.skin.named("keyway-1").width_mm == pytest.approx(3, rel=1e-4)
    blind = opened(tapered(22, block((22, 3, 32), (-11, -1.5, 8))))
    assert len(blind.skin.named("blind-bore-1").mouths) == 1


def test_a_collet_slit_to_its_floor_holds_a_blind_bore(opened):
    slits = [about_z(block((14, 1.5, 60), (0, -0.75, 10)), 2 * math.pi * k / 3) for k in range(3)]
    part = opened(cut(rod(12, 40), rod(6, 31, (0, 0, 10)), *slits))
    wall = 30 * 12 * (math.pi - 3 * math.asin(0.75 / 6))
    assert shown(part) == near(blind_bore_1=(12, 30, wall))
    through = opened(cut(rod(12, 40), rod(6, 42, (0, 0, -1)), *slits))
    assert len(through.skin.named("bore-1").mouths) == 2


def test_a_groove_round_a_land_is_as_wide_as_the_circles_lie_apart(opened):
    face = cut(rod(25, 15), cut(rod(18, 5, (0, 0, 11)), rod(14, 6, (0, 0, 10))), rod(6, 20, (0, 0, -1)))
    floor, walls = math.pi * (18**2 - 14**2), 2 * math.pi * 32 * 4
    part = opened(face)
    assert shown(part) == near(groove_1=(4, 4, floor + walls), bore_1=(12, 15, 180 * math.pi))
    assert len(part.skin.named("bore-1").mouths) == 2
    assert part.skin.named("groove-1").length_mm == pytest.approx(32 * math.pi, rel=1e-3)
    assert shown(opened(cut(rod(25, 15), solids.ring(16, 2, (0, 0, 15))))) == near(
        groove_1=(4, 2, 2 * math.pi * 16 * 2 * math.pi)
    )


def test_a_t_slot_is_one_slot_with_what_hangs_over_its_floor(opened):
    part = opened(cut(block((60, 40, 20)), block((62, 8, 22), (-1, 16, 10)), block((62, 16, 6), (-1, 12, 6))))
    assert shown(part) == near(slot_1=(16, 14, 60 * (16 + 2 * 6 + 2 * 4 + 2 * 8)))


def test_a_slot_out_of_a_bore_with_a_round_end_is_a_keyway(opened):
    keyhole = cut(block((60, 40, 6)), rod(6, 8, (15, 20, -1)), block((25, 6, 8), (15, 17, -1)), rod(3, 8, (40, 20, -1)))
    assert {"bore-1", "keyway-1"} == set(shown(opened(keyhole)))


@pytest.mark.parametrize(("across", "names"), [(4, 2), (2, 2)])
def test_a_bore_into_the_side_of_another_is_a_bore_of_its_own(opened, across, names):
    part = opened(cut(block((60, 30, 30)), rod(4, 62, (-1, 15, 15), (1, 0, 0)), rod(across, 20, (30, 15, 15))))
    assert [f.kind for f in part.skin.features] == ["outside", *["through-bore"] * names]
    assert part.skin.named("bore-1").depth_mm == pytest.approx(60, rel=1e-4)


def test_a_bore_open_along_its_side_keeps_its_diameter_and_tells_what_is_missing(opened):
    bore = opened(cut(block((60, 30, 20)), rod(5, 62, (-1, 15, 17), (1, 0, 0)))).skin.named("bore-1")
    share = math.acos(3 / 5) / math.pi
    assert (bore.diameter_mm, bore.depth_mm) == (pytest.approx(10, rel=1e-4), pytest.approx(60, rel=1e-4))
    assert bore.steps[0].open_mm2 == pytest.approx(600 * math.pi * share, rel=5e-3)
