"""Points with fillets, chamfers and arcs, and bores with their steps, to chains of segments."""

import itertools
import math
from dataclasses import dataclass, replace

from areacalc.errors import BadInput
from areacalc.shape.profile.profile import Knurl, Segment, Spot
from areacalc.shape.profile.thread import Thread


@dataclass(frozen=True, slots=True)
class Arc:
    """How a point is reached by an arc: by its radius [mm] (and which way it bulges) or by its centre."""

    radius_mm: float = 0.0
    bulges_out: bool = True  # away from the axis
    large: bool = False  # more than half a circle
    centre: Spot | None = None
    clockwise: bool = True  # with a centre: the way it runs, x to the right and radius up


@dataclass(frozen=True, slots=True)
class Vertex:
    """One point of an outline as a person gives it: where, how its corner is broken, how it was reached, what is cut.

    fillet_mm and chamfer_mm break the corner at this point; arc and dress belong to the segment that ends here.
    """

    spot: Spot
    fillet_mm: float = 0.0
    chamfer_mm: float = 0.0
    arc: Arc | None = None
    dress: Thread | Knurl | None = None
    place: str = ""


def chain(vertices: list[Vertex], where: str) -> list[Segment]:
    """The segments through two points or more, corners broken as asked.

    Raises BadInput with the point's place: zero length, an arc that cannot reach, a fillet that does not fit.
    """
    raw = [_join(a, b, where) for a, b in itertools.pairwise(vertices)]
    out: list[Segment] = []
    for i, segment in enumerate(raw):
        corner = vertices[i]
        if out and (corner.fillet_mm or corner.chamfer_mm):
            out[-1], broken, segment = _broken(out[-1], segment, corner, where)
            out.append(broken)
        out.append(segment)
    for end in (vertices[0], vertices[-1]):
        if end.fillet_mm or end.chamfer_mm:
            raise BadInput(_at(where, end), "an end of an outline has no corner to break", "break the next corner")
    return [segment for segment in out if segment.length_mm > 1e-9]  # two corners may use up a side


def _at(where: str, vertex: Vertex) -> str:
    return f"{where}, {vertex.place}" if vertex.place else where


def _join(a: Vertex, b: Vertex, where: str) -> Segment:
    if math.dist(a.spot, b.spot) < 1e-9:
        raise BadInput(_at(where, b), f"stands on the point before it, at {_words(b.spot)}", "leave one of them out")
    if b.arc is None:
        return Segment(a.spot, b.spot, place=b.place, dress=b.dress)
    if b.dress is not None:
        raise BadInput(_at(where, b), "a thread or knurl sits on an arc", "give it to a straight length")
    centre, turn = _by_centre(a, b, b.arc, b.arc.centre, where) if b.arc.centre else _by_radius(a, b, b.arc, where)
    return Segment(a.spot, b.spot, centre, turn, place=b.place)


def _by_radius(a: Vertex, b: Vertex, arc: Arc, where: str) -> tuple[Spot, float]:
    radius, chord = arc.radius_mm, math.dist(a.spot, b.spot)
    if radius < chord / 2 * (1 - 1e-9):
        what = f"an arc of radius {radius:.6g} mm cannot span {chord:.6g} mm from {_words(a.spot)} to {_words(b.spot)}"
        raise BadInput(_at(where, b), what, f"give a radius of {chord / 2:.6g} mm or more")
    half = math.asin(min(1.0, chord / (2 * radius)))
    turn = 2 * (math.pi - half if arc.large else half)
    along = ((b.spot[0] - a.spot[0]) / chord, (b.spot[1] - a.spot[1]) / chord)
    # clockwise bulges to the left of the way it runs; out means toward growing radius, or to the left on a face
    left_is_out = along[0] > 1e-12 or (abs(along[0]) <= 1e-12 and along[1] > 0)
    clockwise = arc.bulges_out == left_is_out
    away = radius * math.cos(turn / 2) * (1 if clockwise else -1)
    middle = ((a.spot[0] + b.spot[0]) / 2, (a.spot[1] + b.spot[1]) / 2)
    centre = (middle[0] + along[1] * away, middle[1] - along[0] * away)
    return centre, -turn if clockwise else turn


def _by_centre(a: Vertex, b: Vertex, arc: Arc, centre: Spot, where: str) -> tuple[Spot, float]:
    one, two = math.dist(a.spot, centre), math.dist(b.spot, centre)
    if abs(one - two) > 1e-3 * max(one, two) + 1e-6:
        what = f"the centre {_words(centre)} is {one:.6g} mm from one end of the arc and {two:.6g} mm from the other"
        raise BadInput(_at(where, b), what, "give a centre that is as far from both")
    start = math.atan2(a.spot[1] - centre[1], a.spot[0] - centre[0])
    end = math.atan2(b.spot[1] - centre[1], b.spot[0] - centre[0])
    turn = (end - start) % (2 * math.pi)
    return centre, turn - 2 * math.pi if arc.clockwise else turn


def _broken(before: Segment, after: Segment, corner: Vertex, where: str) -> tuple[Segment, Segment, Segment]:
    """The two segments at a corner cut back, and the fillet or chamfer between them."""
    if before.centre is not None or after.centre is not None:
        raise BadInput(_at(where, corner), "a fillet or chamfer meets an arc", "draw the blend as an arc of its own")
    if before.length_mm < 1e-9:
        what = f"the corner before {_words(corner.spot)} takes all of the side between them"
        raise BadInput(_at(where, corner), what, "make it smaller")
    back = _unit(corner.spot, before.start)
    on = _unit(corner.spot, after.end)
    cosine = max(-1.0, min(1.0, back[0] * on[0] + back[1] * on[1]))
    opening = math.acos(cosine)
    if opening > math.pi - 1e-6 or opening < 1e-6:
        raise BadInput(_at(where, corner), f"there is no corner at {_words(corner.spot)} to break", "leave it out")
    reach = corner.chamfer_mm or corner.fillet_mm / math.tan(opening / 2)
    for segment in (before, after):
        if reach > segment.length_mm * (1 + 1e-9):
            kind = f"chamfer {corner.chamfer_mm:g}" if corner.chamfer_mm else f"fillet {corner.fillet_mm:g}"
            what = f"the {kind} mm at {_words(corner.spot)} takes {reach:.6g} mm of a side of {segment.length_mm:.6g}"
            raise BadInput(_at(where, corner), what, "make it smaller")
    one = (corner.spot[0] + back[0] * reach, corner.spot[1] + back[1] * reach)
    two = (corner.spot[0] + on[0] * reach, corner.spot[1] + on[1] * reach)
    cut = replace(before, end=one), replace(after, start=two)
    name = "chamfer" if corner.chamfer_mm else "fillet"
    piece = Segment(one, two, name=name, place=corner.place)
    if corner.fillet_mm:
        far = corner.fillet_mm / math.sin(opening / 2)
        middle = _unit((0.0, 0.0), (back[0] + on[0], back[1] + on[1]))
        centre = (corner.spot[0] + middle[0] * far, corner.spot[1] + middle[1] * far)
        cross = back[0] * on[1] - back[1] * on[0]
        piece = replace(piece, centre=centre, turn=math.copysign(math.pi - opening, -cross))
    return cut[0], piece, cut[1]


def _unit(a: Spot, b: Spot) -> Spot:
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length)


def _words(spot: Spot) -> str:
    return f"(x {spot[0]:.6g} mm, diameter {2 * spot[1]:.6g} mm)"


@dataclass(frozen=True, slots=True)
class BoreDiameter:
    """One diameter of a bore: its radius [mm], how deep it reaches from the mouth [mm] (None: through), its thread."""

    radius_mm: float
    depth_mm: float | None
    thread: Thread | None = None


@dataclass(frozen=True, slots=True)
class BoreWords:
    """A bore as a person gives it. side: left, right, through, "through right" (steps counted from the right).

    point_deg: the drill point's angle; None: a flat floor. chamfer_mm: at the mouth.
    """

    side: str
    steps: tuple[BoreDiameter, ...]
    point_deg: float | None
    chamfer_mm: float = 0.0

    @property
    def through(self) -> bool:
        """Whether it opens at both ends."""
        return self.side.startswith("through")

    @property
    def from_left(self) -> bool:
        """Whether depths count from the left end."""
        return self.side in ("left", "through", "through left")


def bore_chain(bore: BoreWords, left_mm: float, right_mm: float, feature: str, where: str) -> list[Segment]:
    """The bore's segments from its mouth inward, in the part's own positions.

    Raises BadInput: depths that do not grow, a through bore without an open step, a blind one without a depth.
    """
    length = right_mm - left_mm
    _check_depths(bore, length, where)
    points: list[tuple[Spot, str, Thread | None]] = []  # depth and radius, what the length that ends there is
    depth, radius = 0.0, bore.steps[0].radius_mm
    start = (0.0, radius)
    if bore.chamfer_mm:
        start = (0.0, radius + bore.chamfer_mm)
        points.append(((bore.chamfer_mm, radius), "chamfer", None))
    for step in bore.steps:
        if step.radius_mm != radius:
            points.append(((depth, step.radius_mm), "shoulder", None))
            radius = step.radius_mm
        depth = length if step.depth_mm is None else step.depth_mm
        points.append(((depth, radius), "thread" if step.thread else "wall", step.thread))
    if not bore.through:
        tip = depth + (radius / math.tan(math.radians(bore.point_deg) / 2) if bore.point_deg is not None else 0.0)
        points.append(((tip, 0.0), "floor" if bore.point_deg is None else "drill point", None))
    mouth, sign = (left_mm, 1.0) if bore.from_left else (right_mm, -1.0)
    chain, here = [], (mouth + sign * start[0], start[1])
    for number, (spot, kind, thread) in enumerate(points, 1):
        name = step_name(feature, number, kind)
        there = (mouth + sign * spot[0], spot[1])
        chain.append(Segment(here, there, feature=feature, name=name, place=where.rpartition(", ")[2], dress=thread))
        here = there
    return chain


def step_name(feature: str, number: int, kind: str) -> str:
    """What a length of a bore is called, numbered from its mouth inward.

    >>> step_name("bore-1", 2, "shoulder")
    'bore-1 step 2, shoulder'
    """
    return f"{feature} step {number}, {kind}"


def _check_depths(bore: BoreWords, length_mm: float, where: str) -> None:
    reached = bore.chamfer_mm
    for number, step in enumerate(bore.steps, 1):
        place = f"{where}, step {number}" if len(bore.steps) > 1 else where
        last = number == len(bore.steps)
        if step.depth_mm is None:
            if not bore.through or not last:
                remedy = "write diameter x depth, as in '8 x 30', or 'bore through 8'; decimals take a point"
                raise BadInput(place, "gives no depth", remedy)
            continue
        if step.depth_mm <= reached:
            what = f"ends {step.depth_mm:.6g} mm from the mouth, where the bore already is {reached:.6g} mm deep"
            raise BadInput(place, what, "give every depth from the mouth, growing")
        reached = step.depth_mm
        if bore.through and last and abs(reached - length_mm) > 1e-9 * length_mm:
            what = f"ends at {reached:.6g} mm of {length_mm:.6g} mm"
            raise BadInput(place, what, "leave out the last depth of a through bore")
