"""How a part hangs, in words that a person can follow with the part in hand."""

import math
from collections.abc import Iterable, Sequence

import numpy as np

from areacalc.digits import counted
from areacalc.fact import quantity
from areacalc.part.part import Part
from areacalc.plan.area import PartArea
from areacalc.report.figures import shown
from areacalc.report.words.notes import bores_named
from areacalc.report.words.telling import shown_small
from areacalc.shape.kinds import Floats
from areacalc.surface.air.trapped_air import Pocket
from areacalc.surface.features.axes import turned_axis
from areacalc.surface.sides import AXES, main_bore, mouth_names, side
from areacalc.surface.skin import Feature, State, SurfaceMap, Vector
from areacalc.surface.wetted import Row, bare_areas

_NOTHING_MM2, LEAST_CARRIED_MM3 = 0.5, 10.0  # less bare, or less carried out, is told as none
DROP_MM3 = 50.0  # a drop of water from a dropper, 20 to the mL (common practice)
ASKED = {
    "free": "Air in a bore that opens downward keeps the acid off, unless a plug keeps it dry. Say which way points up, "
            "turn the part as you will hang it, or let the page find the best way.",
    "line": 'e.g. "40 mm" or "5 mm below the top"',
    "measuring": "The part is still being measured.",
    "trying": "Trying ways to hang it",
}  # fmt: skip
"""What stands where a person says how a part hangs."""
_LYING, _LEVEL = "on its side", "flat on its side"
_ALIKE_DEG = 0.5
_LYING_DEG = 60.0  # leaned farther than this a part is told to lie rather than to stand
_BESIDE_DEG = 15.0  # a bore so near to the uppermost side names it
_NEARER = 0.1  # of a bore's length: another bore so far off its middle names the end of it


def in_words(up: Vector | Floats, skin: SurfaceMap | None = None) -> str:
    """A direction in words: by the widest bore with one mouth, else any bore, else by the sides as drawn.

    A turned part is the same all round, so the side that comes uppermost is not named.

    >>> in_words((0.0, 0.0, 1.0))
    'top (z+) up'
    """
    vector = np.asarray(up, float)
    axis = turned_axis(skin) if skin is not None else None
    if skin is not None and (bore := main_bore(skin)) is not None:
        return _by_bore(vector, bore, skin, axis is not None)
    if axis is not None:
        return _by_end(vector, axis)
    base = _nearest_axis(vector)
    lean = _between_deg(vector, base)
    text = f"{_drawn(base)} up"
    return text if lean < _ALIKE_DEG else f"{text}, tilted {_degrees(lean)}, {_side(vector, base)} raised"


def hangs(part: PartArea) -> str:
    """How a part of a load hangs, in words; nothing where that is not known or makes no difference."""
    opened = part.part
    hanging = opened.hanging if opened is not None else None
    return in_words(hanging.up, opened.skin) if opened is not None and hanging is not None else ""


def bare_words(rows: Iterable[Row], inch: bool = False) -> str:
    """What air keeps bare, bore by bore, with its bounds: the same wherever a way of hanging is told."""
    rows = tuple(rows)
    found = {name: area for name, area in bare_areas(rows).items() if area.high >= _NOTHING_MM2}
    sure = [name for name, area in found.items() if area.value >= _NOTHING_MM2]
    held = {row.feature.name for row in rows if row.state is State.AIR_HELD and row.area_mm2.high >= _NOTHING_MM2}

    def area(mm2: float) -> str:
        return shown_small(quantity(mm2, "mm2"), inch)

    said = ["no trapped air"]
    if sure:  # their range holds what is bare elsewhere only at times
        value, low = (area(sum(getattr(found[name], end) for name in sure)) for end in ("value", "low"))
        high = area(sum(each.high for each in found.values()))
        range_ = f" ({low.split()[0]} to {high.split()[0]})" if low != high else ""
        said = [f"{value}{range_} bare in {bores_named(tuple(sure))}"]
    for clings, why in ((True, "a bubble clings there"), (False, "it tilts")):
        if names := [name for name in found if name not in sure and (name in held) is clings]:
            high, where = area(sum(found[name].high for name in names)), bores_named(tuple(names))
            said.append(f"{'of that ' if sure else ''}up to {high}{'' if sure else ' bare'} in {where} if {why}")
    return ("; " if sure else ", but ").join(said[:2]) + "".join(f", {each}" for each in said[2:])


def carried_text(mm3: float, inch: bool = False) -> str:
    """What a part carries out, in a table: '0.4 mL'."""
    return "nothing" if mm3 < LEAST_CARRIED_MM3 else shown(mm3 / 1000.0, "mL", inch)


def outcome_words(part: Part, inch: bool = False) -> str:
    """What comes of a part as it hangs: what air keeps bare of it, and what it carries out."""
    assert part.hanging is not None
    return f"{bare_words(part.wetted().rows, inch)}, {carried_words(part.hanging.liquid.volume_mm3, inch)}"


def pocket_words(pocket: Pocket, vent_mm: float | None, inch: bool = False) -> str:
    """A pocket of trapped air: how much, how deep, over how much surface, and how wide its way out is."""
    deep, over = shown(pocket.depth_mm, "mm", inch), shown(pocket.area_mm2, "mm2", inch)
    out = f"; its way out is {shown(vent_mm, 'mm', inch)} wide" if vent_mm else ""
    return f"{air_words(pocket.volume_mm3, inch)}, {deep} deep, over {over}{out}"


def carried_words(mm3: float, inch: bool = False) -> str:
    """What a part carries out: '0.4 mL carried out'."""
    return f"{carried_text(mm3, inch)} carried out"


def air_words(mm3: float, inch: bool = False) -> str:
    """A volume of trapped air.

    >>> air_words(0.1), air_words(307.0)
    ('less than a drop', '0.307 mL')
    """
    return "less than a drop" if mm3 < DROP_MM3 else shown(mm3 / 1000.0, "mL", inch)


def place_words(point_mm: Sequence[float], skin: SurfaceMap) -> str:
    """A place on the surface of a part: 'the mouth of blind-bore-1', else 'the rim of pocket-2'."""
    point = np.asarray(point_mm, float)
    near = [
        (float(np.linalg.norm(point - np.asarray(mouth))) - 0.5 * (feature.diameter_mm or 0.0), number, feature)
        for feature in skin.features for number, mouth in enumerate(feature.mouths)
    ]  # fmt: skip
    off_mm, number, feature = min(near, key=lambda each: each[0], default=(math.inf, 0, None))
    names = _features_at(point, skin)
    reach = 0.5 if names else 1.5  # of its diameter: air runs on over the flat round a mouth
    if feature is not None and off_mm <= reach * (feature.diameter_mm or 0.0):
        which = f"{mouth_names(feature)[number]} " if len(feature.mouths) > 1 else ""
        return f"the {which}{'' if which.startswith('mouth') else 'mouth '}of {feature.name}"
    return f"the rim of {names[0] if names else 'the outside'}"


def _features_at(point: Floats, skin: SurfaceMap) -> list[str]:
    """The features, but for the outside, whose triangles have a corner at a point, or the nearest of all."""
    away = np.linalg.norm(skin.body.vertices[skin.body.triangles] - point, axis=2).min(axis=1)
    rows = np.nonzero(away <= away.min() + 1e-6)[0]
    names = [skin.features[skin.patches[k].feature].name for k in skin.patch_of[rows] if k >= 0]
    return [name for name in names if name != "outside"]


def chosen_words(part: PartArea, inch: bool = False) -> str:
    """How a part of a load hangs that the load leaves free, and why so; nothing where the load tells."""
    if part.free is None:
        return ""
    carried = carried_words(1e3 * part.carried.estimate.value if part.carried is not None else 0.0, inch)
    return f"{part.line.name}: {way_words(part)}; {bare_words(part.rows, inch)}, {carried}"


def way_words(part: PartArea) -> str:
    """How such a part hangs, and that it has no room to hang better."""
    return hangs(part) + (", since better ways have no room" if part.free is not None and part.free.for_room else "")


def _by_bore(up: Floats, bore: Feature, skin: SurfaceMap, turned: bool) -> str:
    mouth = -np.asarray(bore.axis, float)
    angle = _between_deg(up, mouth)
    lean = min(angle, 180.0 - angle)
    lies = "uppermost" if lean > _LYING_DEG else "raised"
    rises = "" if turned or lean < _ALIKE_DEG else f", {_uppermost(up, mouth, bore, skin)} {lies}"
    if abs(angle - 90.0) < _ALIKE_DEG:
        return _LEVEL if turned else f"{_LEVEL}, {bore.name} level{rises}"
    if len(bore.mouths) == 1:
        if lean > _LYING_DEG:
            way = "raised" if angle < 90.0 else "lowered"
            return f"{_LYING}, {bore.name} mouth {way} {_degrees(90.0 - lean)}{rises}"
        end = f"{bore.name} mouth {'up' if angle <= 90.0 else 'down'}"
        return end if lean < _ALIKE_DEG else f"{end}, tilted {_degrees(lean)}{rises}"
    end = _end(bore, angle <= 90.0, skin)
    if lean > _LYING_DEG:
        return f"{_LYING}, {end} raised {_degrees(90.0 - lean)}{rises}"
    off = f"{bore.name} upright" if lean < _ALIKE_DEG else f"{bore.name} tilted {_degrees(lean)}"
    return f"{off}, {end} up{rises}"


def _end(bore: Feature, first: bool, skin: SurfaceMap) -> str:
    """An end of a bore with two mouths: its wider or narrower one, else by a bore nearer to it, else as drawn."""
    wide = [step.diameter_mm for step in bore.steps if step.kind not in ("floor", "shoulder")]
    if len(wide) > 1 and abs(wide[0] - wide[-1]) > 1e-3 * wide[0]:
        return f"the {'wide' if (wide[0] > wide[-1]) == first else 'narrow'} mouth of {bore.name}"
    mouths = np.asarray(bore.mouths)
    axis, long_mm = np.asarray(bore.axis, float), float(np.linalg.norm(mouths[-1] - mouths[0]))
    for other in skin.features:
        if other is bore or not other.mouths:
            continue
        along = float((np.mean(other.mouths, axis=0) - mouths.mean(axis=0)) @ axis)
        if abs(along) > _NEARER * long_mm:
            return f"the end {'nearer' if (along < 0.0) == first else 'away from'} {other.name}"
    return f"the end drawn at the {_drawn(axis * (-1.0 if first else 1.0))}"


def _by_end(up: Floats, axis: Floats) -> str:
    angle = _between_deg(up, axis)
    end = f"the end drawn at the {_drawn(axis if angle <= 90.0 else -axis)}"
    lean = min(angle, 180.0 - angle)
    if abs(lean - 90.0) < _ALIKE_DEG:
        return _LEVEL
    if lean > _LYING_DEG:
        return f"{_LYING}, {end} raised {_degrees(90.0 - lean)}"
    return f"{end} up" if lean < _ALIKE_DEG else f"{end} up, tilted {_degrees(lean)}"


def _uppermost(up: Floats, mouth: Floats, bore: Feature, skin: SurfaceMap) -> str:
    """The side of the part that comes highest: by another bore on that side, else as drawn."""
    rising = up - (up @ mouth) * mouth
    for other in skin.features:
        if other is bore or other.axis is None or not other.mouths:
            continue
        away = np.asarray(other.mouths[0]) - np.asarray(bore.mouths[0])
        away -= (away @ mouth) * mouth
        beside = math.cos(math.radians(_BESIDE_DEG)) * float(np.linalg.norm(rising) * np.linalg.norm(away))
        if float(rising @ away) > max(beside, 1e-9):
            return other.name
    return _side(up, mouth)


def _side(up: Floats, base: Floats) -> str:
    """The side across `base` that rises, by one side as drawn or by the two that it lies between."""
    rising = up - (up @ base) * base
    rising = rising / np.linalg.norm(rising)
    first = _nearest_axis(rising)
    if abs(float(rising @ first)) > 0.995:  # within 6 degrees
        return f"the side drawn at the {_drawn(rising)}"
    return f"the side drawn between {_drawn(rising)} and {_drawn(rising - (rising @ first) * first)}"


def _between_deg(one: Floats, two: Floats) -> float:
    return math.degrees(math.acos(float(np.clip(one @ two, -1.0, 1.0))))


def _degrees(angle: float) -> str:
    return counted(round(angle), "degree")


def _nearest_axis(vector: Floats) -> Floats:
    axis = int(np.abs(vector).argmax())
    base = np.zeros(3)
    base[axis] = np.sign(vector[axis])
    return base


def _drawn(way: Floats) -> str:
    """The side of the drawing that a direction points to, with its axis: 'top (z+)'."""
    base = _nearest_axis(way)
    axis = next(name for name, each in AXES.items() if tuple(base) == each)
    return f"{side((float(base[0]), float(base[1]), float(base[2])))} ({axis})"
