"""The numbers of the load's tables as fields: a bare number with its unit beside it, and its size for the drawings."""

from collections.abc import Mapping
from typing import Any

from areacalc.errors import BadInput
from areacalc.load.keys import TABLES, Key
from areacalc.load.read_load import read_value
from areacalc.quantity import Dimension, number_and_unit

Document = dict[str, Any]
UNITS: dict[Dimension, tuple[tuple[str, ...], tuple[str, ...]]] = {
    Dimension.LENGTH: (("mm", "cm", "m"), ("in", "ft")),
    Dimension.AREA: (("mm2", "cm2"), ("in2",)),
    Dimension.BATH_VOLUME: (("L", "m3"), ("gal", "qt", "ft3")),
    Dimension.CURRENT: (("A", "mA"), ()),
    Dimension.VOLTAGE: (("V",), ()),
    Dimension.RESISTANCE: (("ohm",), ()),
    Dimension.TIME: (("min", "s", "h"), ()),
    Dimension.CURRENT_DENSITY: (("A/dm2",), ("A/ft2", "mA/in2")),
    Dimension.FILM: (("um",), ("mil",)),
    Dimension.CONCENTRATION: (("g/L",), ("oz/gal",)),
    Dimension.TEMPERATURE: (("C",), ("F",)),
    Dimension.TEMPERATURE_DIFFERENCE: (("K",), ("F",)),
    Dimension.POWER: (("W", "kW"), ("BTU/h",)),
    Dimension.MASS: (("g", "kg"), ("oz", "lb")),
    Dimension.ANGLE: (("deg",), ()),
    Dimension.FRACTION: (("%",), ()),
}
"""Units to choose from, metric and US; the first of the kind that the page shows is set where nothing is written."""
_OF_ACID = ("wt%", "mol/L")  # read with the acid's density


def units(key: Key) -> list[list[str]]:
    """The units of a key, metric and US; none where it is no quantity."""
    if not isinstance(key.holds, Dimension):
        return []
    metric, us = UNITS[key.holds]
    return [[*metric, *(_OF_ACID if key.name == "acid" else ())], list(us)]


def fields(tables: Mapping[str, Mapping[str, Any]]) -> Document:
    """What is written in the tables, by "bath acid": number, unit, mistake, and a length in mm, litres of a volume."""
    return {
        f"{name} {key.name}": _field(key, table[key.name])
        for name, table in tables.items()
        for key in TABLES.get(name, ())
        if key.name in table
    }


def _field(key: Key, given: object) -> Document:
    number, unit = number_and_unit(str(given)) if isinstance(key.holds, Dimension) else ("", "")
    field: Document = {"number": number or str(given), "unit": unit if number else ""}
    value: float | None = None
    example = key.example.strip('"')
    try:
        value = read_value(key, given, f"write for example {example}")
    except BadInput as bad:
        field["wrong"] = f"{bad.what}; {bad.remedy}"
    size = (
        {Dimension.LENGTH: "mm", Dimension.BATH_VOLUME: "litres"}.get(key.holds)
        if isinstance(key.holds, Dimension)
        else ""
    )
    return field | ({size: value} if size else {})
