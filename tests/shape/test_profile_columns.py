"""Tables of points: each column is read as its heading says, in whole words of many languages, and it is told."""

import math

import pytest

from areacalc.errors import BadInput
from areacalc.report.words.notes import note_words
from areacalc.shape.read import read_body

ROWS = [(0, 20), (30, 20), (30, 12), (50, 12)]  # position and diameter, mm
BY_DIAMETER = math.pi * (20 * 30 + 12 * 20 + (10**2 - 6**2) + 10**2 + 6**2)
BY_RADIUS = math.pi * (2 * 20 * 30 + 2 * 12 * 20 + (20**2 - 12**2) + 20**2 + 12**2)


@pytest.fixture
def table(tmp_path):
    def write(heading, rows=ROWS, mark=";"):
        path = tmp_path / "knob.csv"
        lines = [heading, *(mark.join(map(str, row)) for row in rows)]
        path.write_text("\n".join(line for line in lines if line) + "\n", "utf-8")
        return path

    return write


@pytest.mark.parametrize(("heading", "area_mm2"), [
    ("x;outer diameter", BY_DIAMETER),  # has an r in it
    ("Position;Durchmesser", BY_DIAMETER),
    ("Laenge;Radius", BY_RADIUS),
    ("Länge [mm];Halbmesser [mm]", BY_RADIUS),
    ("Abstand;Außendurchmesser Ø", BY_DIAMETER),
    ("longueur;diamètre", BY_DIAMETER), ("abscisse;rayon", BY_RADIUS),
    ("posición;radio", BY_RADIUS), ("lunghezza;raggio", BY_RADIUS), ("posição;diâmetro", BY_DIAMETER),
    ("lengte;straal", BY_RADIUS), ("läge;radie", BY_RADIUS), ("długość;średnica", BY_DIAMETER),
    ("délka;poloměr", BY_RADIUS), ("положение;радиус", BY_RADIUS), ("长度;直径", BY_DIAMETER), ("位置;半径", BY_RADIUS),
    ("axial distance;r", BY_RADIUS), ("z;dia.", BY_DIAMETER), ("x;d", BY_DIAMETER), ("x;ø", BY_DIAMETER),
    ("x;rough turned diameter", BY_DIAMETER),
])  # fmt: skip
def test_a_heading_is_read_by_its_whole_words(table, heading, area_mm2):
    body = read_body(table(heading))
    assert sum(face.area_mm2 for face in body.faces) == pytest.approx(area_mm2, rel=1e-12)
    note = next(note for note in body.notes if note.code == "columns-read")
    first, second = heading.split(";")
    radius = area_mm2 == BY_RADIUS
    assert (note.fact["first"], note.fact["second"]) == (first, second)
    assert (note.fact["is_first"], note.fact["is_second"]) == ("position", "radius" if radius else "diameter")
    assert f"the first '{first}' as position, the second '{second}' as " in note_words(note.fact)
    assert not note.warns


def test_columns_may_stand_either_way_round(table):
    body = read_body(table("Durchmesser;Position", [(d, x) for x, d in ROWS]))
    assert sum(face.area_mm2 for face in body.faces) == pytest.approx(BY_DIAMETER, rel=1e-12)
    (note,) = [note for note in body.notes if note.code == "columns-read"]
    assert note_words(note.fact).endswith("the first 'Durchmesser' as diameter, the second 'Position' as position")


@pytest.mark.parametrize(("heading", "warns"), [("", False), ("a;b", True), ("x;y", True)])
def test_what_no_heading_says_is_position_and_diameter_and_told(table, heading, warns):
    body = read_body(table(heading))
    assert sum(face.area_mm2 for face in body.faces) == pytest.approx(BY_DIAMETER, rel=1e-12)
    assert [note.warns for note in body.notes if note.code == "columns-read"] == [warns]


@pytest.mark.parametrize(("heading", "rows", "unit"), [
    ("x in mm;Radius in mm", [(x, d / 2) for x, d in ROWS], "mm"),  # `in` is a word here
    ("x [in];diameter [in]", [(x / 25.4, d / 25.4) for x, d in ROWS], "in"),
    ("x (cm);dia (cm)", [(x / 10, d / 10) for x, d in ROWS], "cm"),
    ("x [mm];diameter [in]", [(x, d / 25.4) for x, d in ROWS], "mm"),
])  # fmt: skip
def test_units_of_headings(table, heading, rows, unit):
    body = read_body(table(heading, rows))
    assert sum(face.area_mm2 for face in body.faces) == pytest.approx(BY_DIAMETER, rel=1e-9)
    assert body.unit.name == unit


@pytest.mark.parametrize(("heading", "said"), [
    ("radius;diameter", "line 1: 'radius' is a radius and 'diameter' a diameter"),
    ("position;length", "'position' is a position and 'length' a position"),
    ("x;radius or diameter", "the heading 'radius or diameter' names diameter and radius"),
    ("x " * 400 + ";d", "line 1 has a heading of 799 letters"),
    ("x", "line 1 has one column"),
])  # fmt: skip
def test_headings_that_name_no_pair_are_refused(table, heading, said):
    with pytest.raises(BadInput) as refused:
        read_body(table(heading))
    assert said in str(refused.value)
