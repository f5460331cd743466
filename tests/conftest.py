"""Meshes of the geometry library as bodies, the way an STL brings them: three vertices to every triangle."""

import numpy as np
import pytest
from hypothesis import settings

from areacalc.shape.body import Body
from areacalc.shape.kinds import UnitBasis, UnitHow

settings.register_profile("untimed", deadline=None)  # the first call of a loop on a machine compiles it
settings.load_profile("untimed")


@pytest.fixture(scope="session")
def soup():
    """A body of meshes; solids names one for each, as files do that hold several objects."""

    def made(*meshes, solids=()):
        vertices = np.concatenate([mesh.vertices[mesh.faces].reshape(-1, 3) for mesh in meshes])
        counts = [len(mesh.faces) for mesh in meshes]
        solid_of = np.repeat(np.arange(len(meshes), dtype=np.int32), counts) if solids else np.empty(0, np.int32)
        triangles = np.arange(len(vertices), dtype=np.int32).reshape(-1, 3)
        basis = UnitBasis("mm", UnitHow.GIVEN)
        return Body("part", "part.stl", vertices, triangles, basis, solids=tuple(solids), solid_of_triangle=solid_of)

    return made
