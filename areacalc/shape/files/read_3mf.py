"""3MF: what the build holds, where it stands, in the unit the file declares, with names and colours."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from xml.parsers import expat

import numpy as np

from areacalc.errors import BadInput
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.body import Body
from areacalc.shape.files.model_3mf import Model3mf, Object3mf, Placed, parse_model
from areacalc.shape.files.package import Package, open_package
from areacalc.shape.files.scene import MAX_TRIANGLES, NO_COLOUR, Piece, body_of
from areacalc.shape.kinds import Floats, Ints, Note

UNITS = {"micron": "um", "millimeter": "mm", "centimeter": "cm", "inch": "in", "foot": "ft", "meter": "m"}
_ROOT_RELATION = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
_SKIN = ("model", "surface", "")
_MAX_DEPTH = 100


@dataclass
class _Scene:
    package: Package
    models: dict[str, Model3mf] = field(default_factory=dict)
    meshes: dict[tuple[str, str], Piece] = field(default_factory=dict)
    pieces: list[Piece] = field(default_factory=list)
    notes: dict[str, Note] = field(default_factory=dict)
    triangles: int = 0
    mm: float = 1.0  # of the root model's unit


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
            text = "the file's build is empty: every object of its own was taken"
            scene.notes["build"] = Note("build-empty", text, warns=True)
            inner = {placed.object_id for each in model.objects.values() for placed in each.components}
            build = [Placed(key, "", np.eye(4)) for key in model.objects if key not in inner]
        for item in build:
            _place(scene, root, item, np.eye(4), 0, "")
    return body_of(path, scene.pieces, unit, declared, list(scene.notes.values()))


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


def _place(scene: _Scene, part: str, placed: Placed, above: Floats, depth: int, name: str) -> None:
    """Add an object, or all its components, where it stands."""
    path = scene.package.path
    if depth > _MAX_DEPTH:
        raise BadInput(path.name, "its components hold one another without end", "export the part again")
    part = placed.part.lstrip("/") or part
    model = _model(scene, part)
    item = model.objects.get(placed.object_id)
    if item is None:
        what = f"the build uses object {placed.object_id}, which is not there"
        raise BadInput(f"{path.name}, {part}", what, "export the part again")
    if item.kind not in _SKIN:
        text = f"objects of type '{item.kind}' are no part of the skin and were left out"
        scene.notes[item.kind] = Note("object-left-out", text)
        return
    if item.other_skin:
        what = f"object {placed.object_id} has a '{item.other_skin}', which is not read"
        raise BadInput(f"{path.name}, {part}", what, "export it as a plain mesh")
    matrix = above @ placed.matrix
    name = name or item.name
    if item.corners:
        scene.triangles += len(item.corners) // 3
        mesh = _mesh(scene, part, placed.object_id, model, item)
        scale = _unit(path, model).mm / scene.mm  # a part in another unit than the root's
        matrix = matrix @ np.diag([scale, scale, scale, 1.0])
        scene.pieces.append(Piece(name, mesh.vertices, mesh.triangles, mesh.rgb).moved(matrix))
    scene.triangles += 1  # so that empty components cannot multiply without end either
    if scene.triangles > MAX_TRIANGLES:
        raise BadInput(path.name, "its copies add up to over 100 million triangles", "export it coarser")
    for component in item.components:
        several = len(item.components) > 1
        _place(scene, part, component, matrix, depth + 1, "" if several else name)


def _mesh(scene: _Scene, part: str, key: str, model: Model3mf, item: Object3mf) -> Piece:
    if (part, key) not in scene.meshes:
        points = np.array(item.points).reshape(-1, 3)
        triangles = np.clip(np.array(item.corners).reshape(-1, 3), -1, len(points)).astype(np.int32)
        scene.meshes[part, key] = Piece(item.name, points, triangles, _rgb(model, item, len(triangles)))
    return scene.meshes[part, key]


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
