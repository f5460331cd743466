"""One sphere of 80,000 triangles read from each mesh format, beside a general mesh library on the same file.

python tests/bench/bench_formats.py [--rounds 3]
"""

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

TRIANGLES = 81_920
OWN = """
from pathlib import Path
from areacalc.shape.read import read_body
assert read_body(Path(path)).facet_area_mm2 > 0
"""
TRIMESH = "import trimesh\nassert trimesh.load_mesh(path).area > 0"


def write_balls(folder: Path) -> None:
    import trimesh

    ball = trimesh.creation.icosphere(6, 20.0)
    for kind in ("obj", "ply", "off", "3mf", "glb"):
        ball.export(folder / f"ball.{kind}")


def seconds_of(code: str, path: Path) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", f"path = {str(path)!r}\n{code}"], check=True)
    return time.perf_counter() - start


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--rounds", type=int, default=3)
    rounds = ask.parse_args().rounds
    print(f"median of {rounds}, whole process\n{'':6}{'areacalc s':>12}{'trimesh s':>12}{'ratio':>8}")
    with tempfile.TemporaryDirectory() as folder:
        write_balls(Path(folder))
        for path in sorted(Path(folder).iterdir()):
            runs = [(seconds_of(OWN, path), seconds_of(TRIMESH, path)) for _ in range(rounds)]
            own, peer = (statistics.median(each) for each in zip(*runs, strict=True))
            print(f"{path.suffix[1:]:6}{own:12.2f}{peer:12.2f}{own / peer:8.2f}")


if __name__ == "__main__":
    main()
