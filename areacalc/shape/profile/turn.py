"""A sketch to a checked profile: the outside, the end faces and the bores as one chain with the metal on its right."""

import math
from collections.abc import Iterator
from dataclasses import replace

from areacalc.errors import BadInput
from areacalc.fact import fact, quantity
from areacalc.quantity import Unit, length_unit
from areacalc.shape.file_unit import decide_unit
from areacalc.shape.kinds import FileNote, Note, UnitBasis, UnitHow
from areacalc.shape.profile.outline import BoreWords, Vertex, bore_chain, chain
from areacalc.shape.profile.profile import Profile, Segment, Spot, TurnedBore, check_profile
from areacalc.shape.profile.sketch import Sketch, bore_words, reading, sketch_of, vertex
from areacalc.shape.profile.thread import Thread

MOST_POINTS = 30_000  # drawn with 32 flats round the axis they make two million triangles


def refuse_many(count: int, source: str) -> None:
    """Raise BadInput for more points than a profile may have."""
    if count > MOST_POINTS:
        what = f"has {count} points; a profile may have {MOST_POINTS}"
        raise BadInput(source, what, "draw it with fewer, longer lines and arcs")


def profile_of(sketch: Sketch | str, source: str = "profile") -> Profile:
    """The profile that a sketch, or one line of words, describes.

    Raises BadInput with the point or bore: words not understood, zero length, a fillet that does not fit, an outline
    that crosses itself or the axis, a bore that breaks through.

    >>> round(profile_of("0 12, 40 12; bore left 6 x 20 flat").area_mm2.value, 3)
    2111.15
    """
    if isinstance(sketch, str):
        sketch = sketch_of(sketch, source)
    refuse_many(len(sketch.outside), source)
    read = reading(sketch, source)
    outside = [vertex(w, read, f"{source}, point {i}") for i, w in enumerate(sketch.outside, 1)]
    bores = [bore_words(w, read, f"{source}, bore {i}") for i, w in enumerate(sketch.bores, 1)]
    how = UnitHow.DECLARED if sketch.unit_is_declared else UnitHow.ASSUMED
    return turn(sketch.name, source, outside, bores, UnitBasis(read.unit, how, read.length("1", source)))


def in_unit(sketch: Sketch, source: str, unit: Unit | None) -> Profile:
    """The profile of a sketch in the unit given, else in its own. Raises BadInput."""
    declared = length_unit(sketch.unit, f"{source}, unit") if sketch.unit_is_declared else None
    basis, notes = decide_unit(unit, declared)
    profile = profile_of(replace(sketch, unit=basis.name), source)
    return replace(profile, unit=basis, notes=(*profile.notes, *notes))


def turn(name: str, source: str, outside: list[Vertex], bores: list[BoreWords], unit: UnitBasis) -> Profile:
    """The checked profile of an outside and its bores. Raises BadInput."""
    if len(outside) < 2:
        raise BadInput(source, "an outline needs at least two points", "give position and diameter of each")
    left, right = outside[0].spot, outside[-1].spot
    if right[0] <= left[0]:
        what = f"runs from x {left[0]:.6g} to x {right[0]:.6g} mm"
        raise BadInput(source, what, "give the points from left to right")
    left_chain, right_chain, listed = _bores(bores, left[0], right[0], source)
    mouth_left = left_chain[0].start if left_chain else (left[0], 0.0)
    mouth_right = right_chain[0].start if right_chain else (right[0], 0.0)
    if left_chain and any(b.through for b in listed):
        mouth_right = left_chain[-1].end
    for mouth, end, side in ((mouth_left, left, "left"), (mouth_right, right, "right")):
        if mouth[1] > end[1] + 1e-9:
            what = f"the bore is {2 * mouth[1]:.6g} mm wide, the outside only {2 * end[1]:.6g} mm"
            raise BadInput(f"{source}, {side} end", what, "make the bore smaller or the outside larger")
    segments = _named(chain(_faced(outside, mouth_left, mouth_right), source), mouth_left, mouth_right)
    whole = [*segments, *right_chain, *(s.reversed() for s in reversed(left_chain))]
    profile = Profile(name, source, tuple(whole), tuple(listed), unit, (*_thread_notes(whole), *_hollow_ends(outside)))
    check_profile(profile)
    return profile


def _hollow_ends(outside: list[Vertex]) -> Iterator[Note]:
    """A note for each end behind which the outside goes on: a hollow end, or a slip of the person's."""
    along = [vertex.spot[0] for vertex in outside]
    for end, most in ((along[0], min(along)), (along[-1], max(along))):
        if abs(most - end) > 1e-9:
            yield Note(fact(FileNote.HOLLOW_END, most=quantity(most, "mm"), end=quantity(end, "mm")))


def _faced(outside: list[Vertex], mouth_left: Spot, mouth_right: Spot) -> list[Vertex]:
    """The outside with its end faces drawn in, from a bore's mouth or the axis, so that their corners can break."""
    faced = list(outside)
    if faced[0].spot[1] - mouth_left[1] > 1e-9:
        faced.insert(0, Vertex(mouth_left, place="left end"))
    if faced[-1].spot[1] - mouth_right[1] > 1e-9:
        faced.append(Vertex(mouth_right, place="right end"))
    return faced


def _named(segments: list[Segment], left: Spot, right: Spot) -> list[Segment]:
    """Names for the outside's segments; an upright face from a mouth or the axis at either end is an end."""
    out: list[Segment] = []
    outside = 0
    for s in segments:
        upright = s.centre is None and abs(s.start[0] - s.end[0]) < 1e-9
        if upright and not out and s.start == left:
            feature = name = "left-end"
        elif upright and s is segments[-1] and s.end == right:
            feature = name = "right-end"
        else:
            outside += 1
            feature = "outside"
            name = f"outside {outside}" + (f" {s.name}" if s.name else "")
        out.append(replace(s, feature=feature, name=name))
    return out


def _bores(
    bores: list[BoreWords], left_mm: float, right_mm: float, source: str
) -> tuple[list[Segment], list[Segment], list[TurnedBore]]:
    """The chain from the left mouth, the chain from the right mouth, and the bores by name."""
    sides = {"left": [b for b in bores if b.side == "left"], "right": [b for b in bores if b.side == "right"],
             "through": [b for b in bores if b.through]}  # fmt: skip
    if any(len(found) > 1 for found in sides.values()) or (sides["through"] and len(bores) > 1):
        what = f"has {len(bores)} bores on one axis"
        raise BadInput(source, what, "give one from each end, or one through, with steps")
    chains: dict[str, list[Segment]] = {"left": [], "right": []}
    listed = []
    blind = 0
    for number, bore in enumerate(bores, 1):
        where = f"{source}, bore {number}"
        if bore.through:
            made = bore_chain(bore, left_mm, right_mm, "bore-1", where)
            listed.append(TurnedBore("bore-1", left_mm, right_mm, True))
            # a chain from the right mouth ends at the left one: run it the other way round
            chains["left"] = made if bore.from_left else [s.reversed() for s in reversed(made)]
            continue
        blind += 1
        made = bore_chain(bore, left_mm, right_mm, f"blind-bore-{blind}", where)
        chains[bore.side] = made
        listed.append(TurnedBore(f"blind-bore-{blind}", made[0].start[0], made[-1].end[0], False))
    return chains["left"], chains["right"], listed


def _radii_mm(segments: list[Segment], over: Segment, of_bores: bool) -> list[float]:
    """The radii of the bores, or of the outside, over the length of a segment."""
    low, high = sorted((over.start[0], over.end[0]))
    radii = []
    for s in segments:
        one, two = sorted((s.start, s.end))
        if ("bore" in s.feature) is of_bores and one[0] < high - 1e-9 and two[0] > low + 1e-9 and one[0] < two[0]:
            slope = (two[1] - one[1]) / (two[0] - one[0])
            radii += [one[1] + slope * (x - one[0]) for x in (max(one[0], low), min(two[0], high))]
    return radii


def _cuts_through(segments: list[Segment], at: Segment, thread: Thread) -> bool:
    """Whether a thread leaves no wall: its crests in a bore reach the outside, or its roots outside a bore."""
    if "bore" in at.feature:
        return thread.major_mm >= 2.0 * min(_radii_mm(segments, at, of_bores=False), default=math.inf)
    return thread.minor_mm <= 2.0 * max(_radii_mm(segments, at, of_bores=True), default=0.0)


def _thread_notes(segments: list[Segment]) -> list[Note]:
    notes = []
    for s in segments:
        if not isinstance(s.dress, Thread):
            continue
        if s.start[1] != s.end[1]:
            remedy = "write it after a point of the same diameter as the point before"
            raise BadInput(s.place, f"the thread {s.dress.name} sits on a taper", remedy)
        across, bore = 2 * s.start[1], "bore" in s.feature
        if _cuts_through(segments, s, s.dress):
            what = f"the thread {s.dress.name} cuts through the wall"
            raise BadInput(s.place, what, "take a smaller thread or a thicker wall")
        nominal = s.dress.minor_mm if bore else s.dress.major_mm
        if abs(across - nominal) > 0.3 * s.dress.pitch_mm:
            told = fact(
                FileNote.THREAD_SIZE, length=s.name, thread=s.dress.name, on="core" if bore else "rod",
                wanted=quantity(nominal, "mm"), across=quantity(across, "mm"),
            )  # fmt: skip
            notes.append(Note(told, warns=True))
    return notes
