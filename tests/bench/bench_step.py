"""STEP: exact areas and time of areacalc beside the kernel's own plain answer, and a mesh converter where installed.

    python tests/bench/bench_step.py [--rounds 5]

Every figure is a fresh process, imports included; the rounds go in turn. The parts are made here with the kernel, and
their true areas are closed forms. cascadio, a smaller converter weighed against the kernel, is no dependency.
"""

import argparse
import importlib.util
import math
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

AREACALC = "from areacalc.shape.read import read_body\nprint(sum(f.area_mm2 for f in read_body(path).faces))"
PLAIN = """
from OCP.STEPControl import STEPControl_Reader
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
r, g = STEPControl_Reader(), GProp_GProps()
r.ReadFile(path); r.TransferRoots()
BRepGProp.SurfaceProperties_s(r.OneShape(), g)
print(g.Mass())
"""
MESH = """
import cascadio, io, trimesh
g = cascadio.load(open(path, "rb").read(), tol_linear=0.01, tol_angular=0.15)
print(trimesh.load_scene(io.BytesIO(g), file_type="glb").area * 1e6)
"""
CONTENDERS = {"areacalc": ("areacalc", AREACALC), "kernel, plain": ("OCP", PLAIN), "cascadio mesh": ("cascadio", MESH)}


def make_parts(folder: Path) -> dict[str, float]:
    """Write the parts; their true areas [mm2]."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepBuilderAPI import BRepBuilderAPI_GTransform
    from OCP.BRepPrimAPI import (
        BRepPrimAPI_MakeBox,
        BRepPrimAPI_MakeCone,
        BRepPrimAPI_MakeCylinder,
        BRepPrimAPI_MakeSphere,
        BRepPrimAPI_MakeTorus,
    )
    from OCP.gp import gp_GTrsf
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer
    from scipy.special import ellipeinc, ellipkinc

    a, b, c = 20.0, 15.0, 10.0
    stretch = gp_GTrsf()
    for row, size in enumerate((a, b, c), 1):
        stretch.SetValue(row, row, size)
    phi, k2 = math.acos(c / a), a * a * (b * b - c * c) / (b * b * (a * a - c * c))
    round_part = ellipeinc(phi, k2) * math.sin(phi) ** 2 + ellipkinc(phi, k2) * math.cos(phi) ** 2
    tube = BRepAlgoAPI_Cut(BRepPrimAPI_MakeCylinder(20.0, 50.0).Shape(), BRepPrimAPI_MakeCylinder(8.0, 50.0).Shape())
    ball = BRepPrimAPI_MakeSphere(1.0).Shape()
    made = {
        "box": (BRepPrimAPI_MakeBox(10.0, 20.0, 30.0).Shape(), 2200.0),
        "tube": (tube.Shape(), 2 * math.pi * 28 * 50 + 2 * math.pi * (400 - 64)),
        "frustum": (
            BRepPrimAPI_MakeCone(15.0, 8.0, 20.0).Shape(),
            math.pi * (23 * math.hypot(7, 20) + 225 + 64),
        ),
        "sphere": (BRepPrimAPI_MakeSphere(12.0).Shape(), 4 * math.pi * 144),
        "torus": (BRepPrimAPI_MakeTorus(25.0, 6.0).Shape(), 4 * math.pi**2 * 150),
        "ellipsoid": (
            BRepBuilderAPI_GTransform(ball, stretch, True).Shape(),
            2 * math.pi * (c * c + a * b / math.sin(phi) * round_part),
        ),
    }
    for name, (shape, _) in made.items():
        writer = STEPControl_Writer()
        writer.Transfer(shape, STEPControl_AsIs)
        writer.Write(str(folder / f"{name}.step"))
    return {name: area for name, (_, area) in made.items()}


def one_run(path: Path, code: str) -> tuple[float, float]:
    """Seconds, and the area printed last, of one fresh process."""
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", f"path = {str(path)!r}\n{code}"], check=True, capture_output=True, text=True
    )
    return time.perf_counter() - start, float(done.stdout.split()[-1])


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--rounds", type=int, default=5)
    rounds = ask.parse_args().rounds
    runners = {name: code for name, (module, code) in CONTENDERS.items() if importlib.util.find_spec(module)}
    with tempfile.TemporaryDirectory() as folder:
        true = make_parts(Path(folder))
        lines = [f"{'':12}" + "".join(f"{name:>26}" for name in runners)]
        for part, area in true.items():
            runs: dict[str, list[tuple[float, float]]] = {name: [] for name in runners}
            for _ in range(rounds):
                for name, code in runners.items():
                    runs[name].append(one_run(Path(folder) / f"{part}.step", code))
            cells = [
                f"{statistics.median(r[0] for r in each):14.2f} s {each[0][1] / area - 1:+9.0e}"
                for each in runs.values()
            ]
            lines.append(f"{part:12}" + "".join(cells))
    print(f"median of {rounds}, whole process, and the area's relative error", *lines, sep="\n")


if __name__ == "__main__":
    main()
