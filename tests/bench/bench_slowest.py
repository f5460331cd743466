"""The five jobs that take longest, whole processes, beside trimesh's split and facets on the same file: a table.

    python -m tests.bench.bench_slowest [--rounds 3]

Processor seconds with start-up and all that a process starts, medians of rounds in turn.
"""

import argparse
import statistics
import sys
import tempfile
from pathlib import Path

import numpy as np

from tests.bench import bench_features
from tests.bench.bench_many import TOOL, in_own_process

OCTAHEDRON = np.array([[1, 0, 0], [0, 1, 0], [-1, 0, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]], float)
FACES = np.array([[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4], [1, 0, 5], [2, 1, 5], [3, 2, 5], [0, 3, 5]])


def shells(count: int) -> np.ndarray:
    """That many octahedra of 1 mm, side by side."""
    side = round(count ** (1 / 3)) + 1
    at = 3.0 * np.stack(np.unravel_index(np.arange(count), (side, side, side)), axis=1)
    return (at[:, None, None] + OCTAHEDRON[FACES]).reshape(-1, 3, 3)


bench_features.PARTS["shells"] = shells
JOBS = (
    ("plate of 320 bores", "area", "plate", 100_000),
    ("several bodies", "area", "assembly", 100_000),
    ("scan with noise", "area", "scanned", 1_000_000),
    ("20,000 closed shells", "area", "shells", 20_000),
    ("best hanging of a free form", "hang", "sculpted", 943_000),
)


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--rounds", type=int, default=3)
    rounds = ask.parse_args().rounds
    print("| | triangles | areacalc s | MB | trimesh s | MB | ratio |\n|---|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        for what, command, part, count in JOBS:
            path = Path(folder, f"{part}.stl")
            bench_features.write_stl(path, part, count)
            own = [TOOL, command, str(path), "--unit", "mm"]
            peer = [sys.executable, "-c", f"path = {str(path)!r}\n{bench_features.PEER}"]
            runs = [(in_own_process(own), in_own_process(peer)) for _ in range(rounds)]
            seconds = [statistics.median(each[k].processor_s for each in runs) for k in (0, 1)]
            peak = [statistics.median(each[k].peak_mb for each in runs) for k in (0, 1)]
            row = f"{what} | {(path.stat().st_size - 84) // 50:,} | {seconds[0]:.2f} | {peak[0]:.0f}"
            print(f"| {row} | {seconds[1]:.2f} | {peak[1]:.0f} | {seconds[0] / seconds[1]:.2f} |", flush=True)


if __name__ == "__main__":
    main()
