"""One setting changed in words, and swept."""

import pytest

from areacalc.errors import BadInput, UnknownName
from areacalc.load.changes import at_value, changed, sweep

DATA = {
    "part": [{"name": "cap", "area": "6 in2", "count": 2}, {"name": "pen body", "area": "9 in2", "count": 4}],
    "bath": {"acid": "180 g/L", "temperature": "20 C"},
    "tank": {"volume": "10 L"},
    "finish": {"shade": "dark"},
}


def test_a_bare_key_is_found_in_its_table():
    assert changed(DATA, "temperature=18 C")["bath"]["temperature"] == "18 C"
    assert DATA["bath"]["temperature"] == "20 C"


def test_count_means_every_part_and_a_name_means_that_part():
    assert [p["count"] for p in changed(DATA, "count=6")["part"]] == [6, 6]
    assert [p["count"] for p in changed(DATA, "pen body.count = 6")["part"]] == [2, 6]


def test_a_change_takes_its_rival_out():
    assert changed(DATA, "thickness=12 um")["finish"] == {"thickness": "12 um"}
    assert changed(DATA, "tank.length=300 mm")["tank"] == {"length": "300 mm"}


def test_a_run_that_was_seen_stays_in_the_bath_it_was_seen_in():
    seen = {**DATA, "bath": {**DATA["bath"], "measured_voltage": "18 V", "measured_density": "2.4 A/dm2"}}
    assert changed(seen, "temperature=16 C")["bath"] | {"temperature": "20 C", "measured_temperature": "20 C"} == (
        seen["bath"] | {"measured_temperature": "20 C"}
    )
    told = {**seen, "bath": {**seen["bath"], "measured_temperature": "22 C"}}
    assert changed(told, "temperature=16 C")["bath"]["measured_temperature"] == "22 C"
    swept = sweep(seen, "temperature = 16 C to 24 C in 3")
    assert [at_value(seen, swept, n)["bath"]["measured_temperature"] for n in range(3)] == ["20 C"] * 3


def test_a_table_that_is_not_there_is_begun():
    assert changed(DATA, "supply.current=5 A")["supply"] == {"current": "5 A"}


def test_lists_are_parted_by_semicolons():
    assert changed(DATA, "plug=bore-1; bore-2")["part"][0]["plug"] == ["bore-1", "bore-2"]


@pytest.mark.parametrize(("words", "error", "what"), [
    ("count", BadInput, "not a change"), ("cuont=3", UnknownName, "did you mean 'count'"),
    ("lid.count=3", UnknownName, "'lid' is not known"), ("count=-1", BadInput, "must be 1 or more"),
    ("count=some", BadInput, "not a whole number"), ("temperature=18", BadInput, "has no unit"),
    ("bath.size=3", UnknownName, "'size' is not known"), ("thickness=0 um", BadInput, "must be above 0"),
])  # fmt: skip
def test_a_change_that_is_none_is_refused(words, error, what):
    with pytest.raises(error, match=what):
        changed(DATA, words)


def test_a_sweep_of_a_quantity():
    swept = sweep(DATA, "temperature = 60 to 70 F in 3")
    assert swept.values == pytest.approx((15.5556, 18.3333, 21.1111), rel=1e-4)
    assert swept.texts == ("60 F", "65 F", "70 F")
    assert at_value(DATA, swept, 0)["bath"]["temperature"] == "60 F"
    assert sweep(DATA, "tank.length = 1 ft to 2 ft in 3").texts == ("1 ft", "1.5 ft", "2 ft")


def test_density_is_swept_though_its_key_takes_words_too():
    swept = sweep({}, "density = 1 A/dm2 to 2 A/dm2 in 3")
    assert swept.texts == ("1 A/dm2", "1.5 A/dm2", "2 A/dm2")
    assert at_value({}, swept, 1) == {"finish": {"density": "1.5 A/dm2"}}
    assert sweep({}, "density = 10 A/ft2 to 20 A/ft2 in 2").texts == ("10 A/ft2", "20 A/ft2")


def test_a_sweep_of_a_count_goes_by_ones():
    swept = sweep(DATA, "count = 1 to 4")
    assert [at_value(DATA, swept, i)["part"][0]["count"] for i in range(len(swept.values))] == [1, 2, 3, 4]


@pytest.mark.parametrize(("words", "what"), [
    ("count 1 to 4", "not a sweep"), ("shade = pale to dark", "not a number"), ("count = 3 to 3", "has 1 values"),
    ("temperature = 3 C to 9 C in 1000", "has 1000 values"), ("temperature = 3 V to 9 V", "not a temperature"),
])  # fmt: skip
def test_a_sweep_that_is_none_is_refused(words, what):
    with pytest.raises(BadInput, match=what):
        sweep(DATA, words)


def test_a_volume_takes_the_place_of_the_sizes_and_an_efficiency_that_of_a_rule():
    tank = {"tank": {"length": "300 mm", "width": "200 mm", "depth": "170 mm"}}
    assert changed(tank, "volume = 20 L") == {"tank": {"volume": "20 L"}}
    ruled = {"finish": {"rule": "312"}}
    assert changed(ruled, "coating_efficiency = 70 %") == {"finish": {"coating_efficiency": "70 %"}}


def test_a_sweep_of_acid_takes_every_word_for_its_strength():
    asked = sweep({}, "acid = 15 wt% to 20 wt% in 2")
    assert asked.values == pytest.approx((165.4, 227.9), abs=0.1)  # 1102.6 and 1139.4 g/L at 20 C
    assert sweep({}, "acid = 160 to 200 g/L in 2").values == pytest.approx((160.0, 200.0))


def test_a_name_of_two_parts_names_none():
    twice = {"part": [{"name": "cap", "count": 2}, {"name": "cap", "count": 4}]}
    with pytest.raises(BadInput, match="2 parts are named 'cap'"):
        changed(twice, "cap.count = 6")
