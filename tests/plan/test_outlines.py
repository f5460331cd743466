"""A part's silhouettes: a turned one by hand, a milled one against the union of its triangles."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from areacalc.part.part import open_part
from areacalc.plan.rack_drawing import outlines
from areacalc.plan.room import part_ways
from areacalc.plant.drawing import SeenMouth, closeup, glance
from areacalc.plant.paper import Dot, Lettering, Mark

SAMPLES = Path(__file__).parents[2] / "sample_models"


def area(ring):
    return shapely.Polygon(ring).area


def test_a_turned_part_shows_its_profile(tmp_path):
    (tmp_path / "stud.toml").write_text('unit = "mm"\noutside = ["0 20", "10 20", "10 10", "30 10"]\n')
    part = open_part(tmp_path / "stud.toml").hung("x+")
    (seen,) = outlines([part], [part_ways(part)[0]])
    assert area(seen.front) == pytest.approx(20 * 10 + 10 * 20, rel=2e-3)
    assert area(seen.side) == pytest.approx(20 * 10 + 10 * 20, rel=2e-3)
    assert area(seen.plan) == pytest.approx(math.pi * 100.0, rel=1e-2)
    head = max(x for x, y in seen.front if y > 29.0) - min(x for x, y in seen.front if y > 29.0)
    assert head == pytest.approx(20.0, rel=1e-3)  # x+ points up, so the head of 20 mm is below


def test_the_mouth_of_the_bore_that_tells_how_a_part_hangs_is_where_it_is_seen():
    cap = open_part(SAMPLES / "pen-cap.toml")
    for up, y_mm in (("x+", 58.0), ("x-", 0.0)):  # the cap is 58 mm long, its mouth at x 0
        (seen,) = outlines([cap], [part_ways(cap.hung(up))[0]])
        (mouth,) = seen.mouths
        assert (mouth.x, mouth.y) == pytest.approx((6.5, y_mm), abs=0.05)


def test_a_milled_part_shows_the_union_of_its_triangles():
    part = open_part(SAMPLES / "cleat.stl", "mm")
    way = part_ways(part)[0]
    (seen,) = outlines([part], [way])
    along, across, up = (np.array(axis) for axis in way.axes)
    for ring, (right, down) in ((seen.front, (along, -up)), (seen.side, (across, -up)), (seen.plan, (along, across))):
        corners = (part.body.vertices @ np.stack([right, down], axis=1))[part.body.triangles]
        whole = shapely.union_all(shapely.buffer(shapely.polygons(corners), 1e-3))
        outside = sum(shapely.Polygon(shapely.get_exterior_ring(piece)).area for piece in shapely.get_parts(whole))
        assert area(ring) == pytest.approx(outside, rel=5e-3)


def test_a_part_that_stands_out_is_drawn_above_the_level(tmp_path):
    from areacalc.load.read_load import load_of
    from areacalc.plan.plan import plan_of
    from areacalc.plan.rack_drawing import rack_drawing

    (tmp_path / "knob.toml").write_text('unit = "mm"\noutside = ["0 25", "40 25"]\n')
    made = plan_of(load_of(
        '[[part]]\nname = "knob"\nfile = "knob.toml"\nup = "x+"\nliquid_line = "10 mm below the top"\n'
        '[bath]\nacid = "180 g/L"\ntemperature = "20 C"\n'
        '[tank]\nlength = "300 mm"\nwidth = "200 mm"\ndepth = "170 mm"\n', "load.toml", str(tmp_path),
    ))  # fmt: skip
    drawing = rack_drawing(made)
    shapes = [mark for mark in drawing.marks if isinstance(mark, Mark)]
    level = next(mark for mark in shapes if mark.kind == "level").points[0][1]
    knob = next(mark for mark in shapes if mark.kind == "part").points
    scale = (max(y for _, y in knob) - min(y for _, y in knob)) / 40.0  # of paper to a mm
    assert level - min(y for _, y in knob) == pytest.approx(10.0 * scale, rel=1e-2)


LOAD = """
[[part]]
name = "cleat"
file = "cleat.stl"
unit = "mm"
count = 3
[[part]]
name = "cap"
file = "pen-cap.toml"
up = "x+"
[bath]
acid = "180 g/L"
temperature = "20 C"
[tank]
length = "320 mm"
width = "200 mm"
depth = "250 mm"
"""


def test_each_wire_ends_on_its_part_and_each_part_has_its_letter():
    from areacalc.load.read_load import load_of
    from areacalc.plan.plan import plan_of
    from areacalc.plan.rack_drawing import rack_scene
    from areacalc.report.sheet import sheet_of
    from areacalc.report.sheet_html import sheet_html

    made = plan_of(load_of(LOAD, "load.toml", str(SAMPLES)))
    scene = rack_scene(made)
    assert scene.hung == ("A 3 x cleat, B cap",)
    drawing = glance(scene, 72.0, 42.0)
    assert drawing.wide_mm <= 72.0 + 1e-9
    assert drawing.high_mm <= 42.0 + 1e-9
    parts = shapely.union_all([
        shapely.Polygon(mark.points) for mark in drawing.marks if isinstance(mark, Mark) and mark.kind == "part"
    ])  # fmt: skip
    ends = [mark.points[-1] for mark in drawing.marks if isinstance(mark, Mark) and mark.kind == "wire"]
    assert len(ends) == 4
    assert all(shapely.distance(parts.boundary, shapely.Point(end)) < 0.02 for end in ends)
    assert sorted(mark.text for mark in drawing.marks if isinstance(mark, Lettering)) == ["A", "A", "A", "B"]
    near = closeup(scene, 72.0, 42.0)
    mouths = [mark for mark in near.marks if isinstance(mark, Dot) and mark.kind == "mouth"]
    names = [feature.name for part in made.parts for feature in part.part.skin.features for _ in feature.mouths]
    written = [mark.text.partition(",")[0] for mark in near.marks if isinstance(mark, Lettering)]
    assert len(mouths) == len(names) > 0
    assert sorted(set(written) & set(names)) == sorted(set(names))
    assert sum(text in ("x", "y", "z") for text in written) == 2 * len(made.parts)  # its axes that are seen longest
    behind = tuple(SeenMouth(name, 9.0, 9.0, 3.0) for name in ("bore-1", "bore-1", "bore-2"))
    lying = replace(scene, outlines=tuple(replace(seen, mouths=behind) for seen in scene.outlines))
    told = [mark.text for mark in closeup(lying, 72.0, 42.0).marks if isinstance(mark, Lettering)]
    assert told.count("bore-1, bore-2") == len(made.parts), "mouths behind one another have one label"
    drawn = shapely.union_all([
        shapely.Polygon(mark.points) for mark in near.marks if isinstance(mark, Mark) and mark.kind == "part"
    ])  # fmt: skip
    assert all(shapely.distance(drawn, shapely.Point(mark.x, mark.y)) < 0.1 for mark in mouths)
    page = sheet_html(sheet_of(made))
    assert "3 x cleat (A)" in page
    assert page.count("<svg") == 3
