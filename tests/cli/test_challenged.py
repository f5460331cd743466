"""What cannot be is challenged with the reading that would make sense, and taken once the person has checked it."""

import csv
import json
import re
from pathlib import Path

import pytest
from one_area import AREA_LOAD
from typed import typed

import areacalc
from areacalc.errors import BadInput

SAMPLES = Path(__file__).parents[2] / "sample_models"
KNOB, CLEAT = SAMPLES / "lamp-knob.step", SAMPLES / "cleat.stl"


@pytest.fixture
def cube(tmp_path):
    """A block of 30 mm in mm: under 1 m long in inch, and 3.48 m2."""
    import trimesh

    trimesh.creation.box((30.0, 30.0, 30.0)).export(tmp_path / "cube.stl")
    return tmp_path / "cube.stl"


def run(*words):
    return typed(*words, COLUMNS="100")


def refused(*words):
    done = run(*words)
    assert (done.returncode, done.stdout) == (2, "")
    return done.stderr


def amperes(*words):
    done = run("current", *words, "--quiet")
    assert done.returncode == 0, done.stderr
    return float(done.stdout.split()[0])


@pytest.mark.parametrize(("words", "meant"), [
    ((KNOB, "--unit", "in"), "the file says its unit is mm"), ((CLEAT, "--unit", "in"), "mm (80 mm long)"),
    (("--area", "9 m2"), "9 in2"), (("--area", "9 in2", "--density", "30 A/dm2"), "30 A/ft2"),
    (("--area", "9 in2", "--density", "150 to 160 A/in2"), "160 mA/in2"),
])  # fmt: skip
def test_a_current_that_burns_is_refused_with_what_makes_sense_until_it_is_said_twice(words, meant):
    said = refused("current", *words, "--quiet")
    assert meant in said
    assert "checked" in said
    assert amperes(*words, *words[-2:]) > 0.9 * amperes(*words[:-1], f"{words[-1]}, checked") > 10.0


@pytest.mark.parametrize("command", ["current", "cathode", "tank"])
def test_a_unit_that_gives_a_part_too_much_skin_is_challenged_though_it_is_under_1_m_long(command, cube):
    said = refused(command, cube, "--unit", "in")
    assert "762 mm long with a surface of 34800 cm2" in said
    assert "mm (30 mm long)" in said
    taken = run(command, cube, "--unit", "in", "--unit", "in")
    assert (taken.returncode, taken.stderr) == (0, "") or "945 A over 4 m" in taken.stderr, "too much for its cables"


def test_area_hang_and_a_table_warn_of_too_much_skin_and_python_refuses_it(cube, tmp_path):
    for words in (("area",), ("hang",)):
        assert "warning: in 'in' the part is 762 mm" in run(*words, cube, "--unit", "in").stdout
    run("area", cube, "--unit", "in", "--out", tmp_path / "t.csv")
    assert "with a surface of" in (tmp_path / "t.csv").read_text("utf-8")
    for of in (areacalc.current, areacalc.cathode):
        with pytest.raises(BadInput, match="with a surface of"):
            of([areacalc.open(cube, unit="in")])


def test_a_plan_tells_too_much_skin_before_supply_fit_and_heat(cube, tmp_path):
    load = tmp_path / "load.toml"
    load.write_text(AREA_LOAD.replace('area = "6 in2"', f'file = "{cube}"\nunit = "in"'), "utf-8")
    said = run("plan", load)
    assert said.returncode == 3
    assert "1. stops the run: " in said.stdout.split("Faults", 1)[1]
    assert "with a surface of" in said.stdout
    assert "2." not in said.stdout.split("Faults", 1)[1]


def test_a_largest_plate_in_inches_is_challenged_until_it_is_checked():
    plate = "a plate of 45 x 36 x 0.1 in"
    assert "perhaps its unit should be mm" in refused("tank", "--largest", plate)
    assert "checked" not in run("tank", "--largest", f"{plate}, checked").stderr


@pytest.mark.slow
@pytest.mark.parametrize("command", ["cathode", "tank"])
def test_no_cathode_and_no_tank_is_sized_for_a_doubted_unit(command):
    assert "the file says its unit is mm" in refused(command, KNOB, "--unit", "in")
    assert run(command, KNOB, "--unit", "in", "--unit", "in").returncode == 0


@pytest.mark.parametrize("unit", [("--unit", "in", "--unit", "in"), ("--unit", "in, checked")])
def test_area_says_that_the_unit_is_checked(unit):
    done = run("area", CLEAT, *unit)
    assert done.returncode == 0, done.stderr
    assert "unit in (as given, checked)" in " ".join(done.stdout.split())


def test_a_part_smaller_than_is_shown_keeps_its_rows():
    assert re.search(r"bore-1 +wet .* <0.01", run("area", CLEAT, "--unit", "um").stdout)


def test_a_unit_that_makes_a_part_small_is_a_warning_and_two_units_are_a_slip():
    done = run("current", KNOB, "--unit", "um")
    assert done.returncode == 0
    assert "too small for any part" in " ".join(done.stdout.split())
    assert "says both 'in' and 'mm'" in refused("area", CLEAT, "--unit", "in", "--unit", "mm")


@pytest.mark.slow
def test_a_table_tells_an_overruled_unit_in_the_row_of_its_file(tmp_path):
    table = tmp_path / "parts.csv"
    assert run("area", KNOB, SAMPLES / "ring.stl", "--unit", "in", "--out", table).returncode == 0
    rows = list(csv.DictReader(table.read_text("utf-8").splitlines()))
    assert ["the file says its unit is mm" in row["warnings"] for row in rows] == [True, False]
    again = run("area", KNOB, "--unit", "in", "--unit", "in", "--out", table, "--force")
    assert again.returncode == 0, again.stderr
    (row,) = csv.DictReader(table.read_text("utf-8").splitlines())
    assert (row["unit_how"], row["warnings"]) == ("checked", "")


def test_a_sketch_typed_with_its_unit_is_told_of_another():
    done = run("sketch", "0 12, 100 12; unit mm", "--unit", "in")
    assert "25.4 times as long" in " ".join(done.stdout.split())


def test_a_sketch_typed_without_a_unit_speaks_of_no_file():
    said = run("sketch", "0 12, 100 12").stdout
    assert "note: no unit is stated; areacalc took mm" in said


@pytest.mark.slow
def test_a_plan_of_a_doubted_unit_stops_first_of_all_until_the_load_says_it_is_checked(tmp_path):
    load = tmp_path / "load.toml"
    text = AREA_LOAD.replace('area = "6 in2"', f'file = "{KNOB}"\nunit = "in"')
    load.write_text(text, "utf-8")
    first = json.loads(run("plan", load, "--json").stdout)["faults"][0]
    assert first["weight"] == "stops"
    assert '"in, checked"' in first["text"]
    load.write_text(text.replace('"in"', '"in, checked"'), "utf-8")
    assert "checked" not in run("plan", load).stdout


def test_a_load_refuses_an_area_and_a_density_at_their_lines_until_they_are_checked(tmp_path):
    load = tmp_path / "load.toml"
    wrong = AREA_LOAD.replace("6 in2", "6 m2") + 'density = "30 A/dm2"\n'
    load.write_text(wrong, "utf-8")
    said = refused("plan", load)
    assert "line 3" in said
    assert "line 14" in said
    load.write_text(wrong.replace("6 m2", "6 m2, checked").replace("30 A/dm2", "30 A/dm2, checked"), "utf-8")
    assert run("plan", load).returncode == 3, "the supply gives far too little"


def test_python_refuses_the_current_of_a_doubted_unit():
    with pytest.raises(BadInput, match=r"25\.4 times as long"):
        areacalc.current(areacalc.open(KNOB, unit="in"))
    assert areacalc.current(areacalc.open(KNOB, unit="in, checked")).set_a == pytest.approx(293.4, abs=0.1)
