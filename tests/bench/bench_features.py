"""Features, true areas and table of large meshes: `areacalc area` as a whole process, beside a general mesh library.

    python tests/bench/bench_features.py [--triangles 100000 1000000] [--rounds 3] [--parts turned] [--keep FOLDER]

Each part is made here: a turned knob, a plate with 320 bores, a block with holes that cross, a sculpted body, the same
as a scanner gives it (with noise), and an assembly of all of these. The peer, in the same run and on the same file, is
trimesh's split into bodies and its facets, which finds neither surfaces nor bores. --keep keeps the files.
"""

import argparse
import multiprocessing
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import manifold3d as m3
import numpy as np
from numpy.typing import NDArray

Corners = NDArray[np.float64]
KNOB = "0 18 r1, 6 18, 6 14 r0.6, 22 14, 26 8 arc r6; bore left 5 x 15 chamfer 0.6"
PEER = """
import trimesh
m = trimesh.load_mesh(path)
print(len(m.split(only_watertight=False)), len(m.facets))
"""


def turned(count: int) -> Corners:
    """A knob with roundings and a bored hole, its flats as a CAD program draws them."""
    from areacalc.shape.profile.revolve import revolve
    from areacalc.shape.profile.turn import profile_of

    chord_mm = 0.01
    for _ in range(4):
        body = revolve(profile_of(KNOB), chord_mm)
        chord_mm *= len(body.triangles) / count
    return np.asarray(body.vertices[body.triangles])


def plate(count: int) -> Corners:
    """320 counterbored, blind and plain holes in a plate."""
    sides = max(12, round(count / (320 * 6.7)))
    solid = m3.Manifold.cube((200.0, 160.0, 12.0))
    holes = []
    for k in range(320):
        x, y = 5.0 + 10.0 * (k % 20), 5.0 + 10.0 * (k // 20)
        floor = (-1.0, -1.0, 4.0)[k % 3]
        holes.append(m3.Manifold.cylinder(14.0, 1.5 + 0.1 * (k % 7), circular_segments=sides).translate((x, y, floor)))
        if k % 3 == 1:
            holes.append(m3.Manifold.cylinder(9.0, 3.5, circular_segments=sides).translate((x, y, 8.0)))
    return _corners(solid - m3.Manifold.batch_boolean(holes, m3.OpType.Add))


def crossed(count: int) -> Corners:
    """A bored bar with holes across it, cut into small triangles all over."""
    bar = m3.Manifold.cylinder(80.0, 12.0, circular_segments=192)
    bar -= m3.Manifold.cylinder(90.0, 5.0, circular_segments=128).translate((0, 0, -1))
    across = m3.Manifold.cylinder(40.0, 2.0, circular_segments=64, center=True).rotate((90, 0, 0))
    holes = [across.rotate((0, 0, 40.0 * k)).translate((0, 0, 8.0 * k + 4.0)) for k in range(10)]
    solid = bar - m3.Manifold.batch_boolean(holes, m3.OpType.Add)
    length = 2.0
    while len(fine := _corners(solid.refine_to_length(length))) < 0.9 * count:
        length *= max(0.5, min(0.97, (len(fine) / count) ** 0.5))
    return fine


def sculpted(count: int, noise_mm: float = 0.0) -> Corners:
    """A pebble with shallow hollows, no part of which lies on any surface of revolution."""
    rows = round((count / 4) ** 0.5)
    u, v = np.meshgrid(np.linspace(0, np.pi, rows + 1), np.arange(2 * rows) * np.pi / rows, indexing="ij")
    r = 30.0 * (1 + 0.12 * np.sin(3 * u) * np.cos(2 * v) + 0.05 * np.sin(5 * u + 0.3) * np.sin(3 * v) * np.sin(u))
    p = np.stack([r * np.sin(u) * np.cos(v), 1.3 * r * np.sin(u) * np.sin(v), 0.8 * r * np.cos(u)], axis=2)
    p += noise_mm * np.random.default_rng(7).standard_normal(p.shape)
    p[0], p[-1] = p[0].mean(axis=0), p[-1].mean(axis=0)
    q = np.roll(p, -1, axis=1)
    one = np.stack([p[:-1], p[1:], q[1:]], axis=2).reshape(-1, 3, 3)
    two = np.stack([p[:-1], q[1:], q[:-1]], axis=2).reshape(-1, 3, 3)
    return np.concatenate([one[2 * rows :], one[: 2 * rows], two[2 * rows :]])[: -2 * rows or None]


def scanned(count: int) -> Corners:
    return sculpted(count, 0.01)


def assembly(count: int) -> Corners:
    """A knob, a plate of bores and a pebble, side by side."""
    return np.concatenate([
        turned(count // 3),
        plate(count // 3) + np.array([60.0, 0, 0]),
        sculpted(count // 3) + np.array([-80.0, 0, 0]),
    ])  # fmt: skip


PARTS: dict[str, Callable[[int], Corners]] = {
    "turned": turned, "plate": plate, "crossed": crossed, "sculpted": sculpted, "scanned": scanned,
    "assembly": assembly,
}  # fmt: skip


def _corners(solid: m3.Manifold) -> Corners:
    mesh = solid.to_mesh64()
    return np.asarray(np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts)])


def write_stl(path: Path, name: str, count: int) -> None:
    corners = PARTS[name](count)
    rows = np.zeros(len(corners), np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("x", "<u2")]))
    rows["v"] = corners
    path.write_bytes(name.encode().ljust(80) + np.uint32(len(rows)).tobytes() + rows.tobytes())


def one_run(job: list[str]) -> tuple[float, float]:
    """Seconds and peak memory [MB] of one fresh process."""
    start = time.perf_counter()
    child = subprocess.Popen(job, stdout=subprocess.DEVNULL)
    _, status, usage = os.wait4(child.pid, 0)
    if status:
        raise SystemExit(f"failed: {' '.join(job)}")
    return time.perf_counter() - start, usage.ru_maxrss / 1024


def measure(path: Path, name: str, count: int, rounds: int, peer: bool) -> None:
    if not path.is_file():
        writer = multiprocessing.get_context("spawn").Process(target=write_stl, args=(path, name, count))
        writer.start()  # apart, since a child's peak memory starts from its parent's
        writer.join()
    jobs = {"areacalc": [str(Path(sys.executable).with_name("areacalc")), "area", str(path), "--unit", "mm"]}
    if peer:
        jobs["trimesh"] = [sys.executable, "-c", f"path = {str(path)!r}\n{PEER}"]
    runs: dict[str, list[tuple[float, float]]] = {who: [] for who in jobs}
    for _ in range(rounds):
        for who, job in jobs.items():
            runs[who].append(one_run(job))
    triangles = (path.stat().st_size - 84) // 50
    own = [statistics.median(each[k] for each in runs["areacalc"]) for k in (0, 1)]
    least, most = (f(each[0] for each in runs["areacalc"]) for f in (min, max))
    row = f"{name:10}{triangles:10}{own[0]:9.2f}{least:7.2f}{most:7.2f}{own[1]:9.0f}"
    if peer:
        other = [statistics.median(each[k] for each in runs["trimesh"]) for k in (0, 1)]
        row += f"{other[0]:10.2f}{other[1]:9.0f}{own[0] / other[0]:9.2f}"
    print(row, flush=True)


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--triangles", type=int, nargs="+", default=[100_000, 1_000_000])
    ask.add_argument("--rounds", type=int, default=3)
    ask.add_argument("--parts", nargs="+", choices=PARTS, default=list(PARTS))
    ask.add_argument("--keep", type=Path)
    ask.add_argument("--no-peer", action="store_true")
    told = ask.parse_args()
    print(f"median of {told.rounds}, whole process")
    head = f"{'part':10}{'triangles':>10}{'seconds':>9}{'least':>7}{'most':>7}{'peak MB':>9}"
    print(head + ("" if told.no_peer else f"{'trimesh s':>10}{'peak MB':>9}{'ratio':>9}"))
    with tempfile.TemporaryDirectory() as temporary:
        folder = told.keep or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        for count in told.triangles:
            for name in told.parts:
                measure(folder / f"{name}-{count}.stl", name, count, told.rounds, not told.no_peer)


if __name__ == "__main__":
    main()
