"""A Body written to a file, by the libraries that own the formats: binary STL, 3MF, GLB."""

from collections.abc import Callable
from pathlib import Path
from typing import IO, BinaryIO

import numpy as np

from areacalc.errors import UnknownName
from areacalc.shape.body import Body
from areacalc.whole_file import write_whole

_MM_PER_M = 1000.0


def export(body: Body, path: Path, *, replace: bool = True) -> None:
    """Write the body in the format of the suffix (.stl, .3mf in mm; .glb in m). Raises BadInput, UnknownName.

    replace: whether a file that is there may be written over.
    """
    writer = WRITERS.get(path.suffix.lower())
    if writer is None:
        raise UnknownName.among(str(path), path.suffix or "no suffix", WRITERS)
    write_whole(path, lambda file: writer(body, file), replace=replace)


def _stl(body: Body, file: BinaryIO) -> None:
    from stl import Mesh, Mode

    class Titled(Mesh):  # type: ignore[misc]
        def get_header(self, name: str) -> str:
            """Not "solid" at the start, which marks STL in text; no date, so that equal parts give equal files."""
            title = f"areacalc, millimetres, {name}".encode("ascii", "replace").decode("ascii")
            return title[:80].ljust(80)

    facets = np.zeros(len(body.triangles), Mesh.dtype)
    facets["vectors"] = body.vertices[body.triangles]
    mesh = Titled(facets)
    mesh.normals[:] = np.nan_to_num(mesh.get_unit_normals())
    mesh.save(body.name, fh=file, mode=Mode.BINARY, update_normals=False)


def _scene(scale: float, kind: str) -> Callable[[Body, IO[bytes]], None]:
    def write(body: Body, file: IO[bytes]) -> None:
        import trimesh

        mesh = trimesh.Trimesh(body.topology.points * scale, body.topology.corners, process=False)
        scene = trimesh.Scene()
        scene.add_geometry(mesh, node_name=body.name, geom_name=body.name)
        file.write(scene.export(file_type=kind))

    return write


WRITERS: dict[str, Callable[[Body, BinaryIO], None]] = {
    ".stl": _stl, ".3mf": _scene(1.0, "3mf"), ".glb": _scene(1.0 / _MM_PER_M, "glb"),
}  # fmt: skip
