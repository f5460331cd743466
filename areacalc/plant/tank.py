"""A tank that exists: how much it holds, its freeboard and its spill tray."""

import math
from dataclasses import dataclass

from areacalc.errors import BadInput
from areacalc.plant.rule import Judged, Reason, Rule
from areacalc.sources import Constant, Kind, Source

LITRE_MM3 = 1e6


FREEBOARD = Rule(
    "freeboard", Constant(75.0, "mm", Source(
        Kind.COMMON_PRACTICE, "spray and displaced liquid stay in the tank")), at_least=True,
    why="fill less, or raise the walls", decides=False,
)  # fmt: skip
CONTAINMENT = Rule(
    "outer containment over the tank's own volume", Constant(1.0, "", Source(
        Kind.COMMON_PRACTICE, "an outer tank holds the whole of the inner one")),
    at_least=True, reason=Reason.SAFETY, why="a split tank must not reach the floor or a drain",
)  # fmt: skip
LOADING = Rule(
    "current by volume", Constant(0.3, "A/L", Source(
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
    def source(self) -> Source | None:
        """Where the liquid's volume is from: worked out of the sizes, or (None) as told."""
        sizes = (self.length_mm, self.width_mm, self.depth_mm)
        by_sizes = None not in sizes and tank_of(*sizes).liquid_l == self.liquid_l  # type: ignore[arg-type]
        return Source(Kind.DERIVED, "length x width x depth of the liquid") if by_sizes else None

    @property
    def brimful_l(self) -> float | None:
        """What the tank holds to the brim [L], where its sizes are known."""
        if self.length_mm is None or self.width_mm is None or self.depth_mm is None:
            return None
        return self.length_mm * self.width_mm * (self.depth_mm + (self.freeboard_mm or 0.0)) / LITRE_MM3


def tank_of(
    length_mm: float, width_mm: float, depth_mm: float, freeboard_mm: float | None = None,
    containment_l: float | None = None,
) -> Tank:  # fmt: skip
    """A tank with upright walls, filled to `depth_mm`."""
    return Tank(
        length_mm * width_mm * depth_mm / LITRE_MM3, length_mm, width_mm, depth_mm, freeboard_mm, containment_l
    )  # fmt: skip


def check_shell(tank: Tank) -> tuple[Judged, ...]:
    """The rules of the tank itself: freeboard and containment, where they are known."""
    judged = []
    if tank.freeboard_mm is not None:
        judged.append(FREEBOARD.judge(tank.freeboard_mm))
    if tank.containment_l is not None:
        judged.append(CONTAINMENT.judge(tank.containment_l / (tank.brimful_l or tank.liquid_l)))
    return tuple(judged)
