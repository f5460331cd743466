"""How a part hangs, in words that a person can follow with the part in hand."""

import math

import numpy as np

from areacalc.digits import counted
from areacalc.plan.area import PartArea
from areacalc.report.figures import shown
from areacalc.shape.kinds import Floats
from areacalc.surface.air.turned_axis import turned_axis
from areacalc.surface.skin import Feature, SurfaceMap, Vector

_NOTHING_MM2, _NOTHING_ML = 0.5, 0.01  # less bare, or less carried out, is told as none
_LYING, _LEVEL = "on its side", "flat on its side"
_ALIKE_DEG = 0.5
_LYING_DEG = 60.0  # leaned farther than this a part is told to lie rather than to stand
_BESIDE_DEG = 15.0  # a bore that opens so near to the uppermost side names it


def in_words(up: Vector | Floats, skin: SurfaceMap | None = None) -> str:
    """A direction in words: by the widest bore with one mouth, else any bore, else by the axes of the file.

    A turned part is the same all round, so the side that comes uppermost is not named.

    >>> in_words((0.0, 0.0, 1.0)), in_words((0.5, 0.0, 0.8660254))
    ('z+ up', 'z+ up, tilted 30 degrees, the x+ side uppermost')
    """
    vector = np.asarray(up, float)
    axis = turned_axis(skin) if skin is not None else None
    if skin is not None and (bore := _main_bore(skin)) is not None:
        return _by_bore(vector, bore, skin, axis is not None)
    if axis is not None:
        return _by_end(vector, axis)
    base = _nearest_axis(vector)
    lean = _between_deg(vector, base)
    text = f"{_axis_name(base)} up"
    return text if lean < _ALIKE_DEG else f"{text}, tilted {_degrees(lean)}, {_side(vector, base)} uppermost"


def hangs(part: PartArea) -> str:
    """How a part of a load hangs, in words; nothing where that is not known or makes no difference."""
    opened = part.part
    hanging = opened.hanging if opened is not None else None
    return in_words(hanging.up, opened.skin) if opened is not None and hanging is not None else ""


def chosen_words(part: PartArea, inch: bool = False) -> str:
    """How a part hangs that the load leaves free, and why so; nothing where the load tells."""
    if part.free is None:
        return ""
    worst = part.free.worst
    dry, carried_ml = worst.dry_mm2, worst.carried_mm3 * 1e-3
    kept = " outside narrow bores" if worst.bare_mm2 - dry >= _NOTHING_MM2 else ""
    air = f"no air stays in it{kept}" if dry < _NOTHING_MM2 else f"air keeps up to {shown(dry, 'mm2', inch)} bare"
    carried = "nothing" if carried_ml < _NOTHING_ML else f"up to {shown(carried_ml, 'mL', inch)}"
    room = "; better ways have no room" if part.free.for_room else ""
    return f"{part.line.name}: {hangs(part)} ({air}, {carried} is carried out{room})"


def _by_bore(up: Floats, bore: Feature, skin: SurfaceMap, turned: bool) -> str:
    mouth = -np.asarray(bore.axis, float)
    angle = _between_deg(up, mouth)
    lean = min(angle, 180.0 - angle)
    side = "" if turned or lean < _ALIKE_DEG else f", {_uppermost(up, mouth, bore, skin)} uppermost"
    end = _end(bore, angle <= 90.0)
    if abs(angle - 90.0) < _ALIKE_DEG:
        return _LEVEL if turned else f"{_LEVEL}, {bore.name} level{side}"
    if lean > _LYING_DEG:
        if len(bore.mouths) == 1:
            end = f"{bore.name} mouth {'raised' if angle < 90.0 else 'lowered'}"
        else:
            end = f"{end.removesuffix(' up').replace(' upright, ', ' ')} raised"
        return f"{_LYING}, {end} {_degrees(90.0 - lean)}{side}"
    return end if lean < _ALIKE_DEG else f"{end}, tilted {_degrees(lean)}{side}"


def _end(bore: Feature, first_up: bool) -> str:
    """Which end of a bore is up: its mouth, or for two mouths the wider, or the way the upper one looks."""
    if len(bore.mouths) == 1:
        return f"{bore.name} mouth {'up' if first_up else 'down'}"
    wide = [step.diameter_mm for step in bore.steps if step.kind not in ("floor", "shoulder")]
    if len(wide) > 1 and abs(wide[0] - wide[-1]) > 1e-3 * wide[0]:
        return f"{bore.name} upright, {'wide' if (wide[0] > wide[-1]) == first_up else 'narrow'} mouth up"
    upper = np.asarray(bore.axis, float) * (-1.0 if first_up else 1.0)
    return f"{bore.name} upright, {_axis_name(_nearest_axis(upper))} end up"


def _by_end(up: Floats, axis: Floats) -> str:
    angle = _between_deg(up, axis)
    end = f"{_axis_name(_nearest_axis(axis if angle <= 90.0 else -axis))} end"
    lean = min(angle, 180.0 - angle)
    if abs(lean - 90.0) < _ALIKE_DEG:
        return _LEVEL
    if lean > _LYING_DEG:
        return f"{_LYING}, {end} raised {_degrees(90.0 - lean)}"
    return f"{end} up" if lean < _ALIKE_DEG else f"{end} up, tilted {_degrees(lean)}"


def _uppermost(up: Floats, mouth: Floats, bore: Feature, skin: SurfaceMap) -> str:
    """The side of the part that comes highest: by another bore that opens there, else by the axes."""
    rising = up - (up @ mouth) * mouth
    for other in skin.features:
        if other.axis is None or not other.mouths or abs(float(np.asarray(other.axis) @ mouth)) > 0.5:
            continue  # only a bore from the side tells a side
        away = np.asarray(other.mouths[0]) - np.asarray(bore.mouths[0])
        away -= (away @ mouth) * mouth
        beside = math.cos(math.radians(_BESIDE_DEG)) * float(np.linalg.norm(rising) * np.linalg.norm(away))
        if float(rising @ away) > beside:
            return other.name
    return _side(up, mouth)


def _side(up: Floats, base: Floats) -> str:
    """The side across `base` that rises, by one axis or by the two that it lies between."""
    rising = up - (up @ base) * base
    rising = rising / np.linalg.norm(rising)
    order = np.argsort(-np.abs(rising))
    names = [f"{'xyz'[i]}{'+' if rising[i] > 0 else '-'}" for i in order[:2]]
    if abs(rising[order[0]]) > 0.995:  # within 6 degrees
        return f"the {names[0]} side"
    return f"the side between {names[0]} and {names[1]}"


def _main_bore(skin: SurfaceMap) -> Feature | None:
    bores = [f for f in skin.features if f.axis is not None and f.mouths]
    blind = [f for f in bores if len(f.mouths) == 1]
    return max(blind or bores, key=lambda f: f.area_mm2.value, default=None)


def _between_deg(one: Floats, two: Floats) -> float:
    return math.degrees(math.acos(float(np.clip(one @ two, -1.0, 1.0))))


def _degrees(angle: float) -> str:
    return counted(round(angle), "degree")


def _nearest_axis(vector: Floats) -> Floats:
    axis = int(np.abs(vector).argmax())
    base = np.zeros(3)
    base[axis] = np.sign(vector[axis])
    return base


def _axis_name(base: Floats) -> str:
    axis = int(np.abs(base).argmax())
    return f"{'xyz'[axis]}{'+' if base[axis] > 0 else '-'}"
