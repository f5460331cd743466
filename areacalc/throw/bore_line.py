"""How the current dies away down a bore: the line from its mouth to its floor, with the bath's own law at the wall.

    d/dx (kappa S du/dx) = -p j,    j = j_outside exp(-u / V0),    u = I R at an open mouth, no flow through a shut end

u [V] is what the bath in the bore takes off the driving volts, S the section, p the skin to a length, I the current
out of a mouth and R its spreading resistance. With w = -u / V0 all but one length drops out: the Wagner length
L = kappa V0 / j_outside, which over a length of the part is the Wagner number (IUPAC Gold Book C01456). So the shares
down a bore depend on its shape and on L alone.

Left out: gas, warming and spent acid in the bore, and the resistance of the film itself.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

from areacalc.sources import Constant, Kind, Source
from areacalc.throw.bore import Bore

LINE = Source(
    Kind.DERIVED,
    "Ohm's law and charge along the bore with the bath's law of volts at its wall; within 1 % of finite elements for "
    "bores of 3 to 20 mm",
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
class Line:
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
    bore: Bore, wagner_length_mm: float, mouth: Constant = IN_A_FACE, nodes_a_decay: int = _NODES_A_DECAY
) -> Line:
    """The density along a bore for a Wagner length [mm]; mouth tells how an open end spreads. Derived, see LINE.

    Newton's method on nodes, a tridiagonal system a step; the problem is convex, so it comes down to its one solution.
    The error falls with the square of nodes_a_decay, the nodes in the length over which the current falls by e.

    >>> from areacalc.throw.bore import plain_bore
    >>> line = bore_line(plain_bore(8.0, 110.0), 2600.0)
    >>> round(line.mouth, 2), round(line.mean, 2), round(line.least, 2), line.least_at_mm
    (0.96, 0.62, 0.49, 110.0)
    """
    at, between, skin = _nodes(bore, wagner_length_mm, nodes_a_decay)
    first = _spreads(bore.stretches[0].section_mm2, mouth) if bore.first_open else 0.0
    last = _spreads(bore.stretches[-1].section_mm2, mouth) if bore.last_open else 0.0
    shares = [math.exp(w) for w in _newton(between, [a / wagner_length_mm for a in skin], first, last)]
    deepest = min(range(len(shares)), key=shares.__getitem__)
    mean = math.fsum(a * s for a, s in zip(skin, shares, strict=True)) / math.fsum(skin)
    outer = shares[0] if bore.first_open else shares[-1]
    return Line(tuple(at), tuple(shares), outer, mean, shares[deepest], at[deepest])


def _spreads(section_mm2: float, mouth: Constant) -> float:
    """What a mouth conducts, over kappa [mm]; 4 a for a mouth in a face."""
    return section_mm2 / (mouth.value * math.sqrt(section_mm2 / math.pi))


def _nodes(bore: Bore, wagner_length_mm: float, nodes_a_decay: int) -> tuple[list[float], list[float], list[float]]:
    """Where the nodes stand [mm], what conducts between them (section over distance) [mm], the skin of each [mm2]."""
    at, between, skin = [0.0], [], [0.0]
    for stretch in bore.stretches:
        decays = math.sqrt(stretch.length_mm * stretch.wall_mm2 / (wagner_length_mm * stretch.section_mm2))
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


def _newton(between: list[float], pull: list[float], first: float, last: float) -> list[float]:
    """w at the nodes, where the flow into each is pull x exp(w); first and last conduct from w = 0 outside."""
    held = [a + b for a, b in zip([first, *between], [*between, last], strict=True)]
    w = [0.0] * len(pull)
    for _ in range(200):
        taken = [p * math.exp(x) for p, x in zip(pull, w, strict=True)]
        wrong = [-h * x - t for h, x, t in zip(held, w, taken, strict=True)]
        for i, c in enumerate(between):
            wrong[i] += c * w[i + 1]
            wrong[i + 1] += c * w[i]
        change = _tridiagonal(between, [h + t for h, t in zip(held, taken, strict=True)], wrong)
        w = [x + d for x, d in zip(w, change, strict=True)]
        if max(map(abs, change)) < _CONVERGED:
            break
    return w


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
