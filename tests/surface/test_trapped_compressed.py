"""Air pressed together by depth: Boyle's law in a straight cup, where it is a quadratic."""

import math

import pytest
from bodies import body, box

from areacalc.surface.air.compressed import Under, compressed
from areacalc.surface.air.hanging import hanging
from areacalc.surface.air.trapped_air import trapped_air

UP = (0.0, 0.0, 1.0)


def cup():
    return body(box((0, 30), (0, 30), (0, 30)) - box((3, 27), (3, 27), (-1, 27)))


@pytest.mark.parametrize("depth_mm", [0.0, 300.0, 10000.0])
def test_a_straight_cup(depth_mm):
    """27 mm of air at 0 becomes (27 - y): (27 - y) (p + g d (30 + depth - y)) = 27 p."""
    head, pressure = 1100.0 * 9.80665 * 1e-3, 101325.0  # Pa a mm
    high = pressure + head * (30.0 + depth_mm)
    b, c = -(27.0 * head + high), 27.0 * (high - pressure)
    risen = (-b - math.sqrt(b * b - 4 * head * c)) / (2 * head)
    air = compressed(trapped_air(cup(), UP), Under(depth_mm, 1100.0))
    assert air.pockets[0].level_mm == pytest.approx(risen, rel=1e-9)
    assert air.volume_mm3 == pytest.approx(24 * 24 * (27 - risen), rel=1e-9)
    assert air.area_mm2 == pytest.approx(24 * 24 + 4 * 24 * (27 - risen), rel=1e-9)


def test_it_is_off_unless_asked_for():
    plain, deep = (hanging(cup(), UP, accuracy_deg=0.0, under=under) for under in (None, Under(500.0)))
    assert plain.trapped_air_mm3.value == pytest.approx(24 * 24 * 27)
    assert deep.trapped_air_mm3.value < 0.97 * plain.trapped_air_mm3.value
    assert deep.airlocked_mm2.value < plain.airlocked_mm2.value
