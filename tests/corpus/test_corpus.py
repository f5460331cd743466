"""Real CAD files by other hands: every one gives a result or one clear line, through the real command.

files.tsv lists them with the answer each must give; packages.tsv the packages of the registries they ship in.
"""

import json
import math
import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.corpus

BIN = Path(sys.executable).with_name("areacalc")


def area(path: Path, *options: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([BIN, "area", path, *options], capture_output=True, text=True, timeout=300, check=False,
                          env={**os.environ, "COLUMNS": "100"})  # fmt: skip


def test_a_result_or_one_clear_line(row, package_folder):
    done = area(package_folder(row["package"]) / row["path"], "--json")
    assert "Traceback" not in done.stderr
    if row["answer"] == "refused":
        assert (done.returncode, done.stdout) == (2, "")
        (line,) = done.stderr.splitlines()
        assert line.startswith("areacalc: ")
        assert "fault in areacalc" not in line
        assert "; " in line  # what to do stands behind what is wrong
        return
    assert done.returncode == 0, done.stderr
    made = json.loads(done.stdout)
    wetted = made["wetted_area_mm2"]
    assert 0.0 < wetted["low"] <= wetted["value"] <= wetted["high"] < math.inf
    (part,) = made["parts"]
    assert part["features"]
    assert wetted["value"] <= part["total_area_mm2"] * (1 + 1e-9)


def test_the_list_is_as_long_and_as_mixed_as_it_should_be(every_row):
    kinds = {Path(row["path"]).suffix.lower() for row in every_row}
    assert kinds >= {".step", ".stp", ".stl", ".3mf", ".obj", ".ply", ".off", ".glb", ".gltf", ".dxf"}
    assert sum(row["answer"] == "area" for row in every_row) >= 30
    assert len({(row["package"], row["path"]) for row in every_row}) == len(every_row)
