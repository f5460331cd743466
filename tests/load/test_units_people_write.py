"""Units as people write them, each against its definition; what could be read two ways is refused."""

import pytest

from areacalc.bath.window import window
from areacalc.errors import BadInput
from areacalc.quantity import LARGEST, parse, shown_unit
from areacalc.quantity import Dimension as Dim


@pytest.mark.parametrize(("words", "dimension", "value"), [
    ("1/2 in", Dim.LENGTH, 12.7), ('1/2"', Dim.LENGTH, 12.7), ("1 1/2 in", Dim.LENGTH, 38.1),
    ("1½ in", Dim.LENGTH, 38.1),
    ("½ inch", Dim.LENGTH, 12.7), ("12,5 mm", Dim.LENGTH, 12.5), ("0,500 in", Dim.LENGTH, 12.7),
    ("12 V", Dim.VOLTAGE, 12.0), ("12 volts", Dim.VOLTAGE, 12.0), ("300 mA", Dim.CURRENT, 0.3),
    ("3 amps", Dim.CURRENT, 3.0),
    ("0.16 A/in2", Dim.CURRENT_DENSITY, 0.16 / 0.064516), ("160 mA/sq in", Dim.CURRENT_DENSITY, 0.16 / 0.064516),
    ("15 A/ft2", Dim.CURRENT_DENSITY, 15.0 / 9.290304), ("15 ASF", Dim.CURRENT_DENSITY, 15.0 / 9.290304),
    ("15 amps per square foot", Dim.CURRENT_DENSITY, 15.0 / 9.290304), ("1.5 ASD", Dim.CURRENT_DENSITY, 1.5),
    ("20 C", Dim.TEMPERATURE, 20.0), ("68 F", Dim.TEMPERATURE, 20.0), ("32 F", Dim.TEMPERATURE, 0.0),
    ("68 °F", Dim.TEMPERATURE, 20.0),
    ("68 degrees F", Dim.TEMPERATURE, 20.0), ("−5 C", Dim.TEMPERATURE, -5.0),
    ("165 g/L", Dim.CONCENTRATION, 165.0), ("165 grams per litre", Dim.CONCENTRATION, 165.0),
    ("10 gal", Dim.BATH_VOLUME, 37.85411784), ("10 imp gal", Dim.BATH_VOLUME, 45.4609),
    ("10 litres", Dim.BATH_VOLUME, 10.0),
    ("2 mil", Dim.FILM, 50.8), ("0.5 thou", Dim.FILM, 12.7), ("12 microns", Dim.FILM, 12.0),
    ("0.0005 in", Dim.FILM, 12.7),
    ("6 sq in", Dim.AREA, 6 * 645.16), ("39 cm²", Dim.AREA, 3900.0), ("30 minutes", Dim.TIME, 1800.0),
    ("3 F", Dim.TEMPERATURE_DIFFERENCE, 5.0 / 3.0),
])  # fmt: skip
def test_a_quantity_as_it_is_written(words, dimension, value):
    assert parse(words, dimension) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(("words", "says"), [
    ("1,000 mm", "a decimal one or one of thousands"), ("12,345 mm", "write it with a point"), ("12", "has no unit"),
    ("1 h 30 min", "'h 30 min' in"), ("", "does not start with a number"), ("3 V", "is not a length"),
])  # fmt: skip
def test_what_could_be_read_two_ways_or_none_is_refused(words, says):
    with pytest.raises(BadInput, match=says):
        parse(words, Dim.LENGTH)


@pytest.mark.parametrize("words", ["12 to 15 A/ft2", "12-15 ASF", "12 to 15 amps per sq ft"])
def test_a_window_in_the_shops_words(words):
    own = window(words)
    assert (own.least_a_per_dm2, own.most_a_per_dm2) == pytest.approx((12.0 / 9.290304, 15.0 / 9.290304))


@pytest.mark.parametrize("dimension", Dim)
def test_what_no_tank_has_is_refused_and_the_largest_taken_is_told(dimension):
    largest, words = LARGEST[dimension]
    unit = shown_unit(dimension)
    assert parse(words, dimension) == pytest.approx(largest) == parse(f"{largest:g} {unit}", dimension)
    for number in ("1e308", "-1e308", "1e999"):
        with pytest.raises(BadInput, match=rf"'{number} ?.*' is more than the largest .* taken, {words}"):
            parse(f"{number} {unit}", dimension)
    assert parse(f"1e-300 {unit}", dimension) == 0.0


def test_nothing_is_colder_than_absolute_zero():
    assert parse("-273.15 C", Dim.TEMPERATURE) == -273.15
    with pytest.raises(BadInput, match="colder than absolute zero"):
        parse("-300 C", Dim.TEMPERATURE)


@pytest.mark.parametrize("unit", ["mm**9**9**9**9", "mm/9**9**9**9", "9**9**9**9", "mm**1e9", "mm//1", "mm!", "{mm}"])
def test_a_unit_is_no_sum_to_be_worked_out(unit):
    with pytest.raises(BadInput, match="is not a unit that is known"):
        parse(f"1 {unit}", Dim.LENGTH)


def test_a_number_longer_than_any_is_refused():
    with pytest.raises(BadInput, match="too long for a quantity"):
        parse("9" * 5000 + "/3 mm", Dim.LENGTH)


def test_a_bare_number_keeps_all_its_figures():
    assert parse(12990.123456, Dim.AREA, default_unit="mm2") == 12990.123456
