"""A tank that exists: how much it holds, and whether a load has room in it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from areacalc.errors import BadInput
from areacalc.plant.cathode_set import DISTANCE
from areacalc.plant.largest import Largest
from areacalc.plant.rule import Judged, Rule
from areacalc.sources import Constant, Kind, Source

LITRE_MM3 = 1e6


def _practice(mm: float, words: str) -> Constant:
    return Constant(mm, "mm", Source(Kind.COMMON_PRACTICE, words))


END_ROOM = Rule(
    "room at the ends", _practice(50.0, "a hand's width between the last part and the end wall"), at_least=True
)
BELOW = Rule("room below", _practice(75.0, "clear of sludge, air pipe and cooling coil under the part"), at_least=True)
ABOVE = Rule("liquid above the part", _practice(50.0, "the part stays under when the liquid moves"), at_least=True)
FREEBOARD = Rule(
    "freeboard", _practice(75.0, "spray and displaced liquid stay in the tank"), at_least=True,
    why="fill less, or raise the walls",
)  # fmt: skip
BEHIND_CATHODE = _practice(10.0, "the strips hang a finger clear of the wall")
CONTAINMENT = Rule(
    "outer containment over the tank's own volume", Constant(1.0, "", Source(
        Kind.COMMON_PRACTICE, "an outer tank holds the whole of the inner one")),
    at_least=True, why="a split tank must not reach the floor or a drain",
)  # fmt: skip
LOADING = Rule(
    "current for each litre", Constant(0.3, "A/L", Source(
        Kind.COMMON_PRACTICE, "0.1 A/L with no cooling to 0.3 A/L with it are said; what the bath warms by decides"),
        low=0.1),
    at_least=False, why="cool and stir the bath, or use more liquid", decides=False,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Tank:
    """The inside of a tank as it is filled; sizes not known are None, the volume is always known.

    length_mm along the bar with the parts, width_mm across it, depth_mm of the liquid, freeboard_mm above it.
    containment_l is what the outer tank holds. Raises BadInput.
    """

    liquid_l: float
    length_mm: float | None = None
    width_mm: float | None = None
    depth_mm: float | None = None
    freeboard_mm: float | None = None
    containment_l: float | None = None

    def __post_init__(self) -> None:
        sizes = (self.liquid_l, self.length_mm, self.width_mm, self.depth_mm, self.containment_l)
        if not all(size is None or 0.0 < size < math.inf for size in sizes) or (self.freeboard_mm or 0.0) < 0.0:
            raise BadInput("tank", "a size is not above zero", "give its inside sizes and the liquid's volume")

    @property
    def brimful_l(self) -> float | None:
        """What the tank holds to the brim [L], where its sizes are known."""
        if self.length_mm is None or self.width_mm is None or self.depth_mm is None:
            return None
        return self.length_mm * self.width_mm * (self.depth_mm + (self.freeboard_mm or 0.0)) / LITRE_MM3


def tank_of(
    length_mm: float,
    width_mm: float,
    depth_mm: float,
    freeboard_mm: float | None = None,
    containment_l: float | None = None,
) -> Tank:
    """A tank with upright walls, filled to `depth_mm`.

    >>> tank_of(250.0, 200.0, 200.0).liquid_l
    10.0
    """
    return Tank(
        length_mm * width_mm * depth_mm / LITRE_MM3, length_mm, width_mm, depth_mm, freeboard_mm, containment_l
    )  # fmt: skip


def check_room(tank: Tank, load: Largest, cathode_mm: float | None = 13.0) -> tuple[Judged, ...]:
    """Whether a load has room in the tank; a size that is not known is not judged.

    cathode_mm is what a strip takes off each side of the tank, its thickness and the gap behind it; None leaves
    the distance to the cathodes unjudged.

    >>> from areacalc.plant.largest import largest
    >>> [j.rule.name for j in check_room(tank_of(250, 200, 200), largest("a plate of 100 x 80 x 6 mm")) if not j.kept]
    ['room below', 'part to cathode']
    """
    judged = []
    if tank.length_mm is not None:
        ends_mm = 0.5 * (tank.length_mm - load.length_mm)
        long = (
            f"{load.words}, {load.length_mm:.4g} mm long, in a tank of {tank.length_mm:g} mm" if ends_mm < 0.0 else ""
        )
        judged.append(END_ROOM.judge(ends_mm, long))
    if tank.depth_mm is not None:
        judged.append(ABOVE.judge(min(ABOVE.limit.value, tank.depth_mm - load.height_mm)))
        judged.append(BELOW.judge(tank.depth_mm - load.height_mm - ABOVE.limit.value))
    if tank.width_mm is not None and cathode_mm is not None:
        judged.append(DISTANCE.judge(0.5 * (tank.width_mm - load.thickness_mm) - cathode_mm))
    return (*judged, *check_shell(tank))


def check_shell(tank: Tank) -> tuple[Judged, ...]:
    """The rules of the tank itself: freeboard and containment, where they are known."""
    judged = []
    if tank.freeboard_mm is not None:
        judged.append(FREEBOARD.judge(tank.freeboard_mm))
    if tank.containment_l is not None:
        judged.append(CONTAINMENT.judge(tank.containment_l / (tank.brimful_l or tank.liquid_l)))
    return tuple(judged)
