"""Words that point at skin: a name, a kind, a length of a bore, a colour, a flat, a band, a box, a picked patch."""

import re
from collections.abc import Callable

import numpy as np

from areacalc.errors import BadInput, UnknownName
from areacalc.quantity import Dimension, parse
from areacalc.shape.kinds import Floats, SurfaceKind, Truths
from areacalc.surface.bore_lengths import in_from, mouths, step
from areacalc.surface.regions import Region, by_features, by_patches, checked
from areacalc.surface.sides import AXES, SIDES
from areacalc.surface.skin import FeatureKind, SurfaceMap
from areacalc.surface.split import Pieces, Plane, split, whole

FLAT_ALONG = 0.9962  # cosine of 5 degrees: a face that leans by less faces that way
NEAR = 1e-3
"""Of the part's size: a flat lies at a height that it is no further off, which is as near as people write it."""
HOW = (
    "write it like bore-1, bore-1 top 5 mm deep, bores under 3 mm, top, x from 10 to 25 mm, or several joined by 'and'"
)
_KINDS: dict[str, tuple[FeatureKind, ...]] = {
    **dict.fromkeys(("bore", "hole"), (FeatureKind.THROUGH_BORE, FeatureKind.BLIND_BORE)),
    **{kind.value: (kind,) for kind in FeatureKind},
}
_NUMBER = r"[+-]?\s*[\d.,/ ]*\d\.?(?:\s*(?:[A-Za-zµμ]+|\"|'))?"
_BAND = rf"([xyz])\s+(?:from\s+({_NUMBER})\s+to\s+({_NUMBER})|(above|over|below|under)\s+({_NUMBER}))$"
_KIND = r"(?:every\s+)?([a-z-]+?)s?(?:\s+(under|over)\s+(.+))?$"
_TRIPLE = r"([-+\d.eE]+)\s*,\s*([-+\d.eE]+)\s*,\s*([-+\d.eE]+)"
_BOX = rf"box\s+{_TRIPLE}\s+to\s+{_TRIPLE}\s*([A-Za-zµμ\"]+)$"
_PLANE = rf"plane\s+{_TRIPLE}\s+facing\s+{_TRIPLE}\s*([A-Za-zµμ\"]+)$"
_AT = rf"at\s+{_TRIPLE}\s*([A-Za-zµμ\"]+)$"
_PATCH = r"face\s+(\d+)$"
_SIDE = rf"(?:the\s+)?({'|'.join(SIDES)})(?:\s+face)?$"
_FACING = r"(?:faces\s+|flats\s+)?facing\s+([xyz])\s*([+-])$"
_FLAT = rf"(?:the\s+)?flats?\s+at\s+([xyz])\s*=\s*({_NUMBER})$"
_STEP = r"(\S+)\s+step\s+(\d{1,3})$"
_DEEP = rf"(\S+)\s+(?:({'|'.join(SIDES)}|mouth\s+\d{{1,3}})\s+)?({_NUMBER})\s+deep$"
_COLOUR = r"colou?r(?:ed)?(?:\s+#?([0-9a-f]{6}))?$"


def region(words: str, skin: SurfaceMap, where: str) -> Region:
    """What the words point at on this skin.

    Raises BadInput for words that say nothing known, UnknownName for a feature that is not there.
    """
    parts = [_one(part.strip(), skin, where) for part in re.split(r"\s+and\s+", words.strip()) if part.strip()]
    if not parts:
        raise BadInput(where, "nothing is named", HOW)
    if len(parts) == 1:
        return parts[0]
    planes = tuple(plane for part in parts for plane in part.planes)
    made = Region(words, planes, lambda pieces: np.asarray(np.logical_and.reduce([p.inside(pieces) for p in parts])))
    if not made.inside(split(whole(skin.body.vertices, skin.body.triangles), planes)).any():
        what = f"no surface is all of '{' and '.join(p.words for p in parts)}' at once"
        raise BadInput(where, what, "to name several, give the option once for each, or a list in a file")
    return made


def _one(words: str, skin: SurfaceMap, where: str) -> Region:
    names = [f.name for f in skin.features]
    if words in names:
        return by_features(words, [names.index(words)], skin)
    if words.lower() in ("all", "everything"):
        return by_features(words, list(range(len(names))), skin)
    for pattern, build in _MEANT.items():
        found = re.match(pattern, words, re.I)  # compiled when words are first read, not whenever a part is
        made = build(words, found, skin, where) if found else None
        if made is not None:
            return made
    by_patch = [i for i, patch in enumerate(skin.patches) if patch.name and patch.name == words]
    if by_patch:
        return by_patches(words, by_patch, skin)
    if re.search(r"\s", words):
        raise BadInput(where, f"'{words}' is not understood", HOW)
    raise UnknownName.among(where, words, names)


def _kind(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region | None:
    kinds = _KINDS.get(found[1].lower())
    if kinds is None:
        return None
    limit = parse(found[3], Dimension.LENGTH, where) if found[3] else None

    def fits(diameter_mm: float | None) -> bool:
        if limit is None:
            return True
        return diameter_mm is not None and (diameter_mm < limit) == (found[2].lower() == "under")

    chosen = [i for i, f in enumerate(skin.features) if f.kind in kinds and fits(f.diameter_mm)]
    if not chosen:
        have = ", ".join(f"{f.name}{f' {f.diameter_mm:.4g} mm' if f.diameter_mm else ''}" for f in skin.features)
        raise BadInput(where, f"no feature is '{words}'", f"the part has {have}")
    return by_features(words, chosen, skin)


def _colour(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region:
    body = skin.body
    if len(body.colour_of_triangle):
        colours, of_triangle = list(body.colours), body.colour_of_triangle
    else:
        colours = sorted({p.colour for p in skin.patches if p.colour})
        of_patch = np.array([colours.index(p.colour) if p.colour else -1 for p in skin.patches] + [-1])
        of_triangle = of_patch[skin.patch_of].astype(np.int32)
    if not colours:
        what = "the file holds no colours"
        raise BadInput(where, what, "colour the faces to mask before exporting, or name features")
    if found[1] is None:
        return Region(words, (), lambda pieces: of_triangle[pieces.parent] >= 0)
    wanted = bytes.fromhex(found[1])
    chosen = [i for i, colour in enumerate(colours) if bytes(colour) == wanted]
    if not chosen:
        have = ", ".join("#" + bytes(c).hex() for c in colours)
        raise BadInput(where, f"no face has the colour #{found[1]}", f"the file holds {have}")
    return Region(words, (), lambda pieces: np.isin(of_triangle[pieces.parent], chosen))


def _band(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region:
    axis = "xyz".index(found[1].lower())
    normal = np.eye(3)[axis]
    if found[2]:
        high_text = found[3]
        unit = re.search(r"[A-Za-zµμ\"']+$", high_text.strip())
        high = parse(high_text, Dimension.LENGTH, where)
        low = parse(found[2], Dimension.LENGTH, where, default_unit=unit[0] if unit else None)
        if low >= high:
            raise BadInput(where, f"'{words}' runs from {low:g} mm to {high:g} mm", "give the smaller position first")
        ends = (low, high)
    else:
        limit = parse(found[5], Dimension.LENGTH, where)
        ends = (limit, np.inf) if found[4].lower() in ("above", "over") else (-np.inf, limit)
    halves = [(normal, ends[0]), (-normal, -ends[1])]
    return _within(words, [half for half in halves if np.isfinite(half[1])], skin, where)


def _box(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region:
    one, two = _triple(found, 1, found[7], where), _triple(found, 4, found[7], where)
    low, high = np.minimum(one, two), np.maximum(one, two)
    sides = [half for i in range(3) for half in ((np.eye(3)[i], float(low[i])), (-np.eye(3)[i], -float(high[i])))]
    return _within(words, sides, skin, where)


def _plane(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region:
    point = _triple(found, 1, found[7], where)
    normal = _triple(found, 4, "mm", where)
    length = float(np.linalg.norm(normal))
    if length == 0.0:
        raise BadInput(where, "the plane faces 0,0,0, which is not a direction", "give a direction such as 0,0,1")
    normal = normal / length
    return _within(words, [(normal, float(normal @ point))], skin, where)


def _within(words: str, halves: list[Plane], skin: SurfaceMap, where: str) -> Region:
    """What lies on the far side of every plane, as its normal points."""

    def inside(pieces: Pieces) -> Truths:
        return np.asarray(np.logical_and.reduce([pieces.centre @ normal >= offset for normal, offset in halves]))

    return checked(Region(words, tuple(halves), inside), skin, where)


def _patch(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region:
    number = int(found[1])
    if not 1 <= number <= len(skin.patches):
        raise BadInput(where, f"there is no face {number}", f"the part has faces 1 to {len(skin.patches)}")
    return by_patches(words, [number - 1], skin)


def _on_the(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region:
    """The flats that face a side and lie furthest out on it."""
    side = found[1].lower()
    flats, height = _facing(np.array(SIDES[side]), skin)
    if not flats:
        what = f"the part has no flat face on its {side}"
        raise BadInput(where, what, "name a feature, or a band such as z over 5 mm")
    far = max(height)
    slack = NEAR * max(skin.body.size_mm)
    return by_patches(words, [p for p, h in zip(flats, height, strict=True) if h >= far - slack], skin)


def _along(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region:
    """Every flat that faces along an axis, at whatever height."""
    way = found[1].lower() + found[2]
    flats, _ = _facing(np.array(AXES[way]), skin)
    if not flats:
        raise BadInput(where, f"no flat face of the part faces {way}", "name a feature, or a band such as z over 5 mm")
    return by_patches(words, flats, skin)


def _flat_at(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region:
    """The flats across an axis that lie at a height."""
    axis, at_mm = found[1].lower(), parse(found[2], Dimension.LENGTH, where)
    slack = NEAR * max(skin.body.size_mm)
    chosen: list[int] = []
    heights: list[float] = []
    for sign in (1.0, -1.0):
        flats, height = _facing(sign * np.array(AXES[f"{axis}+"]), skin)
        heights += [sign * h for h in height]
        chosen += [p for p, h in zip(flats, height, strict=True) if abs(sign * h - at_mm) <= slack]
    if not chosen:
        have = ", ".join(dict.fromkeys(f"{h + 0.0:.5g}" for h in sorted(round(h, 9) for h in heights))) or "none"
        raise BadInput(where, f"no flat face lies at {axis} = {at_mm:.5g} mm", f"those across {axis} lie at {have} mm")
    return by_patches(words, chosen, skin)


def _facing(way: Floats, skin: SurfaceMap) -> tuple[list[int], list[float]]:
    """The flat patches that face a way, and how far along it the middle of each lies [mm]."""
    solid = skin.arrangement
    points, corners = (skin.body.vertices, skin.body.triangles) if solid is None else (solid.points, solid.corners)
    patch_of = skin.patch_of if solid is None else np.where(solid.parent < 0, -1, skin.patch_of[solid.parent])
    own = patch_of >= 0
    a, b, c = (points[corners[own, j]] for j in range(3))
    swept = np.cross(b - a, c - a)
    count = len(skin.patches)
    area = np.bincount(patch_of[own], np.linalg.norm(swept, axis=1), count)
    along = np.bincount(patch_of[own], swept @ way, count)
    height = np.bincount(patch_of[own], np.linalg.norm(swept, axis=1) * ((a + b + c) @ way / 3.0), count)
    flat = np.array([p.surface.kind is SurfaceKind.PLANE for p in skin.patches], bool)
    chosen = np.nonzero(flat & (area > 0.0) & (along > FLAT_ALONG * area))[0]
    return chosen.tolist(), (height[chosen] / area[chosen]).tolist()


def _deep(words: str, found: re.Match[str], skin: SurfaceMap, where: str) -> Region:
    index = _index(found[1], skin, where)
    said = re.sub(r"mouth\s+", "", found[2].lower()) if found[2] else None
    number = mouths(said, skin.features[index], found[3], where)[0]
    return checked(in_from(words, index, number, parse(found[3], Dimension.LENGTH, where), skin, where), skin, where)


def _index(name: str, skin: SurfaceMap, where: str) -> int:
    names = [f.name for f in skin.features]
    if name not in names:
        raise UnknownName.among(where, name, names)
    return names.index(name)


def nearest_triangle(skin: SurfaceMap, point: Floats) -> int:
    """The row of body.triangles nearest to a point (3,) mm."""
    corners = skin.body.vertices[skin.body.triangles]
    reach = np.linalg.norm(corners - corners.mean(axis=1, keepdims=True), axis=2).max(axis=1)
    away = np.linalg.norm(corners.mean(axis=1) - point, axis=1)
    near = np.nonzero(away - reach <= (away + reach).min())[0]  # no other can be the nearest
    return int(near[_distance(corners[near], point).argmin()])


def _distance(corners: Floats, point: Floats) -> Floats:
    """The distance from a point to each triangle (k, 3, 3): to its face where the foot is inside, else its edges."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    normal = np.cross(b - a, c - a)
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    height = np.einsum("ij,ij->i", point - a, normal)
    foot = point - height[:, None] * normal
    inside = np.ones(len(corners), bool)
    best = np.full(len(corners), np.inf)
    for p, q in ((a, b), (b, c), (c, a)):
        inside &= np.einsum("ij,ij->i", np.cross(q - p, foot - p), normal) >= 0
        along = q - p
        squared = np.maximum(np.einsum("ij,ij->i", along, along), 1e-300)
        t = np.clip(np.einsum("ij,ij->i", point - p, along) / squared, 0.0, 1.0)
        best = np.minimum(best, np.linalg.norm(p + t[:, None] * along - point, axis=1))
    return np.where(inside & (length[:, 0] > 0), np.abs(height), best)


def _triple(found: re.Match[str], first: int, unit: str, where: str) -> Floats:
    try:
        numbers = [float(found[i]) for i in range(first, first + 3)]
    except ValueError:
        raise BadInput(where, f"'{found[0]}' does not hold three numbers", "write them like 1,2.5,-3 mm") from None
    return np.array(numbers) * parse("1 " + unit, Dimension.LENGTH, where)


_MEANT: dict[str, Callable[[str, re.Match[str], SurfaceMap, str], Region | None]] = {
    _BAND: _band,
    _BOX: _box,
    _PLANE: _plane,
    _AT: lambda words, found, skin, where: by_patches(
        words, [int(skin.patch_of[nearest_triangle(skin, _triple(found, 1, found[4], where))])], skin
    ),
    _PATCH: _patch,
    _COLOUR: _colour,
    _SIDE: _on_the,
    _FACING: _along,
    _FLAT: _flat_at,
    _STEP: lambda words, found, skin, where: step(words, _index(found[1], skin, where), int(found[2]), skin, where),
    _DEEP: _deep,
    _KIND: _kind,
}
