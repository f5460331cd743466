"""A Body written to a file: binary STL or 3MF."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

import numpy as np

from areacalc.errors import UnknownName
from areacalc.shape.body import Body
from areacalc.whole_file import write_whole

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"


def export(body: Body, path: Path, *, replace: bool = True) -> None:
    """Write the body, in mm, in the format of the suffix (.stl, .3mf). Raises BadInput, UnknownName.

    replace: whether a file that is there may be written over.
    """
    writer = WRITERS.get(path.suffix.lower())
    if writer is None:
        raise UnknownName.among(str(path), path.suffix or "no suffix", WRITERS)
    write_whole(path, lambda file: writer(body, file), replace=replace)


def _stl(body: Body, file: BinaryIO) -> None:
    record = np.zeros(
        len(body.triangles), np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    )
    corners = body.vertices[body.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    record["normal"] = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    record["corners"] = corners
    # not "solid" at the start, which marks STL in text
    title = f"areacalc, millimetres, {body.name}".encode("ascii", "replace")
    file.write(title[:80].ljust(80, b" "))
    file.write(np.uint32(len(record)).tobytes())
    file.write(record.tobytes())


def _3mf(body: Body, file: BinaryIO) -> None:
    """3MF core specification: one object in millimetres, coordinates in full."""
    from xml.sax.saxutils import quoteattr

    mesh = body.topology
    vertices = "".join(f'<vertex x="{x!r}" y="{y!r}" z="{z!r}"/>' for x, y, z in mesh.points.tolist())
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.corners.tolist())
    model = (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<model unit="millimeter" xml:lang="en" xmlns="{_CORE}"><resources>'
        f'<object id="1" type="model" name={quoteattr(body.name)}>'
        f"<mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh>"
        '</object></resources><build><item objectid="1"/></build></model>'
    )
    kinds = (
        '<?xml version="1.0" encoding="UTF-8"?>\n<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>'
    )
    links = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r0" '
        'Target="/3D/3dmodel.model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
    )
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as package:
        for name, content in (("[Content_Types].xml", kinds), ("_rels/.rels", links), ("3D/3dmodel.model", model)):
            package.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)


WRITERS: dict[str, Callable[[Body, BinaryIO], None]] = {".stl": _stl, ".3mf": _3mf}
