"""glTF: nodes where they stand, in metres; and files whose promises do not hold."""

import base64
import json
import struct

import numpy as np
import pytest

from areacalc.errors import BadInput
from areacalc.shape.read import read_body

POINTS = np.array([[0, 0, 0], [0.03, 0, 0], [0, 0.04, 0], [0.03, 0.04, 0]], "<f4")
ROWS = np.array([0, 1, 2, 2, 1, 3], "<u2")
DATA = POINTS.tobytes() + ROWS.tobytes()


def tree(**more):
    made = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"mesh": 0, "name": "plate"}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC3"},
            {"bufferView": 1, "componentType": 5123, "count": 6, "type": "SCALAR"},
        ],
        "bufferViews": [{"buffer": 0, "byteLength": 48}, {"buffer": 0, "byteOffset": 48, "byteLength": 12}],
        "buffers": [{"byteLength": len(DATA), "uri": "data:;base64," + base64.b64encode(DATA).decode()}],
    }
    return {**made, **more}


@pytest.fixture
def put(tmp_path):
    def write(made):
        path = tmp_path / "part.gltf"
        path.write_text(json.dumps(made))
        return path

    return write


def test_metres_become_millimetres(put):
    body = read_body(put(tree()))
    assert body.facet_area_mm2 == pytest.approx(1200.0, rel=1e-6)
    assert (body.unit.name, body.solids) == ("m", ("plate",))


@pytest.mark.parametrize(
    ("mode", "rows", "count"), [(4, [0, 1, 2, 2, 1, 3], 2), (5, [0, 1, 2, 3], 2), (6, [0, 1, 3, 2], 2)]
)
def test_triangles_strips_and_fans(put, mode, rows, count):
    data = POINTS.tobytes() + np.array(rows, "<u2").tobytes()
    made = tree(buffers=[{"byteLength": len(data), "uri": "data:;base64," + base64.b64encode(data).decode()}])
    made["accessors"][1]["count"] = len(rows)
    made["meshes"][0]["primitives"][0]["mode"] = mode
    body = read_body(put(made))
    assert len(body.triangles) == count
    assert body.facet_area_mm2 == pytest.approx(1200.0, rel=1e-6)


def test_lines_are_left_out_and_said(put):
    made = tree()
    made["meshes"][0]["primitives"].append({"attributes": {"POSITION": 0}, "mode": 1})
    body = read_body(put(made))
    assert "lines-left-out" in {note.code for note in body.notes}
    assert body.facet_area_mm2 == pytest.approx(1200.0, rel=1e-6)


def test_instances_nest_and_stand_where_their_nodes_say(put):
    half = np.sqrt(0.5)
    nodes = [
        {"children": [1, 2], "scale": [2, 2, 2]},
        {"mesh": 0, "rotation": [0, 0, half, half], "translation": [1, 0, 0]},
        {"mesh": 0, "matrix": [-1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1]},
    ]
    body = read_body(put(tree(nodes=nodes)))
    assert body.facet_area_mm2 == pytest.approx(2 * 4 * 1200.0, rel=1e-6)
    first = body.vertices[:4]
    assert first.min(axis=0) == pytest.approx([2 * (1000 - 40), 0, 0], abs=1e-3)
    assert body.vertices[4:].min(axis=0) == pytest.approx([-60, 0, 0], abs=1e-3)
    normal = [np.cross(*np.diff(body.vertices[t], axis=0))[2] for t in body.triangles]
    assert min(normal) > 0  # the mirrored one still faces the same way


def test_colours_are_shown_as_on_a_screen(put):
    made = tree(materials=[{"pbrMetallicRoughness": {"baseColorFactor": [1.0, 0.2140, 0.0, 1.0]}}])
    made["meshes"][0]["primitives"][0]["material"] = 0
    body = read_body(put(made))
    assert body.colours == ((255, 127, 0),)


def test_sparse_points_replace_those_they_name(put):
    data = DATA + np.array([3], "<u2").tobytes() + bytes(2) + np.array([0.03, 0.08, 0], "<f4").tobytes()
    made = tree(buffers=[{"byteLength": len(data), "uri": "data:;base64," + base64.b64encode(data).decode()}])
    made["bufferViews"] += [
        {"buffer": 0, "byteOffset": 60, "byteLength": 2},
        {"buffer": 0, "byteOffset": 64, "byteLength": 12},
    ]
    made["accessors"][0]["sparse"] = {
        "count": 1,
        "indices": {"bufferView": 2, "componentType": 5123},
        "values": {"bufferView": 3},
    }
    assert read_body(put(made)).size_mm == pytest.approx((30, 80, 0), rel=1e-6)


def test_a_data_file_is_read_only_from_the_same_folder(put, tmp_path):
    (tmp_path / "data.bin").write_bytes(DATA)
    assert read_body(put(tree(buffers=[{"byteLength": 60, "uri": "data.bin"}]))).facet_area_mm2 == pytest.approx(
        1200, rel=1e-6
    )
    for uri in ("../data.bin", "/etc/passwd", "file:///etc/passwd", "%2e%2e/data.bin", "http://example.org/data.bin"):
        with pytest.raises(BadInput, match="outside its folder"):
            read_body(put(tree(buffers=[{"byteLength": 60, "uri": uri}])))


def changed(*keys, value):
    made = tree()
    at = made
    for key in keys[:-1]:
        at = at[key]
    at[keys[-1]] = value
    return made


@pytest.mark.parametrize(("made", "said"), [
    (changed("accessors", 0, "count", value=4_000_000_000), "is not sound glTF"),
    (changed("accessors", 0, "count", value=5_000_000), "is cut short"),
    (changed("accessors", 0, "byteOffset", value=-5), "is cut short"),
    (changed("accessors", 0, "bufferView", value=7), "is not sound glTF"),
    (changed("bufferViews", 0, "byteOffset", value=1000), "is cut short"),
    (changed("nodes", 0, "children", value=[0]), "without end"),
    (changed("asset", "version", value="1.0"), "is not glTF 2.0"),
    (changed("asset", value=[]), "is not glTF 2.0"),
    (changed("accessors", 0, "type", value="VEC2"), "points of 2 coordinates"),
    (tree(extensionsRequired=["KHR_draco_mesh_compression"]), "needs KHR_draco_mesh_compression, which is not read"),
    (tree(extensionsUsed=["EXT_mesh_gpu_instancing"]), "needs EXT_mesh_gpu_instancing"),
    (tree(buffers=[{"byteLength": 60, "uri": "data:;base64,!!"}]), "embedded data are damaged"),
    (tree(buffers=[{"byteLength": 60, "uri": "gone.bin"}]), "'gone.bin' is not beside it"),
    (tree(buffers=[{"byteLength": 60, "uri": 300 * "b"}]), f"'{60 * 'b'}' is not beside it"),
    (tree(meshes=[]), "is not sound glTF"),
    (tree(nodes=[], scenes=[{"nodes": []}]), "holds no triangle"),
])  # fmt: skip
def test_promises_that_do_not_hold_are_one_line(put, made, said):
    with pytest.raises(BadInput) as refused:
        read_body(put(made))
    assert said in str(refused.value)


@pytest.mark.parametrize(("content", "said"), [
    (struct.pack("<4sII", b"glTF", 1, 12), "is glTF of version 1, not 2"),
    (struct.pack("<4sII", b"glTF", 2, 400), "is cut short: 12 of 400 bytes"),
    (struct.pack("<4sIIII", b"glTF", 2, 20, 4_000_000_000, 0x4E4F534A), "is cut short inside a chunk"),
    (struct.pack("<4sII", b"glTF", 2, 12), "its JSON part cannot be read"),
])  # fmt: skip
def test_a_binary_file_that_is_not_whole(tmp_path, content, said):
    path = tmp_path / "part.glb"
    path.write_bytes(content)
    with pytest.raises(BadInput, match=said):
        read_body(path)
