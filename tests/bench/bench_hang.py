"""Trapped air on a plate of blind bores: the first direction, each further one, and 200 directions of a smaller plate.

    python tests/bench/bench_hang.py [--triangles 1000000] [--small 100000]

The peer, in the same run, is the plain way with the geometry library's booleans: the metal above a level taken from a
half space, once for a single known level. Compiled loops are warmed up on a small plate first.
"""

import argparse
import time

import manifold3d as m3
import numpy as np

from areacalc.shape.body import Body
from areacalc.shape.kinds import UnitBasis, UnitHow
from areacalc.surface.air.bath_skin import bath_skin
from areacalc.surface.air.best_hanging import best_hanging, directions
from areacalc.surface.air.narrow import wide_ways
from areacalc.surface.air.trapped_air import trapped_air


def plate(triangles: int) -> m3.Manifold:
    """A plate with 36 blind bores from below, cut fine."""
    solid = m3.Manifold.cube((120.0, 120.0, 30.0))
    bores = [m3.Manifold.cylinder(20.0 + k % 7, 6.0 + k % 3, 6.0 + k % 3, 96).translate((10.0 + 20.0 * (k % 6),
             10.0 + 20.0 * (k // 6), -1.0)) for k in range(36)]  # fmt: skip
    solid -= m3.Manifold.batch_boolean(bores, m3.OpType.Add)
    length = 3.0
    fine = solid.refine_to_length(length)
    while fine.num_tri() < 0.9 * triangles:
        length *= max(0.5, min(0.95, (fine.num_tri() / triangles) ** 0.5))
        fine = solid.refine_to_length(length)
    return fine


def as_body(solid: m3.Manifold) -> Body:
    mesh = solid.to_mesh64()
    points = np.ascontiguousarray(np.asarray(mesh.vert_properties)[:, :3])
    return Body("plate", "plate.stl", points, np.asarray(mesh.tri_verts, np.int32), UnitBasis("mm", UnitHow.GIVEN))


def clock(what: str, work: object) -> float:
    start, busy = time.perf_counter(), time.process_time()
    assert callable(work)
    work()
    seconds = time.perf_counter() - start
    print(f"{what:58}{seconds:8.2f} s, {time.process_time() - busy:8.2f} s of processor")
    return seconds


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--triangles", type=int, default=1_000_000)
    ask.add_argument("--small", type=int, default=100_000)
    told = ask.parse_args()
    warm = bath_skin(as_body(plate(3000)))
    _ = warm.tree
    trapped_air(warm, (0.1, 0.2, 1.0), wide=wide_ways(warm, 0.2))
    solid = plate(told.triangles)
    body = as_body(solid)
    print(f"{len(body.triangles)} triangles")
    clock("weld and connect (shared with finding features)", lambda: body.topology)
    first = clock("first direction, closed skin included", lambda: trapped_air(bath_skin(body), (0.0, 0.0, 1.0)))
    skin = bath_skin(body)
    further = [clock(f"further direction {k}", lambda k=k: trapped_air(skin, (0.3 * k, 0.1, 1.0))) for k in range(1, 5)]
    clock("ways wider than 0.2 mm, once a part", lambda: wide_ways(skin, 0.2))
    peer = clock("peer: one boolean with a half space", lambda: solid.trim_by_plane((0.0, 0.0, 1.0), 10.0).volume())
    print(f"a further direction takes {np.median(further) / peer:.2f} of one boolean")
    small = as_body(plate(told.small))
    few = bath_skin(small)
    print(f"{len(small.triangles)} triangles, first direction {first:.2f} s above")
    clock("200 directions, air and liquid", lambda: [trapped_air(few, up) for up in directions(200)])
    clock("hang: 200 over the sphere, the plain ways, the best leaned", lambda: best_hanging(few, sphere=200))


if __name__ == "__main__":
    main()
