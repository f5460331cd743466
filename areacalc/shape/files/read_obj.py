"""OBJ: faces of any number of corners, counted from either end, with the names of objects and material colours."""

import os
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.quantity import Unit
from areacalc.shape.body import Body
from areacalc.shape.files.scene import NO_COLOUR, ScenePiece, agreed, body_of, packed
from areacalc.shape.kinds import FileNote, Floats, Ints, Note
from areacalc.shape.mesh.polygons import cut_faces

_FREE_FORM = (b"surf", b"curv", b"cstype")
_MAX_MATERIALS_BYTES = 1 << 24
_WHOLE = re.compile(rb"[+-]?\d{1,18}")


@dataclass
class _Lines:
    """The lines that matter, in the file's order; for each face the points before it, its object and its material."""

    points: list[bytes] = field(default_factory=list)
    point_places: list[int] = field(default_factory=list)
    faces: list[bytes] = field(default_factory=list)
    face_places: list[int] = field(default_factory=list)
    points_before: list[int] = field(default_factory=list)
    objects: dict[int, bytes] = field(default_factory=dict)  # first face -> name
    groups: dict[int, bytes] = field(default_factory=dict)
    materials: dict[int, bytes] = field(default_factory=dict)
    libraries: list[bytes] = field(default_factory=list)
    free_form: int = 0


def read(path: Path, unit: Unit | None = None) -> Body:
    """The Body in an OBJ file, in mm. Raises BadInput with the line."""
    lines = _sorted_lines(path.read_bytes())
    points = _points(path, lines)
    counts, corners = _faces(path, lines)
    triangles, face_of, uneven = cut_faces(points[:, :3], counts, corners, path.name)
    notes = list(uneven)
    if lines.free_form:
        notes.append(Note(fact(FileNote.FREE_FORM_LEFT_OUT, count=lines.free_form), warns=True))
    rgb: Ints = np.empty(0, np.int32)
    if lines.materials and lines.libraries:
        colours, said = _materials(path, lines.libraries)
        notes += said
        table = np.array([*(colours.get(name, NO_COLOUR) for name in lines.materials.values()), NO_COLOUR], np.int32)
        rgb = table[_latest(lines.materials, len(counts))][face_of]
    if points.shape[1] == 6 and (rgb == NO_COLOUR).all():
        shades = points[:, 3:]
        rgb = agreed(packed(shades * (255.0 if shades.max(initial=0) <= 1.0 else 1.0)), triangles)
    return body_of(path, list(_pieces(lines, points[:, :3], triangles, face_of, rgb)), unit, notes=notes)


def _sorted_lines(data: bytes) -> _Lines:
    out = _Lines()
    for place, raw in enumerate(data.replace(b"\\\r\n", b" ").replace(b"\\\n", b" ").splitlines(), 1):
        line = raw.strip()
        head = line[:2].lower()
        if head in (b"v ", b"v\t"):
            out.points.append(line[2:])
            out.point_places.append(place)
        elif head in (b"f ", b"f\t"):
            out.faces.append(line[2:])
            out.face_places.append(place)
            out.points_before.append(len(out.points))
        elif head in (b"o ", b"g "):
            (out.objects if head == b"o " else out.groups)[len(out.faces)] = line[2:].split(b"#")[0].strip()
        elif line.startswith(b"usemtl"):
            out.materials[len(out.faces)] = line[6:].strip()
        elif line.startswith(b"mtllib"):
            out.libraries.append(line[6:].strip())
        elif line.startswith(_FREE_FORM):
            out.free_form += 1
    return out


def _points(path: Path, lines: _Lines) -> Floats:
    """(n, 3) or, with a colour to each point, (n, 6)."""
    words = b" ".join(lines.points).split()
    width, left = divmod(len(words), max(len(lines.points), 1))
    # a comment, a lone bad word or rows of uneven length: the slow way finds which
    if left == 0 and width in (3, 4, 6, 7) and len(lines.points[0].split()) == width:
        try:
            table = np.fromiter(map(float, words), float, len(words)).reshape(-1, width)
            return np.delete(table, 3, axis=1) if width in (4, 7) else table
        except ValueError:
            pass
    rows = []
    for place, line in zip(lines.point_places, lines.points, strict=True):
        try:
            row = [float(word) for word in line.split(b"#")[0].split()]
        except ValueError:
            row = []
        if len(row) < 3:
            raise BadInput(f"{path.name}, line {place}", "a point is not three numbers", "export the part again")
        rows.append(row[:3])
    return np.array(rows).reshape(-1, 3)


def _faces(path: Path, lines: _Lines) -> tuple[Ints, Ints]:
    """Corner counts (f,) and corners counted from 0, in a row."""
    rows = [re.sub(rb"/\S*", b"", line.split(b"#")[0]).split() for line in lines.faces]
    counts = np.fromiter(map(len, rows), np.int64, len(rows))
    try:
        corners = np.fromiter((int(word) for row in rows for word in row), np.int64, int(counts.sum()))
    except (ValueError, OverflowError):
        bad = next(i for i, row in enumerate(rows) if not all(_WHOLE.fullmatch(word) for word in row))
        where = f"{path.name}, line {lines.face_places[bad]}"
        raise BadInput(where, "a corner of a face is not a whole number", "export the part again") from None
    before = np.repeat(np.array(lines.points_before, np.int64), counts)
    corners = np.where(corners < 0, corners + before, corners - 1)
    outside = (corners < 0) | (corners >= len(lines.points))
    if outside.any():
        bad = int(np.repeat(np.arange(len(rows)), counts)[outside][0])
        what = f"a face uses a point that is missing ({len(lines.points)} points in the file)"
        raise BadInput(f"{path.name}, line {lines.face_places[bad]}", what, "export the part again")
    return counts, corners


def _latest(first: dict[int, bytes], count: int) -> Ints:
    """For each of `count` faces the number of the last entry at or before it; -1 before the first."""
    return (np.searchsorted(np.array(list(first)), np.arange(count), side="right") - 1).astype(np.int32)


def _pieces(lines: _Lines, points: Floats, triangles: Ints, face_of: Ints, rgb: Ints) -> Iterable[ScenePiece]:
    named = lines.objects or lines.groups
    if not named or not len(triangles):
        yield ScenePiece("", points, triangles, rgb)
        return
    names = [b"", *named.values()]
    first: dict[bytes, int] = {}
    for number, name in enumerate(names):  # what is named twice is one piece
        first.setdefault(name, number)
    number_of = np.array([first[name] for name in names])[_latest(named, len(lines.faces))[face_of] + 1]
    order = np.argsort(number_of, kind="stable")
    for mine in np.split(order, np.nonzero(np.diff(number_of[order]))[0] + 1):
        used, index = np.unique(triangles[mine], return_inverse=True)
        rows = index.reshape(-1, 3).astype(np.int32)
        name = names[number_of[mine[0]]].decode("utf-8", "replace")
        yield ScenePiece(name, points[used], rows, rgb[mine] if len(rgb) else rgb)


def _materials(path: Path, libraries: list[bytes]) -> tuple[dict[bytes, int], list[Note]]:
    """The diffuse colour of each material; only files in the same folder are opened."""
    colours: dict[bytes, int] = {}
    notes = []
    for raw in libraries:
        name = raw.decode("utf-8", "replace")
        beside = path.parent / name
        if Path(name).name != name or not os.path.isfile(beside) or beside.stat().st_size > _MAX_MATERIALS_BYTES:
            notes.append(Note(fact(FileNote.COLOURS_MISSING, file=name[:60])))
            continue
        current = b""
        for line in beside.read_bytes().splitlines():
            words = line.split()
            if words[:1] == [b"newmtl"]:
                current = line.strip()[6:].strip()
            elif words[:1] == [b"Kd"] and len(words) >= 4:
                try:
                    colours[current] = int(packed([[255.0 * float(word) for word in words[1:4]]])[0])
                except ValueError:
                    continue
    return colours, notes
