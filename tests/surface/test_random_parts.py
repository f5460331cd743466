"""Random solids of the STEP kernel, exported coarse and fine: what the STL shows against the exact faces."""

import numpy as np
import pytest
import random_solids as solids

import areacalc

SORTS = {"turned": solids.turned, "handle": solids.handle, "milled": solids.milled, "slotted": solids.slotted}
FEW, SEEDS = 3, 15


def both(tmp_path, sort, seed):
    """The exact area [mm2], the part from its STL, the part from its STEP file."""
    random = np.random.default_rng([seed, list(SORTS).index(sort)])
    solid = SORTS[sort](random)
    if random.random() < 0.7:
        solid = solids.moved(solid, random)
    exact = solids.exact_area_mm2(solid)
    stl, step = tmp_path / "part.stl", tmp_path / "part.step"
    solids.write_stl(solid, stl, float(random.choice([0.2, 0.05, 0.01])), float(random.choice([0.5, 0.3, 0.1])))
    solids.write_step(solid, step)
    return exact, areacalc.open(stl, unit="mm"), areacalc.open(step)


def check(tmp_path, sort, seed):
    exact, mesh, faces = both(tmp_path, sort, seed)
    assert faces.wetted().value.value == pytest.approx(exact, rel=1e-6)
    found = mesh.wetted().value
    assert found.low <= exact <= found.high
    assert found.value == pytest.approx(exact, rel=1e-4)
    raw = mesh.skin.body.facet_area_mm2
    assert abs(found.value - exact) <= abs(raw - exact) + 5e-5 * exact
    assert [f.name for f in mesh.skin.features] == [f.name for f in faces.skin.features]
    for one, two in zip(mesh.skin.features, faces.skin.features, strict=True):
        assert (one.diameter_mm is None) == (two.diameter_mm is None)
        if one.diameter_mm is not None:
            assert one.diameter_mm == pytest.approx(two.diameter_mm, rel=1e-4)
            assert one.depth_mm == pytest.approx(two.depth_mm, rel=1e-3)
        if one.width_mm is not None:
            sizes = [(f.width_mm, f.length_mm, f.depth_mm) for f in (one, two)]
            assert sizes[0] == pytest.approx(sizes[1], rel=1e-3)
            assert len(one.opens) == len(two.opens)


@pytest.mark.parametrize("seed", range(FEW))
@pytest.mark.parametrize("sort", SORTS)
def test_a_random_part_has_its_area_and_its_bores(tmp_path, sort, seed):
    check(tmp_path, sort, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(FEW, SEEDS))
@pytest.mark.parametrize("sort", SORTS)
def test_many_random_parts_have_their_area_and_their_bores(tmp_path, sort, seed):
    check(tmp_path, sort, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [12, 33, 34, 47, 76, 98])
def test_round_bodies_through_each_other_are_inside_their_bounds(tmp_path, seed):
    """The mesher lays long facets across some of these; they count as the round surface that holds their corners."""
    solid = solids.heap(np.random.default_rng([seed, 5]))
    exact, stl = solids.exact_area_mm2(solid), tmp_path / "heap.stl"
    for chord_mm, angle_rad in ((0.2, 0.5), (0.05, 0.3), (0.01, 0.15)):
        solids.write_stl(solid, stl, chord_mm, angle_rad)
        found = areacalc.open(stl, unit="mm").wetted().value
        assert 0.0 < found.low <= exact <= found.high
        if seed == 76:
            assert found.value == pytest.approx(exact, rel=1e-4)


def heap(seed):
    """A heap that lies any way, and the kernel's adaptive sum of its area."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    random = np.random.default_rng([seed, 5])
    solid, found = solids.moved(solids.heap(random), random), GProp_GProps()
    BRepGProp.SurfaceProperties_s(solid, found, 1e-10, False)
    return solid, found.Mass()


@pytest.mark.slow
def test_the_bounds_hold_a_fit_that_is_not_believed(tmp_path):
    """Eleven facets at the tip of a cone turn little among themselves: its area, and its disc's, are as fitted."""
    solid, exact = heap(33)
    solids.write_stl(solid, tmp_path / "heap.stl", 0.02, 0.2)
    area = areacalc.open(tmp_path / "heap.stl", unit="mm").wetted().value
    assert area.low <= exact <= area.high


def test_the_bounds_hold_an_edge_that_misses_its_face(tmp_path):
    """The kernel's boolean lays an edge of the cone's tip 5 um beside the cone."""
    solid, exact = heap(1002)
    solids.write_step(solid, tmp_path / "heap.step")
    area = areacalc.open(tmp_path / "heap.step").wetted().value
    assert area.low <= exact <= area.high
    assert area.high - area.low < 3e-5 * exact
