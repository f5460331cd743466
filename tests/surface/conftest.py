"""A tube whose skin is known by construction, so that choices can be tested without any finding of features."""

import math

import numpy as np
import pytest

from areacalc.estimate import Estimate, total
from areacalc.shape.body import Body
from areacalc.shape.kinds import Surface, SurfaceKind, UnitBasis, UnitHow
from areacalc.surface.skin import Feature, FeatureKind, Patch, SurfaceMap

OUTER_MM, INNER_MM, LENGTH_MM, SIDES = 10.0, 4.0, 30.0, 64


def _tube() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    angle = np.arange(SIDES) * (2 * np.pi / SIDES)
    ring = np.stack([np.cos(angle), np.sin(angle)], 1)
    points = np.concatenate([
        np.column_stack([r * ring, np.full(SIDES, z)]) for r in (OUTER_MM, INNER_MM) for z in (0.0, LENGTH_MM)
    ])  # fmt: skip
    i, j = np.arange(SIDES), (np.arange(SIDES) + 1) % SIDES
    o0, o1, b0, b1 = (k * SIDES for k in range(4))
    quads = [
        (o0 + i, o0 + j, o1 + j, o1 + i),  # outside wall
        (b0 + j, b0 + i, b1 + i, b1 + j),  # bore wall
        (o0 + j, o0 + i, b0 + i, b0 + j),  # end at z = 0
        (o1 + i, o1 + j, b1 + j, b1 + i),  # end at z = LENGTH
    ]
    triangles, patch = [], []
    for number, (a, b, c, d) in enumerate(quads):
        triangles += [np.stack([a, b, c], 1), np.stack([a, c, d], 1)]
        patch += [np.full(2 * SIDES, number)]
    return points, np.concatenate(triangles).astype(np.int32), np.concatenate(patch).astype(np.int32)


@pytest.fixture(scope="session")
def tube_skin() -> SurfaceMap:
    """Tube 20 mm outside, 8 mm bore, 30 mm long, axis z from 0; true areas, 64 flats."""
    points, triangles, patch_of = _tube()
    body = Body("tube", "tube.stl", points, triangles, UnitBasis("mm", UnitHow.GIVEN), colours=((200, 30, 30),),
                colour_of_triangle=np.where(patch_of == 3, 0, -1).astype(np.int32))  # fmt: skip
    end = math.pi * (OUTER_MM**2 - INNER_MM**2)
    true = [2 * math.pi * OUTER_MM * LENGTH_MM, 2 * math.pi * INNER_MM * LENGTH_MM, end, end]
    kinds = [SurfaceKind.CYLINDER, SurfaceKind.CYLINDER, SurfaceKind.PLANE, SurfaceKind.PLANE]
    radii = [OUTER_MM, INNER_MM, 0.0, 0.0]
    feature_of_patch = [0, 1, 0, 0]
    from areacalc.shape.body import triangle_areas_mm2

    facet = np.bincount(patch_of, weights=triangle_areas_mm2(points, triangles))
    patches = tuple(
        Patch(Surface(kinds[k], radius_mm=radii[k]), Estimate.exact(true[k]), float(facet[k]), feature_of_patch[k])
        for k in range(4)
    )
    features = (
        Feature("outside", FeatureKind.OUTSIDE, total(patches[k].area_mm2 for k in (0, 2, 3))),
        Feature("bore-1", FeatureKind.THROUGH_BORE, patches[1].area_mm2, 2 * INNER_MM, LENGTH_MM, (0.0, 0.0, 1.0),
                ((0.0, 0.0, 0.0), (0.0, 0.0, LENGTH_MM))),
    )  # fmt: skip
    return SurfaceMap(body, patches, features, patch_of, np.array(feature_of_patch, np.int32)[patch_of])
