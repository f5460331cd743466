"""PLY, ASCII and binary of either byte order: elements in any order, faces of any number of corners, strips, colour."""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from areacalc.errors import BadInput
from areacalc.quantity import Unit
from areacalc.shape.body import Body
from areacalc.shape.files.scene import NO_COLOUR, ScenePiece, agreed, body_of, packed, strip_triangles
from areacalc.shape.kinds import Floats, Ints, Note
from areacalc.shape.mesh.polygons import cut_faces

_TYPES = {
    "char": "i1", "int8": "i1", "uchar": "u1", "uint8": "u1", "short": "i2", "int16": "i2", "ushort": "u2",
    "uint16": "u2", "int": "i4", "int32": "i4", "uint": "u4", "uint32": "u4", "float": "f4", "float32": "f4",
    "double": "f8", "float64": "f8",
}  # fmt: skip
_MOST_PROPERTIES = 500
_ORDER = {"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"}
_COLOUR = [("red", "green", "blue"), ("r", "g", "b"), ("diffuse_red", "diffuse_green", "diffuse_blue")]
Lists = tuple[Ints, Floats]  # how long each is, and all their values in a row


@dataclass(frozen=True, slots=True)
class _Property:
    name: str
    kind: str  # numpy's short name
    count_kind: str = ""  # of a list's length; empty for a single value


@dataclass(frozen=True, slots=True)
class _Element:
    name: str
    count: int
    properties: list[_Property]


def read(path: Path, unit: Unit | None = None) -> Body:
    """The Body in a PLY file, in mm. Raises BadInput."""
    data = path.read_bytes()
    end = re.search(rb"\n?end_header[ \t]*(\r\n|\n|\r)", data[: 1 << 20])
    if end is None:
        raise BadInput(path.name, "the header does not end", "export the part again")
    order, elements = _header(path, data[: end.start()].decode("ascii", "replace"))
    rows = _Rows(path, data, end.end(), order)
    single: dict[str, dict[str, Floats]] = {}
    lists: dict[str, dict[str, Lists]] = {}
    for element in elements:
        single[element.name], lists[element.name] = rows.take(element)
    return _body(path, unit, single, lists)


def _header(path: Path, text: str) -> tuple[str, list[_Element]]:
    order, elements = None, []
    for place, line in enumerate(re.split(r"\r\n|\n|\r", text), 1):
        words = line.split()
        try:
            if words[:1] == ["format"]:
                order = _ORDER[words[1]]
            elif words[:1] == ["element"]:
                elements.append(_Element(words[1], int(words[2]), []))
                if elements[-1].count < 0:
                    raise ValueError
            elif words[:2] == ["property", "list"]:
                elements[-1].properties.append(_Property(words[4], _TYPES[words[3]], _TYPES[words[2]]))
            elif words[:1] == ["property"]:
                elements[-1].properties.append(_Property(words[2], _TYPES[words[1]]))
            if elements and len({each.name for each in elements[-1].properties}) < len(elements[-1].properties):
                raise ValueError
        except (KeyError, IndexError, ValueError):
            what = f"'{line[:60]}' is not a PLY header's"
            raise BadInput(f"{path.name}, line {place}", what, "export again") from None
        if sum(1 + len(each.properties) for each in elements) > _MOST_PROPERTIES:
            raise BadInput(path.name, f"the header names over {_MOST_PROPERTIES} properties", "export the part again")
    if order is None:
        raise BadInput(path.name, "the header names no format", "export the part again")
    return order, elements


class _Rows:
    """The rows of one element after the other. A text's numbers come as if every one were a float64."""

    def __init__(self, path: Path, data: bytes, start: int, order: str) -> None:
        self.path, self.data, self.at, self.order = path, data, start, order
        if order == "":
            words = data[start:].split()
            try:
                self.data, self.at = np.fromiter(map(float, words), float, len(words)).tobytes(), 0
            except ValueError as error:
                raise BadInput(path.name, f"a number cannot be read ({error})", "export the part again") from None

    def take(self, element: _Element) -> tuple[dict[str, Floats], dict[str, Lists]]:
        """The single values and the lists of an element, by the names of its properties."""
        least = sum(self._type(each.count_kind or each.kind).itemsize for each in element.properties)
        if least * element.count > len(self.data) - self.at:
            raise _cut_short(self.path, element)
        if not element.count or not element.properties:
            return _gathered(element, {each.name: [] for each in element.properties})
        return self._even(element) or self._uneven(element)

    def _even(self, element: _Element) -> tuple[dict[str, Floats], dict[str, Lists]] | None:
        """All rows in one go, where every list is as long as the first."""
        fields: list[Any] = []
        record = np.dtype(fields)
        for i, each in enumerate(element.properties):
            length = 1
            if each.count_kind:
                length = self._length(element, each.count_kind, self.at + record.itemsize)
                fields.append((f"n{i}", self._type(each.count_kind)))
            fields.append((f"v{i}", self._type(each.kind), (length,)))
            record = np.dtype(fields)
        if record.itemsize * element.count > len(self.data) - self.at:
            return None
        table = np.frombuffer(self.data, record, element.count, self.at)
        single, lists = {}, {}
        for i, each in enumerate(element.properties):
            values = table[f"v{i}"].astype(np.float64)
            if not each.count_kind:
                single[each.name] = values[:, 0]
            elif (table[f"n{i}"] == table[f"n{i}"][0]).all():
                lists[each.name] = np.full(element.count, values.shape[1]), values.ravel()
            else:
                return None
        self.at += record.itemsize * element.count
        return single, lists

    def _uneven(self, element: _Element) -> tuple[dict[str, Floats], dict[str, Lists]]:
        rows: dict[str, list[list[float]]] = {each.name: [] for each in element.properties}
        for _ in range(element.count):
            for each in element.properties:
                length = 1
                if each.count_kind:
                    length = self._length(element, each.count_kind, self.at)
                    self.at += self._type(each.count_kind).itemsize
                item = self._type(each.kind)
                if self.at + length * item.itemsize > len(self.data):
                    raise _cut_short(self.path, element)
                rows[each.name].append(np.frombuffer(self.data, item, length, self.at).tolist())
                self.at += length * item.itemsize
        return _gathered(element, rows)

    def _type(self, kind: str) -> np.dtype[np.generic]:
        return np.dtype(self.order + kind) if self.order else np.dtype(np.float64)

    def _length(self, element: _Element, kind: str, at: int) -> int:
        item = self._type(kind)
        if at + item.itemsize > len(self.data):
            raise _cut_short(self.path, element)
        length = float(np.frombuffer(self.data, item, 1, at)[0])
        if not 0 <= length <= len(self.data) - at:
            raise _cut_short(self.path, element)
        return int(length)


def _gathered(element: _Element, rows: dict[str, list[list[float]]]) -> tuple[dict[str, Floats], dict[str, Lists]]:
    single: dict[str, Floats] = {}
    lists: dict[str, Lists] = {}
    for each in element.properties:
        values = np.array([value for row in rows[each.name] for value in row], float)
        if each.count_kind:
            lists[each.name] = np.array([len(row) for row in rows[each.name]], np.int64), values
        else:
            single[each.name] = values
    return single, lists


def _cut_short(path: Path, element: _Element) -> BadInput:
    what = f"the header promises {element.count} of '{element.name}', and the file ends before"
    return BadInput(path.name, what, "export the part again")


def _body(
    path: Path, unit: Unit | None, single: dict[str, dict[str, Floats]], lists: dict[str, dict[str, Lists]]
) -> Body:
    corner = single.get("vertex", {})
    if not {"x", "y", "z"} <= corner.keys():
        raise BadInput(path.name, "has no points with x, y and z", "export the part as a mesh")
    points = np.stack([corner[axis] for axis in "xyz"], axis=1)
    faces = lists.get("face", {})
    rings = faces.get("vertex_indices", faces.get("vertex_index"))
    notes: tuple[Note, ...] = ()
    triangles: Ints = np.empty((0, 3), np.int32)
    rgb: Ints = np.empty(0, np.int32)
    if rings is not None:
        counts, corners = rings
        outside = (corners < 0) | (corners >= len(points))
        if outside.any():
            bad = int(np.repeat(np.arange(len(counts)), counts)[outside][0])
            what = f"uses point {corners[outside][0]:.0f} where there are {len(points)} (counted from 0)"
            raise BadInput(f"{path.name}, face {bad + 1}", what, "export the part again")
        triangles, face_of, notes = cut_faces(points, counts, corners.astype(np.int64), path.name)
        of_face = _rgb(single.get("face", {}))
        rgb = of_face[face_of] if len(of_face) else of_face
    strips = lists.get("tristrips", {}).get("vertex_indices")
    if strips is not None and len(triangles) == 0:
        runs = np.split(strips[1].astype(np.int64), np.nonzero(strips[1] < 0)[0])
        triangles = np.concatenate([strip_triangles(run[run >= 0]) for run in runs])
    of_corner = _rgb(corner)
    if len(of_corner) and (rgb == NO_COLOUR).all() and triangles.max(initial=-1) < len(points):
        rgb = agreed(of_corner, triangles)
    return body_of(path, [ScenePiece("", points, triangles, rgb)], unit, notes=notes)


def _rgb(properties: dict[str, Floats]) -> Ints:
    """Packed colours where the element has them: 0 to 255, or 0 to 1 where all are fractions."""
    for names in _COLOUR:
        if set(names) <= properties.keys():
            shades = np.stack([properties[name] for name in names], axis=1)
            fractions = shades.max(initial=0.0) <= 1.0 and bool((shades % 1.0).any())
            return packed(shades * (255.0 if fractions else 1.0))
    return np.empty(0, np.int32)
