"""A table over many files: a row each, whatever a file is like, and nothing measured twice."""

import contextlib
import csv
import json
import os
import re
import shutil
import signal
import sqlite3
import subprocess
import time
from pathlib import Path

import pytest
from typed import BIN, typed

from areacalc.errors import BadInput
from areacalc.many.kept import Kept
from areacalc.many.part_files import part_files

SAMPLES = Path(__file__).parents[2] / "sample_models"
AS_TEXT = ("features", "notes", "up", "pockets", "cups")


def run(cwd, *words, code=0):
    done = typed("area", *words, cwd=cwd)
    assert done.returncode == code, done.stderr
    return " ".join(done.stdout.split())


def rows_of(path):
    if path.suffix == ".jsonl":
        return [json.loads(line) for line in path.read_text("utf-8").splitlines()]
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture
def parts(tmp_path):
    folder = tmp_path / "parts"
    (folder / "below").mkdir(parents=True)
    for name, place in (("ring.stl", ""), ("cleat.stl", "below"), ("lamp-knob.toml", ""), ("ring.glb", "")):
        shutil.copy(SAMPLES / name, folder / place)
    (folder / "bad.stl").write_text("solid\nfacet normal 0 0 1\nouter loop\nvertex 1 2\n")
    return folder


@pytest.mark.slow
def test_a_row_has_what_the_single_answer_has(parts, tmp_path):
    names = ["parts/ring.stl", "parts/below/cleat.stl", "parts/lamp-knob.toml"]
    options = ("--unit", "mm", "--mask", "z below 2 mm", "--up", "z+")
    run(tmp_path, *names, *options, "--out", "table.jsonl", "-n", "2", "-j", "2")
    table = rows_of(tmp_path / "table.jsonl")
    assert [row["path"] for row in table] == names
    for row in table:
        done = typed("area", row["path"], *options, "-n", "2", "--json", cwd=tmp_path)
        (part,) = json.loads(done.stdout)["parts"]
        unit, size, wetted = part.pop("unit"), part.pop("size_mm"), part.pop("wetted_area_mm2")
        assert [row["unit"], row["unit_how"]] == [unit["name"], unit["how"]]
        assert [row["size_x_mm"], row["size_y_mm"], row["size_z_mm"]] == size
        ends = [row["wetted_area_mm2"], row["wetted_area_low_mm2"], row["wetted_area_high_mm2"]]
        assert ends == [wetted[end] for end in ("value", "low", "high")]
        plain = {name: value for name, value in part.items() if not isinstance(value, dict)}
        assert {name: row[name] for name in plain} == plain
        assert row["airlocked_area_mm2"] == part["airlocked_area_mm2"]["value"]


def test_bad_files_have_rows_that_say_why_and_the_order_is_that_of_the_names(parts, tmp_path):
    (parts / "notes.txt").write_text("no part")
    said = run(tmp_path, "parts", "parts/no-such.step", "--out", "table.csv", "-j", "2", code=2)
    assert "3 parts in table.csv (5 files read, 0 unchanged)" in said
    table = rows_of(tmp_path / "table.csv")
    assert [row["path"] for row in table] == [
        "parts/bad.stl", "parts/ring.glb", "parts/ring.stl", "parts/below/cleat.stl", "parts/no-such.step",
    ]  # fmt: skip
    assert "bad.stl" in table[0]["problem"]
    assert table[0]["wetted_area_mm2"] == ""
    assert table[4]["problem"] == "parts/no-such.step: there is no such file; check the name and the folder"
    assert [row["problem"] for row in table[1:4]] == [""] * 3
    assert float(table[2]["wetted_area_mm2"]) > 0


@pytest.mark.slow
def test_what_has_not_changed_is_not_read_again(parts, tmp_path):
    words = ("parts/**/*.stl", "parts/*.glb", "--out", "table.csv", "-j", "1")
    run(tmp_path, *words, code=2)
    first = (tmp_path / "table.csv").read_bytes()
    assert "already exists" in typed("area", *words, cwd=tmp_path).stderr
    assert "(0 files read, 4 unchanged)" in run(tmp_path, *words, "--force", code=2)
    assert (tmp_path / "table.csv").read_bytes() == first
    shutil.copy(SAMPLES / "cleat.stl", parts / "bad.stl")
    assert "(1 file read, 3 unchanged)" in run(tmp_path, *words, "--force")
    (parts / "ring.wet.toml").write_text('mask = ["z below 2 mm"]\n')
    assert "(2 files read, 2 unchanged)" in run(tmp_path, *words, "--force")
    assert "(4 files read, 0 unchanged)" in run(tmp_path, *words, "--force", "--unit", "mm")


def test_plugs_go_where_they_fit_and_a_warning_says_where_not(parts, tmp_path):
    run(tmp_path, "parts/below/cleat.stl", "parts/ring.glb", "--plug", "bore-1", "--plug", "bore-7", "--out", "t.jsonl")
    cleat, ring = rows_of(tmp_path / "t.jsonl")
    assert [f["name"] for f in cleat["features"] if f["state"] == "plugged"] == ["bore-1"]
    assert "bore-7" in cleat["warnings"]
    assert "bore-7" in ring["warnings"]


@pytest.mark.slow
def test_every_kind_of_table_holds_the_same(parts, tmp_path):
    parquet = pytest.importorskip("pyarrow.parquet")
    for ending in ("csv", "jsonl", "parquet"):
        run(tmp_path, "parts", "--out", f"t.{ending}", code=2)
    lines = rows_of(tmp_path / "t.jsonl")
    flat = parquet.read_table(tmp_path / "t.parquet").to_pylist()
    packed = [{k: json.dumps(v, ensure_ascii=False) if k in AS_TEXT and v is not None else v for k, v in row.items()}
              for row in lines]  # fmt: skip
    assert flat == packed
    texts = [{k: "" if v is None else str(v) for k, v in row.items()} for row in packed]
    assert rows_of(tmp_path / "t.csv") == texts


@pytest.mark.parametrize(("words", "said"), [
    (("parts", "--out", "t.xlsx"), "--out: '.xlsx' is not known; choose from .csv, .jsonl, .parquet"),
    (("parts", "--out", "t.csv", "--json"), "--json cannot be used with --out"),
    (("parts", "--out", "t.csv", "--show", "in"), "--show in cannot be used with --out"),
    (("parts", "--out", "t.csv", "--unit", "furlong"), "furlong"),
    (("parts/*.prt", "--out", "t.csv"), "parts/*.prt: no file has such a name; check the pattern and the folder"),
    (("empty", "--out", "t.csv"), "empty: no part file is in this folder"),
    (("parts", "--jobs", "3"), "--jobs needs a table"),
])  # fmt: skip
def test_misuse_is_one_line_and_nothing_is_written(parts, tmp_path, words, said):
    (tmp_path / "empty").mkdir()
    done = typed("area", *words, cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stderr.count("\n") == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["empty", "parts"]


def test_names_with_brackets_are_names_first(tmp_path):
    odd = tmp_path / "knob[1].stl"
    shutil.copy(SAMPLES / "ring.stl", odd)
    assert part_files([odd, odd, tmp_path / "knob*.stl"]) == [odd, odd]  # two parts of one file


def test_kept_rows_serve_one_run_at_a_time_and_damage_is_told(tmp_path):
    file = tmp_path / "t.csv.rows"
    with Kept(file) as kept:
        kept.put(Path("a.stl"), "d", "m", {"problem": ""})
        with pytest.raises(BadInput, match="in use by another run"):
            Kept(file)
    with Kept(file) as kept:
        assert kept.has(Path("a.stl"), "d", "m")
        assert not kept.has(Path("a.stl"), "d", "other")
        assert kept.record(Path("a.stl")) == {"path": "a.stl", "problem": "", "digest": "d"}
    assert [each.name for each in tmp_path.iterdir()] == ["t.csv.rows"]
    file.write_bytes(b"no rows, but some text that is long enough" * 99)
    with pytest.raises(BadInput, match="or is damaged; move it away"):
        Kept(file)


def rows_in(kept):
    with contextlib.closing(sqlite3.connect(kept)) as rows:
        return dict(rows.execute("SELECT path, rowid FROM part").fetchall())


def killed_and_resumed(many, command, tmp_path, count, bad, crashing):
    """The said line, and the table, of a run that was killed in the middle and started again."""
    many(count, bad, crashing)
    words = ("area", "parts", "--out", "table.csv", "-j", "2")
    kept = tmp_path / "table.csv.rows"
    with command(*words) as running:
        while not kept.exists() or kept.stat().st_size < 1000 * count:
            assert running.poll() is None, running.communicate()
            time.sleep(0.01)
        running.kill()
    assert not (tmp_path / "table.csv").exists()
    there = rows_in(kept)
    assert 0 < len(there) < count
    with command(*words) as again:
        said, errors = again.communicate()
    assert again.returncode == 2, errors
    assert f"({count - len(there)} files read, {len(there)} unchanged)" in " ".join(said.split())
    after = rows_in(kept)
    assert {path: after[path] for path in there} == there
    return rows_of(tmp_path / "table.csv")


def check_rows(table, count, bad, crashing):
    assert [row["path"] for row in table] == sorted(row["path"] for row in table)
    good = [row for row in table if not row["problem"]]
    assert len(good) == count - bad - crashing
    for row in good:
        size = 5 + int(row["name"]) / 100
        assert float(row["wetted_area_mm2"]) == pytest.approx(size**2 * (3 + 3**0.5) / 2, rel=1e-6)
    crashed = [row["problem"] for row in table if "crash" in row["path"]]
    assert len(crashed) == crashing
    assert all("the worker broke down while reading it (signal 11)" in problem for problem in crashed)
    assert sum("bad" in row["path"] and bool(row["problem"]) for row in table) == bad


@pytest.mark.slow
def test_a_run_killed_in_the_middle_goes_on_and_crashes_are_rows(many, command, tmp_path):
    check_rows(killed_and_resumed(many, command, tmp_path, 300, 6, 2), 300, 6, 2)


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "openpty"), reason="asks for a terminal")
def test_a_person_sees_how_far_it_is_and_stops_it_by_ctrl_c(many, tmp_path):
    many(300)
    watching, terminal = os.openpty()
    kept = tmp_path / "t.csv.rows"
    words = [BIN, "area", "parts", "--out", "t.csv", "-j", "2"]
    with subprocess.Popen(words, cwd=tmp_path, stderr=terminal, start_new_session=True) as running:
        os.close(terminal)
        seen, interrupted = b"", False
        while b"stopped" not in seen:
            seen += os.read(watching, 1 << 16)
            if not interrupted and kept.exists() and kept.stat().st_size > 100_000:
                os.killpg(running.pid, signal.SIGINT)
                interrupted = True
        while running.poll() is None:
            time.sleep(0.01)
    os.close(watching)
    assert running.returncode == 130
    assert b"/300" in seen
    assert b"files, time left" in seen
    rows = len(rows_in(kept))
    (said,) = re.findall(rb"stopped; (\d+) of 300 rows are kept; the same command goes on from there", seen)
    assert rows - 1 <= int(said) <= rows  # a row may be kept and not yet counted
    assert sorted(each.name for each in tmp_path.iterdir()) == ["parts", "t.csv.rows"]


@pytest.mark.campaign
def test_two_thousand_files(many, command, tmp_path):
    check_rows(killed_and_resumed(many, command, tmp_path, 2000, 20, 2), 2000, 20, 2)
