"""The direction that points up in the bath, from its words, and the way a part lies across it."""

import math
import re

import numpy as np

from areacalc.errors import BadInput, Field, UnknownName
from areacalc.shape.kinds import Floats
from areacalc.surface.features.fit import square_to
from areacalc.surface.skin import SurfaceMap, Vector, vector

_HOW = "write three numbers such as 0,0,1, an axis such as z+ or x-, or a bore such as bore-1 (its mouth up)"
_AXIS = re.compile(r"(?:([xyz])([+-])|([+-])([xyz]))$", re.I)
_NAMED = re.compile(
    r"(?P<name>\S+?)(?:\s+(?P<way>up|down))?(?:\s+tilted\s+(?P<tilt>\d+\.?\d*|\.\d+)(?:\s*(?:degrees?|deg|°))?)?$"
)
_AXES = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}


def direction(words: str, skin: SurfaceMap | None = None, where: str = Field.UP) -> Vector:
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
        raise BadInput(where, f"'{words}' is not a direction", _HOW)
    axis = _AXIS.match(found["name"])
    if axis:
        letter, sign = (axis[1] or axis[4]).lower(), axis[2] or axis[3]
        up = np.array(_AXES[letter]) * (1.0 if sign == "+" else -1.0)
    else:
        up = _mouth_up(found["name"], skin, where)
    if found["way"] == "down":
        up = -up
    tilt_deg = float(found["tilt"] or 0.0)
    if tilt_deg > 180.0:
        raise BadInput(where, f"it cannot be tilted by {tilt_deg:g} degrees", "give 0 to 180")
    return vector(tilted(up, tilt_deg))


def tilted(up: Floats, tilt_deg: float, towards_deg: float = 0.0) -> Floats:
    """The direction leaned over by an angle, towards one of the compass points across it.

    >>> tilted(np.array([0.0, 0.0, 1.0]), 90.0).round(9).tolist()
    [0.0, 1.0, 0.0]
    """
    one, two = square_to(up)
    lean = math.cos(math.radians(towards_deg)) * one + math.sin(math.radians(towards_deg)) * two
    return np.asarray(math.cos(math.radians(tilt_deg)) * up + math.sin(math.radians(tilt_deg)) * lean)


def _numbers(text: str, where: str) -> Vector:
    try:
        numbers = [float(each) for each in text.split(",")]
    except ValueError:
        raise BadInput(where, f"'{text}' is not three numbers", _HOW) from None
    length = math.hypot(*numbers)
    if len(numbers) != 3 or not 0.0 < length < math.inf:
        raise BadInput(where, f"'{text}' is not a direction", _HOW)
    return numbers[0] / length, numbers[1] / length, numbers[2] / length


def _mouth_up(name: str, skin: SurfaceMap | None, where: str) -> Floats:
    if skin is None:
        raise BadInput(where, f"'{name}' is not a direction", _HOW)
    with_axis = [feature for feature in skin.features if feature.axis is not None]
    for feature in with_axis:
        if feature.name == name:
            return -np.asarray(feature.axis, float)
    if any(feature.name == name for feature in skin.features):
        raise BadInput(where, f"{name} has no axis to hang it by", _HOW)
    raise UnknownName.among(where, name, [*(f.name for f in with_axis), "x+", "x-", "y+", "y-", "z+", "z-"])


def narrow_side(vertices: Floats, up: tuple[float, float, float]) -> Floats:
    """The direction (unit, square to `up`) along the longer side of the narrowest rectangle seen from above.

    Published: the narrowest rectangle round a polygon has a side on one of its edges (H. Freeman, R. Shapira, Comm. ACM
    18 (1975) 409).

    >>> box = np.array([[x, y, z] for x in (0, 8) for y in (0, 30) for z in (0, 60)], float)
    >>> np.abs(narrow_side(box, (0.0, 1.0, 0.0))).round(9).tolist()
    [0.0, 0.0, 1.0]
    """
    from scipy.spatial import ConvexHull

    one, two = square_to(np.asarray(up, float))
    flat = vertices @ np.stack([one, two], axis=1)
    ring = flat[ConvexHull(flat).vertices]
    edges = np.roll(ring, -1, axis=0) - ring
    edges = edges / np.linalg.norm(edges, axis=1, keepdims=True)
    beside = np.stack([-edges[:, 1], edges[:, 0]], axis=1)
    along, across = np.ptp(ring @ edges.T, axis=0), np.ptp(ring @ beside.T, axis=0)
    best = np.argmin(np.minimum(along, across))
    long = edges[best] if along[best] >= across[best] else beside[best]
    return np.asarray(long[0] * one + long[1] * two)
