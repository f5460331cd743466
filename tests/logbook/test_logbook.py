"""The logbook: only added to, read back whole, searched by words."""

from __future__ import annotations

import dataclasses
import json
import resource

import pytest

from areacalc.errors import BadInput, UnknownName
from areacalc.logbook.logbook import Entry, append, find, logbook_of, read

RUN = Entry("2026-03-03T10:00", "pens", 1e4, 2.5, 2.5, 1800.0, 14.0, 180.0, 3.0, 20.0, dye="night blue", remark="größe")


def test_an_absent_book_is_empty(tmp_path):
    assert read(tmp_path / "none.log.jsonl") == ()


def test_runs_are_added_and_read_back_in_order(tmp_path):
    book = logbook_of(tmp_path / "pens.toml")
    later = dataclasses.replace(RUN, when="2026-04-01T09:00", current_a=2.4)
    append(book, RUN)
    first = book.read_bytes()
    append(book, later)
    assert book.read_bytes().startswith(first)
    assert read(book) == (RUN, later)
    assert json.loads(book.read_text("utf-8").splitlines()[0])["schema"] == "areacalc/log/1"


@pytest.mark.parametrize(("line", "what"), [
    ("not json", "not a line of JSON"), ("{}", "not a run"), ('{"schema": "areacalc/log/1"}', "is missing"),
    ('{"schema": "areacalc/log/1", "colour": 3}', "colour is not known"), ("[1]", "not a run"),
])  # fmt: skip
def test_a_line_that_is_no_run_is_told(tmp_path, line, what):
    book = tmp_path / "pens.log.jsonl"
    append(book, RUN)
    book.write_text(book.read_text() + line + "\n")
    with pytest.raises(BadInput, match=f"line 2: .*{what}"):
        read(book)


def test_a_book_that_cannot_be_written_is_told(tmp_path):
    with pytest.raises(BadInput, match="cannot be written"):
        append(tmp_path / "no folder" / "x.log.jsonl", RUN)


def test_words_find_the_latest_run():
    later = dataclasses.replace(RUN, when="2026-04-01T09:00")
    assert find([RUN, later], "pens, night") is later
    assert find([RUN, later], "2026-03-03") is RUN
    with pytest.raises(UnknownName, match="2026-03-03 pens night blue"):
        find([RUN], "red")
    with pytest.raises(UnknownName, match="no runs yet; write a run down first"):
        find([], "red")
    with pytest.raises(UnknownName):
        find([], "")


@pytest.mark.parametrize(
    ("name", "value"), [("current_a", '"x"'), ("remark", "NaN"), ("film_um", "true"), ("when", "3")]
)
def test_a_value_of_the_wrong_kind_is_told(tmp_path, name, value):
    book = tmp_path / "pens.log.jsonl"
    line = json.loads(json.dumps({"schema": "areacalc/log/1", **dataclasses.asdict(RUN)}))
    line.pop(name)
    book.write_text(json.dumps(line)[:-1] + f', "{name}": {value}}}\n')
    with pytest.raises(BadInput, match=f"line 1: {name} is "):
        read(book)


def test_a_mark_of_byte_order_is_no_fault(tmp_path):
    book = tmp_path / "pens.log.jsonl"
    append(book, RUN)
    book.write_text("\ufeff" + book.read_text("utf-8"), "utf-8")
    assert read(book) == (RUN,)


def test_nothing_is_added_to_a_damaged_book(tmp_path):
    book = tmp_path / "pens.log.jsonl"
    book.write_text('{"schema": "areacalc/log/1"\n')
    with pytest.raises(BadInput, match="line 1: is not a line of JSON"):
        append(book, RUN)
    assert book.read_text() == '{"schema": "areacalc/log/1"\n'


@pytest.mark.parametrize(("field", "value", "what"), [
    ("start_v", -4.0, "-4 V is not more than nothing"), ("end_v", 0.0, "0 V"), ("dye_s", -60.0, "-60 s"),
    ("seal_s", float("nan"), "nan s"), ("end_temperature_c", 300.0, "is liquid from about"),
    ("end_temperature_c", -40.0, "is liquid from about"),
])  # fmt: skip
def test_a_reading_that_no_run_can_have_had_is_refused(tmp_path, field, value, what):
    book = tmp_path / "pens.log.jsonl"
    with pytest.raises(BadInput, match=f"{field}: .*{what}"):
        append(book, dataclasses.replace(RUN, **{field: value}))
    assert not book.exists()


@pytest.mark.parametrize("remark", ["two\u2028lines", "next\x85line", "a\x0cform feed", "a\nnew line"])
def test_a_remark_of_any_text_is_one_line_of_the_book(tmp_path, remark):
    book = tmp_path / "pens.log.jsonl"
    told = dataclasses.replace(RUN, remark=remark)
    append(book, told)
    append(book, RUN)
    assert read(book) == (told, RUN)


def test_a_remark_that_is_no_text_is_refused(tmp_path):
    book = tmp_path / "pens.log.jsonl"
    with pytest.raises(BadInput, match="no text"):
        append(book, dataclasses.replace(RUN, remark="\udcff"))
    assert not book.exists()


def test_a_last_line_left_open_is_closed_first(tmp_path):
    book = tmp_path / "pens.log.jsonl"
    append(book, RUN)
    book.write_bytes(book.read_bytes().rstrip(b"\n"))
    append(book, RUN)
    assert read(book) == (RUN, RUN)


def test_a_run_that_does_not_fit_on_the_disk_leaves_the_book_as_it_was(tmp_path):
    book = tmp_path / "pens.log.jsonl"
    append(book, RUN)
    before = book.read_bytes()
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (len(before) + 20, hard))
    try:
        with pytest.raises(BadInput, match="cannot be written"):
            append(book, RUN)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert book.read_bytes() == before


@pytest.mark.parametrize("line", ["[" * 100_000, "9" * 5000])
def test_a_line_of_absurd_json_is_told(tmp_path, line):
    book = tmp_path / "pens.log.jsonl"
    book.write_text(line + "\n")
    with pytest.raises(BadInput, match="line 1: is not a line of JSON"):
        read(book)


@pytest.mark.parametrize(
    ("name", "value"), [("film_um", -14.0), ("run_s", 0.0), ("film_um", 10**400), ("area_mm2", None)]
)
def test_a_figure_that_no_run_has_is_told(tmp_path, name, value):
    book = tmp_path / "pens.log.jsonl"
    book.write_text(json.dumps({"schema": "areacalc/log/1", **dataclasses.asdict(RUN), name: value}) + "\n")
    with pytest.raises(BadInput, match=f"line 1: {name} is "):
        read(book)
