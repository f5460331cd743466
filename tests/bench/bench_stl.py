"""A million-triangle binary STL, loaded and added up: areacalc beside plain numpy and general-purpose readers.

    python tests/bench/bench_stl.py [--triangles 1000000] [--rounds 5]

Every figure is a fresh process, imports included; the rounds go in turn, so that a slow spell hits all alike. Peers
that are not installed are left out (`pip install -e '.[peers]'`).
"""

import argparse
import importlib.util
import multiprocessing
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

NUMPY = """
import numpy as np
t = np.fromfile(path, np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("x", "<u2")]), offset=84)["v"].astype(float)
print(0.5 * np.linalg.norm(np.cross(t[:, 1] - t[:, 0], t[:, 2] - t[:, 0]), axis=1).sum())
"""
BODY = "from areacalc.shape.read import read_body\nprint(read_body(path).facet_area_mm2)"
NUMPY_STL = "from stl import Mesh\nm = Mesh.from_file(path)\nprint(m.areas.sum())"
TRIMESH = "import trimesh\nprint(trimesh.load_mesh(path, process=False).area)"
MESHIO = """
import meshio, numpy as np
m = meshio.read(path, "stl")
t = m.points[m.cells[0].data].astype(float)
print(0.5 * np.linalg.norm(np.cross(t[:, 1] - t[:, 0], t[:, 2] - t[:, 0]), axis=1).sum())
"""
VTK = """
from vtkmodules.vtkFiltersCore import vtkMassProperties
from vtkmodules.vtkIOGeometry import vtkSTLReader
r, m = vtkSTLReader(), vtkMassProperties()
r.SetFileName(path); m.SetInputConnection(r.GetOutputPort()); m.Update()
print(m.GetSurfaceArea())
"""
CONTENDERS = {
    "numpy fromfile + cross": ("numpy", NUMPY),
    "areacalc": ("areacalc", BODY),
    "numpy-stl": ("stl", NUMPY_STL),
    "trimesh": ("trimesh", TRIMESH),
    "meshio": ("meshio", MESHIO),
    "VTK": ("vtkmodules", VTK),
}


def write_stl(path: Path, count: int) -> None:
    """A wavy torus of about `count` triangles."""
    import numpy as np

    across = round((count / 8) ** 0.5)
    around = count // (2 * across)
    u, v = np.meshgrid(
        np.arange(around + 1) * 2 * np.pi / around, np.arange(across + 1) * 2 * np.pi / across, indexing="ij"
    )
    r = 30 + (8 + 0.3 * np.cos(9 * u)) * np.cos(v)
    p = np.stack([r * np.cos(u), r * np.sin(u), (8 + 0.3 * np.cos(9 * u)) * np.sin(v)], axis=2)
    a, b, c, d = p[:-1, :-1], p[1:, :-1], p[1:, 1:], p[:-1, 1:]
    corners = np.concatenate(
        [np.stack([a, b, c], axis=2).reshape(-1, 3, 3), np.stack([a, c, d], axis=2).reshape(-1, 3, 3)]
    )
    rows = np.zeros(len(corners), np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("x", "<u2")]))
    rows["v"] = corners
    path.write_bytes(b"wavy ring".ljust(80) + np.uint32(len(rows)).tobytes() + rows.tobytes())


def one_run(path: Path, code: str) -> tuple[float, float, float]:
    """Seconds, peak memory [MB] and the area printed, of one fresh process."""
    start = time.perf_counter()
    child = subprocess.Popen([sys.executable, "-c", f"path = {str(path)!r}\n{code}"], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    area = float(child.stdout.read())
    _, status, usage = os.wait4(child.pid, 0)
    seconds = time.perf_counter() - start
    if status:
        raise SystemExit(f"failed: {code}")
    return seconds, usage.ru_maxrss / 1024, area


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--triangles", type=int, default=1_000_000)
    ask.add_argument("--rounds", type=int, default=5)
    told = ask.parse_args()
    runners = {name: code for name, (module, code) in CONTENDERS.items() if importlib.util.find_spec(module)}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ring.stl"
        writer = multiprocessing.get_context("spawn").Process(target=write_stl, args=(path, told.triangles))
        writer.start()  # apart, since a child's peak memory starts from its parent's
        writer.join()
        size_mb = path.stat().st_size / 2**20
        runs: dict[str, list[tuple[float, float, float]]] = {name: [] for name in runners}
        for _ in range(told.rounds):
            for name, code in runners.items():
                runs[name].append(one_run(path, code))
    base = statistics.median(run[0] for run in runs["numpy fromfile + cross"])
    truth = runs["numpy fromfile + cross"][0][2]
    print(f"{size_mb:.1f} MB of STL, median of {told.rounds} (least to most), whole process")
    print(f"{'':24}{'seconds':>9}{'least':>7}{'most':>7}{'x numpy':>9}{'peak MB':>9}{'x file':>8}{'area off':>10}")
    for name, each in runs.items():
        seconds = sorted(run[0] for run in each)
        middle, peak = statistics.median(seconds), max(run[1] for run in each)
        off = abs(each[0][2] / truth - 1)
        row = f"{name:24}{middle:9.2f}{seconds[0]:7.2f}{seconds[-1]:7.2f}{middle / base:9.2f}"
        print(f"{row}{peak:9.0f}{peak / size_mb:8.1f}{off:10.0e}")


if __name__ == "__main__":
    main()
