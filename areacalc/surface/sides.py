"""The sides of a part as a machinist calls them: z+ is the top, x+ the right, y- the front."""

from collections.abc import Iterable, Sequence

import numpy as np

from areacalc.surface.skin import Feature, SurfaceMap, Vector

SIDES: dict[str, Vector] = {
    "top": (0.0, 0.0, 1.0), "bottom": (0.0, 0.0, -1.0), "left": (-1.0, 0.0, 0.0), "right": (1.0, 0.0, 0.0),
    "front": (0.0, -1.0, 0.0), "back": (0.0, 1.0, 0.0),
}  # fmt: skip
AXES: dict[str, Vector] = {
    "z+": (0.0, 0.0, 1.0), "z-": (0.0, 0.0, -1.0), "x-": (-1.0, 0.0, 0.0), "x+": (1.0, 0.0, 0.0),
    "y-": (0.0, -1.0, 0.0), "y+": (0.0, 1.0, 0.0),
}  # fmt: skip
EVEN = 1e-6
"""Directions that point to two sides alike by no more count as even; the side named first is taken."""


def side(way: Vector) -> str:
    """The side of the part that a unit vector points to most.

    >>> side((0.1, 0.0, 0.9)), side((0.0, -1.0, 0.0))
    ('top', 'front')
    """
    return max(SIDES, key=lambda name: round(float(np.dot(SIDES[name], way)) / EVEN))


def main_bore(skin: SurfaceMap) -> Feature | None:
    """The bore that tells how a part hangs: the largest with one mouth, else the largest of all."""
    bores = [f for f in skin.features if f.axis is not None and f.mouths]
    blind = [f for f in bores if len(f.mouths) == 1]
    return max(blind or bores, key=lambda f: f.area_mm2.value, default=None)


def mouth_names(feature: Feature) -> tuple[str, ...]:
    """What the mouths of a feature are called, in their order: the side that each opens to, a number for the others.

    An end that opens into another bore opens to no side. Two that open to the same side are numbered as well.
    """
    count = len(feature.mouths)
    if feature.axis is None:
        ways: Sequence[Vector | None] = (*feature.opens, *[None] * count)[:count]
    else:
        inward = feature.axis
        out = (-inward[0], -inward[1], -inward[2])
        ways = [out if i == 0 else inward if i == count - 1 else None for i in range(count)]
    outer = feature.outer_mouths
    names = [side(way) if way is not None and n in outer else "" for n, way in enumerate(ways, 1)]
    return tuple(name if name and names.count(name) == 1 else f"mouth {number}" for number, name in enumerate(names, 1))


def named_sides(features: Iterable[Feature]) -> list[tuple[str, str]]:
    """The sides that features open to, in the table's words, each with its axis."""
    words = {word for feature in features for word in opens_words(feature).split(", ")}
    axes = {way: axis for axis, way in AXES.items()}
    return [(name, axes[way]) for name, way in SIDES.items() if name in words]


def opens_words(feature: Feature) -> str:
    """The sides and bores that a feature opens to, its mouths by name."""
    into = feature.into or ("",) * len(feature.mouths)
    named = tuple(bore or name for bore, name in zip(into, mouth_names(feature), strict=True))
    return ", ".join(dict.fromkeys((*named, *(side(way) for way in feature.opens[len(named) :]))))
