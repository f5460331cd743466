"""What every command prints, in metric and in US units: one screen where it is short, in the shop's words and units."""

import functools
import re
from pathlib import Path

import pytest
from typed import typed

ROOT = Path(__file__).parents[2]
KNOB, CLEAT, RING = "sample_models/lamp-knob.stl", "sample_models/cleat.stl", "sample_models/ring.stl"
FOUR = ("sample_models/pen-body.toml", "sample_models/pen-cap.toml", "sample_models/lamp-knob.toml",
        "-n", "1", "-n", "1", "-n", "2")  # fmt: skip
SET = "sample_models/desk-set.toml"
SHORT = (
    ("area", *FOUR),
    ("area", CLEAT, "--unit", "mm", "--plug", "bore-1"),
    ("current", *FOUR),
    ("plan", SET),
    ("hang", KNOB, "--unit", "mm", "--directions", "0"),
    ("tank", *FOUR),
    ("tank", "--largest", "a tube of 400 x 30 x 26 mm"),
    ("mix", "--volume", "10 L"),
    ("mix", SET, "--have", "9 L", "--acid", "185 g/L"),
    ("cathode", "--area", "9 in2", "--strip", "1 in", "--depth", "8 in"),
    ("check", SET, "--volts", "18 V", "--amps", "1 A"),
)
LONG = (
    ("area", KNOB, "--unit", "mm", "--full"),
    ("area", KNOB, "--unit", "mm", "--up", "x+", "--liquid-line", "5 mm below the top"),
    ("sketch", "0 12, 100 12, 110 8; bore left 8 x 90 drill 118; unit mm"),
    ("hang", KNOB, "--unit", "mm", "--directions", "0", "--full"),
    ("current", CLEAT, "--unit", "mm"),
    ("plan", SET, "--full"),
    ("plan", SET, "--what-if", "supply.current = 1 A"),
    ("explain", SET, "current"),
    ("explain", SET, "time"),
    ("explain", SET, "evenness"),
    ("explain", SET, "exhaust"),
    ("explain", SET),
    ("mix", SET, "--have", "9 L", "--acid", "185 g/L", "--full"),
    ("tank", "--largest", "a plate of 300 x 200 x 6 mm", "--full"),
)
SAID_IN_METRIC = (
    r"mg/m3",  # limits in air, as OSHA writes them
    r"S/m\b", r"kJ/mol", r"mol/L",  # chemistry
    r"cable, [\d.]+ mm2",  # cable as it is sold where no gauge is given
    r"a (plate|tube) of [\dx m]+ mm", r"of [\d.]+ mm x [\d.]+ mm( x [\d.]+ mm)?",  # the load, as it was typed
    r"M[\d.]+x[\d.]+",
)  # fmt: skip
METRIC = re.compile(
    r"(?<![\w.])-?\d[\d.]*( to [\d.]+)? (mm2?|cm2?|um|C|K|kg|g|L|mL|W|N|kW|m2|m3/h|L/min|g/L|kg/L|A/L|A/dm2|W/dm2|kJ)"
    r"(?![\w/])|litre|dm2|1/mm|m3/\(h m2\)"
)
PRINTED_WRONG = (
    r"(?<![\w.,])1 (?!minus|plus|is\b|was\b|has\b|across\b|less\b|this\b)[a-z]+[^s\W]s\b(?!-)", r"\d[eE][-+]\d",
    r"\bis none\b", r"more than nothing",
    r"\(\)", r"\s,", r" \.(?=\s|$)", r"\bNone\b", r"\bnan\b", r"\binf\b",
)  # fmt: skip


@functools.cache
def printed(words, units):
    done = typed(*words, "--show", units, cwd=ROOT, COLUMNS="80")
    assert done.returncode in (0, 3), done.stderr
    return done.stdout


def without(text, patterns):
    for each in patterns:
        text = re.sub(each, "", text)
    return text


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("words", SHORT, ids=" ".join)
def test_a_short_answer_is_one_screen(words, units):
    lines = printed(words, units).splitlines()
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("words", LONG, ids=" ".join)
def test_a_long_answer_keeps_to_80_columns(words, units):
    assert max(map(len, printed(words, units).splitlines())) <= 80


@pytest.mark.parametrize("words", SHORT + LONG, ids=" ".join)
def test_nothing_metric_is_left_in_us_units(words):
    said = printed(words, "in")
    if words[0] == "explain":  # sources and formulas say what they say
        said = "\n".join(line for line in said.splitlines() if not line.startswith("     "))
    found = [each[0] for each in METRIC.finditer(without(" ".join(said.split()), SAID_IN_METRIC))]
    assert found == []
    assert printed(words, "mm") != said


@pytest.mark.parametrize("words", SHORT + LONG, ids=" ".join)
def test_numbers_and_plurals_are_written_as_people_write_them(words):
    for units in ("mm", "in"):
        said = " ".join(printed(words, units).split())
        assert [found[0] for each in PRINTED_WRONG for found in re.finditer(each, said)] == []


def test_what_a_name_tells_a_terminal_or_a_spreadsheet_is_shown_and_not_obeyed(tmp_path):
    for name in ("a\x1b[31mred", "=1+1", "@<b>"):
        (tmp_path / f"{name}.toml").write_text('unit = "mm"\noutside = ["0 12", "20 12"]\n')
    said = typed("area", "a\x1b[31mred.toml", cwd=tmp_path).stdout
    assert "a?[31mred: 20 x 12 x 12 mm" in said
    assert "\x1b" not in typed("area", "gone\x1b[31m.toml", cwd=tmp_path).stderr
    assert typed("area", "*.toml", "--out", "all.csv", cwd=tmp_path).returncode == 0
    cells = [line.split(",") for line in (tmp_path / "all.csv").read_text("utf-8").splitlines()[1:]]
    assert {"'=1+1", "'@<b>"} < {cell for row in cells for cell in row}
    assert not any(cell.startswith(("=", "@")) for row in cells for cell in row)
