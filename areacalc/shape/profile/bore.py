"""Bores of a turned part: steps from a mouth to a chain of segments inside the metal."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from areacalc.errors import BadInput
from areacalc.shape.profile.profile import Segment, Spot
from areacalc.shape.profile.thread import Thread


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
    chain, here = [], start
    for number, (spot, kind, thread) in enumerate(points, 1):
        name = step_name(feature, number, kind)
        chain.append(Segment(here, spot, feature=feature, name=name, place=where.rpartition(", ")[2], dress=thread))
        here = spot
    return [_placed(s, left_mm if bore.from_left else right_mm, bore.from_left) for s in chain]


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
                raise BadInput(place, "gives no depth", "write diameter x depth, as in '8 x 30'; decimals take a point")
            continue
        if step.depth_mm <= reached:
            raise BadInput(
                place, f"ends {step.depth_mm:.6g} mm from the mouth, where the bore already is {reached:.6g} mm deep",
                "give every depth from the mouth, growing",
            )  # fmt: skip
        reached = step.depth_mm
        if bore.through and last and abs(reached - length_mm) > 1e-9 * length_mm:
            raise BadInput(
                place, f"ends at {reached:.6g} mm of {length_mm:.6g} mm", "leave out the last depth of a through bore"
            )


def _placed(segment: Segment, mouth_mm: float, from_left: bool) -> Segment:
    sign = 1.0 if from_left else -1.0
    return replace(
        segment,
        start=(mouth_mm + sign * segment.start[0], segment.start[1]),
        end=(mouth_mm + sign * segment.end[0], segment.end[1]),
    )
