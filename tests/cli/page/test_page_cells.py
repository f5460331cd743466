"""What a person writes in a field of the page, taken apart and put together: sketches and quantities."""

import tomllib
from pathlib import Path

import msgspec
import pytest
from areacalc_cli.page.asked import SketchCells
from areacalc_cli.page.fields import fields, units
from areacalc_cli.page.sketch_cells import bore_cells, bore_words, cells, row_cells, row_words, sketch_table, spots

from areacalc.errors import BadInput
from areacalc.load.keys import TABLES
from areacalc.quantity import Dimension, parse
from areacalc.shape.profile.sketch import Sketch
from areacalc.shape.profile.turn import profile_of

ROW = {"at": "0", "across": "12", "corner": "", "size": "", "line": "", "detail": ""}
SAMPLES = Path(__file__).parents[3] / "sample_models"


@pytest.mark.parametrize("name", ["pen-body.toml", "pen-cap.toml", "lamp-knob.toml"])
def test_a_sketch_in_cells_is_the_same_part(name):
    table = Sketch.from_dict(tomllib.loads((SAMPLES / name).read_text("utf-8"))).to_dict()
    said = {**{k: table[k] for k in ("name", "unit", "measure")}, **cells(table)}
    again = sketch_table(msgspec.convert(said, SketchCells))
    assert profile_of(Sketch.from_dict(again)).area_mm2 == profile_of(Sketch.from_dict(table)).area_mm2


@pytest.mark.parametrize(
    "words",
    ["0 12", "40 12 r1", "16 12 thread M10.5x0.75", "2 1/2 thread 1/4-20 UNC", "60 18 c0.5 arc r700 out large",
     "60 18 arc centre 30 0 ccw", "60 18 knurl 0.8"],
)  # fmt: skip
def test_words_of_a_point_stay(words):
    assert row_words(row_cells(words)) == words


@pytest.mark.parametrize(
    "words",
    ["left 8 x 30, 6 x 50 drill 118", "through left 9.2 x 18, 8 x 88, 2.6", "right 6 x 12 thread M6 flat chamfer 0.5"],
)
def test_words_of_a_bore_stay(words):
    assert bore_words(bore_cells(words)) == words


def test_a_number_with_a_space_in_it_stays_one_number():
    row = msgspec.structs.replace(row_cells("0 1/2"), at="12 1/2 in")
    assert row_words(row) == "12-1/2in 1/2"
    (spot,) = spots({"outside": [], "unit": "in"}, [row])
    assert spot == pytest.approx([317.5, 6.35])


def test_a_cell_that_is_no_number_has_no_place():
    assert spots({"outside": []}, [row_cells("0 12"), row_cells("wide 12")]) == [[0.0, 6.0], None]


@pytest.mark.parametrize("rows", [None, [{"at": "0"}], [{**ROW, "at": 0}], [{**ROW, "at": "0" * 301}]])
def test_what_is_no_row_of_cells_is_refused(rows):
    assert msgspec.convert({"rows": [ROW]}, SketchCells).rows == [row_cells("0 12")]
    with pytest.raises(msgspec.ValidationError):
        msgspec.convert({"rows": rows}, SketchCells)


def test_points_are_given_but_once():
    with pytest.raises(BadInput, match="twice"):
        sketch_table(msgspec.convert({"rows": [ROW], "outside": ["0 12"]}, SketchCells))


def test_a_length_in_any_words_is_a_number_a_unit_and_its_mm():
    found = fields({"tank": {"length": "12 1/2 in", "depth": "25 cm", "width": "wide"}})
    assert found["tank length"] == {"number": "12 1/2", "unit": "in", "mm": pytest.approx(317.5)}
    assert found["tank depth"] == {"number": "25", "unit": "cm", "mm": pytest.approx(250.0)}
    assert found["tank width"]["mm"] is None
    assert "'wide'" in found["tank width"]["wrong"]
    assert "wrong" in fields({"supply": {"mode": "by hand"}})["supply mode"]


def test_every_quantity_can_be_given_in_every_unit_that_stands_beside_it():
    said = [(key, unit) for keys in TABLES.values() for key in keys for system in units(key) for unit in system]
    assert len(said) > 50
    for key, unit in said:
        if key.holds is Dimension.CONCENTRATION and unit in ("wt%", "mol/L"):
            continue  # of the acid alone, and read with its density
        assert parse(f"1 {unit}", key.holds) == pytest.approx(parse(f"1{unit}", key.holds))
