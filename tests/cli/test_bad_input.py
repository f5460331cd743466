"""What no command can use: one line that says where, what and what to do instead, exit 2, and nothing written."""

import os
import sys
from pathlib import Path

import pytest
from areacalc_cli.main import run

import areacalc
from areacalc.errors import BadInput

SAMPLES = Path(__file__).parents[2] / "sample_models"
DESK_SET, RING = SAMPLES / "desk-set.toml", SAMPLES / "ring.stl"
PLATE = ("tank", "--largest", "a plate of 300 x 200 x 6 mm")
SWEEP = ("plan", DESK_SET, "--sweep")
CHOICES = ("area", RING, "--choices", "odd.toml")
ROD = ("sketch", "0 12, 40 12")


@pytest.fixture
def refused(tmp_path, monkeypatch, capsys):
    """The one line of a command that ends with exit code 2 and leaves its folder as it was."""
    monkeypatch.chdir(tmp_path)

    def asked(*words):
        before = sorted(os.listdir(tmp_path))
        monkeypatch.setattr(sys, "argv", ["areacalc", *map(str, words)])
        with pytest.raises(SystemExit) as end:
            run()
        out, said = capsys.readouterr()
        assert (end.value.code, out) == (2, ""), said
        assert said.count("\n") == 1
        assert sorted(os.listdir(tmp_path)) == before
        return said

    return asked


@pytest.mark.parametrize("command", ["current", "cathode"])
@pytest.mark.parametrize(("words", "says"), [
    (("--plug", "bore-1"), "--plug needs a part file"), (("--as-drawn",), "--as-drawn needs a part file"),
    (("--unit", "mm"), "--unit needs a part file"), (("--choices", "x.toml"), "--choices needs a part file"),
    (("--count", "1000000"), "--count: 1000000 is more than 10000"),
    (("--count", "2", "--count", "3"), "--count is given 2 times for 1"),
])  # fmt: skip
def test_options_that_an_area_cannot_follow(refused, command, words, says):
    assert says in refused(command, "--area", "6 in2", *words)


@pytest.mark.parametrize(("words", "says"), [
    (("cathode", "--area", "6 in2", "--strip", "", "--depth", "8 in"), "--strip: '' does not start"),
    (("cathode", "--area", "6 in2", "--ratio", "nan"), "--ratio: 'nan' is not known; choose from small-tank"),
    (("cathode", "--area", "6 in2", "--ratio", "-1"), "a ratio of -1 must be above zero"),
    (("current", "--area", "6 in2", "--json", "-q"), "--json cannot be used with --quiet"),
    (("current", "--area", "6 in2", "-q", "--json"), "--json cannot be used with --quiet"),
    (("tank", "--area", "-1 in2"), "--area: '-1 in2' must be above zero"),
    (("tank", "--area", "6 in2", "--plug", "bore-1"), "--plug needs a part file"),
    ((*PLATE, "--count", "3"), "--count needs a part file"), ((*PLATE, "--distance", "0 mm"), "size is not above"),
    (("tank", "--largest", "1000000 plates of 3 x 2 x 1 mm"), "1000000 are more than 10000"),
    (("tank", "--largest", "9" * 400 + " plates of 3 x 2 x 1 mm"), "is not a shape that is known"),
    ((*PLATE, "--draw", "x.png"), "--draw: '.png' is not known"),
    ((*SWEEP, "temperature = 16 C to 20 C in 2", "--plot", "x.png"), "--plot: '.png' is not known"),
    ((*SWEEP, "temperature = 16 C to 20 C in 2", "--plot", "none/x.svg"), "none/x.svg cannot be written"),
    ((*SWEEP, "acid = 160 to 200 g/L in 2", "-w", "acid=180 g/L"), "bath.acid is changed by what-if as well"),
    (("plan", DESK_SET, "-w", "acid=180 g/L", "-w", "bath.acid=190 g/L"), "--what-if: changes bath.acid twice"),
    ((*SWEEP, "count = nan to 3"), "--sweep: count: 'nan' is not a whole number"),
    ((*SWEEP, "count = 1 to inf"), "'inf' is not a whole number"),
    ((*SWEEP, "count = 1.5 to 3.5"), "'1.5' is not a whole number"),
    ((*SWEEP, "seal_ph = nan to 7"), "is not a number"),
])  # fmt: skip
def test_an_option_that_says_nothing_possible(refused, words, says):
    assert says in refused(*words)


@pytest.mark.parametrize(("words", "says"), [
    (("init", ""), "a load file ends in .toml"), (("init", "."), "a load file ends in .toml"),
    (("init", "a" * 300 + ".toml"), "cannot be written"), (("init", "n.toml", "--unit", "km"), "not a length unit"),
    (("init", "n.toml", "--name", "\udcff"), "letters that cannot be written"),
    (("logbook", "add", "none.toml"), "none.toml: there is no such file"), (("logbook", "add", ""), "is a folder"),
    (("logbook", "add", RING), "is a binary STL file, not a load file"),
    (("logbook", "add", SAMPLES / "pen-body.toml"), "is a lathe profile"),
    (("logbook", "add", "pens.toml", "--when", "0206-03-03"), "'0206-03-03' is long past"),
    (("logbook", "show", "7"), "run 7 is not in the logbook"), (("logbook", "bath", "x"), "'x' is not known"),
    (("logbook", "import", "none.csv"), "none.csv cannot be read"),
    (("logbook", "import", "x.txt"), "'.txt' is not known"), (("logbook", "export", "x.txt"), "'.txt' is not known"),
    (("logbook", "correct", "1"), "nothing to correct is given"),
    (("logbook", "result", "1", "--photo", "none.jpg"), "--photo: there is no file 'none.jpg'"),
    (("tank", SAMPLES / "desk-set.toml", "--plug", "bore-1"), "--plug cannot be used with a load file"),
    (("plan", "/dev/zero"), "is a device, not a load file"),
    (("area", RING, "--unit", "mm", "--choices", "/dev/zero"), "is a device, not a file of choices"),
])  # fmt: skip
def test_a_file_that_is_none(refused, words, says):
    assert says in refused(*words)


@pytest.mark.parametrize(("text", "says"), [
    ("a = " + "[" * 5000 + "]" * 5000, "too deep in one another"), ("a = " + "9" * 5000, "too many figures"),
])  # fmt: skip
@pytest.mark.parametrize(
    "words", [("plan", "odd.toml"), ("sketch", "odd.toml"), ("area", RING, "--choices", "odd.toml")]
)
def test_a_text_that_python_itself_will_not_take(refused, tmp_path, words, text, says):
    (tmp_path / "odd.toml").write_text(text)
    assert says in refused(*words)


def test_a_logbook_that_is_a_folder_or_something_else_is_told(refused, tmp_path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "text").write_text("no database\n" * 100)
    assert "folder cannot be opened" in refused("--logbook", "folder", "logbook")
    assert "text is not a logbook" in refused("--logbook", "text", "logbook", "list")


@pytest.mark.parametrize(("words", "says"), [
    (("0 12,5, 40 12,5",), "'5' is not a point; write position and diameter, as in '40 12'; decimals take a point"),
    (("0 12, 40 12 5",), "'5' is not understood; a comma ends a point; decimals take a point"),
    (("0 12, 40 12; bore left 8,5 x 10",), "or 'bore through 8'; decimals take a point"),
    (("0 12, 40 12; unit mm; unit in",), "says its unit twice"),
    (("0 12, 40 12 thread 1/0-16",), "is not a thread that is known"),
    ((f"0 12, 40 12 thread M{'9' * 100}x1",), "is not a thread that is known"),
    ((f"0 12, 40 12 thread 3/8-{'9' * 100}",), "is not a thread that is known"),
    ((f"0 12, 40 12 thread #{'9' * 100}-32",), "is not a thread that is known"),
    (("0 12, 1e308 12",), "more than the largest length"),
    ((ROD[1], "--draw", "half.svg", "--export", "rod.exe"), "--export: '.exe' is not known"),
    ((SAMPLES / "pen-body.toml", "--draw", "half.svg", "--export", "pen.toml"), "--export: a TOML file is written"),
])  # fmt: skip
def test_a_sketch_that_is_none(refused, words, says):
    assert says in refused("sketch", *words)


def test_a_plug_of_no_depth_has_no_mouth(refused):
    area = "area", RING, "--unit", "mm", "--plug"
    assert "says a mouth and no depth" in refused(*area, "bore-1 from mouth 2")
    assert "is not understood" in refused(*area, f"bore-1 5 mm deep from mouth {'9' * 5000}")


def test_an_area_below_nothing_is_not_taken_from_the_others():
    with pytest.raises(BadInput, match="area: '-1 in2' is below zero"):
        areacalc.current("6 in2", "-1 in2")


def test_a_part_that_may_hang_wholly_dry_is_told(refused, tmp_path):
    cap = (SAMPLES / "pen-cap.toml").as_posix()
    (tmp_path / "pens.toml").write_text(
        f'[[part]]\nfile = "{cap}"\nup = "0,1,1"\nliquid_line = "1e-9 mm"\n'
        '[bath]\nacid = "180 g/L"\ntemperature = "20 C"\n[tank]\nvolume = "10 L"\n'
    )
    said = refused("plan", "pens.toml")
    assert "all of it may stay dry: 0 to " in said
    assert "pens.toml, line 2" in said


def test_a_device_is_not_replaced_by_a_file(refused, tmp_path):
    os.mkfifo(tmp_path / "half.svg")
    assert "half.svg is a device, not a file" in refused(*ROD, "--draw", "half.svg")
