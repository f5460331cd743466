"""STL as it comes: binary or text, whatever its header says, whole or not."""

import numpy as np
import pytest

from areacalc.errors import BadInput
from areacalc.quantity import LENGTH_UNITS
from areacalc.shape.files import read_stl
from areacalc.shape.files.read_stl import BLOCK, RECORD
from areacalc.shape.kinds import UnitHow
from areacalc.shape.read import read_body

CORNERS = np.array([[0, 0, 0, 30, 0, 0, 0, 40, 0], [0, 0, 0, 0, 40, 0, 0, 0, 5]], "<f4")  # 600 and 100
FACET = "facet normal 0 0 1\n outer loop\n  vertex 0 0 0\n  vertex {a} 0 0\n  vertex 0 {b} 0\n endloop\nendfacet\n"


def binary(corners=CORNERS, header=b"", count=None, tail=b"", extra=0):
    records = np.zeros(len(corners), RECORD)
    records["corners"], records["extra"] = corners, extra
    count = len(corners) if count is None else count
    return header.ljust(80, b"\0") + count.to_bytes(4, "little") + records.tobytes() + tail


def text(a="30", b="40", name="knob"):
    return f"solid {name}\n{FACET.format(a=a, b=b)}endsolid {name}\n"


@pytest.fixture
def put(tmp_path):
    def write(content, name="part.stl"):
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write


@pytest.mark.parametrize(
    "header", [b"", b"solid knob", b"SOLID facet normal", b" " * 80], ids=["zero", "solid", "facet", "blank"]
)
def test_a_binary_file_is_known_by_its_size(put, header):
    body = read_body(put(binary(header=header)))
    assert (body.facet_area_mm2, body.solids, len(body.triangles)) == (700.0, (), 2)


def test_the_bytes_after_a_facet_are_no_colour(put):
    assert read_body(put(binary(extra=0x7FFF))).colours == ()


TURNS = {
    "as is": str,
    "upper": str.upper,
    "lower": str.lower,
    "crlf": lambda t: t.replace("\n", "\r\n"),
    "cr": lambda t: t.replace("\n", "\r"),
    "indented": lambda t: " \t\n" + t,
    "byte order mark": lambda t: "\ufeff" + t,
    "few lines": lambda t: t.replace("\n ", " \t "),
}


@pytest.mark.parametrize("turn", TURNS)
def test_text_in_any_case_and_with_any_line_ends(put, turn):
    body = read_body(put(TURNS[turn](text())))
    assert body.facet_area_mm2 == 600.0
    assert [name.lower() for name in body.solids] == ["knob"]


@pytest.mark.parametrize("number", ["30", "30.", "+3e1", "3.0E+01", "0.03e3", "3000e-2"])
def test_every_way_to_write_a_number(put, number):
    assert read_body(put(text(a=number))).facet_area_mm2 == 600.0


def test_a_text_on_one_line(put):
    assert read_body(put(text().replace("\n", " "))).facet_area_mm2 == 600.0


def test_several_solids_keep_their_names(put):
    body = read_body(put(text(name="left facet") + text(a="3", name="") + text(a="6", name="left facet")))
    assert body.solids == ("left facet", "solid-2", "left facet")
    assert body.solid_of_triangle.tolist() == [0, 1, 2]


def test_facets_are_not_lost_where_blocks_meet(put, monkeypatch):
    monkeypatch.setattr(read_stl, "BLOCK_BYTES", 97)
    body = read_body(put("solid many\n" + FACET.format(a=3, b=4) * 50 + "endsolid many\n"))
    assert (len(body.triangles), body.facet_area_mm2) == (50, 300.0)


@pytest.mark.parametrize(("content", "said"), [
    (b"", "part.stl is empty"),
    (bytes(80) + (7).to_bytes(4, "little"), "header promises 7 triangles, the file holds 0"),
    (binary(count=3)[:-20], "header promises 3 triangles, the file holds 1"),
    (binary(count=4_000_000_000), "header promises 4000000000 triangles, the file holds 2"),
    (bytes(84), "holds no triangle"),
    (bytes(50), "is cut short: 50 bytes, and the header alone takes 84"),
    ("solid knob\nendsolid knob\n", "holds no triangle"),
    (text()[:-14], "the text is cut short: it does not end with 'endsolid'"),
    (text()[:60], "holds no whole triangle"),
    (text(a="nan"), "part.stl, triangle 1: a corner is not a finite number: 'nan'"),
    (text(a="1,5"), "a corner is not a finite number: '1,5'"),
    (text().replace("outer", "inner"), "part.stl, triangle 1: 'inner' stands where 'outer' belongs"),
    (text().replace(" endloop", "  vertex 1 1 1\n endloop"), "'vertex' stands where 'endloop' belongs"),
], ids=lambda v: v[:40] if isinstance(v, str) else "bytes")  # fmt: skip
def test_what_is_not_whole_is_one_clear_line(put, content, said):
    with pytest.raises(BadInput) as refused:
        read_body(put(content))
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
def test_the_triangle_with_a_corner_that_is_no_number_is_named(put, bad):
    corners = np.tile(CORNERS[:1], (BLOCK + 10, 1))
    corners[BLOCK + 4, 7] = bad
    path = put(binary(corners))
    with pytest.raises(BadInput, match=f"triangle {BLOCK + 5}: a corner is not a finite number"):
        read_body(path)


def test_bytes_after_the_last_facet_are_said(put):
    body = read_body(put(binary(tail=b"made at the bench")))
    assert body.facet_area_mm2 == 700.0
    note = next(note for note in body.notes if note.code == "trailing-bytes")
    assert note.fact["count"] == 17
    assert not note.warns


def test_facets_that_the_header_does_not_count_are_a_warning(put):
    body = read_body(put(binary(count=1)))
    assert body.facet_area_mm2 == 600.0
    assert next(note for note in body.notes if note.code == "trailing-bytes").warns


@pytest.mark.parametrize("unit", ["mm", "cm", "in", "m"])
def test_the_unit_given_scales_area_by_its_square(put, unit):
    path = put(binary())
    body, mm = read_body(path, LENGTH_UNITS[unit]), LENGTH_UNITS[unit].mm
    assert body.facet_area_mm2 == pytest.approx(700.0 * mm * mm, rel=1e-14)
    assert (body.unit.name, body.unit.how) == (unit, UnitHow.GIVEN)
