"""Words for the direction that points up in the bath, and words for a direction."""

from __future__ import annotations

import math
import re

import numpy as np

from areacalc.errors import BadInput, UnknownName
from areacalc.shape.body import Floats
from areacalc.surface.rays import across, vector
from areacalc.surface.skin import Feature, SurfaceMap, Vector

_HOW = "write three numbers such as 0,0,1, an axis such as z+ or x-, or a bore such as bore-1 (its mouth up)"
_AXIS = re.compile(r"(?:([xyz])([+-])|([+-])([xyz]))$", re.I)
_NAMED = re.compile(
    r"(?P<name>\S+?)(?:\s+(?P<way>up|down))?(?:\s+tilted\s+(?P<tilt>[\d.]+)(?:\s*(?:degrees?|deg|°))?)?$"
)
_AXES = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}
_ALIKE_DEG = 0.5


def direction(words: str, skin: SurfaceMap | None = None, where: str = "--up") -> Vector:
    """The unit vector of a direction in the part's own axes.

    `0,0,1`; `z+`; `bore-1`, `bore-1 up` (its first mouth up), `bore-1 down`; each of the last two with `tilted 15`
    degrees. Raises BadInput, UnknownName.

    >>> direction("0,3,4"), direction("-x")
    ((0.0, 0.6, 0.8), (-1.0, 0.0, 0.0))
    """
    text = words.strip()
    if "," in text:
        return _numbers(text, where)
    found = _NAMED.match(text)
    if found is None:
        raise BadInput(where, f"'{words}' is no direction", _HOW)
    axis = _AXIS.match(found["name"])
    if axis:
        letter, sign = (axis[1] or axis[4]).lower(), axis[2] or axis[3]
        up = np.array(_AXES[letter]) * (1.0 if sign == "+" else -1.0)
    else:
        up = _mouth_up(found["name"], skin, where)
    if found["way"] == "down":
        up = -up
    return vector(tilted(up, float(found["tilt"] or 0.0)))


def tilted(up: Floats, tilt_deg: float, towards_deg: float = 0.0) -> Floats:
    """The direction leaned over by an angle, towards one of the compass points across it.

    >>> tilted(np.array([0.0, 0.0, 1.0]), 90.0).round(9).tolist()
    [0.0, 1.0, 0.0]
    """
    one, two = across(up)
    lean = math.cos(math.radians(towards_deg)) * one + math.sin(math.radians(towards_deg)) * two
    made: Floats = math.cos(math.radians(tilt_deg)) * up + math.sin(math.radians(tilt_deg)) * lean
    return made


def _numbers(text: str, where: str) -> Vector:
    try:
        numbers = [float(each) for each in text.split(",")]
    except ValueError:
        raise BadInput(where, f"'{text}' is not three numbers", _HOW) from None
    length = math.hypot(*numbers)
    if len(numbers) != 3 or not 0.0 < length < math.inf:
        raise BadInput(where, f"'{text}' is no direction", _HOW)
    return numbers[0] / length, numbers[1] / length, numbers[2] / length


def _mouth_up(name: str, skin: SurfaceMap | None, where: str) -> Floats:
    if skin is None:
        raise BadInput(where, f"'{name}' is no direction", _HOW)
    with_axis = [feature for feature in skin.features if feature.axis is not None]
    for feature in with_axis:
        if feature.name == name:
            return -np.asarray(feature.axis, float)
    if any(feature.name == name for feature in skin.features):
        raise BadInput(where, f"{name} has no axis to hang it by", _HOW)
    raise UnknownName.among(where, name, [*(f.name for f in with_axis), "x+", "x-", "y+", "y-", "z+", "z-"])


def in_words(up: Vector | Floats, skin: SurfaceMap | None = None) -> str:
    """A direction in words: by the widest bore with one mouth, else any bore, else the nearest axis of the part.

    >>> in_words((0.0, 0.0, 1.0)), in_words((0.5, 0.0, 0.8660254))
    ('z+ up', 'z+ up, leaned 30 degrees so that x+ rises')
    """
    vector = np.asarray(up, float)
    if skin is not None and (bore := _main_bore(skin)) is not None:
        return f"{bore.name}: {_by_mouth(vector, bore)}"
    axis = int(np.abs(vector).argmax())
    base = np.zeros(3)
    base[axis] = np.sign(vector[axis])
    lean = math.degrees(math.acos(min(1.0, float(vector @ base))))
    text = f"{_axis(base)} up"
    if lean < _ALIKE_DEG:
        return text
    side = _direction(vector - (vector @ base) * base)
    return f"{text}, leaned {lean:.0f} degrees" + (f" so that {side} rises" if "," not in side else "")


def _by_mouth(up: Floats, bore: Feature) -> str:
    mouth = -np.asarray(bore.axis, float)
    angle = math.degrees(math.acos(float(np.clip(mouth @ up, -1.0, 1.0))))
    level = abs(angle - 90.0) < _ALIKE_DEG
    if level:
        return f"lying level, {_direction(up)} up"
    text = "mouth up" if angle < 90.0 else "mouth down"
    lean = min(angle, 180.0 - angle)
    if len(bore.mouths) > 1:
        text = "upright" if angle < 90.0 else "upright, first mouth down"
    if lean < _ALIKE_DEG:
        return text
    side = _direction(up - (up @ mouth) * mouth)
    return f"{text}, tilted {lean:.0f} degrees" + (f" so that its {side} side rises" if "," not in side else "")


def _main_bore(skin: SurfaceMap) -> Feature | None:
    bores = [f for f in skin.features if f.axis is not None and f.mouths]
    blind = [f for f in bores if len(f.mouths) == 1]
    return max(blind or bores, key=lambda f: f.area_mm2.value, default=None)


def _direction(vector: Floats) -> str:
    """The axis that a vector mostly lies along, or its three numbers."""
    length = float(np.linalg.norm(vector))
    axis = int(np.abs(vector).argmax())
    if abs(vector[axis]) > 0.9998 * length:
        base = np.zeros(3)
        base[axis] = np.sign(vector[axis])
        return _axis(base)
    return ",".join(f"{x:.2f}".replace("-0.00", "0.00") for x in vector / length)


def _axis(base: Floats) -> str:
    axis = int(np.abs(base).argmax())
    return f"{'xyz'[axis]}{'+' if base[axis] > 0 else '-'}"
