"""Threads, knurls and textures that the drawing leaves smooth, declared on a feature: its developed area."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from areacalc.errors import BadInput, Field
from areacalc.estimate import Estimate, through, total
from areacalc.fact import Fact, fact, quantity
from areacalc.quantity import Dimension, parse
from areacalc.shape.kinds import Note, SurfaceKind
from areacalc.surface.choice import Added, added
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.region import region
from areacalc.surface.skin import Feature, Patch, SurfaceMap, included

if TYPE_CHECKING:
    from areacalc.shape.profile.thread import Thread

Factors = dict[int, Estimate]
"""The factor on the area of each patch, by its index."""


def added_areas(
    skin: SurfaceMap, words: tuple[str, ...]
) -> tuple[list[Estimate], list[Estimate], list[Feature], list[Note]]:
    """The areas of features and of patches with what was declared on them, the features so noted, and what was taken.

    Raises BadInput where a thread fits no cylinder of the feature, or an impossible factor.
    """
    factors: Factors = {}
    worn: dict[int, list[str]] = {}
    notes: list[Note] = []
    for each in (added(w) for w in words):
        patches = _patches(each, skin)
        more, note = {"thread": _thread, "knurl": _knurl, "texture": _texture}[each.kind](each, patches)
        if twice := factors.keys() & more.keys():
            raise BadInput(Field.ADD, f"face {min(twice) + 1} is added to twice", "add each length once")
        factors |= more
        for index in {skin.patches[k].feature for k in more}:
            worn.setdefault(index, []).append(f"{each.size} {each.kind}")
        notes.append(Note(note))
    features = [replace(f, note=included(worn[i])) if i in worn else f for i, f in enumerate(skin.features)]
    areas = [_feature_area(i, skin, factors if i in worn else {}) for i in range(len(skin.features))]
    own = [_worn(p.area_mm2, factors[k]) if k in factors else p.area_mm2 for k, p in enumerate(skin.patches)]
    return areas, own, features, notes


def _worn(area_mm2: Estimate, factor: Estimate) -> Estimate:
    return through(lambda area, times: area * times, area_mm2, factor)


def _feature_area(index: int, skin: SurfaceMap, factors: Factors) -> Estimate:
    plain = skin.features[index].area_mm2
    mine = [(k, skin.patches[k].area_mm2) for k in sorted(factors) if skin.patches[k].feature == index]
    if not mine:
        return plain
    more = [through(lambda area, factor: area * (factor - 1.0), area, factors[k]) for k, area in mine]
    return total([plain, *more])


def _patches(each: Added, skin: SurfaceMap) -> dict[int, Patch]:
    """The patches of the features or of the step named; a declaration sits on such as a whole."""
    named = region(each.words, skin, Field.ADD)
    if not named.features and not named.patches:
        remedy = "name a feature, such as bore-1, or a step of one, such as bore-1 step 2"
        raise BadInput(Field.ADD, f"'{each.words}' is not a whole feature", remedy)
    return {k: p for k, p in enumerate(skin.patches) if p.feature in named.features or k in named.patches}


def _texture(each: Added, patches: dict[int, Patch]) -> tuple[Factors, Fact]:
    factor = parse(each.size, Dimension.FRACTION, Field.ADD)
    if not 1.0 <= factor <= 20.0:
        remedy = "give true area over smooth area as you measured it, 1 or more"
        raise BadInput(Field.ADD, f"a texture factor of {factor:g} must lie from 1 to 20", remedy)
    note = fact(SurfaceNote.TEXTURE_ADDED, on=each.words, times=f"{factor:g}")
    return {k: Estimate.exact(factor) for k in patches}, note


def _cylinders(patches: dict[int, Patch], least_mm: float, most_mm: float) -> dict[int, float]:
    """The cylinders whose diameter [mm] lies between two, by patch index."""
    found = {k: 2 * p.surface.radius_mm for k, p in patches.items() if p.surface.kind is SurfaceKind.CYLINDER}
    return {k: d for k, d in found.items() if least_mm <= d <= most_mm}


def _thread(each: Added, patches: dict[int, Patch]) -> tuple[Factors, Fact]:
    from areacalc.shape.profile.thread import parse_thread

    thread = parse_thread(each.size, Field.ADD)
    slack = 0.15 * thread.pitch_mm  # a core drill is a little over the minor diameter, a turned rod a little under
    chosen = _cylinders(patches, thread.minor_mm - slack, thread.major_mm + slack)
    if not chosen:
        raise _no_wall_for(each, thread, [f"{d:.4g}" for d in sorted(_cylinders(patches, 0.0, math.inf).values())])
    per_mm = thread.area_per_length_mm
    times = " or ".join(dict.fromkeys(f"{per_mm / (math.pi * d):.3g}" for d in chosen.values()))
    note = fact(SurfaceNote.THREAD_ADDED, on=each.words, thread=each.size, times=times)
    return {k: Estimate.exact(per_mm / (math.pi * d)) for k, d in chosen.items()}, note


def _no_wall_for(each: Added, thread: Thread, across: list[str]) -> BadInput:
    """The error for a thread that no wall of the feature can carry; `across` are the diameters of its round walls."""
    span = f"{thread.minor_mm:.4g} to {thread.major_mm:.4g} mm"
    if not across:
        what = f"{each.words} has no plain round wall, and a thread such as {each.size} sits on one"
        return BadInput(Field.ADD, what, "name the bore or the turned length that carries it")
    have = ", ".join(dict.fromkeys(across))
    what = f"{each.size} needs a round wall {span} across, and {each.words} has none so wide"
    return BadInput(Field.ADD, what, f"its round walls are {have} mm across")


def _knurl(each: Added, patches: dict[int, Patch]) -> tuple[Factors, Fact]:
    from areacalc.shape.profile.profile import KNURL_MOST

    pitch_mm = parse(each.size, Dimension.LENGTH, Field.ADD)
    if pitch_mm <= 0.0:
        raise BadInput(Field.ADD, f"a knurl pitch of {pitch_mm:g} mm must be above zero", "give one such as 0.8 mm")
    cylinders = _cylinders(patches, 2 * pitch_mm, math.inf)
    if not cylinders:
        raise BadInput(Field.ADD, f"no cylinder of {each.words} can carry a {pitch_mm:g} mm knurl", "name another")
    factor = Estimate(0.5 * (1 + KNURL_MOST), 1.0, KNURL_MOST, ("knurl, from smooth to sharp full form",))
    note = fact(SurfaceNote.KNURL_ADDED, on=each.words, pitch=quantity(pitch_mm, "mm"), most=f"{KNURL_MOST:.3f}")
    return dict.fromkeys(cylinders, factor), note
