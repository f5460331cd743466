"""Every reader on its worst legal file: processor seconds and memory against size.

    python tests/bench/bench_readers.py [stl obj off ply gltf 3mf csv toml dxf step]

A process of its own for each line; what the reader starts behind the fence is counted in. `grows` is the power of the
size by which the time grows: 1 is linear.
"""

import json
import math
import os
import resource
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

READ = """
import sys, resource
from pathlib import Path
from areacalc.errors import BadInput
from areacalc.shape.read import read_body
try:
    print(len(read_body(Path(sys.argv[1])).triangles), "triangles")
except BadInput as refused:
    print(str(refused).partition(": ")[2][:60])
"""


def zigzag(count: int) -> Iterator[tuple[float, float]]:
    """The corners of a comb, which no fan of triangles can fill."""
    for k in range(count - 2):
        yield 0.01 * k, 5.0 + 4.0 * (k % 2)
    yield 0.01 * count, 0.0
    yield -0.01, 0.0


def stl(count: int) -> bytes:
    rng = np.random.default_rng(7)
    record = np.zeros(count, np.dtype([("normal", "<f4", 3), ("corners", "<f4", 9), ("extra", "<u2")]))
    record["corners"] = rng.random((count, 9)) * 50
    return bytes(80) + np.uint32(count).tobytes() + record.tobytes()


def stl_text(count: int) -> bytes:
    facet = "facet normal 0 0 1 outer loop vertex {0} 0 0 vertex {0} 1 0 vertex 0 1 {0} endloop endfacet"
    return "".join(f"solid part {k}\n{facet.format(k + 1)}\nendsolid part {k}\n" for k in range(count)).encode()


def obj_ring(count: int) -> bytes:
    rows = "".join(f"v {x:.2f} {y:.0f} 0\n" for x, y in zigzag(count))
    return (rows + "f " + " ".join(map(str, range(1, count + 1))) + "\n").encode()


def obj_objects(count: int) -> bytes:
    return ("v 0 0 0\nv 9 0 0\nv 0 9 1\n" + "".join(f"o part {k}\nf 1 2 3\n" for k in range(count))).encode()


def off_ring(count: int) -> bytes:
    rows = "".join(f"{x:.2f} {y:.0f} 0\n" for x, y in zigzag(count))
    return f"OFF\n{count} 1 0\n{rows}{count} {' '.join(map(str, range(count)))}\n".encode()


def ply_uneven(count: int) -> bytes:
    head = "ply\nformat binary_little_endian 1.0\nelement vertex 5\n" + "".join(f"property float {a}\n" for a in "xyz")
    head += f"element face {count}\nproperty list uchar int vertex_indices\nend_header\n"
    points = np.array([[0, 0, 0], [9, 0, 0], [9, 9, 0], [0, 9, 0], [5, 12, 1]], "<f4").tobytes()
    three, four = np.arange(3, dtype="<i4").tobytes(), np.arange(4, dtype="<i4").tobytes()
    return head.encode() + points + b"".join(b"\4" + four if k % 2 else b"\3" + three for k in range(count))


def gltf(nodes: list[dict[str, object]]) -> bytes:
    points = "data:;base64,AAAAAAAAAAAAAAAAAACAPwAAAAAAAAAAAAAAAAAAgD8AAAAA"  # (0, 0, 0), (1, 0, 0), (0, 1, 0)
    return json.dumps({
        "asset": {"version": "2.0"}, "scenes": [{"nodes": [0]}], "nodes": nodes,
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
        "accessors": [{"bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3"}],
        "bufferViews": [{"buffer": 0, "byteLength": 36}], "buffers": [{"byteLength": 36, "uri": points}],
    }).encode()  # fmt: skip


def gltf_chain(count: int) -> bytes:
    chain: list[dict[str, object]] = [{"children": [k + 1], "translation": [1, 0, 0]} for k in range(count)]
    return gltf([*chain, {"mesh": 0}])


def gltf_copies(count: int) -> bytes:
    nodes: list[dict[str, object]] = [{"children": list(range(1, count + 1))}]
    return gltf(nodes + [{"mesh": 0, "name": "knob", "translation": [k, 0, 0]} for k in range(count)])


def gltf_doubled(levels: int) -> bytes:
    doubled: list[dict[str, object]] = [{"children": [k + 1, k + 1], "translation": [1, 0, 0]} for k in range(levels)]
    return gltf([*doubled, {"mesh": 0}])


def threemf(count: int) -> bytes:
    space = 'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" unit="millimeter"'
    points = "".join(f'<vertex x="{x}" y="{y}" z="0"/>' for x, y in ((0, 0), (9, 0), (0, 9)))
    one = f'<mesh><vertices>{points}</vertices><triangles><triangle v1="0" v2="1" v3="2"/></triangles></mesh>'
    objects = "".join(f'<object id="{k}">{one}</object>' for k in range(1, count + 1))
    items = "".join(f'<item objectid="{k}"/>' for k in range(1, count + 1))
    with tempfile.TemporaryFile() as file:
        with zipfile.ZipFile(file, "w", zipfile.ZIP_STORED) as out:
            model = f"<model {space}><resources>{objects}</resources><build>{items}</build></model>"
            out.writestr("3D/3dmodel.model", model)
        file.seek(0)
        return file.read()


def csv(count: int) -> bytes:
    rows = (f"{0.01 * k:.2f},{20 + 5 * math.sin(0.01 * k):.4f}\n" for k in range(count))
    return ("x,diameter\n" + "".join(rows)).encode()


def toml(count: int) -> bytes:
    rows = (f'"{0.01 * k:.2f} {20 + 5 * math.sin(0.01 * k):.4f}",\n' for k in range(count))
    return ("outside = [\n" + "".join(rows) + "]\n").encode()


def dxf(count: int) -> bytes:
    spots = [(0.01 * k, 10 + 2.5 * math.sin(0.01 * k)) for k in range(count + 1)]
    order = np.random.default_rng(3).permutation(count)
    lines = [f"0\nLINE\n8\n0\n10\n{spots[k][0]:.6f}\n20\n{spots[k][1]:.6f}\n11\n{spots[k + 1][0]:.6f}\n21\n"
             f"{spots[k + 1][1]:.6f}\n" for k in order]  # fmt: skip
    return ("0\nSECTION\n2\nENTITIES\n" + "".join(lines) + "0\nENDSEC\n0\nEOF\n").encode()


def plate(holes: int) -> bytes:
    """A STEP plate of round holes, by the kernel itself."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeWire as MakeWire
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pln, gp_Pnt, gp_Vec
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    side = math.ceil(math.sqrt(holes))
    rim = BRepBuilderAPI_MakePolygon()
    for x, y in ((0, 0), (side, 0), (side, side), (0, side)):
        rim.Add(gp_Pnt(10.0 * x, 10.0 * y, 0.0))
    rim.Close()
    face = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)), rim.Wire(), True)
    for k in range(holes):
        centre = gp_Pnt(5.0 + 10.0 * (k % side), 5.0 + 10.0 * (k // side), 0.0)
        circle = gp_Circ(gp_Ax2(centre, gp_Dir(0, 0, -1)), 3.0)
        face.Add(MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire())
    writer = STEPControl_Writer()
    writer.Transfer(BRepPrimAPI_MakePrism(face.Face(), gp_Vec(0, 0, 6)).Shape(), STEPControl_AsIs)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plate.step"
        writer.Write(str(path))
        return path.read_bytes()


CASES: list[tuple[str, str, Callable[[int], bytes], tuple[int, ...]]] = [
    ("binary STL, loose triangles", "stl", stl, (10_000, 20_000, 200_000)),
    ("text STL, a solid for each facet", "stl", stl_text, (3_500, 7_000, 70_000)),
    ("OBJ, one face like a comb", "obj", obj_ring, (20_000, 40_000)),
    ("OBJ, an object for each face", "obj", obj_objects, (20_000, 40_000, 400_000)),
    ("OFF, one face like a comb", "off", off_ring, (20_000, 40_000)),
    ("PLY, faces of uneven length", "ply", ply_uneven, (30_000, 60_000, 600_000)),
    ("glTF, nodes deep in one another", "gltf", gltf_chain, (8_000, 16_000)),
    ("glTF, a node for each copy", "gltf", gltf_copies, (8_000, 16_000, 160_000)),
    ("glTF, doubled level by level", "gltf", gltf_doubled, (18, 19, 20, 200)),
    ("3MF, an object for each triangle", "3mf", threemf, (1_800, 3_600, 36_000)),
    ("CSV, short steps", "csv", csv, (15_000, 30_000, 300_000)),
    ("TOML, short steps", "toml", toml, (15_000, 30_000)),
    ("DXF, short lines in any order", "dxf", dxf, (7_500, 15_000, 200_000)),
    ("STEP, plate of round holes", "step", plate, (75, 150, 300, 600, 1200)),
]


def read(path: Path) -> tuple[str, float, float]:
    """What came of it, processor seconds, peak MB of the larger process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    with subprocess.Popen([sys.executable, "-c", READ, str(path)], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        said = process.stdout.read().strip()
        _, _, usage = os.wait4(process.pid, 0)
        process.returncode = 0
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return said, used, usage.ru_maxrss / 1e3


def main(wanted: list[str]) -> None:
    """The table, or the lines of it whose format is asked for."""
    print(f"{'':36}{'MB':>8}{'s':>8}{'peak MB':>9}{'grows':>7}")
    with tempfile.TemporaryDirectory() as folder:
        for name, suffix, make, counts in CASES:
            if wanted and suffix not in wanted:
                continue
            last: tuple[float, float] | None = None
            for count in counts:
                path = Path(folder) / f"part.{suffix}"
                path.write_bytes(make(count))
                said, seconds, peak = read(path)
                size = path.stat().st_size / 1e6
                grows = (
                    f"{math.log(seconds / last[1]) / math.log(size / last[0]):.1f}" if last and size > last[0] else ""
                )
                print(f"{name:36}{size:8.2f}{seconds:8.2f}{peak:9.0f}{grows:>7}  {said}", flush=True)
                last = size, seconds


if __name__ == "__main__":
    main(sys.argv[1:])
