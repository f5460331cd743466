"""What is typed at the tank, or sent by a meter."""

import pytest

from areacalc.errors import BadInput
from areacalc.run.typed import Typed, Word, typed


@pytest.mark.parametrize(("line", "says"), [
    ("17.2 3.0", Typed(volts_v=17.2, current_a=3.0)), ("17,2 3,0 20,5", Typed(None, None, 17.2, 3.0, 20.5)),
    ("17.2;3.0;20.5", Typed(None, None, 17.2, 3.0, 20.5)), ("17.2,3.01,20.5", Typed(None, None, 17.2, 3.01, 20.5)),
    ("3 A 17.2 V", Typed(volts_v=17.2, current_a=3.0)), ("17.2V, 3A", Typed(volts_v=17.2, current_a=3.0)),
    ("12:30 17.2 3", Typed(at_s=750.0, volts_v=17.2, current_a=3.0)), ("20.5 C", Typed(temperature_c=20.5)),
    ("18 V, 3 A, 20.5 C", Typed(None, None, 18.0, 3.0, 20.5)),
    ("+1.80E+01,+3.0e0", Typed(volts_v=18.0, current_a=3.0)), ("18 V 3000 mA", Typed(volts_v=18.0, current_a=3.0)),
    ("18.0V 20.5 °C", Typed(volts_v=18.0, temperature_c=20.5)),
    ("2026-03-03T10:05:01.5 17.2 3", Typed(volts_v=17.2, current_a=3.0, at_date="2026-03-03T10:05:01.5")),
    ("2026-03-03 10:05,17.2,3.0", Typed(volts_v=17.2, current_a=3.0, at_date="2026-03-03 10:05")),
    ("17.2\t3.0", Typed(volts_v=17.2, current_a=3.0)), ("next", Typed(Word.NEXT)), ("OFF", Typed(Word.NEXT)),
    ("end", Typed(Word.END)), ("leave", Typed(Word.LEAVE)), ("note a bubble, left", Typed(remark="a bubble, left")),
])  # fmt: skip
def test_a_line_is_read(line, says):
    assert typed(line) == says


@pytest.mark.parametrize("line", [
    "17.2", "volts 17", "17.2 3 20 4", "note", "17 V 18 V", "1:7 17 3", "17.2 three", "--", "1e999 3", "nan 3",
    "9" * 400 + " 3",
])  # fmt: skip
def test_a_line_that_is_no_reading_is_refused(line):
    with pytest.raises(BadInput, match="type volts, amperes and bath"):
        typed(line)


def test_the_way_to_write_a_reading_is_in_the_units_shown():
    with pytest.raises(BadInput, match=r"such as 17\.2 3 69,"):
        typed("volts", fahrenheit=True)


@pytest.mark.parametrize("line", ["17,2", "17,2,3", "12:30 17,2"])
def test_commas_that_may_be_either_are_asked_about(line):
    with pytest.raises(BadInput, match="put a space between the meters: 17,2 3 20,5"):
        typed(line)


def test_what_is_no_text_is_shown_harmlessly():
    with pytest.raises(BadInput, match=r"'\?\?' is not a reading"):
        typed("\udcff\x1b")
