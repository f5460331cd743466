"""Units as people write them, each against its definition; what could be read two ways is refused."""

from __future__ import annotations

import pytest

from areacalc.bath.window import window
from areacalc.errors import BadInput
from areacalc.quantity import Dimension as Dim
from areacalc.quantity import parse


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
