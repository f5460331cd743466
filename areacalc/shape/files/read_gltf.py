"""glTF 2.0, as .gltf and .glb: the scene's nodes where they stand, in metres as the standard says.

Read by our own few lines: every count is held against the bytes that are there, and what is compressed or bent by a
skeleton is refused or named instead of dropped.
"""

import base64
import binascii
import json
import os
import struct
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import numpy as np
from numpy.typing import NDArray

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.body import Body
from areacalc.shape.files.scene import (
    MAX_TRIANGLES,
    NO_COLOUR,
    Node,
    Placed,
    ScenePiece,
    agreed,
    body_of,
    packed,
    place,
    strip_triangles,
)
from areacalc.shape.kinds import FileNote, Floats, Ints, Note

_COMPONENT = {5120: "<i1", 5121: "<u1", 5122: "<i2", 5123: "<u2", 5125: "<u4", 5126: "<f4"}
_WIDTH = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4, "MAT2": 4, "MAT3": 9, "MAT4": 16}
_MOVES_NOTHING = {"KHR_mesh_quantization", "KHR_texture_transform", "KHR_texture_basisu", "EXT_texture_webp"}
_REMEDY = "export it uncompressed, as plain triangles"
_JSON, _BINARY = 0x4E4F534A, 0x004E4942  # kinds of chunk
_TRIANGLES, _STRIP, _FAN = 4, 5, 6
_LINES_AND_POINTS = (0, 1, 2, 3)
_NOTHING = ScenePiece("", np.empty((0, 3)), np.empty((0, 3), np.int32))


@dataclass
class _File:
    path: Path
    tree: dict[str, Any]
    binary: bytes | None
    buffers: dict[int, bytes] = field(default_factory=dict)
    notes: dict[str, Note] = field(default_factory=dict)


def read(path: Path, unit: Unit | None = None) -> Body:
    """The Body in a glTF file, in mm. Raises BadInput."""
    tree, binary = _opened(path)
    file = _File(path, tree, binary)
    try:
        needs = set(tree.get("extensionsRequired", ())) - _MOVES_NOTHING
        needs = {name for name in needs if not str(name).startswith("KHR_materials_")}
        if needs or "EXT_mesh_gpu_instancing" in tree.get("extensionsUsed", ()):
            what = f"needs {', '.join(sorted(needs)) or 'EXT_mesh_gpu_instancing'}, which is not read"
            raise BadInput(path.name, what, _REMEDY)
        pieces, placed = _scene(file)
    except (KeyError, IndexError, TypeError, AttributeError, ValueError, OverflowError) as error:
        if isinstance(error, BadInput):
            raise
        what = f"is not sound glTF ({type(error).__name__}: {error})"
        raise BadInput(path.name, what, "export the part again") from None
    return body_of(path, pieces, unit, LENGTH_UNITS["m"], list(file.notes.values()), placed)


def _opened(path: Path) -> tuple[dict[str, Any], bytes | None]:
    data = path.read_bytes()
    binary = None
    if data.startswith(b"glTF"):
        version, length = struct.unpack_from("<II", data, 4) if len(data) >= 12 else (0, 0)
        if version != 2:
            raise BadInput(path.name, f"is glTF of version {version}, not 2", "export it as glTF 2.0")
        if length > len(data):
            raise BadInput(path.name, f"is cut short: {len(data)} of {length} bytes", "export the part again")
        at, chunks = 12, []
        while at + 8 <= length:
            size, kind = struct.unpack_from("<II", data, at)
            if at + 8 + size > length:
                raise BadInput(path.name, "is cut short inside a chunk", "export the part again")
            chunks.append((kind, data[at + 8 : at + 8 + size]))
            at += 8 + size
            if data[at + 4 : at + 8] != _BINARY.to_bytes(4, "little"):  # some writers leave the padding out
                at += -size % 4
        text = next((chunk for kind, chunk in chunks if kind == _JSON), b"")
        binary = next((chunk for kind, chunk in chunks if kind == _BINARY), None)
    else:
        text = data
    try:
        tree = json.loads(text)
    except (ValueError, RecursionError):
        raise BadInput(path.name, "its JSON part cannot be read", "export the part again") from None
    asset = tree.get("asset", {}) if isinstance(tree, dict) else None
    if not isinstance(asset, dict) or not str(asset.get("version", "2")).startswith("2"):
        raise BadInput(path.name, "is not glTF 2.0", "export it as glTF 2.0")
    return tree, binary


def _roots(file: _File) -> list[int]:
    scenes = file.tree.get("scenes")
    if scenes:
        return list(scenes[file.tree.get("scene", 0)].get("nodes", ()))
    children = {child for node in file.tree.get("nodes", ()) for child in node.get("children", ())}
    return [i for i in range(len(file.tree.get("nodes", ()))) if i not in children]


def _scene(file: _File) -> tuple[list[ScenePiece], Placed]:
    """The meshes that the scene's nodes use, and where each stands. Counted before any mesh is made."""
    given = file.tree.get("nodes", ())
    matrices, meshes = [_matrix(node) for node in given], [int(node.get("mesh", -1)) for node in given]
    used = sorted({mesh for mesh in meshes if mesh >= 0})
    row_of = {mesh: row for row, mesh in enumerate(used)}
    nodes = []
    for node, mesh in zip(given, meshes, strict=True):
        children = [(int(child), matrices[int(child)]) for child in node.get("children", ())]
        name = node.get("name") or (file.tree["meshes"][mesh].get("name") if mesh >= 0 else "")
        nodes.append(Node(row_of.get(mesh, -1), str(name or ""), children))
    roots = [(root, matrices[root]) for root in _roots(file)]
    counts = [_triangles_of(file, mesh) for mesh in used]
    placed = place(file.path.name, file.path.stat().st_size, nodes, roots, counts)
    reached = set(placed.piece.tolist())
    pieces = [_mesh(file, mesh) if row in reached else _NOTHING for row, mesh in enumerate(used)]
    if any("skin" in node for node in given):  # a skeleton bends it
        file.notes["posed"] = Note(fact(FileNote.POSED), warns=True)
    return pieces, placed


def _triangles_of(file: _File, mesh: int) -> int:
    """How many triangles a mesh promises; what it holds is seen when it is made."""
    count = 0
    for each in file.tree["meshes"][mesh]["primitives"]:
        mode = each.get("mode", _TRIANGLES)
        if mode not in _LINES_AND_POINTS:
            rows = file.tree["accessors"][each["indices"] if "indices" in each else each["attributes"]["POSITION"]]
            count += max(int(rows["count"]), 0) // (3 if mode == _TRIANGLES else 1)
    return count


def _mesh(file: _File, mesh: int) -> ScenePiece:
    primitives = file.tree["meshes"][mesh]["primitives"]
    if any(target for each in primitives for target in each.get("targets", ())):
        file.notes["morphs"] = Note(fact(FileNote.MAY_CHANGE_SHAPE), warns=True)
    parts = [part for part in (_primitive(file, each) for each in primitives) if part is not None]
    if not parts:
        return _NOTHING
    starts = np.cumsum([0] + [len(part.vertices) for part in parts])
    rows = [part.triangles + start for part, start in zip(parts, starts, strict=False)]
    return ScenePiece("", np.concatenate([part.vertices for part in parts]), np.concatenate(rows, dtype=np.int32),
                 np.concatenate([part.rgb for part in parts]))  # fmt: skip


def _matrix(node: dict[str, Any]) -> Floats:
    if "matrix" in node:
        return np.array(node["matrix"], float).reshape(4, 4).T
    x, y, z, w = (float(part) for part in node.get("rotation", (0, 0, 0, 1)))
    turn = np.array([
        [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
        [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
        [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
    ])  # fmt: skip
    out = np.eye(4)
    out[:3, :3] = turn * np.array(node.get("scale", (1, 1, 1)), float)
    out[:3, 3] = node.get("translation", (0, 0, 0))
    return out


def _primitive(file: _File, each: dict[str, Any]) -> ScenePiece | None:
    mode = each.get("mode", _TRIANGLES)
    if mode in _LINES_AND_POINTS:
        file.notes["lines"] = Note(fact(FileNote.LINES_LEFT_OUT))
        return None
    if any("compression" in name for name in each.get("extensions", {})):
        raise BadInput(file.path.name, "its mesh is compressed, which is not read", _REMEDY)
    attributes = each["attributes"]
    points = _accessor(file, attributes["POSITION"])
    if points.shape[1] != 3:
        raise ValueError(f"points of {points.shape[1]} coordinates")
    rows = _accessor(file, each["indices"])[:, 0] if "indices" in each else np.arange(len(points))
    corners = rows.astype(np.int64)
    if mode == _TRIANGLES:
        triangles: Ints = corners[: len(corners) // 3 * 3].reshape(-1, 3).astype(np.int32)
    elif mode == _STRIP:
        triangles = strip_triangles(corners)
    elif mode == _FAN:
        first = np.full(max(len(corners) - 2, 0), corners[0])
        triangles = np.stack([first, corners[1:-1], corners[2:]], axis=1).astype(np.int32)
    else:
        raise ValueError(f"mode {mode}")
    return ScenePiece("", points, triangles, _rgb(file, each, attributes, triangles))


def _rgb(file: _File, each: dict[str, Any], attributes: dict[str, int], triangles: Ints) -> Ints:
    if "COLOR_0" in attributes:
        shades = _accessor(file, attributes["COLOR_0"])[:, :3]
        if triangles.max(initial=-1) < len(shades):
            return agreed(packed(_screen(shades)), triangles)
    colour = NO_COLOUR
    if "material" in each:
        surface = file.tree["materials"][each["material"]].get("pbrMetallicRoughness", {})
        if "baseColorFactor" in surface:
            colour = int(packed(_screen(np.array([surface["baseColorFactor"][:3]], float)))[0])
    return np.full(len(triangles), colour, np.int32)


def _screen(linear: Floats) -> Floats:
    """Linear light, 0 to 1, as sRGB, 0 to 255 (IEC 61966-2-1)."""
    linear = np.clip(linear, 0.0, 1.0)
    return 255.0 * np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)


def _accessor(file: _File, index: int) -> Floats:
    """(count, width) as float64: numbers exact, normalised integers as the fractions they stand for."""
    accessor = file.tree["accessors"][index]
    item, width, count = np.dtype(_COMPONENT[accessor["componentType"]]), _WIDTH[accessor["type"]], accessor["count"]
    if not 0 <= count <= 3 * MAX_TRIANGLES:
        raise ValueError(f"accessor {index} counts {count}")
    if "bufferView" in accessor:
        view = file.tree["bufferViews"][accessor["bufferView"]]
        values = _view(file, accessor["bufferView"], accessor.get("byteOffset", 0), item, width, count,
                       view.get("byteStride") or width * item.itemsize)  # fmt: skip
    else:
        # what is all zeros but for a few costs nothing to promise, so the file's own size is the limit
        if "sparse" not in accessor or count > file.path.stat().st_size:
            raise ValueError(f"accessor {index} has no data")
        values = np.zeros((count, width), item)
    if "sparse" in accessor:
        few = accessor["sparse"]
        rows_type = np.dtype(_COMPONENT[few["indices"]["componentType"]])
        rows = _view(file, few["indices"]["bufferView"], few["indices"].get("byteOffset", 0), rows_type, 1,
                     few["count"], rows_type.itemsize)[:, 0]  # fmt: skip
        new = _view(file, few["values"]["bufferView"], few["values"].get("byteOffset", 0), item, width,
                    few["count"], width * item.itemsize)  # fmt: skip
        values = values.copy()
        values[rows] = new
    out = values.astype(np.float64)
    if accessor.get("normalized") and item.kind in "iu":
        out = np.maximum(out / np.iinfo(item).max, -1.0)
    return out


def _view(file: _File, index: int, offset: int, item: np.dtype[Any], width: int, count: int, stride: int
          ) -> NDArray[Any]:  # fmt: skip
    view = file.tree["bufferViews"][index]
    buffer = _buffer(file, view["buffer"])
    start = view.get("byteOffset", 0) + offset
    end = start + (stride * (count - 1) + width * item.itemsize if count else 0)
    if min(start, offset, count) < 0 or stride < width * item.itemsize or end > len(buffer):
        what = f"is cut short: {end} bytes are promised, {len(buffer)} are there"
        raise BadInput(file.path.name, what, "export the part again")
    return np.ndarray((count, width), item, buffer, start, (stride, item.itemsize))


def _buffer(file: _File, index: int) -> bytes:
    if index not in file.buffers:
        uri = file.tree["buffers"][index].get("uri")
        file.buffers[index] = (file.binary or b"") if uri is None else _fetched(file.path, str(uri))
    return file.buffers[index]


def _fetched(path: Path, uri: str) -> bytes:
    """The bytes in a data: text, or in a file of the same folder; nothing else is opened."""
    if uri.startswith("data:"):
        try:
            return base64.b64decode(uri.partition(",")[2], validate=True)
        except binascii.Error:
            raise BadInput(path.name, "its embedded data are damaged", "export the part again") from None
    name = unquote(uri)
    if Path(name).name != name or "\\" in name or ":" in name:
        what = f"asks for '{name[:60]}', which is outside its folder"
        raise BadInput(path.name, what, "put both files in one folder, or export it as .glb")
    beside = path.parent / name
    if not os.path.isfile(beside):  # which takes a name of any length
        what = f"its data file '{name[:60]}' is not beside it"
        raise BadInput(path.name, what, "keep both files together, or use .glb")
    return beside.read_bytes()
