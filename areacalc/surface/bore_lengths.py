"""Lengths of a bore by name: a step (`bore-1 step 2`), or so far in from a mouth (`bore-1 top 5 mm deep`)."""

import numpy as np

from areacalc.errors import BadInput
from areacalc.shape.kinds import Floats, Truths
from areacalc.surface.regions import Region, checked
from areacalc.surface.sides import mouth_names
from areacalc.surface.skin import Feature, SurfaceMap
from areacalc.surface.split import Pieces

ROUNDS = 1e-6  # of the part's size: a shoulder lies this near its height, as far as a file rounds
BOTH = "both"


def step(words: str, index: int, number: int, skin: SurfaceMap, where: str) -> Region:
    """A step of a bore, numbered from its first mouth inward. Raises BadInput."""
    feature = skin.features[index]
    if not 1 <= number <= len(feature.steps) or feature.axis is None:
        have = f"{feature.name} has steps 1 to {len(feature.steps)}" if feature.steps else "it has no steps"
        raise BadInput(where, f"{feature.name} has no step {number}", have)
    chosen = feature.steps[number - 1]
    axis, slack = np.asarray(feature.axis), ROUNDS * max(skin.body.size_mm)
    begin = float(axis @ np.asarray(feature.mouths[0])) + chosen.at_mm
    end = begin + chosen.depth_mm
    level = chosen.depth_mm <= slack
    low, high = (begin - slack, end + slack) if level else (begin + slack, end - slack)

    def between(at: Floats) -> Truths:
        return np.asarray((at >= low) & (at <= high))

    def inside(pieces: Pieces) -> Truths:
        return np.asarray((skin.feature_of[pieces.parent] == index) & between(pieces.centre @ axis))

    middles = skin.body.vertices[skin.body.triangles].mean(axis=1) @ axis
    most = np.zeros((2, len(skin.patches)))
    mine = skin.feature_of == index
    np.add.at(most, (between(middles[mine]).astype(int), skin.patch_of[mine]), 1.0)
    patches = tuple(np.nonzero(most[1] > most[0])[0].tolist())
    planes = () if level else ((axis, begin), (axis, end))
    return checked(Region(words, planes, inside, (), patches), skin, where)


def in_from(words: str, index: int, mouth: int, depth_mm: float, skin: SurfaceMap, where: str) -> Region:
    """What lies no deeper than a depth below a mouth of a bore, numbered from 1. Raises BadInput."""
    feature = skin.features[index]
    if feature.axis is None or not feature.mouths or not feature.depth_mm:
        raise BadInput(where, f"{feature.name} has no axis to measure a depth along", "take it whole, with no depth")
    if depth_mm > feature.depth_mm * (1.0 + ROUNDS):
        what = f"{depth_mm:g} mm is more than the {feature.depth_mm:.5g} mm that {feature.name} is deep"
        raise BadInput(where, what, f"give less, or '{feature.name}' alone for all of it")
    inward = np.asarray(feature.axis) * (1.0 if mouth == 1 else -1.0)
    limit = float(inward @ np.asarray(feature.mouths[mouth - 1])) + depth_mm
    touched = limit + ROUNDS * max(skin.body.size_mm)  # a shoulder at that depth, as far as a file rounds

    def inside(pieces: Pieces) -> Truths:
        return np.asarray((skin.feature_of[pieces.parent] == index) & (pieces.centre @ inward <= touched))

    return Region(words, ((inward, limit),), inside)


def mouths(said: str | None, feature: Feature, depth_words: str, where: str) -> tuple[int, ...]:
    """The numbers of the mouths meant: a side ("top"), a number, "both", or None where only one opens to the
    outside.

    Raises BadInput where several are there and none is said, or what is said is not there.
    """
    names = mouth_names(feature)
    if said is None:
        outer = feature.outer_mouths or tuple(range(1, len(names) + 1))
        if len(outer) > 1:
            each = " or ".join(f"'{feature.name} {names[n - 1]} {depth_words} deep'" for n in outer)
            raise BadInput(where, f"{feature.name} has {len(outer)} mouths", f"say which: {each}, or 'at both ends'")
        return outer
    if said == BOTH:
        return tuple(range(1, len(names) + 1))
    if said in names:
        return (names.index(said) + 1,)
    if said.isdecimal() and 1 <= int(said) <= len(names):
        return (int(said),)
    what = f"mouth {said}" if said.isdecimal() else f"mouth at the {said}"
    have = " and ".join(f"'{name}'" for name in names) or "none"
    raise BadInput(where, f"{feature.name} has no {what}", f"it has {len(names)}: {have}")
