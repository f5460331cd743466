"""What areacalc takes beside the nearest general-purpose library, in one run and one table: BENCHMARKS.md.

    python -m tests.bench [--rounds 3] [--largest 1000000] [--files 100] [--all]

Processor seconds of whole processes, all that they start counted in, medians of the rounds, which go in turn. --all
runs each bench of this folder too, and puts what it prints below the table; that takes half an hour and more. What else
stands below the tables stays.
"""

import argparse
import math
import multiprocessing
import os
import platform
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from tests.bench import bench_features, bench_formats, bench_many, bench_step, bench_stl
from tests.bench.bench_many import TOOL, Cost, in_own_process

HERE = Path(__file__).parent
PAGE = HERE.parents[1] / "BENCHMARKS.md"
SAMPLES = HERE.parents[1] / "sample_models"
PACKAGES = ("areacalc", "numpy", "scipy", "trimesh", "cadquery-ocp-novtk", "manifold3d")
HEAD = """# Benchmarks

`python -m tests.bench` wrote this page. Processor seconds of whole processes, start-up and all that they start counted
in; medians of {rounds} rounds in turn, one run. The peer does less: it adds up areas or takes a mesh apart, and finds
neither bores nor bounds. Growth: the power of the size by which the time grows, start-up taken off; 1 is linear.

{machine}

| | areacalc s | MB | peer | peer s | MB | ratio |
|---|---|---|---|---|---|---|
"""


@dataclass(frozen=True)
class Case:
    """One line of the table: what is done, to how many triangles (0: not counted), by whom beside areacalc."""

    what: str
    own: list[str]
    peer: str
    others: list[str]
    triangles: int = 0


def code(text: str, path: Path) -> list[str]:
    return [sys.executable, "-c", f"path = {str(path)!r}\n{text}"]


def cases(folder: Path, largest: int, files: int) -> Iterator[Case]:
    yield Case("start, `--help`", [TOOL, "--help"], "import numpy", [sys.executable, "-c", "import numpy"])
    step = SAMPLES / "lamp-knob.step"
    yield Case("a small STEP", [TOOL, "area", str(step)], "kernel", code(bench_step.PLAIN, step))
    sizes = [size for size in (1_000, 10_000, 100_000, 1_000_000, 10_000_000) if size <= largest]
    for size in sizes:
        path = folder / f"wavy-{size}.stl"
        apart(bench_stl.write_stl, path, size)
        yield Case("area of an STL", code(bench_stl.BODY, path), "numpy", code(bench_stl.NUMPY, path), size)
    for part in ("turned", "plate", "sculpted"):
        for size in sizes[1:4]:
            path = folder / f"{part}-{size}.stl"
            apart(bench_features.write_stl, path, part, size)
            own = [TOOL, "area", str(path), "--unit", "mm"]
            yield Case(f"features, {part}", own, "trimesh", code(bench_features.PEER, path), size)
    yield from formats(folder)
    bench_many.made_apart(folder, files)
    for kind, peer, loop in bench_many.LOOPS:
        here = folder / kind
        own = [*bench_many.table_of(here, 1), "--force"]
        yield Case(f"{files} {kind} to a table", own, peer, [sys.executable, "-c", loop, str(here)])


def formats(folder: Path) -> Iterator[Case]:
    apart(bench_formats.write_balls, folder)
    for path in sorted(folder.glob("ball.*")):
        own, peer = code(bench_formats.OWN, path), code(bench_formats.TRIMESH, path)
        yield Case(f"reading {path.suffix[1:].upper()}", own, "trimesh", peer, bench_formats.TRIANGLES)


def apart(write: Callable[..., None], *arguments: object) -> None:
    """Write a file in a process of its own, since a child's peak memory starts from its parent's."""
    writer = multiprocessing.get_context("spawn").Process(target=write, args=arguments)
    writer.start()
    writer.join()


def measured(case: Case, rounds: int) -> tuple[Cost, Cost]:
    runs: list[tuple[Cost, Cost]] = []
    for _ in range(rounds):
        for path in (Path(word) for word in case.own if word.endswith("table.csv")):
            Path(f"{path}.rows").unlink(missing_ok=True)  # so that all of it is measured again
        runs.append((in_own_process(case.own), in_own_process(case.others)))
    own, peer = zip(*runs, strict=True)
    return _median(own), _median(peer)


def _median(costs: tuple[Cost, ...]) -> Cost:
    return Cost(*(statistics.median(getattr(cost, name) for cost in costs) for name in Cost.__dataclass_fields__))


def grows(points: list[tuple[int, float]]) -> float:
    """The power of the size by which the time grows, what the smallest takes set aside: least squares of logarithms."""
    (_, start_s), *rest = points
    logs = [(math.log(size), math.log(seconds - start_s)) for size, seconds in rest if seconds > 1.1 * start_s]
    if len(logs) < 2:
        return math.nan
    return statistics.linear_regression(*zip(*logs, strict=True)).slope


def machine() -> str:
    told = Path("/proc/cpuinfo")
    lines = told.read_text().splitlines() if told.exists() else []
    kind = next((line.partition(":")[2].strip() for line in lines if line.startswith("model name")), platform.machine())
    load = f"{os.getloadavg()[0]:.0f}" if hasattr(os, "getloadavg") else "unknown"
    packages = ", ".join(f"{name} {version(name)}" for name in PACKAGES)
    busy = f"{os.cpu_count()} processors, {load} processes at work on them"
    return f"{kind}, {busy}; Python {platform.python_version()}, {packages}."


def printed() -> Iterator[str]:
    """What each bench of this folder prints."""
    for bench in sorted(HERE.glob("bench_*.py")):
        print(bench.stem, file=sys.stderr, flush=True)
        done = subprocess.run([sys.executable, str(bench)], capture_output=True, text=True)
        yield f"\n## {bench.stem}\n\n```\n{(done.stdout or done.stderr).rstrip()}\n```\n"


def written_below(again: bool) -> list[str]:
    """The sections below the tables, which stay; what benches printed is left out where it is made again."""
    sections = PAGE.read_text("utf-8").split("\n## ")[1:]
    return [f"\n## {each}" for each in sections if not (again and each.startswith("bench_"))]


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--rounds", type=int, default=3)
    ask.add_argument("--largest", type=int, default=1_000_000)
    ask.add_argument("--files", type=int, default=100)
    ask.add_argument("--all", action="store_true")
    told = ask.parse_args()
    page = [HEAD.format(rounds=told.rounds, machine=machine())]
    points: dict[str, list[tuple[int, float]]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for case in cases(Path(folder), told.largest, told.files):
            own, peer = measured(case, told.rounds)
            page.append(line_of(case, own, peer))
            print(page[-1], end="", file=sys.stderr, flush=True)
            if case.triangles:
                points.setdefault(case.what, []).append((case.triangles, own.processor_s))
    page.append("\n| | growth |\n|---|---|\n")
    page += [f"| {what} | {grows(some):.2f} |\n" for what, some in points.items() if len(some) > 2]
    page += printed() if told.all else ()
    page += written_below(again=told.all)
    PAGE.write_text("".join(page), "utf-8")


def line_of(case: Case, own: Cost, peer: Cost) -> str:
    what = f"{case.what}, {case.triangles:,} triangles" if case.triangles else case.what
    took = f"{own.processor_s:.2f} | {own.peak_mb:.0f}", f"{peer.processor_s:.2f} | {peer.peak_mb:.0f}"
    return f"| {what} | {took[0]} | {case.peer} | {took[1]} | {own.processor_s / peer.processor_s:.2f} |\n"


if __name__ == "__main__":
    main()
