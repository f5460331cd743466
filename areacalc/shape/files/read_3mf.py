"""3MF: what the build holds, where it stands, in the unit the file declares, with names and colours."""

from dataclasses import dataclass, field
from pathlib import Path
from xml.parsers import expat

import numpy as np

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.body import Body
from areacalc.shape.files.model_3mf import Model3mf, Object3mf, Placed3mf, parse_model
from areacalc.shape.files.package import Package, open_package
from areacalc.shape.files.placing import Node, place
from areacalc.shape.files.scene import NO_COLOUR, ScenePiece, body_of
from areacalc.shape.kinds import FileNote, Ints, Note

UNITS = {"micron": "um", "millimeter": "mm", "centimeter": "cm", "inch": "in", "foot": "ft", "meter": "m"}
_ROOT_RELATION = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
_SKIN = ("model", "surface", "")


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
            scene.models[part] = parse_model(scene.package.path, part, stream)
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
