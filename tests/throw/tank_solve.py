"""The current in a tank by finite volumes of its own: boxes between two walls of cathodes, Ohm's law in the acid.

Cubes of acid, each with as much coming in as going out. A part's wall takes V0 / density more for each share that its
density is above the mean (the law's slope); a cathode takes nothing of its own; all else is closed.
"""

from dataclasses import dataclass

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import cg

Box = tuple[float, float, float, float, float, float]


@dataclass(frozen=True)
class Tank:
    """Sizes [mm]: length along the row, width between the cathode walls, depth; the cubes' side divides them all.

    parts: x0, x1, y0, y1, z0, z1 each. strips: x0, x1 along both walls, from the top down to `immersed_mm`.
    """

    size_mm: tuple[float, float, float]
    parts: tuple[Box, ...]
    strips: tuple[tuple[float, float], ...]
    immersed_mm: float
    cube_mm: float = 5.0


def numbered(metal: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """The number of each cube of bath, -1 in metal; both ends of each link of two; the cube at each metal face."""
    number: np.ndarray = np.full(metal.shape, -1)
    number[~metal] = np.arange((~metal).sum())
    links: list[np.ndarray] = []
    faces: list[np.ndarray] = []
    for axis in range(3):
        turned = np.moveaxis(number, axis, 0)
        one, two = turned[:-1], turned[1:]
        both = (one >= 0) & (two >= 0)
        links.append(np.stack([one[both], two[both]]))
        faces += [one[(one >= 0) & (two < 0)], two[(two >= 0) & (one < 0)]]
    one, two = np.hstack(links)
    return number, one, two, np.concatenate(faces)


def density_over_mean(tank: Tank, kappa_s_per_m: float, slope_ohm_m2: float) -> np.ndarray:
    """The density on each outer face of a part's cubes, over the mean of all."""
    middles = [(np.arange(round(size / tank.cube_mm)) + 0.5) * tank.cube_mm for size in tank.size_mm]
    metal = np.zeros([len(each) for each in middles], bool)
    for x0, x1, y0, y1, z0, z1 in tank.parts:
        ends = zip(middles, ((x0, x1), (y0, y1), (z0, z1)), strict=True)
        metal[np.ix_(*((at > low) & (at < high) for at, (low, high) in ends))] = True
    number, one, two, face = numbered(metal)
    count, side_m = int((~metal).sum()), 1e-3 * tank.cube_mm
    through, half = kappa_s_per_m * side_m, 2.0 * kappa_s_per_m * side_m
    wall = side_m**2 / (side_m**2 / half + slope_ohm_m2)
    diagonal = through * (np.bincount(one, minlength=count) + np.bincount(two, minlength=count))
    diagonal += wall * np.bincount(face, minlength=count)
    for row in (0, metal.shape[1] - 1):
        for low, high in tank.strips:
            at = number[
                np.ix_((middles[0] > low) & (middles[0] < high), np.array([row]), middles[2] < tank.immersed_mm)
            ]
            diagonal[at[at >= 0]] += half
    rows, columns = np.r_[one, two, np.arange(count)], np.r_[two, one, np.arange(count)]
    system = sp.csr_matrix((np.r_[np.full(2 * len(one), -through), diagonal], (rows, columns)), shape=(count, count))
    potential, trouble = cg(system, wall * np.bincount(face, minlength=count), M=sp.diags(1.0 / diagonal), rtol=1e-7)
    assert trouble == 0
    taken = 1.0 - potential[face]
    return taken / taken.mean()
