"""How soon the command line answers: whole processes, medians, beside a bare interpreter and general-purpose peers.

python tests/bench/bench_start.py [--rounds 9]
"""

import argparse
import statistics
import subprocess
import sys
import time
from pathlib import Path

SAMPLES = Path(__file__).parents[2] / "sample_models"
TOOL = [str(Path(sys.executable).with_name("areacalc"))]
JOBS = {
    "python -c pass": [sys.executable, "-c", "pass"],
    "import numpy": [sys.executable, "-c", "import numpy"],
    "import trimesh": [sys.executable, "-c", "import trimesh"],
    "areacalc --help": [*TOOL, "--help"],
    "areacalc current --area": [*TOOL, "current", "--area", "6 in2"],
    "areacalc current, a profile": [*TOOL, "current", str(SAMPLES / "pen-body.toml")],
    "areacalc area, a small STL": [*TOOL, "area", str(SAMPLES / "ring.stl"), "--unit", "mm"],
    "areacalc area, a small STEP": [*TOOL, "area", str(SAMPLES / "lamp-knob.step")],
}


def seconds_of(job: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(job, check=True, capture_output=True)
    return time.perf_counter() - start


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--rounds", type=int, default=9)
    rounds = ask.parse_args().rounds
    runs: dict[str, list[float]] = {name: [] for name in JOBS}
    for _ in range(rounds):
        for name, job in JOBS.items():
            runs[name].append(seconds_of(job))
    base = statistics.median(runs["import numpy"])
    print(f"median of {rounds} (least to most), whole process")
    for name, each in runs.items():
        middle = statistics.median(each)
        print(f"{name:30}{middle:8.3f} s  ({min(each):.3f} to {max(each):.3f}){middle / base:7.1f} x import numpy")


if __name__ == "__main__":
    main()
