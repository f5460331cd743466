"""A run drawn on a page: every reading is there, what did not fit is marked, the file is the same each time."""

import sys
from dataclasses import replace
from xml.etree import ElementTree

import msgspec
import numpy as np
import pytest
from simulated_tank import desk_set, hidden, log_of

from areacalc.errors import BadInput
from areacalc.report.run_picture import months_picture, run_picture

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def record():
    plan = desk_set()
    (each,) = log_of(plan, 1, hidden(plan, np.random.default_rng(1)), runs=1, every_s=120.0)
    return each


def drawn(content):
    """The texts of a picture, and how many marks each of its lines of marks has."""
    root = ElementTree.fromstring(content)
    texts = ["".join(text.itertext()) for text in root.iter(f"{SVG}text")]
    marks = [len(group.findall(f"{SVG}use")) for group in root.iter(f"{SVG}g") if group.findall(f"{SVG}use")]
    return texts, marks


def test_a_page_shows_every_reading_of_every_meter_on_what_was_planned(record):
    texts, marks = drawn(run_picture(record, desk_set(), "svg"))
    assert {"volts [V]", "amperes [A]", "bath [°C]", "coating [µm]", "Run 1: desk set"} <= set(texts)
    assert marks.count(len(record.readings)) == 3
    assert any("came out: " in text for text in texts)


def test_a_reading_that_did_not_fit_is_marked_as_such(record):
    last = msgspec.structs.replace(record.readings[-1], volts_v=record.readings[-1].volts_v + 4.0)
    _, marks = drawn(run_picture(replace(record, readings=(*record.readings[:-1], last)), desk_set(), "svg"))
    assert marks.count(len(record.readings) - 1) == 3


def test_a_reading_outside_the_band_of_its_meter_is_a_cross_there(record):
    ahead = msgspec.structs.replace(record.readings[0], current_a=1.7 * record.readings[0].current_a, volts_v=None)
    _, marks = drawn(run_picture(replace(record, readings=(ahead, *record.readings[1:])), desk_set(), "svg"))
    whole = len(record.readings)
    assert (marks.count(whole), marks.count(whole - 1)) == (1, 2)  # amperes have a cross, volts one dot less


def test_a_run_whose_load_is_gone_is_drawn_without_its_plan(record):
    with_plan, without = (len(run_picture(record, plan, "svg")) for plan in (desk_set(), None))
    assert without < with_plan
    assert drawn(run_picture(record, None, "svg"))[1].count(len(record.readings)) == 3


def test_the_same_run_is_the_same_file(record):
    assert run_picture(record, desk_set(), "svg") == run_picture(record, desk_set(), "svg")


@pytest.mark.parametrize(("ending", "begins"), [("png", b"\x89PNG"), ("pdf", b"%PDF")])
def test_other_kinds_of_file(record, ending, begins):
    assert run_picture(record, desk_set(), ending).startswith(begins)


def test_a_figure_over_the_months_has_a_mark_for_each_run_that_has_it(record):
    runs = [msgspec.structs.replace(record.run, when=f"2026-0{month}-03T10:00", end_v=17.0 + 0.1 * month)
            for month in range(1, 8)]  # fmt: skip
    _, marks = drawn(months_picture([*runs, record.run], "end_v", "volts at the end [V]", "svg"))
    assert 7 in marks
    with pytest.raises(BadInput, match="no run has its volts at the end"):
        months_picture([record.run], "end_v", "volts at the end [V]", "svg")


def test_without_the_library_one_line_says_what_to_install(record, monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib.figure", None)
    with pytest.raises(BadInput, match="needs matplotlib"):
        run_picture(record, desk_set(), "svg")
