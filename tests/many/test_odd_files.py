"""Odd names, links that lead round, files that change in mid-run, other people's files: rows and lines stay true."""

import csv
import os
import shutil
import sqlite3
from pathlib import Path

import pytest
from typed import typed

from areacalc.cell import unquoted
from areacalc.errors import BadInput, Passing
from areacalc.many.asked import Asked, digest
from areacalc.many.kept import Kept, bring_up_to_date
from areacalc.many.part_files import part_files
from areacalc.many.record import refused_record, write_table

RING = Path(__file__).parents[2] / "sample_models" / "ring.stl"
ODD = ["-dash.stl", "new\nline.stl", "car\rriage.stl", "ünï ☃.stl", 'a,"q".stl', "bell\a.stl", "'=1+1.stl"]


def rows_of(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def measured_as(*rows, then=lambda path: None):
    """One who measures without a worker: the rows given, and what happens meanwhile."""

    def records(jobs, asked):
        for (path, content), row in zip(jobs, rows, strict=True):
            then(path)
            yield path, content, dict(row)

    return records


def test_whatever_a_name_holds_its_row_has_it(tmp_path):
    records = [{"path": name, "problem": ""} for name in ODD]
    with (tmp_path / "t.csv").open("wb") as file:
        write_table(file, ".csv", ("path", "problem"), records)
    assert [unquoted(row["path"]) for row in rows_of(tmp_path / "t.csv")] == ODD


def test_two_names_that_are_no_text_keep_a_row_each(tmp_path):
    one, other = (Path(os.fsdecode(name)) for name in (b"a\xfe.stl", b"a\xff.stl"))
    with Kept(tmp_path / "t.rows") as kept:
        kept.put(one, "d", "m", {"problem": "one"})
        kept.put(other, "d", "m", {"problem": "other"})
        assert [kept.record(each)["problem"] for each in (one, other)] == ["one", "other"]
        assert len({kept.record(each)["path"] for each in (one, other)}) == 2


def test_a_pattern_goes_through_no_link_round_and_round(tmp_path, monkeypatch):
    below = tmp_path / "parts" / "below"
    below.mkdir(parents=True)
    for folder in (tmp_path / "parts", below):
        shutil.copy(RING, folder)
    (below / "up").symlink_to(tmp_path, target_is_directory=True)
    (tmp_path / "parts" / "here").symlink_to(".", target_is_directory=True)
    (below / ".hidden").mkdir()
    shutil.copy(RING, below / ".hidden")
    monkeypatch.chdir(tmp_path)
    found = [Path("parts/below/ring.stl"), Path("parts/ring.stl")]
    for pattern in ("**/*.stl", "parts/**/*.stl", "./parts/**/ring.stl", "parts/**", "p*/**/**/*.stl"):
        assert part_files([pattern]) == found, pattern
    assert part_files([tmp_path / "parts" / "**" / "*.stl"]) == [tmp_path / each for each in found]


@pytest.mark.parametrize("name", ["part.stl", "part.wet.toml"])
def test_a_file_that_changes_while_it_is_measured_is_read_again(tmp_path, name):
    part = tmp_path / "part.stl"
    shutil.copy(RING, part)
    before = digest(part)

    def change(_):
        (tmp_path / name).write_bytes((tmp_path / name).read_bytes() + b" " if name == "part.stl" else b"mask = []\n")

    with Kept(tmp_path / "t.rows") as kept:
        seen = []
        for then in (change, lambda path: None, lambda path: pytest.fail("read again")):
            rows = [{"problem": ""}] if len(seen) < 2 else []
            bring_up_to_date([part], Asked(), kept, measured_as(*rows, then=then), seen.append)
        assert seen == [False, False, True]
        assert kept.record(part)["digest"] == digest(part) != before


def test_what_may_go_well_another_time_is_tried_again(tmp_path):
    part = tmp_path / "part.stl"
    shutil.copy(RING, part)
    short = refused_record(Passing("part.stl", "the worker ran out of memory", "export a simpler part"))
    bad = refused_record(BadInput("part.stl", "is damaged", "export the part again"))
    with Kept(tmp_path / "t.rows") as kept:
        seen = []
        for rows in ([short], [bad], []):
            bring_up_to_date([part], Asked(), kept, measured_as(*rows), seen.append)
        assert seen == [False, False, True]
        assert kept.record(part) == {"path": str(part), "problem": str(BadInput(*bad_words)), "digest": digest(part)}


bad_words = ("part.stl", "is damaged", "export the part again")


def test_names_far_down_a_large_file_are_found(tmp_path):
    """What an OBJ file names stands past the first block, and across its end."""
    (tmp_path / "steel.mtl").write_text("newmtl steel\n")
    part = tmp_path / "part.obj"
    for lead in (10, (1 << 20) - 9, (1 << 20) + 50):
        part.write_bytes(b"#" * (lead - 1) + b"\nmtllib steel.mtl\n")
        before = digest(part)
        (tmp_path / "steel.mtl").write_text(f"newmtl steel{lead}\n")
        assert digest(part) != before


def test_a_name_longer_than_names_can_be_is_left_out_of_the_digest(tmp_path):
    part = tmp_path / "part.obj"
    part.write_text(f"mtllib {300 * 'm'}\n")
    assert digest(part)


def test_another_programs_file_is_left_alone(tmp_path):
    theirs = tmp_path / "t.csv.rows"
    with sqlite3.connect(theirs) as tables:
        tables.execute("CREATE TABLE stock (bar TEXT)")
    tables.close()
    before = theirs.read_bytes()
    with pytest.raises(BadInput, match="holds no kept rows, or is damaged; move it away"):
        Kept(theirs)
    assert theirs.read_bytes() == before


@pytest.mark.parametrize(("out", "said"), [
    ("folder.csv", "folder.csv is a folder; choose another name"),
    ("no/such/t.csv", "t.csv.rows cannot be written: unable to open database file; check the folder, or choose anoth"),
])  # fmt: skip
def test_a_table_that_cannot_be_is_told_before_anything_is_measured(tmp_path, out, said):
    (tmp_path / "folder.csv").mkdir()
    done = typed("area", str(RING), "--unit", "mm", "--out", out, "--force", cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert [each.name for each in tmp_path.iterdir()] == ["folder.csv"]


def test_one_file_is_one_file(tmp_path):
    done = typed("area", str(RING), "--unit", "mm", "--out", "t.csv", cwd=tmp_path)
    assert done.stdout == "1 part in t.csv (1 file read, 0 unchanged)\n"
