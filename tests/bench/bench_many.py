"""Many small files in one table, beside a plain loop over the CAD kernel (STEP) and over a mesh library (STL).

    python tests/bench/bench_many.py [--files 500] [--rounds 1]

Processor seconds of all processes together, start-up included, in one run: blocks and plates of eight bores made here
with the kernel, and the plates as STL. The loops only add up areas; they find neither bores nor bounds. `MB` is the
largest process; it is measured for a tenth of the files too, to see whether memory grows.
"""

import argparse
import ctypes
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

KERNEL = """
import sys
from pathlib import Path
from OCP.STEPControl import STEPControl_Reader
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
for path in sorted(Path(sys.argv[1]).iterdir()):
    r, g = STEPControl_Reader(), GProp_GProps()
    r.ReadFile(str(path)); r.TransferRoots()
    BRepGProp.SurfaceProperties_s(r.OneShape(), g)
    assert g.Mass() > 0
"""
TRIMESH = """
import sys, trimesh
from pathlib import Path
for path in sorted(Path(sys.argv[1]).iterdir()):
    assert trimesh.load_mesh(path).area > 0
"""
LOOPS = (("blocks", "kernel loop", KERNEL), ("plates", "kernel loop", KERNEL), ("meshes", "trimesh loop", TRIMESH))
TOOL = str(Path(sys.executable).with_name("areacalc"))
_SUBREAPER = 36  # PR_SET_CHILD_SUBREAPER: processes whose parent has ended are ours to wait for


@dataclass(frozen=True)
class Cost:
    """What a command took: processor seconds, seconds by the clock, MB of its largest process."""

    processor_s: float
    clock_s: float
    peak_mb: float


def make_parts(folder: Path, count: int) -> None:
    """Blocks and plates with eight bores, no two alike, as STEP; the plates as STL too."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer
    from OCP.StlAPI import StlAPI_Writer

    blocks, plates, meshes = (folder / name for name in ("blocks", "plates", "meshes"))
    for each in (blocks, plates, meshes):
        each.mkdir()
    for number in range(count):
        plate = BRepPrimAPI_MakeBox(60.0 + number / 50, 40.0, 15.0).Shape()
        for hole in range(8):
            place = gp_Pnt(8.0 + hole // 2 * 14.0, 10.0 + hole % 2 * 20.0, -1.0 if hole % 3 else 5.0)
            bore = BRepPrimAPI_MakeCylinder(gp_Ax2(place, gp_Dir(0, 0, 1)), 2.0 + 0.1 * hole, 30.0)
            plate = BRepAlgoAPI_Cut(plate, bore.Shape()).Shape()
        for shape, place in ((BRepPrimAPI_MakeBox(10.0 + number / 50, 20.0, 5.0).Shape(), blocks), (plate, plates)):
            writer = STEPControl_Writer()
            writer.Transfer(shape, STEPControl_AsIs)
            writer.Write(str(place / f"{number:05}.step"))
        BRepMesh_IncrementalMesh(plate, 0.02, False, 0.2, False)
        StlAPI_Writer().Write(plate, str(meshes / f"{number:05}.stl"))


def made_apart(folder: Path, count: int) -> None:
    """make_parts in a process of its own, since a child's peak memory starts from its parent's."""
    subprocess.run([sys.executable, __file__, "--make", str(folder), str(count)], check=True, capture_output=True)


def cost_of(words: list[str]) -> Cost:
    """Run a command to its end, all that it starts counted in."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    done = subprocess.run(words, capture_output=True, text=True)
    clock = time.perf_counter() - start
    if done.returncode:
        raise SystemExit(done.stderr)
    while True:  # what the command left behind and we are given
        try:
            os.waitpid(-1, 0)
        except ChildProcessError:
            break
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Cost(used, clock, after.ru_maxrss / 1024)


def in_own_process(words: list[str]) -> Cost:
    """As cost_of, in a fork, whose peak memory is that of this command alone."""
    read, write = os.pipe()
    if os.fork() == 0:
        ctypes.CDLL(None).prctl(_SUBREAPER, 1, 0, 0, 0)
        cost = cost_of(words)
        os.write(write, f"{cost.processor_s} {cost.clock_s} {cost.peak_mb}".encode())
        os._exit(0)
    os.wait()
    return Cost(*map(float, os.read(read, 200).split()))


def table_of(folder: Path, jobs: int, *more: str) -> list[str]:
    out = folder.parent / "table.csv"
    for each in (out, Path(f"{out}.rows")):
        each.unlink(missing_ok=True)
    return [TOOL, "area", str(folder), "--unit", "mm", "--out", str(out), "--jobs", str(jobs), *more]


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--files", type=int, default=500)
    ask.add_argument("--rounds", type=int, default=1)
    told = ask.parse_args()
    print(f"{told.files} files, median of {told.rounds}")
    print(f"{'':36}{'processor s':>12}{'x loop':>8}{'clock s':>9}{'MB':>6}")
    with tempfile.TemporaryDirectory() as name:
        made_apart(Path(name), told.files)
        for kind, peer, code in LOOPS:
            compare(Path(name) / kind, peer, code, told.files, told.rounds)


def compare(folder: Path, peer: str, code: str, files: int, rounds: int) -> None:
    jobs = {
        peer: lambda: [sys.executable, "-c", code, str(folder)],
        "areacalc, one worker": lambda: table_of(folder, 1),
        "areacalc, two workers": lambda: table_of(folder, 2),
    }
    runs = {name: [in_own_process(words()) for _ in range(rounds)] for name, words in jobs.items()}
    base = statistics.median(cost.processor_s for cost in runs[peer])
    for name, costs in runs.items():
        show(f"{folder.name}: {name}", costs, base)
    for path in sorted(folder.iterdir())[files // 10 :]:
        path.unlink()
    show(f"{folder.name}: a tenth, one worker", [in_own_process(table_of(folder, 1))], base)


def show(name: str, costs: list[Cost], base_s: float) -> None:
    used, clock = (statistics.median(getattr(cost, each) for cost in costs) for each in ("processor_s", "clock_s"))
    peak = max(cost.peak_mb for cost in costs)
    print(f"{name:36}{used:12.1f}{used / base_s:8.2f}{clock:9.1f}{peak:6.0f}", flush=True)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--make"]:
        make_parts(Path(sys.argv[2]), int(sys.argv[3]))
    else:
        main()
