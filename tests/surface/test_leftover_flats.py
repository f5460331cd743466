"""What no round surface takes of a region of flats: planes, and free-form skin."""

import numpy as np
import pytest

from areacalc.shape.kinds import SurfaceKind
from areacalc.surface.features.flats import FlatRegion
from areacalc.surface.features.region_fit import surfaces_of

FAR = 7


def region(height_mm):
    """A flat of two triangles, a crumb beside it whose third corner lies this high, and flats far from both."""
    near = [(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0.5, -1e-5, height_mm)]
    points = np.array(
        near + [(10 * k + x, y, 0) for k in range(1, FAR + 1) for x, y in ((0, 0), (1, 0), (0, 2))], float
    )
    corners = [(0, 1, 2), (0, 2, 3), (1, 0, 4), *(tuple(range(5 + 3 * k, 8 + 3 * k)) for k in range(FAR))]
    flats = FAR + 2
    normal, area = np.tile((0.0, 0.0, 1.0), (flats, 1)), np.ones(flats)
    normal[1], area[1] = (0.0, 0.6, 0.8), 5e-6
    return FlatRegion(
        np.arange(len(corners)), np.array([0, *range(2, len(corners))]), np.array(corners, np.int32), points,
        np.zeros(len(points), bool), normal, area, np.zeros((flats, 3)), np.zeros((flats, 3)), np.array([(0, 1)]),
        np.array([0.6]), 1e-5,
    )  # fmt: skip


@pytest.mark.parametrize(("height_mm", "kind"), [(5e-6, None), (1e-3, SurfaceKind.FREE_FORM)])
def test_a_crumb_in_the_plane_of_a_flat_leaves_it_a_plane(height_mm, kind):
    found = {tuple(rows.tolist()): surface for rows, surface in surfaces_of(region(height_mm))}
    assert len(found) == FAR + 1
    surface = found[0, 1, 2]
    assert (surface and surface.kind) == kind
