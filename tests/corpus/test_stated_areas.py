"""STEP areas against what the programs that wrote the files say of them, and against closed forms.

The files of the CAx Implementor Forum's test rounds carry geometric validation properties (ISO 10303-41, property
'surface area'): the area that the writing program's own kernel found. The largest one in a file is that of the whole.
"""

import math
import re

import pytest

from areacalc.shape.step.read_step import read

pytestmark = pytest.mark.corpus

ROUNDS = "package/test/testfiles/cax-if"
TESTS = "package/test/testfiles"
STATED = {  # relative: how closely each writing program worked out the area it states
    "s1_pe_214/foot_back_prt.stp": 1e-10, "s1_pe_214/foot_front_prt.stp": 1e-10, "s1_pe_214/head_back_prt.stp": 1e-10,
    "s1_pe_214/head_front_prt.stp": 1e-10, "s1_pe_214/main_body_back_prt.stp": 1e-10,
    "s1_pe_214/main_body_front_prt.stp": 1e-10, "s1_pe_214/tail_middle_part_prt.stp": 1e-10,
    "s1_pe_214/tail_turbine_prt.stp": 1e-6, "sg1-c5-214.stp": 1e-10, "dm1-pe-214.stp": 1e-10, "dm1-id-214.stp": 1e-6,
    "as1_pe_203.stp": 1e-8, "as1-tu-203.stp": 1e-8, "as1-oc-214.stp": 2e-4, "io1-tu-203.stp": 1e-4,
    "s1-tu-203/footback.stp": 1e-4, "s1-tu-203/footfront.stp": 1e-4, "s1-tu-203/headback.stp": 1e-4,
    "s1-tu-203/headfront.stp": 1e-4, "s1-tu-203/mainbodyback.stp": 1e-4, "s1-tu-203/mainbodyfront.stp": 1e-4,
    "s1-tu-203/tailmiddlepart.stp": 1e-4, "s1-tu-203/tailturbine.stp": 1e-4,
}  # fmt: skip
CONE = math.pi * (11.454 + 5.5) * math.hypot(11.454 - 5.5, 11.454 - 5.5)
CLOSED = {
    "cube-units/cube-mm.step": 6e6, "cube-units/cube-in.step": 6e6, "cube-units/cube-m.step": 6e6,
    "cube-fcstd/cube.step": 600.0, "cube-10x10mm/Cube 10x10.stp": 600.0, "simple-basic-cube/cube.stp": 540000.0,
}  # fmt: skip


def exact_mm2(body) -> float:
    return math.fsum(face.area_mm2 for face in body.faces)


@pytest.mark.parametrize("name", STATED)
def test_the_area_is_the_one_that_the_file_states(name, package_folder):
    path = package_folder("occt-import-js") / ROUNDS / name
    stated = re.findall(rb"AREA_MEASURE\s*\(\s*([-+.\dEe]+)\s*\)", path.read_bytes())
    body = read(path)
    assert exact_mm2(body) / body.unit.mm**2 == pytest.approx(max(map(float, stated)), rel=STATED[name])
    assert body.closed


@pytest.mark.parametrize("name", CLOSED)
def test_cubes_in_every_unit(name, package_folder):
    assert exact_mm2(read(package_folder("occt-import-js") / TESTS / name)) == pytest.approx(CLOSED[name], rel=1e-9)


def test_a_whole_cone_that_the_kernels_mesher_drops(package_folder):
    """A disc with a bore and a countersink: written in inches, drawn in mm."""
    body = read(package_folder("occt-import-js") / TESTS / "conical-surface/conical-surface.step")
    outer, bore, sink, height = 0.532145256772786 * 25.4, 5.5, 11.454, 7.0
    rings = math.pi * (outer**2 - bore**2) + math.pi * (outer**2 - sink**2)
    wanted = 2 * math.pi * (outer * height + bore * (height - (sink - bore))) + rings + CONE
    assert exact_mm2(body) == pytest.approx(wanted, rel=1e-6)
    assert body.closed
    assert body.facet_area_mm2 == pytest.approx(wanted, rel=3e-3)


def test_the_names_of_an_assembly(package_folder):
    bodies = read(package_folder("occt-import-js") / ROUNDS / "as1_pe_203.stp").solids
    assert {name: bodies.count(name) for name in bodies} == {"PLATE": 1, "L-BRACKET": 2, "BOLT": 6, "NUT": 8, "ROD": 1}
