"""OBJ, PLY and OFF: faces of many corners, indices from either end, names, colours, and rows that lie."""

import math
import struct

import numpy as np
import pytest

from areacalc.errors import BadInput
from areacalc.shape.mesh.polygons import cut_faces
from areacalc.shape.read import read_body

ARROW = [(0, 0), (40, 0), (40, 40), (20, 10), (0, 40)]  # concave: 40 x 40 less the triangle of 600
ARROW_MM2 = 1000.0
SQUARES = [(0, 0), (10, 0), (10, 10), (0, 10)]


def obj(ring, base=1):
    return "".join(f"v {x} {y} 0\n" for x, y in ring) + "f " + " ".join(str(i + base) for i in range(len(ring))) + "\n"


def off(ring, colour=""):
    rows = "".join(f"{x} {y} 0\n" for x, y in ring)
    return f"OFF\n{len(ring)} 1 0\n{rows}{len(ring)} {' '.join(map(str, range(len(ring))))} {colour}\n"


def ply(ring, order="ascii"):
    head = (f"ply\nformat {order} 1.0\ncomment made at the bench\nelement vertex {len(ring)}\nproperty float x\n"
            "property float y\nproperty double z\nelement face 1\nproperty uchar group\n"
            "property list uchar int vertex_indices\nend_header\n").encode()  # fmt: skip
    if order == "ascii":
        rows = "".join(f"{x} {y} 0\n" for x, y in ring) + f"7 {len(ring)} {' '.join(map(str, range(len(ring))))}\n"
        return head + rows.encode()
    mark = "<" if "little" in order else ">"
    rows = b"".join(struct.pack(f"{mark}ffd", x, y, 0) for x, y in ring)
    return head + rows + struct.pack(f"{mark}BB{len(ring)}i", 7, len(ring), *range(len(ring)))


@pytest.mark.parametrize("start", range(5))
@pytest.mark.parametrize("kind", ["obj", "off", "ascii", "binary_little_endian", "binary_big_endian"])
def test_a_concave_face_has_its_own_area_from_any_corner_on(put, kind, start):
    ring = ARROW[start:] + ARROW[:start]
    if kind in ("obj", "off"):
        path = put(f"arrow.{kind}", {"obj": obj, "off": off}[kind](ring))
    else:
        path = put("arrow.ply", ply(ring, kind))
    body = read_body(path)
    assert body.facet_area_mm2 == pytest.approx(ARROW_MM2, rel=1e-12)
    assert len(body.triangles) == 3


def test_a_star_that_turns_twice_is_not_taken_for_convex():
    ring = [(math.cos(0.8 * math.pi * k), math.sin(0.8 * math.pi * k), 0.0) for k in range(5)]
    triangles, *_ = cut_faces(np.array(ring), np.array([5]), np.arange(5))
    assert len(triangles) >= 3


def test_a_face_that_is_not_flat_is_said_with_what_it_is_worth(put):
    path = put("bent.obj", "v 0 0 0\nv 10 0 0\nv 10 10 3\nv 0 10 0\nf 1 2 3 4\n")
    body = read_body(path)
    note = next(note for note in body.notes if note.code == "faces-not-flat")
    other = read_body(put("other.obj", "v 0 0 0\nv 10 0 0\nv 10 10 3\nv 0 10 0\nf 2 3 4 1\n"))
    assert note.fact["area"].estimate.value == pytest.approx(abs(body.facet_area_mm2 - other.facet_area_mm2))


def test_obj_counts_from_the_end_and_past_texture_and_normals(put):
    text = (
        "v 9 9 9\n" + obj(SQUARES, 2).replace("f 2 3 4 5", "vt 0 0\nvn 0 0 1\nf 2/1/1 3//1 4/1 5") + "f -4 -3 -2 -1\n"
    )
    body = read_body(put("square.obj", text))
    assert body.facet_area_mm2 == pytest.approx(200.0)


def test_obj_objects_and_material_colours(put):
    put("shop.mtl", "newmtl red\nKd 1 0 0\nnewmtl bare\nKa 0 0 0\n")
    text = "mtllib shop.mtl\no left\nusemtl red\n" + obj(SQUARES) + "o right\nusemtl bare\n" + obj(SQUARES, 5)
    body = read_body(put("two.obj", text))
    assert body.solids == ("left", "right")
    assert body.solid_of_triangle.tolist() == [0, 0, 1, 1]
    assert body.colours == ((255, 0, 0),)
    assert body.colour_of_triangle.tolist() == [0, 0, -1, -1]


@pytest.mark.parametrize("name", ["../secret.mtl", "/etc/passwd", "no.mtl", 300 * "m"])
def test_obj_colours_are_looked_for_only_beside_the_part(put, name):
    body = read_body(put("part.obj", f"mtllib {name}\nusemtl red\n" + obj(SQUARES)))
    assert body.colours == ()
    assert "colours-missing" in {note.code for note in body.notes}


@pytest.mark.parametrize(("text", "said"), [
    ("v 0 0 0\nv 1 0 0\ng of nothing\n", "holds no triangle"),
    ("v 0 0 0\nv 1e400 0 0\nv 9 9 3\nv 0 9 0\nf 1 2 3 4\n", "point 2. is not a finite number"),
])  # fmt: skip
def test_obj_without_faces_and_with_a_point_that_is_no_number(put, text, said):
    with pytest.raises(BadInput, match=said):
        read_body(put("part.obj", text))


def test_obj_free_form_surfaces_are_said_to_be_left_out(put):
    body = read_body(put("part.obj", obj(SQUARES) + "cstype bspline\nsurf 0 1 0 1 1 2 3 4\n"))
    assert any(note.code == "free-form-left-out" and note.warns for note in body.notes)


@pytest.mark.parametrize(
    ("colour", "shown"), [("255 128 0", (255, 128, 0)), ("1.0 0.5 0.0 1.0", (255, 128, 0)), ("", None), ("3", None)]
)
def test_off_colours(put, colour, shown):
    body = read_body(put("part.off", off(SQUARES, colour)))
    assert body.colours == ((shown,) if shown else ())


def test_off_comments_blank_lines_and_counts_beside_the_word(put):
    text = "# made\n\nOFF 4 1 0 # counts\n\n0 0 0\n10 0 0 # corner\n10 10 0\n0 10 0\n\n4 0 1 2 3\n"
    assert read_body(put("part.off", text)).facet_area_mm2 == pytest.approx(100.0)


def test_ply_colour_of_corners_counts_where_all_three_agree(put):
    rows = "0 0 0 255 0 0\n10 0 0 255 0 0\n10 10 0 255 0 0\n0 10 0 0 0 255\n"
    head = "ply\nformat ascii 1.0\nelement vertex 4\n" + "".join(f"property float {a}\n" for a in "xyz")
    head += "".join(f"property uchar {c}\n" for c in ("red", "green", "blue"))
    head += "element face 2\nproperty list uchar int vertex_index\nend_header\n"
    body = read_body(put("part.ply", head + rows + "3 0 1 2\n3 0 2 3\n"))
    assert body.colours == ((255, 0, 0),)
    assert body.colour_of_triangle.tolist() == [0, -1]


@pytest.mark.parametrize("order", ["ascii", "binary_little_endian"])
def test_ply_rows_of_uneven_length(put, order):
    head = f"ply\nformat {order} 1.0\nelement face 3\nproperty list uchar int vertex_indices\nelement vertex 5\n"
    head = (head + "".join(f"property float {a}\n" for a in "xyz") + "end_header\n").encode()
    faces, points = [(0, 1, 2, 3), (0, 1, 2), (0, 1, 2, 4, 3)], [(0, 0), (10, 0), (10, 10), (0, 10), (5, 10)]
    if order == "ascii":
        body = "".join(f"{len(f)} {' '.join(map(str, f))}\n" for f in faces) + "".join(
            f"{x} {y} 0\n" for x, y in points
        )
        content = head + body.encode()
    else:
        content = head + b"".join(struct.pack(f"<B{len(f)}i", len(f), *f) for f in faces)
        content += b"".join(struct.pack("<fff", x, y, 0) for x, y in points)
    assert read_body(put("part.ply", content)).facet_area_mm2 == pytest.approx(250.0)


def test_ply_strips(put):
    head = "ply\nformat ascii 1.0\nelement vertex 4\n" + "".join(f"property float {a}\n" for a in "xyz")
    head += "element tristrips 1\nproperty list int int vertex_indices\nend_header\n"
    body = read_body(put("part.ply", head + "0 0 0\n10 0 0\n0 10 0\n10 10 0\n9 0 1 2 3 -1 0 1 2 3\n"))
    assert body.facet_area_mm2 == pytest.approx(200.0)
    assert len({np.sign(np.cross(*np.diff(body.vertices[t], axis=0))[2]) for t in body.triangles}) == 1


@pytest.mark.parametrize(("name", "content", "said"), [
    ("a.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 9\n", "a.obj, line 4: a face uses a point that is missing"),
    ("a.obj", "v 0 0 0\nf 0 0 0\n", "a face uses a point that is missing"),
    ("a.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 -4\n", "a face uses a point that is missing"),
    ("a.obj", "v 0 0 0\nv 1 0 zero\nv 0 1 0\nf 1 2 3\n", "a.obj, line 2: a point is not three numbers"),
    ("a.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 x\n", "a.obj, line 4: a corner of a face is not a whole number"),
    ("a.obj", "v 0 0 0\nv 1 0 0\nv 0 nan 0\nf 1 2 3\n", "triangle 1: a corner (point 3) is not a finite number"),
    ("a.obj", "v 0 0 0\nv 1 0 0\n", "holds no triangle"),
    ("a.off", "OFF\n3 4000000000 0\n0 0 0\n1 0 0\n0 1 0\n3 0 1 2\n", "promises 3 points and 4000000000 faces"),
    ("a.off", "OFF\n-3 1 0\n0 0 0\n", "promises -3 points"),
    ("a.off", "OFF\n3 1 0\n0 0 0\n1 0 0\n0 1 0\n3 0 1 7\n", "a.off, line 6: a face of 3 corners uses points [0, 1, 7]"),
    ("a.off", "OFF\n3 1 0\n0 0 0\n1 0 0\n0 one 0\n3 0 1 2\n", "a.off, line 5 is not a row of numbers"),
    ("a.off", "4OFF\n3 1 0\n0 0 0 0\n", "more than three dimensions"),
    ("a.ply", ply(SQUARES)[:-14], "the file ends before"),
    ("a.ply", ply(SQUARES, "binary_little_endian")[:-3], "the file ends before"),
    ("a.ply", ply(SQUARES).replace(b"element face 1", b"element face 4000000000"), "the file ends before"),
    ("a.ply", ply(SQUARES, "binary_big_endian").replace(b"vertex 4", b"vertex 4000000000"), "the file ends before"),
    ("a.ply", ply(SQUARES).replace(b"0 1 2 3\n", b"0 1 2 4\n"), "a.ply, face 1: uses point 4 where there are 4"),
    ("a.ply", ply(SQUARES).replace(b"float x", b"furlong x"), "'property furlong x' is not a PLY header's"),
    ("a.ply", ply(SQUARES).replace(b"float x", b"float y"), "'property float y' is not a PLY header's"),
    ("a.ply", ply(SQUARES).replace(b"float x", b"float q"), "has no points with x, y and z"),
    ("a.ply", ply(SQUARES).replace(b"end_header", b"end"), "the header does not end"),
])  # fmt: skip
def test_what_is_wrong_is_one_line_with_its_place(put, name, content, said):
    with pytest.raises(BadInput) as refused:
        read_body(put(name, content))
    assert said in str(refused.value)
