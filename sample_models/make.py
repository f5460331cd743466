"""Makes the sample models beside this file: parts of a one-room workshop that turns desk sets and small boat fittings.

Run `python sample_models/make.py` to make them again; the files come out the same every time.
"""

import re
from pathlib import Path

import numpy as np
import trimesh
from manifold3d import CrossSection, Manifold, Mesh

from areacalc.shape.export import write_whole
from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.sketch import sketch_of
from areacalc.shape.profile.turn import profile_of

HERE = Path(__file__).parent
PROFILES = {
    "pen-body": "0 10.5, 16 10.5 thread M10.5x0.75, 16 12 r0.5, 60 12.6, 112 9 arc r700, 118 5; "
    "bore through left 9.2 x 18, 8 x 88, 2.6",
    "pen-cap": "0 13 c0.4, 52 12.4, 58 8 arc r9; bore left 9.7 x 9 thread M10.5x0.75, 9.2 x 44",
    "lamp-knob": "0 18 r1, 6 18, 6 14 r0.6, 22 14 knurl 0.8, 26 8 arc r6; bore left 5 x 15 thread M6 chamfer 0.6",
}


def turned(name: str) -> trimesh.Trimesh:
    body = revolve(profile_of(sketch_of(PROFILES[name]), name), 0.02)
    return trimesh.Trimesh(body.vertices, body.triangles, process=True)


def cleat() -> Manifold:
    """A small boat cleat, 80 mm long: a base with two screw holes and a bar on two legs."""
    base = CrossSection.square([60, 18], True).offset(3, circular_segments=48).extrude(6)
    hole = Manifold.cylinder(40, 2.6, circular_segments=48, center=True)
    sink = Manifold.cylinder(3.0, 2.6, 5.6, circular_segments=48).translate([0, 0, 3.0])
    for x in (-26, 26):
        base -= (hole + sink).translate([x, 0, 0])
    legs = Manifold.cylinder(16, 5, 4.2, circular_segments=64).translate([-11, 0, 5])
    legs += Manifold.cylinder(16, 5, 4.2, circular_segments=64).translate([11, 0, 5])
    bar = Manifold.cylinder(80, 4, circular_segments=64, center=True).rotate([0, 90, 0]).translate([0, 0, 22])
    return base + legs + bar


def ring() -> Manifold:
    """A napkin ring 44 mm across with a flat for initials and four small cross holes."""
    made = Manifold.cylinder(24, 22, circular_segments=128) - Manifold.cylinder(
        60, 18, circular_segments=128, center=True
    )
    for turn in range(4):
        drill = Manifold.cylinder(60, 1.5, circular_segments=32).rotate([0, 90, 0]).translate([0, 0, 12])
        made -= drill.rotate([0, 0, 45 + 90 * turn])
    return made


def mesh_of(body: Manifold) -> trimesh.Trimesh:
    mesh: Mesh = body.to_mesh()
    return trimesh.Trimesh(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts), process=True)


def write_step(name: str, path: Path) -> None:
    """A profile turned in the CAD kernel, with true arcs; knurls and threads stay smooth, as in most drawings."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
    from OCP.GC import GC_MakeArcOfCircle
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    profile = profile_of(sketch_of(PROFILES[name]), name)
    wire = BRepBuilderAPI_MakeWire()
    here = profile.segments[-1].end
    for s in profile.segments:
        a, m, b = (gp_Pnt(x, r, 0) for x, r in (s.start, s.at(0.5), s.end))
        if s.start != here:  # along the axis, which the profile leaves out
            wire.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(*here, 0), a).Edge())
        here = s.end
        curve = (a, b) if s.centre is None else (GC_MakeArcOfCircle(a, m, b).Value(),)
        wire.Add(BRepBuilderAPI_MakeEdge(*curve).Edge())
    axis = gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0))
    solid = BRepPrimAPI_MakeRevol(BRepBuilderAPI_MakeFace(wire.Wire()).Face(), axis).Shape()
    writer = STEPControl_Writer()
    writer.Transfer(solid, STEPControl_AsIs)
    writer.Write(str(path))
    # the kernel writes the hour; the sample should come out the same every time
    text = re.sub(r"'\d{4}-\d\d-\d\dT[\d:]+'", "'2026-01-01T00:00:00'", path.read_text())
    path.write_text(text)


def main() -> None:
    for name, words in PROFILES.items():
        text = sketch_of(f"{words}; name {name}; unit mm").to_toml()
        write_whole(HERE / f"{name}.toml", lambda file, text=text: file.write(text.encode()))
    turned("lamp-knob").export(HERE / "lamp-knob.stl")
    write_step("lamp-knob", HERE / "lamp-knob.step")
    parts = {"cleat": mesh_of(cleat()), "ring": mesh_of(ring())}
    for name, mesh in parts.items():
        mesh.export(HERE / f"{name}.stl")
    inches = parts["ring"].copy()
    inches.apply_scale(1 / 25.4)
    inches.export(HERE / "ring-in-inches.stl")
    parts["ring"].copy().apply_scale(0.001).export(HERE / "ring.glb")  # glTF is in metres
    print(f"made {len(list(HERE.glob('*.*'))) - 1} files")


if __name__ == "__main__":
    main()
