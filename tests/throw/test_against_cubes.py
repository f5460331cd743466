"""The line of a passage, and of one slit along its side, against the whole field in and about it: cubes of bath.

Finite volumes of their own: each cube passes on what comes in, metal takes exp(w) of the outside's density (w = -u /
V0), the border of the bath is held.
"""

import math
from collections.abc import Callable

import numpy as np
import pytest
import scipy.sparse as sp
from scipy.sparse.linalg import cg
from tank_solve import numbered

from areacalc.sources import Constant
from areacalc.throw.bore_line import AT_A_THIN_END, IN_A_FACE, Bore, Stretch, bore_line, slit_conducts

WAGNER_MM = 600.0  # strong: what the line leaves out shows
Middles = tuple[np.ndarray, ...]


def field(metal: np.ndarray, side_mm: float, held: np.ndarray, inner: np.ndarray) -> np.ndarray:
    """The share that each metal face of an inner cube takes of the mean of the others; held cubes are the border."""
    number, one, two, faces = numbered(metal)
    face = np.bincount(faces, minlength=number.max() + 1) * side_mm / WAGNER_MM
    count = len(face)
    rows, columns = np.r_[one, two], np.r_[two, one]
    fixed, mine = held[~metal], inner[~metal]
    degree = np.bincount(rows, minlength=count)
    w = np.zeros(count)
    for _ in range(12):
        share = np.exp(w)
        wrong = np.bincount(rows, w[columns] - w[rows], count) - face * share
        diagonal = np.where(fixed, 1e9, degree + face * share)
        system = sp.csr_matrix(
            (np.r_[-np.ones(len(rows)), diagonal], (np.r_[rows, np.arange(count)], np.r_[columns, np.arange(count)])),
            shape=(count, count),
        )
        step, trouble = cg(system, np.where(fixed, 0.0, wrong), M=sp.diags(1.0 / diagonal), rtol=1e-6)
        assert trouble == 0
        w += step
        if np.abs(step).max() < 1e-5:
            break
    outside = (face * np.exp(w))[~mine].sum() / face[~mine].sum()
    found = np.zeros(metal.shape)
    found[~metal] = np.exp(w) / outside
    weight = np.zeros(metal.shape)
    weight[~metal] = face
    return np.stack([found, weight])


def mean_share(
    metal: Callable[..., np.ndarray], inner: Callable[..., np.ndarray], size_mm: Middles, side_mm: float
) -> float:
    """The mean over the inner skin; two planes of symmetry at y = 0 and z = 0, the border held elsewhere."""
    x, y, z = np.meshgrid(*size_mm, indexing="ij", sparse=True)
    solid, mine = metal(x, y, z), inner(x, y, z)
    held = np.zeros(solid.shape, bool)
    held[0], held[-1], held[:, -1], held[:, :, -1] = True, True, True, True
    share, weight = field(solid, side_mm, held & ~solid, mine & ~solid)
    return float((share * weight)[mine].sum() / weight[mine].sum())


def block_with_passage(wide: float, high: float, long: float, wall: float, slit: float, side: float) -> float:
    """A passage wide (x) by high (y) through a block `wall` thicker all round, slit toward x+."""
    far = 14.0
    reach_x, reach_y = 0.5 * wide + wall, 0.5 * high + wall
    spans = (-reach_x - far, reach_x + far), (0.0, reach_y + far), (0.0, 0.5 * long + far)
    middles = tuple(np.arange(a + 0.5 * side, b, side) for a, b in spans)

    def metal(x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        block = (abs(x) < reach_x) & (y < reach_y) & (z < 0.5 * long)
        return block & ~((abs(x) < 0.5 * wide) & (y < 0.5 * high)) & ~((x > 0) & (y < 0.5 * slit))

    def inner(x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        return (abs(x) < 0.5 * wide) & (y < 0.5 * high) & (z < 0.5 * long)

    return mean_share(metal, inner, middles, side)


def line_of(
    wide: float, high: float, long: float, slit: float, wall: float, mouth: Constant, side: bool = True
) -> float:
    leak = slit_conducts(slit, 2.0 * math.sqrt(wide * high / math.pi), wall) if slit and side else 0.0
    stretch = Stretch(long, wide * high, (2.0 * (wide + high) - slit) * long)
    return bore_line(Bore((stretch,), last_open=True, side=leak), WAGNER_MM, mouth=mouth).mean


@pytest.mark.slow
@pytest.mark.parametrize(("wide", "high"), [(4.0, 4.0), (8.0, 2.0)])
def test_a_passage_is_a_line_of_its_own_section_and_skin(wide, high):
    solved = block_with_passage(wide, high, 40.0, 3.0, 0.0, 0.5)
    low, top = (line_of(wide, high, 40.0, 0.0, 3.0, mouth) for mouth in (IN_A_FACE, AT_A_THIN_END))
    assert 0.5 < solved < 0.95
    assert low * 0.98 <= solved <= top * 1.02


@pytest.mark.slow
@pytest.mark.parametrize("slit", [1.0, 2.0])
def test_a_slit_along_the_side_lets_in_what_its_conductance_says(slit):
    solved = block_with_passage(4.0, 4.0, 40.0, 3.0, slit, 0.5)
    closed, slitted = (line_of(4.0, 4.0, 40.0, slit, 3.0, IN_A_FACE, side) for side in (False, True))
    assert closed < solved < 1.0
    assert slitted == pytest.approx(solved, rel=0.02)
