"""Parts that a person hangs elsewhere than the layout has them: read from words, put in their places, judged anew."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from areacalc.errors import BadInput
from areacalc.plant.layout import Layout, Place, judged_room
from areacalc.plant.spacing import Spacing
from areacalc.quantity import Dimension, parse

_WORDS = re.compile(
    r"^\s*(?P<part>.*\S)\s+(?P<number>\d{1,5})\s+at\s+(?P<x>\S.*?)\s*x\s+(?:(?P<y>\S.*?)\s*x\s+)?(?P<z>\S.*?)\s*$"
)
_UNIT_OF = re.compile(r"^[-\d.,/\s]*")


@dataclass(frozen=True, slots=True)
class Moved:
    """One part, counted from 1 among those of its name: where its box begins along, under and across the liquid [mm].

    y_mm: None where it stays in its row.
    """

    part: str
    number: int
    x_mm: float
    z_mm: float
    y_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Rehung:
    """A layout with parts moved: those that overlap, those that are not in the liquid, moves of what does not hang."""

    layout: Layout
    overlaps: tuple[tuple[str, str], ...] = ()
    outside: tuple[str, ...] = ()
    not_there: tuple[str, ...] = ()


def moved_in_words(words: str, where: str) -> tuple[Moved, ...]:
    """Moves in words, several with a semicolon between. Raises BadInput.

    Along the tank x under the liquid, or along x across x under:
    >>> moved_in_words("lamp knob 2 at 120 x 60 mm; pen cap 1 at 30 x 95 x 80 mm", "moved")[1]
    Moved(part='pen cap', number=1, x_mm=30.0, z_mm=80.0, y_mm=95.0)
    """
    return tuple(_one(each, where) for each in words.split(";") if each.strip())


def _one(words: str, where: str) -> Moved:
    found = _WORDS.match(words)
    if found is None:
        raise BadInput(
            where, f"'{words.strip()}' is not a part and a place", "write it like 'lamp knob 2 at 120 x 60 mm'"
        )
    unit = _UNIT_OF.sub("", found["z"])
    x_mm, z_mm, *y_mm = (parse(found[each], Dimension.LENGTH, where, unit or None) for each in "xzy" if found[each])
    return Moved(found["part"], int(found["number"]), x_mm, z_mm, *y_mm)


def rehung(made: Layout, moves: Sequence[Moved], rules: Spacing) -> Rehung:
    """The layout with its parts moved along the tank and down, each rule judged by where everything hangs then."""
    if not moves:
        return Rehung(made)
    named = _named(made)
    to = {(move.part, move.number): move for move in moves}
    places = tuple(_at(made, place, to.get(name)) for place, name in zip(made.places, named, strict=True))
    moved = replace(made, places=places)
    apart, overlaps = _apart_mm(moved, [name in to for name in named])
    moved = replace(moved, gaps=replace(made.gaps, between_mm=max(0.0, min(made.gaps.between_mm, apart))))
    words = [f"{part} {number}" if made.parts[place.part].count > 1 else part
             for place, (part, number) in zip(places, named, strict=True)]  # fmt: skip
    return Rehung(
        replace(moved, judged=tuple(judged_room(moved, rules))),
        tuple((words[i], words[j]) for i, j in overlaps),
        tuple(word for word, place in zip(words, places, strict=True) if not _is_in(moved, place)),
        tuple(f"{part} {number}" for part, number in to.keys() - set(named)),
    )


def _named(made: Layout) -> list[tuple[str, int]]:
    """Each place by the name of its part and its number among those of that name."""
    counted: dict[str, int] = {}
    found = []
    for place in made.places:
        name = made.parts[place.part].name
        counted[name] = counted.get(name, 0) + 1
        found.append((name, counted[name]))
    return found


def _at(made: Layout, place: Place, move: Moved | None) -> Place:
    """A part where it was moved to; what hangs through the surface stays as deep as it was."""
    if move is None:
        return place
    z_mm = place.z_mm if made.parts[place.part].stands_out else move.z_mm
    return replace(place, x_mm=move.x_mm, y_mm=place.y_mm if move.y_mm is None else move.y_mm, z_mm=z_mm)


def _apart_mm(made: Layout, moved: Sequence[bool]) -> tuple[float, list[tuple[int, int]]]:
    """The least room between a moved part and any other [mm], and the pairs whose boxes overlap."""
    boxes = np.array([made.box(place) for place in made.places])
    near, far = boxes[:, :3], boxes[:, 3:]
    least, overlaps = np.inf, []
    for i in np.nonzero(np.array(moved))[0]:
        apart = np.maximum(near - far[i], near[i] - far).max(axis=1)
        apart[i] = np.inf
        least = min(least, float(apart.min()))
        overlaps += [(min(i, j), max(i, j)) for j in np.nonzero(apart < -1e-6)[0]]
    return least, sorted({(int(i), int(j)) for i, j in overlaps})


def _is_in(made: Layout, place: Place) -> bool:
    """Whether a part is in the liquid, between the end walls, between the cathodes and off the floor."""
    box, room, slack = made.box(place), made.room, 1e-6
    low, high = (0.0, room.behind_mm, 0.0), (room.length_mm, room.width_mm - room.behind_mm, room.depth_mm)
    return all(box[k] >= low[k] - slack and box[k + 3] <= high[k] + slack for k in range(3))
