"""How the current dies away down a bore: the line from its mouth to its floor, with the bath's own law at the wall.

    d/dx (kappa S du/dx) = g kappa u - p j,   u = V0 ln(j0 / j) + R0 j0 - R j,   u = I Rm at an open mouth, no flow at a
    shut end

u [V] is what the bath in the bore takes off the driving volts, j the density with j0 outside, S the section, p the
surface to a length, I the current out of a mouth, Rm its spreading resistance, g what a slit along the bore conducts.
V0 is the slope of the law of volts and R [ohm m2] what the film resists where it lies: R0 outside, and j / j0 of that
in the bore, whose film is thinner by as much. Times kappa / j0 both are lengths: the Wagner length kappa V0 / j0, which
over a length of the part is the Wagner number (IUPAC Gold Book C01456), and the film length kappa R0. The shares down a
bore depend on its shape and on these two alone. With half of the film at the end for R0 they are the means of the run,
within 1 % of a run followed in time.

The section may have any outline, so a passage needs no round bore to stand for it. Its mouth is taken as a round one of
its area, which of all outlines resists the most (G. Polya, G. Szego, Isoperimetric Inequalities, 1951; from memory).

Left out: gas and spent acid in the bore.
"""

import functools
import itertools
import math
from dataclasses import dataclass

from areacalc.errors import BadInput
from areacalc.sources import Constant, Kind, Source


@dataclass(frozen=True, slots=True)
class Stretch:
    """One length of a bore: the section that the bath fills, the skin along it, and the flat skin at its inner end.

    end_mm2 is a shoulder, or the floor of the last one. An insulating rod in the bore takes its own section off
    section_mm2. Raises BadInput for a length or a section that is not above zero.
    """

    length_mm: float
    section_mm2: float
    wall_mm2: float
    end_mm2: float = 0.0

    def __post_init__(self) -> None:
        if not (self.length_mm > 0.0 and self.section_mm2 > 0.0 and self.wall_mm2 >= 0.0 and self.end_mm2 >= 0.0):
            raise BadInput("bore", f"is {self.length_mm:g} mm long and {self.section_mm2:g} mm2 across",
                           "give both above zero")  # fmt: skip

    @property
    def diameter_mm(self) -> float:
        """Of the round section of the same area."""
        return math.sqrt(4.0 * self.section_mm2 / math.pi)


@dataclass(frozen=True, slots=True)
class Bore:
    """A bore from its first mouth inward; a mouth that is shut (blind or plugged) is False.

    side: what openings along its length conduct, for each mm of it, over kappa; 0 where its wall is closed.
    Raises BadInput where no mouth is open or no skin is left.
    """

    stretches: tuple[Stretch, ...]
    first_open: bool = True
    last_open: bool = False
    side: float = 0.0

    def __post_init__(self) -> None:
        if not self.stretches or not (self.first_open or self.last_open) or self.skin_mm2 <= 0.0:
            raise BadInput("bore", "no surface of it meets the bath", "open a mouth, or leave the bore out")

    @property
    def depth_mm(self) -> float:
        return math.fsum(s.length_mm for s in self.stretches)

    @property
    def skin_mm2(self) -> float:
        """All that takes current: walls, shoulders, floor."""
        return math.fsum(s.wall_mm2 + s.end_mm2 for s in self.stretches)


def plain_bore(diameter_mm: float, depth_mm: float, through: bool = False, floor: bool = True) -> Bore:
    """A round bore of one diameter; blind unless it is through, its floor wet unless told.

    >>> bore = plain_bore(8.0, 110.0)
    >>> round(bore.skin_mm2, 1), bore.depth_mm
    (2814.9, 110.0)
    """
    section = 0.25 * math.pi * diameter_mm**2
    end = section if floor and not through else 0.0
    return Bore((Stretch(depth_mm, section, math.pi * diameter_mm * depth_mm, end),), last_open=through)


def slit_conducts(width_mm: float, bore_mm: float, wall_mm: float) -> float:
    """What a slit along a bore conducts, for each mm of its length, over kappa.

    Derived: the slit as a strip of bath, and on either side of it the half-plane up to a bore's radius and a wall
    beyond, each ln(4 distance / width) / pi.

    >>> round(slit_conducts(1.0, 10.0, 5.0), 3)
    0.14
    """
    inside, outside = 0.5 * bore_mm, 0.5 * bore_mm + wall_mm
    spread = sum(max(math.log(4.0 * away / width_mm), 0.0) for away in (inside, outside)) / math.pi
    return 1.0 / (wall_mm / width_mm + spread)


LINE = Source(
    Kind.DERIVED,
    "Ohm's law and charge along the bore with the bath's law of volts at its wall; within 1 % of finite elements for "
    "bores of 3 to 20 mm, of finite volumes for passages and bores with a slit",
)
IN_A_FACE = Constant(
    0.25 * math.pi, "",
    Source(Kind.DERIVED, "a mouth in a wide face spreads like a disk, R = 1/(4 kappa a), Newman, J. Electrochem. Soc. "
           "113 (1966) 501: as much as a bore longer by pi/4 of its radius"),
)  # fmt: skip
AT_A_THIN_END = Constant(
    0.6133, "",
    Source(Kind.FROM_MEMORY, "the end of a thin tube spreads wider: as much as a bore longer by 0.6133 of its radius, "
           "Levine & Schwinger, Phys. Rev. 73 (1948) 383"),
)  # fmt: skip
_NODES_A_DECAY = 24
_FEWEST, _MOST = 12, 1200
_CONVERGED = 1e-11


@dataclass(frozen=True, slots=True)
class BoreLine:
    """The density along a bore as a share of the outside's: at its first open mouth, over all its skin, at the least.

    shares stand at positions_mm from the first mouth, and so does least_at_mm.
    """

    positions_mm: tuple[float, ...]
    shares: tuple[float, ...]
    mouth: float
    mean: float
    least: float
    least_at_mm: float


@functools.lru_cache(maxsize=4096)
def bore_line(
    bore: Bore, wagner_length_mm: float, film_length_mm: float = 0.0, mouth: Constant = IN_A_FACE,
    nodes_a_decay: int = _NODES_A_DECAY,
) -> BoreLine:  # fmt: skip
    """The density along a bore for a Wagner and a film length [mm]; mouth tells how an open end spreads. Derived: LINE.

    Newton's method on nodes, a tridiagonal system a step; the problem is convex, so it comes down to its one solution.
    The error falls with the square of nodes_a_decay, the nodes in the length over which the current falls by e.

    >>> from areacalc.throw.bore_line import plain_bore
    >>> line = bore_line(plain_bore(8.0, 110.0), 2600.0)
    >>> round(line.mouth, 2), round(line.mean, 2), round(line.least, 2), line.least_at_mm
    (0.96, 0.62, 0.49, 110.0)
    """
    at, between, skin = _nodes(bore, wagner_length_mm + film_length_mm, nodes_a_decay)
    first = _spreads(bore.stretches[0].section_mm2, mouth) if bore.first_open else 0.0
    last = _spreads(bore.stretches[-1].section_mm2, mouth) if bore.last_open else 0.0
    reach = [at[0], *(0.5 * (a + b) for a, b in itertools.pairwise(at)), at[-1]]
    sides = [bore.side * (end - begin) for begin, end in itertools.pairwise(reach)]
    sides[0], sides[-1] = sides[0] + first, sides[-1] + last
    shares = _newton(between, skin, sides, (wagner_length_mm, film_length_mm))
    deepest = min(range(len(shares)), key=shares.__getitem__)
    mean = math.fsum(a * s for a, s in zip(skin, shares, strict=True)) / math.fsum(skin)
    outer = shares[0] if bore.first_open else shares[-1]
    return BoreLine(tuple(at), tuple(shares), outer, mean, shares[deepest], at[deepest])


def _spreads(section_mm2: float, mouth: Constant) -> float:
    """What a mouth conducts, over kappa [mm]; 4 a for a mouth in a face."""
    return section_mm2 / (mouth.value * math.sqrt(section_mm2 / math.pi))


def _nodes(bore: Bore, slope_mm: float, nodes_a_decay: int) -> tuple[list[float], list[float], list[float]]:
    """Where the nodes stand [mm], what conducts between them (section over distance) [mm], the skin of each [mm2]."""
    at, between, skin = [0.0], [], [0.0]
    for stretch in bore.stretches:
        decays = math.sqrt(stretch.length_mm * stretch.wall_mm2 / (slope_mm * stretch.section_mm2))
        count = min(max(math.ceil(nodes_a_decay * decays), nodes_a_decay // 2, _FEWEST), _MOST)
        count += count % 2  # so that a node stands in the middle, where a through bore is least
        step, wall = stretch.length_mm / count, stretch.wall_mm2 / count
        begin = at[-1]
        for k in range(count):
            skin[-1] += 0.5 * wall
            at.append(begin + (k + 1) / count * stretch.length_mm)
            between.append(stretch.section_mm2 / step)
            skin.append(0.5 * wall)
        skin[-1] += stretch.end_mm2
    return at, between, skin


def _newton(between: list[float], skin: list[float], sides: list[float], slopes_mm: tuple[float, float]) -> list[float]:
    """The shares at the nodes, where skin x share flows on; sides conduct from the outside, where the drop is 0."""
    wagner, film = slopes_mm
    held = [a + b + c for a, b, c in zip([0.0, *between], [*between, 0.0], sides, strict=True)]
    drop = [0.0] * len(skin)  # -u kappa / j0 [mm]
    shares = [1.0] * len(skin)
    for _ in range(200):
        wrong = [-h * x - a * s for h, x, a, s in zip(held, drop, skin, shares, strict=True)]
        for i, c in enumerate(between):
            wrong[i] += c * drop[i + 1]
            wrong[i + 1] += c * drop[i]
        rising = [h + a * s / (wagner + 2.0 * film * s * s) for h, a, s in zip(held, skin, shares, strict=True)]
        change = _tridiagonal(between, rising, wrong)
        drop = [x + d for x, d in zip(drop, change, strict=True)]
        shares = [_share(x, wagner, film) for x in drop]
        if max(map(abs, change)) < _CONVERGED * (wagner + film):
            break
    return shares


def _share(drop_mm: float, wagner_mm: float, film_mm: float) -> float:
    """The share s that goes with a drop: wagner ln s - film (1 - s^2) = drop; Newton's method, from above."""
    if film_mm == 0.0:
        return math.exp(drop_mm / wagner_mm)
    log = min(0.0, drop_mm / wagner_mm + film_mm / wagner_mm)  # the root lies below both
    for _ in range(100):
        share = math.exp(log)
        film = film_mm * share * share
        step = (wagner_mm * log - film_mm + film - drop_mm) / (wagner_mm + 2.0 * film)
        log -= step
        if abs(step) < _CONVERGED:
            break
    return math.exp(log)


def _tridiagonal(between: list[float], middle: list[float], right: list[float]) -> list[float]:
    """The solution of a symmetric system with `middle` on its diagonal and -`between` beside it."""
    share, out, pivot = [], [right[0] / middle[0]], middle[0]
    for i, c in enumerate(between):
        share.append(c / pivot)
        pivot = middle[i + 1] - c * share[i]
        out.append((right[i + 1] + c * out[i]) / pivot)
    for i in range(len(between) - 1, -1, -1):
        out[i] += share[i] * out[i + 1]
    return out
