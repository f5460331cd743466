"""Part files: sound ones of each kind that our own readers read, and what must hold however they are changed."""

from __future__ import annotations

import base64
import functools
import io
import itertools
import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import trimesh

from areacalc.errors import AreacalcError
from areacalc.shape.body import Body
from areacalc.shape.read import read_body

SAMPLES = Path(__file__).parents[2] / "sample_models"
BOX = trimesh.creation.box((30, 20, 10))
SPOTS = ((0, 5), (30, 5), (40, 8), (60, 8))
DRAWN = (
    "".join(f"0\nLINE\n8\n0\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n" for (a, b), (c, d) in itertools.pairwise(SPOTS)),
    "0\nLWPOLYLINE\n8\n0\n90\n3\n70\n0\n10\n0\n20\n5\n42\n0.5\n10\n30\n20\n5\n10\n40\n20\n8\n",
    "0\nARC\n8\n0\n10\n5\n20\n5\n40\n3\n50\n0\n51\n90\n",
)
ODD = [b"", b" ", b"\n", b"0", b"-1", b"1e400", b"nan", b"inf", b"9" * 30, b"9" * 5000, b"-", b"#", b"(", b")", b"$",
       b"'", b'"', b"\\", b"/*", b"*/", b";", b"<", b">", b"{}", b"[", b"null", b"\xff", b"\x00",
       "ä".encode()]  # fmt: skip
_MODEL = "3D/3dmodel.model"


@functools.cache
def sound() -> dict[str, list[bytes]]:
    """Sound files by their ending. Of 3MF the model alone too: `write` packs it, past the sum that a zip holds."""
    files = {kind: [_exported(kind)] for kind in ("stl", "obj", "ply", "off", "3mf", "glb")}
    files["stl"].append(_exported("stl_ascii"))
    files["ply"].append(_exported("ply", encoding="ascii"))
    files["3mf"].append(zipfile.ZipFile(io.BytesIO(files["3mf"][0])).read(_MODEL))
    files["gltf"] = [_gltf()]
    head = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    files["dxf"] = [f"{head}{drawn}0\nENDSEC\n0\nEOF\n".encode() for drawn in DRAWN]
    files["csv"] = [b"x [mm];Durchmesser\n0;20\n30;20;r1\n30;12\n50;12\n", b"x in\tr in\n0\t1/2\n3\t1/2\n"]
    files["toml"] = [(SAMPLES / name).read_bytes() for name in ("pen-body.toml", "pen-cap.toml")]
    return files


def _exported(kind: str, **how: str) -> bytes:
    made = BOX.export(file_type=kind, **how)
    return made.encode() if isinstance(made, str) else bytes(made)


def _gltf() -> bytes:
    points = BOX.vertices[BOX.faces.ravel()].astype("<f4").tobytes()
    return json.dumps({
        "asset": {"version": "2.0"}, "scenes": [{"nodes": [0]}],
        "nodes": [{"children": [1]}, {"mesh": 0, "name": "b", "translation": [1, 2, 3], "rotation": [0, 0, 0, 1]}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
        "accessors": [{"bufferView": 0, "componentType": 5126, "count": 36, "type": "VEC3"}],
        "bufferViews": [{"buffer": 0, "byteLength": len(points)}],
        "buffers": [{"byteLength": len(points), "uri": "data:;base64," + base64.b64encode(points).decode()}],
    }).encode()  # fmt: skip


def write(path: Path, content: bytes) -> None:
    """The content as a file; what is no package goes into one where the ending asks for it."""
    if path.suffix != ".3mf" or content.startswith(b"PK"):
        path.write_bytes(content)
        return
    with zipfile.ZipFile(path, "w") as package:
        package.writestr(_MODEL, content)


def outcome(path: Path, read: Callable[[Path], Body] = read_body) -> Body | None:
    """The body in the file; None where it is refused in one clear line."""
    body = None
    try:
        body = read(path)
        said = str(body.facet_area_mm2)
    except AreacalcError as refused:
        said = str(refused)
    assert "\n" not in said
    assert len(said) < 600
    assert said not in ("nan", "inf")
    return body
