"""A through bore that a keyway or a slit opens along its side has two mouths; a blind one keeps one."""

import importlib.util
from pathlib import Path

import pytest

import areacalc

_spec = importlib.util.spec_from_file_location("random_solids", Path(__file__).with_name("random_solids.py"))
solids = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(solids)


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
    plugged = part.with_choices(plug="bore-1 5 mm deep").wetted()
    area = {row.state: row.area_mm2.value for row in plugged.rows if row.feature.name == "bore-1"}
    assert area["plugged"] == pytest.approx(bore.area_mm2.value / 4, rel=1e-3)
    assert area["wet"] == pytest.approx(bore.area_mm2.value * 3 / 4, rel=1e-3)


def test_a_blind_bore_with_a_keyway_stays_blind(tmp_path):
    path = tmp_path / "collar.stl"
    solids.write_stl(collar(solids.rod(6, 12, (0, 0, 10)), ((7.5, 3, 22), (0, -1.5, 10))), path, 0.05, 0.2)
    bore = next(f for f in areacalc.open(path, unit="mm").skin.features if f.name == "blind-bore-1")
    assert (len(bore.mouths), bore.diameter_mm, bore.depth_mm) == (1, pytest.approx(12, rel=1e-4), pytest.approx(10))
