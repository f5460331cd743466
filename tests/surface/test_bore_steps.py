"""A bore holds what its own steps come to in closed form: no more, and what is less of it is an opening in its wall."""

import math

import numpy as np
import pytest
import random_solids as solids
from scipy.integrate import quad

import areacalc
from areacalc.surface.skin import BoreStepKind, Feature

KINDS = ("step", "stl")


def opened(solid, kind, folder, chord_mm=0.02, angle_rad=0.15):
    path = folder / f"part.{kind}"
    if kind == "stl":
        solids.write_stl(solid, path, chord_mm, angle_rad)
    else:
        solids.write_step(solid, path)
    return areacalc.open(path, unit="mm" if kind == "stl" else None)


def closed_form_mm2(bore: Feature) -> float:
    """What the steps of a bore come to: whole rounds less what is open, and what stands in the bore beside them."""
    rounds = sum(step.round_mm2 - step.open_mm2 for step in bore.steps if step.round_mm2 is not None)
    return rounds + sum(step.area_mm2.value for step in bore.steps if step.round_mm2 is None)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_wall_has_the_area_of_its_sizes(tmp_path, kind):
    """A countersink, a counterbore, a shoulder, a groove of round section, and a floor rounded at its edge or domed."""
    tools = [solids.rod(4, 25, (0, 0, 5)), solids.rod(6, 10, (0, 0, 22)), solids.ring(4, 1.5, (0, 0, 14)),
             solids.cut(solids.point(8, 8, (0, 0, 30), (0, 0, -1)), solids.rod(9, 8, (0, 0, 20)))]  # fmt: skip
    block = solids.block((30, 30, 30), (-15, -15, 0))
    rounded = solids.fuse(solids.rod(3, 4.001, (0, 0, 1)), solids.ring(3, 1, (0, 0, 5)), solids.rod(4, 1, (0, 0, 5)))
    for floor in (solids.ball(4, (0, 0, 5)), rounded, solids.point(4, 2.4, (0, 0, 5), (0, 0, -1))):
        part = opened(solids.cut(block, *tools, floor), kind, tmp_path)
        bore = part.skin.named("blind-bore-1")
        for step in bore.steps:
            assert step.round_mm2 == pytest.approx(step.area_mm2.value, rel=1e-3, abs=1e-3)
        assert sum(s.area_mm2.value for s in bore.steps) == pytest.approx(bore.area_mm2.value, rel=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_what_a_cross_bore_takes_of_a_wall_is_open(tmp_path, kind):
    """The opening of a cylinder r in a cylinder R through its axis: the integral of its width round the wall."""
    wide, across = 6.0, 2.5
    solid = solids.cut(
        solids.block((30, 20, 24), (-15, -10, 0)), solids.rod(wide, 30, (0, 0, -1)),
        solids.rod(across, 40, (-20, 0, 12), (1, 0, 0)),
    )  # fmt: skip
    bore = opened(solid, kind, tmp_path).skin.named("bore-1")
    opening = quad(lambda z: 2 * wide * math.asin(math.sqrt(across**2 - z**2) / wide), -across, across)[0]
    assert bore.steps[0].round_mm2 == pytest.approx(2 * math.pi * wide * 24, rel=1e-4)
    assert sum(s.open_mm2 for s in bore.steps) == pytest.approx(2 * opening, rel=2e-3)


@pytest.mark.parametrize("kind", KINDS)
def test_a_shoulder_in_levels_has_the_area_of_its_ring(tmp_path, kind):
    """The counterbore of a print whose roof is bridged in two levels, first one way and then across it."""
    bore, half, wide = 1.7, 1.8, 3.2
    slot = solids.cut(solids.rod(wide, 0.5, (0, 0, 6)), *(
        solids.block((10, 10, 2), (-5, y, 5)) for y in (half, -half - 10)))  # fmt: skip
    square = solids.block((2 * half, 2 * half, 1.0), (-half, -half, 6))
    solid = solids.cut(
        solids.block((20, 20, 12), (-10, -10, 0)), solids.rod(wide, 7, (0, 0, -1)), slot, square,
        solids.rod(bore, 14, (0, 0, -1)),
    )  # fmt: skip
    part = opened(solid, kind, tmp_path)
    assert [f.name for f in part.skin.features] == ["outside", "bore-1"]
    found = part.skin.named("bore-1")
    (shoulder,) = (s for s in found.steps if s.kind is BoreStepKind.SHOULDER)
    assert shoulder.area_mm2.value == pytest.approx(math.pi * (wide**2 - bore**2), rel=1e-3)
    assert shoulder.round_mm2 == pytest.approx(shoulder.area_mm2.value, rel=1e-3)
    assert (shoulder.diameter_mm, shoulder.narrow_mm) == pytest.approx((2 * wide, 2 * bore), rel=1e-3)


def test_a_countersink_beyond_the_middle_of_its_mouth_is_a_step(tmp_path):
    """Half of the mouth is cut down, so that the countersink lies wholly above the mouth's mean height."""
    solid = solids.cut(
        solids.block((30, 20, 10), (-15, -10, 0)), solids.rod(3, 12, (0, 0, -1)),
        solids.point(4, 4, (0, 0, 10), (0, 0, -1)),
        solids.block((20, 30, 6), (0.5, -15, 7)),
    )  # fmt: skip
    bore = opened(solid, "step", tmp_path).skin.named("bore-1")
    assert sum(s.area_mm2.value for s in bore.steps) == pytest.approx(bore.area_mm2.value, rel=1e-9)
    assert closed_form_mm2(bore) == pytest.approx(bore.area_mm2.value, rel=1e-2)


def test_a_text_file_of_six_digits_shows_its_bores(tmp_path):
    """Programs that print six digits of each number round 76.5 to 0.0001 and 1.65 to 0.00001 mm."""
    solid = solids.cut(solids.block((30, 30, 8), (60, 50, 0)), solids.rod(1.65, 9, (75, 65, -0.5)))
    path = tmp_path / "fine.stl"
    solids.write_stl(solid, path, 0.002, 0.1)
    body = areacalc.open(path, unit="mm").body
    corners = body.vertices[body.triangles]
    rows = [" ".join(f"{x:.6g}" for x in corner) for corner in corners.reshape(-1, 3).tolist()]
    facets = (
        f"facet normal 0 0 0\nouter loop\nvertex {a}\nvertex {b}\nvertex {c}\nendloop\nendfacet"
        for a, b, c in zip(rows[::3], rows[1::3], rows[2::3], strict=True)
    )
    text = tmp_path / "text.stl"
    text.write_text("\n".join(("solid part", *facets, "endsolid part\n")))
    skin = areacalc.open(text, unit="mm").skin
    assert [f.name for f in skin.features] == ["outside", "bore-1"]
    assert skin.named("bore-1").diameter_mm == pytest.approx(3.3, rel=1e-4)
    assert np.isclose(skin.named("bore-1").area_mm2.value, 3.3 * math.pi * 8, rtol=1e-4)


@pytest.mark.parametrize("holds", ["more than its steps", "what lies beyond its walls"])
def test_what_a_bore_does_not_explain_is_given_back_and_told(tmp_path, monkeypatch, holds):
    """A bore that took the face round its mouth with it: the face is the outside's again, and the table says why."""
    block = solids.cut(solids.block((30, 20, 10), (-15, -10, 0)), solids.rod(3, 12, (0, 0, -1)))
    before = opened(block, "step", tmp_path).skin
    assert [f.name for f in before.features] == ["outside", "bore-1"]

    def greedy(cut, wall, host):
        return np.zeros(len(cut.surfaces), np.int32)  # every patch

    monkeypatch.setattr("areacalc.surface.features.features.bored", greedy)
    if holds == "what lies beyond its walls":
        monkeypatch.setattr("areacalc.surface.features.bores._explained", lambda *_: True)
    after = opened(block, "step", tmp_path).skin
    assert after.features[0].name == "outside"
    assert after.features[0].area_mm2.value == pytest.approx(before.features[0].area_mm2.value)
    assert not any(f.axis for f in after.features)
    assert "not-a-bore" in {note.code for note in after.notes}
