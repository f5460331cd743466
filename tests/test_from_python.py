"""What areacalc is from Python: short to look at, and lists and counts taken everywhere."""

import re
from pathlib import Path

import pytest

import areacalc
from areacalc.errors import BadInput
from areacalc.figure import Figure

SAMPLES = Path(__file__).parents[1] / "sample_models"


def cells(html):
    return [re.findall(r"<td>(.*?)</td>", line) for line in re.findall(r"<tr>(.*?)</tr>", html)][1:]


@pytest.fixture(scope="module")
def knob():
    return areacalc.open(SAMPLES / "lamp-knob.toml")


@pytest.fixture(scope="module")
def plan():
    return areacalc.plan_of(SAMPLES / "desk-set.toml")


def test_a_part_a_plan_and_a_figure_are_one_short_line(knob, plan):
    time = plan.figure("time")
    for thing in (knob, plan, time):
        assert "\n" not in repr(thing)
        assert len(repr(thing)) < 120
    assert repr(knob).startswith("<Part lamp-knob: ")
    assert repr(plan).startswith("<Plan of desk set: 4 parts, ")
    assert repr(time) == f"<Figure {time.name}: {time.cells()[0]}, {time.cells()[1]}>"


def test_a_notebook_shows_features_figures_and_the_chain(knob, plan):
    rows = cells(knob._repr_html_())
    assert [row[0] for row in rows] == [*(row.feature.name for row in knob.wetted().rows), "wetted area"]
    assert float(rows[-1][4]) == pytest.approx(knob.wetted().value.value, rel=1e-4)
    assert [row[0] for row in cells(plan._repr_html_())] == list(plan.figures)
    chain = cells(plan.figure("time")._repr_html_())
    assert [row[1] for row in chain] == [each.cells()[0] for _, each in plan.figure("time").chain()]
    assert all(isinstance(each, Figure) for _, each in plan.figure("time").chain())


def test_counts_and_lists_are_taken_everywhere(knob):
    one = areacalc.current(knob).set_a
    six = [
        areacalc.current(knob, count=6), areacalc.current([knob] * 6), areacalc.current(knob for _ in range(6)),
        areacalc.current(knob, [knob, knob], count=[1, 2, 3]), areacalc.current(knob, (knob,), count=3),
    ]  # fmt: skip
    assert [each.set_a for each in six] == pytest.approx([6 * one] * 5)
    assert areacalc.cathode(knob, count=2).area_mm2.value == pytest.approx(2 * areacalc.cathode(knob).area_mm2.value)
    assert areacalc.wetted_area_mm2("1 in2", count=4).value == pytest.approx(4 * 645.16)
    assert knob.with_choices(mask=iter(["z below 2 mm"])).choices.mask == ("z below 2 mm",)
    changed = areacalc.plan_of(SAMPLES / "desk-set.toml", ["pen body.count = 2"], "temperature = 18 C")
    assert changed.load.count == 5


@pytest.mark.parametrize(("count", "said"), [
    (0, "count: 0 is not a whole number from 1"),
    ("six", "count: 'six' is not a whole number from 1"),
    (1.5, "count: 1.5 is not a whole number from 1"),
    ([1, 2], "count is given 2 times for 1 file"),
    (10**6, "count: 1000000 is more than 10000"),
])  # fmt: skip
def test_a_count_that_is_none_is_told(knob, count, said):
    with pytest.raises(BadInput, match=said):
        areacalc.current(knob, count=count)


@pytest.mark.parametrize("thing", [None, b"6 in2", {"6 in2"}.__class__, 1j])
def test_what_is_no_part_and_no_area_is_told(thing):
    with pytest.raises(BadInput, match="is neither a part nor an area"):
        areacalc.current(thing)


@pytest.mark.parametrize("jobs", [0, -3])
def test_no_workers_cannot_make_a_table(jobs):
    with pytest.raises(BadInput, match=f"jobs: {jobs} is not a whole number from 1"):
        areacalc.table(SAMPLES / "ring.stl", unit="mm", jobs=jobs)


def test_a_table_is_a_list_of_records_and_a_data_frame(tmp_path):
    keep = tmp_path / "rows"
    names = [SAMPLES / "ring.stl", SAMPLES / "no-such.stl"]
    rows = areacalc.table(names, unit="mm", jobs=1, keep=keep)
    assert repr(rows) == "<Rows: 2 parts, 1 of them not measured>"
    assert rows[0]["wetted_area_mm2"] == areacalc.open(names[0], unit="mm").wetted().value.value
    assert "there is no such file" in rows[1]["problem"]
    assert rows[1]["wetted_area_mm2"] is None
    assert [row[0] for row in cells(rows._repr_html_())] == list(map(str, names))
    changed = keep.stat().st_mtime_ns
    assert areacalc.table(iter(names[:1]), unit="mm", keep=keep) == rows[:1]
    assert keep.stat().st_mtime_ns == changed
    pandas = pytest.importorskip("pandas")
    frame = rows.frame()
    assert isinstance(frame, pandas.DataFrame)
    assert list(frame.columns) == list(rows[0])
    assert frame["wetted_area_mm2"][0] == rows[0]["wetted_area_mm2"]
