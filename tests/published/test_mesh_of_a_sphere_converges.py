"""Flat facets reach the closed form of a sphere, 4 pi r2, from below and at second order.

Closed form: Archimedes, On the Sphere and Cylinder; any table of solids.
"""

import math

import numpy as np
import pytest
import trimesh

from areacalc.shape.read import read_body

RADIUS_MM = 10.0


def test_a_finer_mesh_comes_nearer_from_below_at_second_order(tmp_path):
    counts, short = np.array([16, 32, 64, 128]), []
    for count in counts:
        path = tmp_path / f"ball-{count}.off"
        trimesh.creation.uv_sphere(RADIUS_MM, count=(count, 2 * count)).export(path, digits=15)
        short.append(4 * math.pi * RADIUS_MM**2 - read_body(path).facet_area_mm2)
    assert min(short) > 0.0
    assert -np.polyfit(np.log(counts), np.log(short), 1)[0] == pytest.approx(2.0, abs=0.05)
