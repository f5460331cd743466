"""The numbers of the load's tables as fields: a bare number with its unit beside it, and its size for the drawings."""

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

from areacalc.errors import BadInput
from areacalc.load.keys import TABLES, Holds, Key
from areacalc.load.read_load import read_value
from areacalc.quantity import Dimension, number_and_unit

Document = dict[str, Any]
UNITS: dict[str, tuple[list[str], list[str]]] = json.loads((files(__package__) / "units.json").read_text("utf-8"))
"""Units of each dimension to choose from, metric and US; the first of those shown is set where nothing is written."""
_SIZES: dict[Dimension | Holds, str] = {Dimension.LENGTH: "mm", Dimension.BATH_VOLUME: "litres"}
_OF_ACID = ("wt%", "mol/L")  # read with the acid's density


def units(key: Key) -> list[list[str]]:
    """The units of a key, metric and US; none where it is no quantity."""
    if not isinstance(key.holds, Dimension):
        return []
    metric, us = UNITS[key.holds.name]
    return [[*metric, *(_OF_ACID if key.name == "acid" else ())], us]


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
    size = _SIZES.get(key.holds)
    return field | ({size: value} if size else {})
