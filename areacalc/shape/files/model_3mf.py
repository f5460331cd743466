"""One model part of a 3MF package: its objects, colours and build, from a stream of XML.

3MF Core Specification (3MF Consortium), with the colours of its Materials Extension and the paths of its Production
Extension. The standard library's parser streams; declarations of types and entities are refused.
"""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any
from xml.parsers import expat

import numpy as np

from areacalc.errors import BadInput
from areacalc.shape.files.scene import NO_COLOUR, packed
from areacalc.shape.kinds import Floats

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


def parse_model(path: Path, part: str, stream: IO[bytes]) -> Model3mf:
    """Read one model part. Raises BadInput with the line."""
    reader = _Parser(path, part)
    try:
        reader.expat.ParseFile(stream)
    except expat.ExpatError as error:
        raise BadInput(
            f"{path.name}, {part}, line {error.lineno}", f"is not sound XML ({error})", "export again"
        ) from None
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
            f"{CORE} object": self._object, f"{CORE} component": self._component, f"{CORE} item": self._item,
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

    def _item(self, attributes: dict[str, str]) -> None:
        self.model.build.append(self._placed(attributes))

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
