"""OFF: OFF, COFF, NOFF and STOFF as text; faces of any number of corners; a colour at the end of a face's line."""

import re
from pathlib import Path

import numpy as np

from areacalc.errors import BadInput
from areacalc.quantity import Unit
from areacalc.shape.body import Body
from areacalc.shape.files.scene import NO_COLOUR, ScenePiece, agreed, body_of, packed
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.polygons import cut_faces

_HEAD = re.compile(rb"(ST)?(C)?(N)?(4)?(n)?OFF\b\s*(BINARY)?")


def read(path: Path, unit: Unit | None = None) -> Body:
    """The Body in an OFF file, in mm. Raises BadInput with the line."""
    lines = [
        (i, text) for i, raw in enumerate(path.read_bytes().splitlines(), 1) if (text := raw.split(b"#")[0].strip())
    ]
    head = _HEAD.match(lines[0][1])
    if head is None or head[4] or head[5] or head[6]:
        what = "is an OFF of more than three dimensions or a binary one"
        raise BadInput(path.name, what, "export it as plain OFF text")
    rest = lines[0][1][head.end() :].strip()
    lines = [(lines[0][0], rest), *lines[1:]] if rest else lines[1:]
    if not lines:
        raise BadInput(path.name, "is cut short after its first word", "export the part again")
    counts = [*_numbers(path, *lines[0]), 0.0][:2]
    if not all(0 <= count <= len(lines) for count in counts) or sum(counts) > len(lines) - 1:
        what = f"promises {counts[0]:.0f} points and {counts[1]:.0f} faces"
        raise BadInput(path.name, f"{what}, but holds {len(lines) - 1} lines of them", "export the part again")
    point_count, face_count = int(counts[0]), int(counts[1])
    points = _points(path, lines[1 : 1 + point_count])
    sizes, corners, colours = [], [], []
    for place, text in lines[1 + point_count : 1 + point_count + face_count]:
        row = text.split()
        try:
            size = int(row[0])
            ring = [int(word) for word in row[1 : 1 + size]]
        except ValueError:
            raise BadInput(f"{path.name}, line {place}", "is not a face", "export the part again") from None
        if len(ring) != size or any(not 0 <= corner < point_count for corner in ring):
            shown = f"{ring[:8]} ..." if len(ring) > 8 else f"{ring}"
            what = f"a face of {size} corners uses points {shown} of {point_count}"
            raise BadInput(f"{path.name}, line {place}", what, "export the part again")
        sizes.append(size)
        corners += ring
        colours.append(_colour(row[1 + size :]))
    sizes_of, ring_of = np.array(sizes, np.int64), np.array(corners, np.int64)
    triangles, face_of, notes = cut_faces(points[:, :3], sizes_of, ring_of, path.name)
    rgb: Ints = np.array(colours, np.int32)[face_of]
    if head[2] and points.shape[1] >= 6 and (rgb == NO_COLOUR).all():
        shades = points[:, -4:-1] if points.shape[1] in (7, 10) else points[:, -3:]
        rgb = agreed(packed(shades * (255.0 if shades.max() <= 1.0 else 1.0)), triangles)
    return body_of(path, [ScenePiece("", points[:, :3], triangles, rgb)], unit, notes=notes)


def _points(path: Path, lines: list[tuple[int, bytes]]) -> Floats:
    words = b" ".join(text for _, text in lines).split()
    width = len(lines[0][1].split()) if lines else 3
    if width >= 3 and len(words) == width * len(lines):
        try:
            return np.fromiter(map(float, words), float, len(words)).reshape(-1, width)
        except ValueError:
            pass
    for place, text in lines:
        row = _numbers(path, place, text)
        if len(row) != width or width < 3:
            what = f"a point has {len(row)} numbers"
            raise BadInput(f"{path.name}, line {place}", what, "export the part again")
    return np.empty((0, 3))


def _numbers(path: Path, place: int, text: bytes) -> list[float]:
    try:
        return [float(word) for word in text.split()]
    except ValueError:
        raise BadInput(f"{path.name}, line {place}", "is not a row of numbers", "export the part again") from None


def _colour(words: list[bytes]) -> int:
    """Three or four numbers: 0 to 255 if they are whole, else 0 to 1. One number is an index into a map of its own."""
    if len(words) < 3:
        return NO_COLOUR
    try:
        shades = [float(word) for word in words[:3]]
    except ValueError:
        return NO_COLOUR
    scale = 255.0 if any(b"." in word for word in words[:3]) and max(shades) <= 1.0 else 1.0
    return int(packed([[shade * scale for shade in shades]])[0])
