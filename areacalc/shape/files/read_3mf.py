"""3MF: what the build holds, where it stands, in the unit the file declares, with names and colours.

3MF Core Specification (3MF Consortium), with the colours of its Materials Extension and the paths of its Production
Extension. The standard library's parser streams the XML; declarations of types and entities are refused.
"""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any
from xml.parsers import expat

import numpy as np

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.body import Body
from areacalc.shape.files.package import Package, open_package
from areacalc.shape.files.scene import NO_COLOUR, Node, ScenePiece, body_of, packed, place
from areacalc.shape.kinds import FileNote, Floats, Ints, Note

UNITS = {"micron": "um", "millimeter": "mm", "centimeter": "cm", "inch": "in", "foot": "ft", "meter": "m"}
_ROOT_RELATION = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
_SKIN = ("model", "surface", "")
CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
MATERIALS = "http://schemas.microsoft.com/3dmanufacturing/material/2015/02"
PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
_LOOSE = "it stands in no object"
_UNDERSTOOD = {CORE, MATERIALS, PRODUCTION,
               "http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Placed3mf:
    """An object used by the build or by another: its id, the model part it is in ("": this one), and where it is."""

    object_id: str
    part: str
    matrix: Floats


@dataclass
class Object3mf:
    """A mesh, or the components that make it up. Rows of `marks`: colour group and entries p1, p2, p3 as text or ""."""

    kind: str
    name: str
    group: str = ""
    entry: str = ""
    points: array[float] = field(default_factory=lambda: array("d"))
    corners: array[int] = field(default_factory=lambda: array("l"))
    marks: dict[int, tuple[str, str, str, str]] = field(default_factory=dict)
    components: list[Placed3mf] = field(default_factory=list)
    other_skin: str = ""


@dataclass
class Model3mf:
    """What one model part holds."""

    unit: str = "millimeter"
    objects: dict[str, Object3mf] = field(default_factory=dict)
    build: list[Placed3mf] = field(default_factory=list)
    groups: dict[str, list[int]] = field(default_factory=dict)  # colours, packed


@dataclass
class _Scene:
    package: Package
    mm: float = 1.0  # of the root model's unit
    models: dict[str, Model3mf] = field(default_factory=dict)
    nodes: list[Node] = field(default_factory=list)
    row_of: dict[tuple[str, str], int] = field(default_factory=dict)  # of a node, by its model part and object
    keys: list[tuple[str, str]] = field(default_factory=list)  # of each node
    pieces: list[ScenePiece] = field(default_factory=list)
    notes: dict[str, Note] = field(default_factory=dict)


def read(path: Path, unit: Unit | None = None) -> Body:
    """The Body in a 3MF package, in mm. Raises BadInput."""
    with open_package(path) as package:
        scene = _Scene(package)
        root = _root_part(package)
        model = _model(scene, root)
        declared = _unit(path, model)
        scene.mm = declared.mm
        build = model.build
        if not build:
            scene.notes["build"] = Note(fact(FileNote.BUILD_EMPTY), warns=True)
            inner = {placed.object_id for each in model.objects.values() for placed in each.components}
            build = [Placed3mf(key, "", np.eye(4)) for key in model.objects if key not in inner]
        roots = [(_node(scene, root, item), item.matrix) for item in build]
        _hang_components(scene)
    counts = [len(piece.triangles) for piece in scene.pieces]
    placed = place(path.name, path.stat().st_size, scene.nodes, roots, counts)
    return body_of(path, scene.pieces, unit, declared, list(scene.notes.values()), placed)


def _root_part(package: Package) -> str:
    """The part that the package's relations name as the model; the usual name where they name none."""
    found: list[str] = []

    def start(name: str, attributes: dict[str, str]) -> None:
        if name.endswith("Relationship") and attributes.get("Type") == _ROOT_RELATION:
            found.append(attributes.get("Target", "").lstrip("/"))

    if "_rels/.rels" in package:
        parser = expat.ParserCreate()
        parser.StartElementHandler = start
        with package.part("_rels/.rels") as stream:
            try:
                parser.ParseFile(stream)
            except expat.ExpatError:
                raise BadInput(package.path.name, "its list of relations is not sound XML", "export it again") from None
    return found[0] if found else "3D/3dmodel.model"


def _model(scene: _Scene, part: str) -> Model3mf:
    if part not in scene.models:
        with scene.package.part(part) as stream:
            scene.models[part] = _parsed(scene.package.path, part, stream)
    return scene.models[part]


def _unit(path: Path, model: Model3mf) -> Unit:
    if model.unit not in UNITS:
        what = f"declares the unit '{model.unit}', which the standard does not know"
        raise BadInput(path.name, what, f"export it in one of {', '.join(UNITS)}")
    return LENGTH_UNITS[UNITS[model.unit]]


def _node(scene: _Scene, part: str, placed: Placed3mf) -> int:
    """The row of the node for an object, which is added where it is new; its components come later."""
    path = scene.package.path
    part = placed.part.lstrip("/") or part
    key = (part, placed.object_id)
    if key in scene.row_of:
        return scene.row_of[key]
    model = _model(scene, part)
    item = model.objects.get(placed.object_id)
    if item is None:
        what = f"the build uses object {placed.object_id}, which is missing"
        raise BadInput(f"{path.name}, {part}", what, "export the part again")
    mesh = -1
    if item.kind not in _SKIN:
        scene.notes[item.kind] = Note(fact(FileNote.OBJECT_LEFT_OUT, type=item.kind))
    elif item.other_skin:
        what = f"object {placed.object_id} has a '{item.other_skin}', which is not read"
        raise BadInput(f"{path.name}, {part}", what, "export it as a plain mesh")
    elif item.corners:
        mesh = len(scene.pieces)
        scene.pieces.append(_mesh(model, item, _unit(path, model).mm / scene.mm))
    row = scene.row_of[key] = len(scene.nodes)
    scene.keys.append(key)
    scene.nodes.append(Node(mesh, item.name, [], bool(item.name) and len(item.components) == 1))
    return row


def _hang_components(scene: _Scene) -> None:
    """Give every node its components, and those theirs: the nodes grow while they are gone through."""
    row = 0
    while row < len(scene.nodes):
        part, number = scene.keys[row]
        item = scene.models[part].objects[number]
        if item.kind in _SKIN:
            scene.nodes[row].children.extend((_node(scene, part, each), each.matrix) for each in item.components)
        row += 1


def _mesh(model: Model3mf, item: Object3mf, scale: float) -> ScenePiece:
    points = np.array(item.points).reshape(-1, 3)
    triangles = np.clip(np.array(item.corners).reshape(-1, 3), -1, len(points)).astype(np.int32)
    return ScenePiece(item.name, points * scale, triangles, _rgb(model, item, len(triangles)))


def _rgb(model: Model3mf, item: Object3mf, count: int) -> Ints:
    """A triangle's colour where its three corners have the same; else the object's."""
    rgb = np.full(count, _entry(model, item.group, item.entry), np.int32)
    for row, (group, *entries) in item.marks.items():
        kinds = {_entry(model, group, entry) for entry in entries}
        rgb[row] = kinds.pop() if len(kinds) == 1 else NO_COLOUR
    return rgb if len(rgb) and (rgb != NO_COLOUR).any() else np.empty(0, np.int32)


def _entry(model: Model3mf, group: str, entry: str) -> int:
    colours = model.groups.get(group, [])
    return colours[int(entry)] if entry.isdecimal() and int(entry) < len(colours) else NO_COLOUR


def _parsed(path: Path, part: str, stream: IO[bytes]) -> Model3mf:
    """Read one model part. Raises BadInput with the line."""
    reader = _Parser(path, part)
    try:
        reader.expat.ParseFile(stream)
    except expat.ExpatError as error:
        what = f"is not sound XML ({error})"
        raise BadInput(f"{path.name}, {part}, line {error.lineno}", what, "export again") from None
    except (LookupError, ValueError, OverflowError) as error:  # an unknown encoding is a LookupError
        if isinstance(error, BadInput):
            raise
        where = f"{path.name}, {part}, line {reader.expat.CurrentLineNumber}"
        raise BadInput(where, f"an attribute is missing or wrong ({error})", "export the part again") from None
    return reader.model


class _Parser:
    def __init__(self, path: Path, part: str) -> None:
        self.path, self.part, self.model = path, part, Model3mf()
        self.object: Object3mf | None = None
        self.group: list[int] = []
        self.spaces: dict[str, str] = {}
        self.expat = expat.ParserCreate(namespace_separator=" ")
        self.expat.buffer_text = True
        self.expat.StartElementHandler = self._start
        self.expat.StartNamespaceDeclHandler = lambda prefix, uri: self.spaces.__setitem__(prefix or "", uri)
        self.expat.StartDoctypeDeclHandler = self._refuse_declarations
        self.handlers: dict[str, Any] = {
            f"{CORE} vertex": self._vertex, f"{CORE} triangle": self._triangle, f"{CORE} model": self._model,
            f"{CORE} object": self._object, f"{CORE} component": self._component,
            f"{CORE} item": lambda a: self.model.build.append(self._placed(a)),
            f"{CORE} basematerials": self._group, f"{CORE} base": lambda a: self._colour(a.get("displaycolor", "")),
            f"{MATERIALS} colorgroup": self._group, f"{MATERIALS} color": lambda a: self._colour(a["color"]),
        }  # fmt: skip

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        handler = self.handlers.get(name)
        if handler is not None:
            handler(attributes)
        elif self.object is not None and name.endswith(
            (" beamlattice", " slicestackref", " booleans", " displacementmesh")
        ):
            self.object.other_skin = name.rpartition(" ")[2]

    def _refuse_declarations(self, *_: object) -> None:
        raise BadInput(f"{self.path.name}, {self.part}", "declares XML types or entities", "do not use it")

    def _model(self, attributes: dict[str, str]) -> None:
        self.model.unit = attributes.get("unit", "millimeter")
        needs = [self.spaces.get(prefix, prefix) for prefix in attributes.get("requiredextensions", "").split()]
        strange = [uri for uri in needs if uri not in _UNDERSTOOD]
        if strange:
            what = f"needs an extension that is not read: {', '.join(strange)}"
            raise BadInput(f"{self.path.name}, {self.part}", what, "export it as a plain mesh")

    def _object(self, attributes: dict[str, str]) -> None:
        self.object = Object3mf(attributes.get("type", "model"), attributes.get("name", ""),
                                attributes.get("pid", ""), attributes.get("pindex", "0"))  # fmt: skip
        self.model.objects[attributes["id"]] = self.object

    def _vertex(self, attributes: dict[str, str]) -> None:
        if self.object is None:
            raise ValueError(_LOOSE)
        points = self.object.points
        points.append(float(attributes["x"]))
        points.append(float(attributes["y"]))
        points.append(float(attributes["z"]))

    def _triangle(self, attributes: dict[str, str]) -> None:
        if self.object is None:
            raise ValueError(_LOOSE)
        corners = self.object.corners
        corners.append(int(attributes["v1"]))
        corners.append(int(attributes["v2"]))
        corners.append(int(attributes["v3"]))
        if len(attributes) > 3 and "p1" in attributes:
            one = attributes["p1"]
            row = (attributes.get("pid", self.object.group), one, attributes.get("p2", one), attributes.get("p3", one))
            self.object.marks[len(corners) // 3 - 1] = row

    def _component(self, attributes: dict[str, str]) -> None:
        if self.object is None:
            raise ValueError(_LOOSE)
        self.object.components.append(self._placed(attributes))

    def _placed(self, attributes: dict[str, str]) -> Placed3mf:
        """The transform's twelve numbers are the rows of a matrix for row vectors."""
        matrix = np.eye(4)
        if "transform" in attributes:
            rows = np.array([float(word) for word in attributes["transform"].split()])
            if len(rows) != 12 or not np.isfinite(rows).all():
                raise ValueError("transform")
            matrix[:3, :] = rows.reshape(4, 3).T
        return Placed3mf(attributes["objectid"], attributes.get(f"{PRODUCTION} path", ""), matrix)

    def _group(self, attributes: dict[str, str]) -> None:
        self.group = self.model.groups.setdefault(attributes["id"], [])

    def _colour(self, text: str) -> None:
        rgb = [int(text[i : i + 2], 16) for i in (1, 3, 5)] if text.startswith("#") else None
        self.group.append(int(packed([rgb])[0]) if rgb else NO_COLOUR)
