"""Small files that would cost minutes or gigabytes: told apart, counted or refused by looking at them once.

A file that hangs is ended by its own processor time, far above what any of them takes.
"""

import json
import signal
import sys
import zipfile

import numpy as np
import pytest
import trimesh

from areacalc.errors import BadInput
from areacalc.shape.file_kind import kind_of
from areacalc.shape.files.scene import MOST_PLACED
from areacalc.shape.kinds import UnitHow
from areacalc.shape.profile.turn import MOST_POINTS
from areacalc.shape.read import read_body

POINT = "data:;base64,AAAAAAAAAAAAAAAAAACAPwAAAAAAAAAAAAAAAAAAgD8AAAAA"  # (0, 0, 0), (1, 0, 0), (0, 1, 0)
BOX = trimesh.creation.box((30, 20, 10))


@pytest.fixture(autouse=True)
def ends():
    if sys.platform == "win32":
        yield
        return
    before = signal.signal(signal.SIGPROF, lambda *_: pytest.fail("takes over a minute of processor"))
    signal.setitimer(signal.ITIMER_PROF, 60.0)
    yield
    signal.setitimer(signal.ITIMER_PROF, 0.0)
    signal.signal(signal.SIGPROF, before)


def gltf(nodes, **more):
    made = {
        "asset": {"version": "2.0"}, "scenes": [{"nodes": [0]}], "nodes": nodes,
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
        "accessors": [{"bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3"}],
        "bufferViews": [{"buffer": 0, "byteLength": 36}], "buffers": [{"byteLength": 36, "uri": POINT}],
    }  # fmt: skip
    return json.dumps({**made, **more})


def doubled(levels, last):
    return [*({"children": [k + 1, k + 1], "translation": [1, 0, 0]} for k in range(levels)), last]


@pytest.mark.parametrize(("name", "head", "kind"), [
    ("many remarks", b"/*" + b"*/ /*" * 800 + b"*/ ISO-10303-21;", "STEP"),
    ("a remark that stays open", b"/* */" * 500 + b"/*" * 500, "text"),
    ("blank remarks", b"#\n" * 1500 + b"OFF 1 1 0", "OFF"),
    ("remarks and no word", (b"# " + b" " * 30 + b"\n") * 120, "text"),
    ("spaces", b" " * 4000 + b"v", "text"),
    ("blank lines", b"\n" * 4000 + b"v 1 2 3", "OBJ"),
    ("drawing remarks", b"999\nmade here\n" * 200 + b"0\nSECTION", "DXF"),
    ("drawing remarks alone", b"999\n\n" * 700, "text"),
    ("a solid's long name", b"solid " + b"facet " * 600, "ASCII STL"),
    ("half a kind", b"solid" + b" " * 4000 + b"x", "ASCII STL"),
])  # fmt: skip
def test_a_kind_is_told_in_one_pass(put, name, head, kind):
    assert kind_of(put("part.bin", head)) == kind


@pytest.mark.parametrize("levels", [21, 60, 3000])
def test_copies_of_copies_are_counted_before_they_are_made(put, levels):
    path = put("part.gltf", gltf(doubled(levels, {"mesh": 0})))
    shown = str(2**levels) if levels < 60 else "over 10^18"
    with pytest.raises(BadInput) as refused:
        read_body(path)
    assert f"its copies add up to {shown} pieces, more than {MOST_PLACED}" in str(refused.value)


def test_copies_of_nothing_cost_nothing(put):
    with pytest.raises(BadInput, match="holds no triangle"):
        read_body(put("part.gltf", gltf(doubled(200, {"name": "empty"}))))


def test_a_thousand_copies_are_made_and_named_each(put):
    body = read_body(put("part.gltf", gltf(doubled(10, {"mesh": 0, "name": "knob"}))))
    assert len(body.triangles) == 1024
    assert (body.solids[0], body.solids[-1]) == ("knob", "knob (1024)")
    assert body.facet_area_mm2 == pytest.approx(1024 * 0.5e6)


def test_copies_of_a_mesh_are_counted_in_triangles_too(put):
    rows = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in BOX.faces)
    points = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in BOX.vertices)
    objects = f'<object id="1"><mesh><vertices>{points}</vertices><triangles>{rows}</triangles></mesh></object>'
    for key in range(2, 19):
        one = f'<component objectid="{key - 1}"/>'
        objects += f'<object id="{key}"><components>{one}{one}</components></object>'
    space = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
    path = put("part.3mf", b"")
    with zipfile.ZipFile(path, "w") as out:
        text = f'<model xmlns="{space}"><resources>{objects}</resources><build><item objectid="18"/></build></model>'
        out.writestr("3D/3dmodel.model", text)
    with pytest.raises(BadInput, match=f"its copies add up to {12 * 2**17} triangles, more than"):
        read_body(path)


@pytest.mark.parametrize(("name", "content", "said"), [
    ("a.csv", "x,diameter\n" + "0,10\n" * 300_000, f"has 300001 points; a profile may have {MOST_POINTS}"),
    ("a.csv", "0," + "1" * 200_000 + "\n9,1\n", "line 1 is 200002 letters long"),
    ("a.csv", "x " * 60_000 + "\n0,1\n9,1\n", "line 1 is 120000 letters long"),
    ("a.toml", "a" + ".a" * 50_000 + " = 1\n", "has a key of more than 32 parts"),
    ("a.toml", "[a" + " . a" * 20_000 + "]\n", "has a key of more than 32 parts"),
    ("a.toml", 'outside = ["0 12", "40 12' + " r1" * 200_000 + '"]\n', "is 600005 letters long"),
    ("a.obj", "v 0 0 0\nv 5 0 0\nv 0 5 0\nf 1 2 " + "9" * 4301 + "\n", "line 4: a corner of a face is not a whole"),
    ("a.off", "OFF\nnan 4 0\n0 0 0\n", "a.off: promises nan points"),
    ("a.off", "OFF\n3 inf 0\n0 0 0\n", "a.off: promises 3 points and inf faces"),
    ("a.ply", "ply\nformat ascii 1.0\nelement vertex 9000000000\nelement face 1\nend_header\n", "no points with x, y"),
    ("a.ply", "ply\nformat ascii 1.0\nelement vertex 3\n" + "".join(f"property float x{k}\n" for k in range(40_000))
         + "end_header\n",
     "names over 500 properties"),
    ("a.stl", "solid" + " " * 200_000 + "x\nendsolid\n", "holds no triangle"),
    ("a.gltf", gltf([{"mesh": 0, "translation": [10**400, 0, 0]}]), "is not sound glTF"),
    ("a.gltf", gltf([{"children": [k + 1]} for k in range(20_000)] + [{"children": [0]}]), "without end"),
    ("a.step", "ISO-10303-21;\nDATA;\n#1=SPHERICAL_SURFACE('',#2," + "0" * 150_000 + "\nENDSEC;\nEND-ISO-10303-21;\n",
     "uses #2, which the file does not hold"),
    ("a.step", "ISO-10303-21;\nDATA;\n#1=" + "/*" * 80_000 + ";ENDSEC;\nEND-ISO-10303-21;\n", "is cut short"),
    ("a.step", "ISO-10303-21;\nDATA;\n#1=A(#2" + "2" * 90_000 + ");\nENDSEC;\nEND-ISO-10303-21;\n", "than 15 figures"),
    ("a.step", "ISO-10303-21;\nDATA;\n" + "#1=" * 50_000 + ";\nENDSEC;\nEND-ISO-10303-21;\n", "no solid and no"),
    ("a.dxf", "0\nSECTION\n2\nENTITIES\n0\nLINE\n8\n0\n10\n0\n20\n5\n11\ninf\n21\n5\n0\nENDSEC\n0\nEOF\n",
     "entity 1 (LINE): a coordinate is not a finite number"),
    ("a.dxf", "0\nSECTION\n2\nENTITIES\n" + "0\nLINE\n8\n0\n10\n0\n20\n5\n11\n1\n21\n5\n" * 200_000 + "0\nENDSEC\n",
     f"draws 200000 points; a profile may have {MOST_POINTS}"),
])  # fmt: skip
def test_what_would_cost_too_much_is_one_line(put, name, content, said):
    with pytest.raises(BadInput) as refused:
        read_body(put(name, content))
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)
    assert len(str(refused.value)) < 400


def test_a_face_of_very_many_corners_is_refused_where_it_is_not_convex(put):
    comb = [(0.01 * k, 5 + 4 * (k % 2)) for k in range(30_000)] + [(400, 0), (-1, 0)]
    rows = "".join(f"v {x} {y} 0\n" for x, y in comb)
    with pytest.raises(BadInput, match="face 1 has 30002 corners"):
        read_body(put("comb.obj", rows + "f " + " ".join(map(str, range(1, 30_003)))))
    angle = np.linspace(0, 2 * np.pi, 30_000, endpoint=False)
    rows = "".join(f"v {x} {y} 0\n" for x, y in np.stack([np.cos(angle), np.sin(angle)], axis=1).tolist())
    disc = read_body(put("disc.obj", rows + "f " + " ".join(map(str, range(1, 30_001)))))
    assert disc.facet_area_mm2 == pytest.approx(np.pi, rel=1e-6)


def test_thousands_of_lines_of_a_drawing_are_joined_in_any_order(put):
    count = 2_000
    spots = [(0.01 * k, 10 + 2 * np.sin(0.003 * k)) for k in range(count + 1)]
    lines = [(spots[k], spots[k + 1]) for k in np.random.default_rng(1).permutation(count)]
    text = "".join(f"0\nLINE\n8\n0\n10\n{a:.9f}\n20\n{b:.9f}\n11\n{c:.9f}\n21\n{d:.9f}\n" for (a, b), (c, d) in lines)
    body = read_body(put("half.dxf", "0\nSECTION\n2\nENTITIES\n" + text + "0\nENDSEC\n0\nEOF\n"))
    assert body.unit.how is UnitHow.ASSUMED  # a drawing that says nothing is not in metres
    assert body.profile is not None
    assert len(body.profile.segments) == count + 2
    rings = sum(np.pi * (b + d) * np.hypot(c - a, d - b) for (a, b), (c, d) in lines)
    ends = np.pi * (spots[0][1] ** 2 + spots[-1][1] ** 2)
    assert sum(face.area_mm2 for face in body.faces) == pytest.approx(rings + ends, rel=1e-6)


def test_a_slip_of_the_unit_does_not_draw_a_part_more_finely(put):
    path = put("pen.toml", 'outside = ["0 12", "100 12"]\nunit = "m"\n')
    assert len(read_body(path).triangles) < 2000


def test_a_chunk_that_is_not_padded_is_read(put):
    path = put("box.glb", trimesh.exchange.gltf.export_glb(trimesh.Scene(BOX)))
    data = path.read_bytes()
    size = int.from_bytes(data[12:16], "little")
    text, rest = data[20 : 20 + size].rstrip(b" "), data[20 + size :]
    text += b" " * (1 if len(text) % 4 == 0 else 0)
    assert len(text) % 4
    whole = len(text).to_bytes(4, "little") + data[16:20] + text + rest
    path.write_bytes(data[:8] + (12 + len(whole)).to_bytes(4, "little") + whole)
    assert read_body(path).facet_area_mm2 == pytest.approx(BOX.area * 1e6)


@pytest.mark.parametrize(("name", "said"), [
    ("knob.zip", "is packed (zip): an archive that holds knob.stl; unpack it and give knob.stl"),
    ("knob.stl", "is packed (zip): an archive that holds knob.stl; unpack it and give knob.stl"),
    ("knob.3mf", "is packed (zip): an archive that holds knob.stl, and no 3MF model; export the part again"),
])  # fmt: skip
def test_an_archive_is_told_with_what_it_holds(put, name, said):
    path = put(name, b"")
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("knob.stl", b"solid")
    with pytest.raises(BadInput) as refused:
        read_body(path)
    assert said in str(refused.value)
