"""The commands as a person runs them: the real process, its output, its errors, its exit codes."""

import json
import os
import re
import subprocess
import zipfile
from pathlib import Path

import numpy as np
import pytest
from typed import BIN, typed
from typed import document as typed_document

SAMPLES = Path(__file__).parents[2] / "sample_models"


def run(*words, cwd=None):
    return typed(*words, cwd=cwd, COLUMNS="100")


def document(kind, *words):
    return typed_document(kind, kind, *words)


def refused(*words, cwd=None, code=2):
    done = run(*words, cwd=cwd)
    assert done.returncode == code, (done.stdout, done.stderr)
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1
    assert done.stderr.startswith("areacalc: ")
    assert "fault in areacalc" not in done.stderr
    return done.stderr


def test_six_square_inches_take_087_to_105_ampere():
    """Common practice, 145 to 175 mA/in2: 6 in2 gives 0.87 to 1.05 A."""
    current = document("current", "--area", "6 in2")["current_a"]
    assert current == pytest.approx({"low": 0.87, "high": 1.05, "set": 0.96}, rel=1e-12)


def test_the_unit_of_the_area_does_not_change_the_current():
    one = document("current", "--area", "6 in2")["current_a"]
    assert document("current", "--area", "38.7096 cm2")["current_a"] == pytest.approx(one, rel=1e-9)


@pytest.mark.parametrize("file", ["ring.stl", "lamp-knob.step", "ring.glb", "pen-body.toml", "cleat.stl"])
def test_area_as_json_holds_to_its_schema(file):
    made = document("area", SAMPLES / file)
    part = made["parts"][0]
    wet = sum(f["area_mm2"] for f in part["features"] if f["state"] == "wet")
    assert wet == pytest.approx(part["wetted_area_mm2"]["value"], rel=1e-12)
    assert part["wetted_area_mm2"]["low"] <= part["wetted_area_mm2"]["value"] <= part["wetted_area_mm2"]["high"]


def test_a_plug_lowers_the_current_by_its_bore():
    every = document("area", SAMPLES / "lamp-knob.toml")["parts"][0]
    bore = next(f for f in every["features"] if f["name"] == "blind-bore-1")
    less = document("area", SAMPLES / "lamp-knob.toml", "--plug", "blind-bore-1")
    assert every["wetted_area_mm2"]["value"] - less["wetted_area_mm2"]["value"] == pytest.approx(
        bore["area_mm2"], rel=1e-9
    )
    assert {f["state"] for f in less["parts"][0]["features"] if f["name"] == "blind-bore-1"} == {"plugged"}


def test_the_same_ring_in_inches_and_in_metres_has_the_same_area():
    mm = document("area", SAMPLES / "ring.stl", "--unit", "mm")["wetted_area_mm2"]["value"]
    assert document("area", SAMPLES / "ring-in-inches.stl", "--unit", "in")["wetted_area_mm2"][
        "value"
    ] == pytest.approx(mm, rel=1e-6)
    assert document("area", SAMPLES / "ring.glb")["wetted_area_mm2"]["value"] == pytest.approx(mm, rel=1e-6)


def test_counts_multiply():
    one = document("area", SAMPLES / "ring.stl")["wetted_area_mm2"]["value"]
    assert document("area", SAMPLES / "ring.stl", "-n", "4")["wetted_area_mm2"]["value"] == pytest.approx(4 * one)


def test_cathode_is_twice_the_area_in_strips_on_both_sides():
    made = document("cathode", "--area", "50000 mm2", "--strip", "50 mm", "--depth", "250 mm")
    assert made["cathode_area_mm2"]["value"] == pytest.approx(100_000)
    assert made["strips"] == {"count": 8, "per_side": 4, "width_mm": 50.0, "immersed_mm": 250.0}


def test_sketch_and_its_exports_agree(tmp_path):
    words = "0 12, 40 12, 40 8 r1, 60 8; bore right 5 x 30; unit mm"
    done = run("sketch", words, "--json", "--export", tmp_path / "part.stl", "--draw", tmp_path / "part.png")
    exact = json.loads(done.stdout)["wetted_area_mm2"]["value"]
    assert (
        run("sketch", words, "-q", "--export", tmp_path / "part.toml", "--draw", tmp_path / "part.svg").returncode == 0
    )
    assert document("area", tmp_path / "part.toml")["wetted_area_mm2"]["value"] == pytest.approx(exact, rel=1e-12)
    assert document("area", tmp_path / "part.stl", "-u", "mm")["parts"][0]["facet_area_mm2"] == pytest.approx(
        exact, rel=3e-3
    )
    assert (tmp_path / "part.png").read_bytes().startswith(b"\x89PNG")
    assert (tmp_path / "part.svg").read_text().startswith("<svg")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["part.png", "part.stl", "part.svg", "part.toml"]


def test_a_sketch_from_a_file_says_once_how_it_is_drawn_and_which_unit_was_taken(tmp_path):
    (tmp_path / "rod.csv").write_text("0,1\n1.5,1\n")
    said = run("sketch", tmp_path / "rod.csv", "--chord-error", "0.1 mm", "--export", tmp_path / "rod.stl").stdout
    assert said.count("up to 0.1 mm off") == said.count("flats round the axis") == 1
    assert "areacalc took mm" in said
    assert "warning" in said


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_table_of_areas_says_its_unit(unit):
    assert f"area [{unit}2]" in run("area", SAMPLES / "ring.glb", "--show", unit).stdout


@pytest.mark.slow
def test_a_threaded_bore_can_be_declared():
    smooth = document("area", SAMPLES / "lamp-knob.step")["wetted_area_mm2"]["value"]
    cut = document("area", SAMPLES / "lamp-knob.step", "--add", "blind-bore-1 thread M6")["wetted_area_mm2"]["value"]
    # 14.4 mm of wall, 5 mm across, becomes 27.682 mm2 a mm (ISO 68-1 basic profile)
    assert cut - smooth == pytest.approx(14.4 * (27.6822 - np.pi * 5), rel=1e-5)


def stl(path, corners, count=None):
    record = np.zeros(len(corners), np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("s", "<u2")]))
    record["c"] = corners
    path.write_bytes(bytes(80) + np.uint32(len(corners) if count is None else count).tobytes() + record.tobytes())


ONE = [[[0, 0, 0], [10, 0, 0], [0, 10, 0]]]


@pytest.mark.parametrize(
    ("name", "make", "says"),
    [
        ("empty.stl", lambda p: p.write_bytes(b""), "is empty"),
        ("short.stl", lambda p: stl(p, ONE, 7), "promises 7"),
        ("bomb.stl", lambda p: stl(p, ONE, 4_000_000_000), "4000000000"),
        ("nan.stl", lambda p: stl(p, [[[0, 0, 0], [np.nan, 0, 0], [0, 9, 0]]]), "triangle 1"),
        ("text.stl", lambda p: p.write_text("Dear workshop, please make four knobs."), "text.stl"),
        ("text.step", lambda p: p.write_text("Dear workshop, please make four knobs."), "text.step"),
        ("part.3mf", lambda p: p.write_bytes(b"PK\x03\x04 cut short"), "part.3mf"),
        ("cross.toml", lambda p: p.write_text('outside = ["0 10", "30 20", "30 5", "10 30"]'), "cross"),
        (
            "through.toml",
            lambda p: p.write_text('outside = ["0 10", "30 10"]\nbores = ["left 6 x 30"]'),
            "breaks through",
        ),
        ("typo.toml", lambda p: p.write_text('outsid = ["0 10", "30 10"]'), "did you mean 'outside'"),
        ("word.csv", lambda p: p.write_text("x,d\n0,10\nten,12\n"), "line 3"),
    ],
)
def test_a_bad_file_gets_one_line(tmp_path, name, make, says):
    make(tmp_path / name)
    assert says in refused("area", tmp_path / name)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("area", "nowhere.stl"), "no such file"),
        (("area", "."), "no part file is in this folder"),
        (("area", SAMPLES / "ring.stl", "--unit", "furlong/s"), "furlong/s"),
        (("area", SAMPLES / "ring.stl", "--plug", "bore-9"), "did you mean"),
        (("area", SAMPLES / "ring.stl", "-n", "1", "-n", "2"), "--count"),
        (("current",), "a part file or an area is missing"),
        (("current", "--area", "6 in"), "is not an area"),
        (("current", "--area", "0 in2"), "must be above zero"),
        (("current", "--area", "-6 in2"), "must be above zero"),
        (("current", "--area", "six"), "does not start with a number"),
        (("current", "--area", "6 in2", "--density", "hardd"), "did you mean 'hard'"),
        (("cathode", "--area", "6 in2", "--strip", "2 in"), "--depth"),
        (("cathode", "--area", "6 in2", "--ratio", "-1"), "ratio"),
        (("sketch", "0 12, 40 -3"), "axis"),
        (("sketch", "0 12"), "two points"),
        (("sketch", "0 12, 40 12; bore left 14 x 5"), "the bore is 14 mm wide, the outside only 12 mm"),
        (("sketch", "0 12, 40 12", "--export", "nowhere/part.stl"), "cannot be written"),
        (("sketch", "0 12, 40 12", "--export", "part.xyz"), ".xyz"),
        (("aera", "x"), "there is no command 'aera' (did you mean 'area'?)"),
        (("area",), "FILE is missing"),
        (("area", SAMPLES / "ring.stl", "--show", "cm"), "--show: 'cm' is not known; choose from mm, in"),
        (("area", SAMPLES / "ring.stl", "--count", "two"), "--count is not a whole number"),
        (("area", SAMPLES / "ring.stl", "--count", "0"), "--count is too small; give 1 or more"),
        (("area", SAMPLES / "ring.stl", "--plug"), "--plug: nothing follows it"),
        (("plan", "a.toml", "b.toml"), "'b.toml' is more than it takes"),
    ],
)
def test_bad_words_get_one_line(words, says, tmp_path):
    assert says in refused(*words, cwd=tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_an_error_stays_off_standard_output_with_json():
    assert "no such file" in refused("area", "nowhere.stl", "--json")


def test_a_name_with_spaces_and_accents_works(tmp_path):
    file = tmp_path / "lampe à pétrole ø30.stl"
    file.write_bytes((SAMPLES / "ring.stl").read_bytes())
    assert document("area", file)["parts"][0]["name"] == "lampe à pétrole ø30"


def test_a_pipe_that_closes_early_is_no_fault():
    done = subprocess.run(f"{BIN} area {SAMPLES / 'ring.stl'} | head -1", shell=True, capture_output=True, text=True)
    assert "fault" not in done.stderr
    assert "Traceback" not in done.stderr


def test_a_plug_for_several_files_is_left_out_where_there_is_no_such_bore():
    made = document("area", SAMPLES / "lamp-knob.toml", SAMPLES / "ring.stl", "--unit", "mm", "--plug", "blind-bores")
    knob, ring = made["parts"]
    assert {f["name"]: f["state"] for f in knob["features"]}["blind-bore-1"] == "plugged"
    assert {f["state"] for f in ring["features"]} == {"wet"}
    assert "no feature is 'blind-bores' on ring" in json.dumps(ring)
    assert "no feature is 'voids'" in refused(
        "area", SAMPLES / "lamp-knob.toml", SAMPLES / "ring.stl", "--plug", "voids"
    )


def test_a_fill_for_several_files_is_left_out_where_there_is_no_such_bore(tmp_path):
    files = (SAMPLES / "lamp-knob.toml", SAMPLES / "cleat.stl", "--unit", "mm", "--up", "z+")
    made = document("area", *files, "--fill", "blind-bores")
    assert "no feature is 'blind-bores' on cleat" in json.dumps(made["parts"][1])
    assert "air-held" not in json.dumps(made)
    table = tmp_path / "table.csv"
    done = run("area", *files, "--fill", "blind-bores", "--out", table)
    assert done.returncode == 0, done.stderr
    assert "no feature is 'blind-bores' on cleat" in table.read_text()
    assert "no feature is 'voids'" in refused("area", *files, "--fill", "voids")


def test_a_unit_against_the_files_own_is_a_warning():
    said = run("area", SAMPLES / "lamp-knob.step", "--unit", "cm").stdout
    assert "warning: the file says its unit is mm" in said
    assert "10 times" in said


def test_the_wrong_kind_of_file_is_told_where_it_belongs(tmp_path):
    assert "areacalc plan desk-set.toml" in refused("area", SAMPLES / "desk-set.toml")
    assert "areacalc plan desk-set.toml" in refused("sketch", SAMPLES / "desk-set.toml")
    picture = tmp_path / "part.png"
    picture.write_bytes(b"\x89PNG\r\n")
    assert "is a picture" in refused("area", picture)
    assert "is a picture, not a load file" in refused("plan", picture)
    assert "is a lathe profile, not a load file" in refused("plan", SAMPLES / "pen-body.toml")
    assert "areacalc init new-load.toml lamp-knob.stl" in refused("plan", SAMPLES / "lamp-knob.stl")
    assert "is a folder" in refused("sketch", SAMPLES)
    assert "no such file" in refused("sketch", "nowhere.stl")
    choices = tmp_path / "ring.wet.toml"
    choices.write_text('plug = ["bore-1"]')
    for command in ("area", "sketch", "plan"):
        assert "--choices ring.wet.toml" in refused(command, choices)
    assert "areacalc plan desk-set.toml" in refused(
        "area", SAMPLES / "ring.stl", "--choices", SAMPLES / "desk-set.toml"
    )


def test_a_sketch_of_many_points_may_be_longer_than_a_file_name():
    words = "unit mm; " + ", ".join(f"{x} 12" for x in range(200))
    assert run("sketch", words, "--quiet").stdout == run("sketch", "unit mm; 0 12, 199 12", "--quiet").stdout


def test_units_in_a_sketch_may_stand_apart_from_their_numbers():
    apart = run("sketch", "0 1/2 in, 2 in 1/2 in; bore left 1/4 in x 1 in", "--quiet").stdout
    assert apart == run("sketch", "0 1/2in, 2in 1/2in; bore left 1/4in x 1in", "--quiet").stdout
    assert apart.strip() == "2792.2 mm2"


def test_a_misspelt_option_is_told_the_nearest():
    assert "did you mean --plug?" in refused("area", SAMPLES / "ring.stl", "--plugg", "bore-1")


def test_an_exported_sketch_carries_its_name(tmp_path):
    run("sketch", "0 12, 40 12; unit mm", "--export", tmp_path / "stub & pin.3mf", "--quiet")
    with zipfile.ZipFile(tmp_path / "stub & pin.3mf") as package:
        model = package.read("3D/3dmodel.model").decode()
    assert 'name="stub &amp; pin"' in model
    run("sketch", SAMPLES / "pen-body.toml", "--export", tmp_path / "other.stl", "--quiet")
    assert b"pen-body" in (tmp_path / "other.stl").read_bytes()[:80]


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs a device that is always full")
@pytest.mark.parametrize("words", [("plan", "--help"), ("current", "--area", "6 in2", "--json"), ("--version",)])
def test_no_room_for_what_is_printed_gets_one_line(words):
    with open("/dev/full", "w") as full:
        done = subprocess.run([BIN, *words], stdout=full, stderr=subprocess.PIPE, text=True)
    assert done.returncode == 2
    assert done.stderr.startswith("areacalc: no more can be written (")
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize("words", [("plan", "--help"), ("current", "--area", "6 in2", "--json")])
def test_a_reader_that_has_gone_is_no_mistake(words):
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run([BIN, *words], stdout=writing, stderr=subprocess.PIPE, text=True)
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, "")


def test_features_of_one_size_are_told_apart_by_where_they_open():
    """Four cross-bores of 3 mm, two to the left and two to the right, at 15.5 mm either side of the middle."""
    said = " ".join(run("area", SAMPLES / "ring.stl", "--unit", "mm").stdout.split())
    assert "left is x-, right is x+" in said
    assert "bore-2 at y -15.54, bore-3 at y 15.54 mm; bore-4 at y -15.54, bore-5 at y 15.54 mm" in said
    assert "Alike" not in run("area", SAMPLES / "lamp-knob.stl", "--unit", "mm").stdout


def test_each_file_may_have_a_unit_of_its_own():
    files = (SAMPLES / "ring.stl", SAMPLES / "ring-in-inches.stl")
    one = float(run("area", files[0], "--unit", "mm", "-q").stdout.split()[0])
    both = float(run("area", *files, "--unit", "mm", "--unit", "in", "-q").stdout.split()[0])
    assert both == pytest.approx(2.0 * one, rel=1e-3)
    assert "says both 'mm' and 'in'; give one for all files, or one for each" in refused(
        "area", *files, SAMPLES / "cleat.stl", "--unit", "mm", "--unit", "in"
    )


def test_a_sketch_lists_every_bore_from_its_mouth_inwards():
    said = run("sketch", "0 12, 100 12; bore left 8 x 20, 5 x 40 drill 118; bore right 6 x 20 flat; unit mm").stdout
    rows = [line.split()[:6] for line in said.splitlines() if line.startswith("blind-bore-") and " step " in line]
    assert [" ".join(row[:3]) for row in rows] == [
        *(f"blind-bore-1 step {n}," for n in (1, 2, 3, 4)), *(f"blind-bore-2 step {n}," for n in (1, 2))
    ]  # fmt: skip
    assert rows[1][3:6] == ["shoulder", "8", "to"]  # from 8 down to 5 mm


def test_a_file_that_is_spelled_otherwise_is_named():
    assert "did you mean 'lamp-knob.stl'?" in refused("area", SAMPLES / "lampknob.stl")


def test_the_current_to_set_is_one_and_counts_what_bores_take():
    said = " ".join(run("current", SAMPLES / "pen-body.toml").stdout.split())
    to_set, in_full = (float(re.search(rf"{word} ([0-9.]+) A", said)[1]) for word in ("set", "it would be"))
    assert in_full == pytest.approx(2.48e-4 * 7171, rel=0.005)
    quiet = run("current", SAMPLES / "pen-body.toml", "--quiet").stdout
    assert float(quiet.split()[0]) == pytest.approx(to_set, rel=0.005)
    assert to_set == pytest.approx(0.878 * in_full, rel=0.02)  # 36 % of its area takes 66 %: 1 - 0.36 x 0.34
