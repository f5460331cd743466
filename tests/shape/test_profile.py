"""Lathe profiles from words and files: what they read as, what they refuse, and what holds for any of them."""

import math

import ezdxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.errors import BadInput
from areacalc.quantity import LENGTH_UNITS
from areacalc.shape.export import export
from areacalc.shape.profile.half_section import text as typed_section
from areacalc.shape.profile.read_profile import read_profile
from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.sketch import Sketch, sketch_of
from areacalc.shape.profile.turn import profile_of
from areacalc.shape.read import read_body
from areacalc.surface.turned import surface_of

PI = math.pi


def area(words):
    return profile_of(words).area_mm2.value


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ("0 12, 40 12; unit mm", "0 6, 40 6; measure radius"),
        ("0 1/2, 2 1/2; unit in", "0 12.7, 50.8 12.7"),
        ("0 0.5in, 5.08cm 12.7", "0 12.7, 50.8 12.7"),
        ("0 0, 0 12, 40 12, 40 0", "0 12, 40 12"),
        ("0 12, 40 12 r2", "0 12 r0.0001, 38 12, 40 8 arc r2"),
        ("0 12 r1, 40 12", "0 10, 1 12 arc r1, 40 12"),
        ("0 12, 40 12; bore through 6", "0 12, 40 12; bore left 6 x 39.9999999 flat"),
        ("0 12, 40 12; bore through left 8 x 10, 6", "40 0, 0 12, 40 12; bore through left 8 x 10, 6"[6:]),
        ("0 20, 20 20 arc r10 large", "0 20, 20 20 arc centre 10 20 cw"),
    ],
)
def test_two_ways_to_write_one_part(one, two):
    ends = 2 * PI * 9 if "39.9999999" in two else 0.0  # a bore stopped just short keeps its floor and the far disc
    assert area(one) == pytest.approx(area(two) - ends, rel=1e-4 if "r0.0001" in two or ends else 1e-9)


def test_a_through_bore_from_the_right_is_its_mirror():
    one = profile_of("0 12, 40 12; bore through left 8 x 10, 6")
    two = profile_of("0 12, 40 12; bore through right 8 x 10, 6")
    assert one.area_mm2.value == pytest.approx(two.area_mm2.value, rel=1e-12)
    assert one.volume_mm3 == pytest.approx(two.volume_mm3, rel=1e-12)
    assert revolve(two).closed


def test_an_arc_bulges_out_unless_told_and_takes_the_long_way_only_when_told():
    out, into = profile_of("0 20, 20 20 arc r12"), profile_of("0 20, 20 20 arc r12 in")
    assert out.largest_radius_mm == pytest.approx(10 + 12 - math.sqrt(144 - 100), rel=1e-3)
    assert into.largest_radius_mm == pytest.approx(10.0)
    assert out.volume_mm3 > profile_of("0 20, 20 20").volume_mm3 > into.volume_mm3
    assert profile_of("0 20, 20 20 arc r12 large").volume_mm3 > out.volume_mm3


def test_a_thread_and_a_knurl_on_their_lengths():
    plain = area("0 10, 30 10, 30 16, 50 16")
    assert area("0 10, 30 10 thread M10x1.5, 30 16, 50 16") - plain == pytest.approx(30 * (46.6238 - PI * 10), rel=1e-5)
    knurled = profile_of("0 10, 30 10, 30 16, 50 16 knurl 0.8").area_mm2
    assert knurled.low == pytest.approx(plain, rel=1e-12)
    assert knurled.high - plain == pytest.approx((math.sqrt(2) - 1) * PI * 16 * 20, rel=1e-9)


def test_a_thread_in_a_bore_may_lie_under_a_shoulder():
    assert profile_of("0 20, 10 20, 10 30, 30 30; bore left 8.5 x 20 thread M10").notes == ()


def test_a_thread_on_the_wrong_diameter_is_said():
    assert [n.code for n in profile_of("0 12, 30 12 thread M10").notes] == ["thread-size"]
    assert profile_of("0 20, 30 20; bore left 8.5 x 20 thread M10").notes == ()


def test_bores_are_features_with_their_sizes():
    skin = surface_of(revolve(profile_of("0 20, 60 20; bore left 12 x 10, 6 x 25; bore right 8 x 20 flat")))
    left, right = skin.named("blind-bore-1"), skin.named("blind-bore-2")
    assert (left.diameter_mm, right.diameter_mm) == pytest.approx((6.0, 8.0))
    assert left.depth_mm == pytest.approx(25 + 3 / math.tan(math.radians(59)))
    assert right.depth_mm == pytest.approx(20)
    assert [s.kind for s in left.steps] == ["counterbore", "shoulder", "bore", "drill-point"]
    assert right.floor_mm2 == pytest.approx(PI * 16)
    assert left.wall_mm2 == pytest.approx(PI * (12 * 10 + 6 * 15))
    assert left.shoulder_mm2 == pytest.approx(PI * (36 - 9))
    assert left.axis == (1.0, 0.0, 0.0)
    assert right.axis == (-1.0, 0.0, 0.0)


@pytest.mark.parametrize(
    "ending", ["flat thread M6", "thread M6 flat", "flat chamfer 0.2 thread 1/4-20 UNC", "thread 1/4-20 UNC flat c0.2"]
)
def test_the_words_of_a_bores_end_stand_in_any_order(ending):
    other = "flat thread M6" if "M6" in ending else "thread 1/4-20 UNC chamfer 0.2 flat"
    asked, same = (profile_of(f"0 20, 60 20; bore right 8 x 5, 5 x 30 {words}") for words in (ending, other))
    assert asked.segments == same.segments


REFUSED = [
    ("0 12, 40 12; bore left 5 x 20 thread M6 flat thread M5", "says its thread twice"),
    ("0 12", "at least two points"),
    ("", "no points"),
    ("40 12, 0 12", "left to right"),
    ("0 12, 0 12, 40 12", "point before it"),
    ("0 12, 40 x", "does not start with a number"),
    ("0 12, 40 -12", "across the axis"),
    ("0 12, 40 12 q7", "'q7' is not understood"),
    ("0 12, 40 12 r20", "fillet 20 mm"),
    ("0 12, 40 12 c7", "chamfer 7 mm"),
    ("0 12, 40 12 r0", "must be above zero"),
    ("0 12, 20 12 r1, 40 12", "no corner"),
    ("0 10 c1, 1 10 c11", "takes all of the side between them"),
    ("0 12, 40 12 arc r19", "cannot span"),
    ("0 12, 40 12 arc centre 10 0", "as far from both"),
    ("0 12, 40 2 arc r25 in", "crosses the axis"),
    ("0 10, 30 20, 30 5, 10 30, 60 30", "crosses"),
    ("0 12, 40 12; bore left 14 x 5", "the bore is 14 mm wide, the outside only 12 mm"),
    ("0 12, 20 12, 20 6, 40 6; bore left 8 x 30", "breaks through"),
    ("0 12, 40 12; bore left 6 x 39", "breaks through right-end"),
    ("0 12, 40 12; bore left 6 x 45", "smaller or shorter; right through is 'bore through 8'"),
    ("0 12, 40 12; bore left 6 x 25; bore right 5 x 20", "meet"),
    ("0 12, 40 12; bore left 6 x 25; bore left 5 x 30", "has 2 bores"),
    ("0 12, 40 12; bore left 8 x 20, 6 x 10", "growing"),
    ("0 12, 40 12; bore left 8", "gives no depth; write diameter x depth, as in '8 x 30', or 'bore through 8'"),
    ("0 12, 40 12; bore 8", "'through 8'"),
    ("0 12, 40 12; through 8", "'bore through 8'"),
    ("0 12, 40 12; bore up 8 x 3", "left, right or through"),
    ("0 12, 40 12; bore left 8 x 20 drill 300", "drill point"),
    ("0 12, 40 12; bore through 8 x 20", "leave out the last depth"),
    ("0 10, 20 10; bore left 8.8 x 10 thread M10x1", "cuts through the wall"),
    ("0 14, 12 9, 20 9; bore left 8.8 x 14 thread M10x1", "cuts through the wall"),
    ("0 8, 10 8 thread M8, 10 12, 40 12; bore through 7.5", "cuts through the wall"),
    ("0 12, 40 10 thread M10", "taper"),
    ("0 12, 40 12 thread M99", "no coarse pitch"),
    ("0 12, 40 12 thread 3/8", "not a thread"),
    ("0 12, 40 12; unit furlong", "furlong"),
    ("0 12, 40 12; measure girth", "girth"),
]


@pytest.mark.parametrize(("words", "says"), REFUSED)
def test_what_is_no_part_is_refused_in_one_line(words, says):
    with pytest.raises(BadInput) as caught:
        profile_of(words)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_refusal_gives_the_place_in_the_unit_the_person_wrote():
    with pytest.raises(BadInput, match=r"blind-bore-1 .*breaks through outside 2 at x 1, diameter 0\.375"):
        profile_of("0 1/2, 1 1/2, 1 1/4, 2 1/4; bore left 3/8 x 1-1/2 flat; unit in")


def write_dxf(path, entities, unit=4):
    drawing = ezdxf.new("R2010")
    drawing.header["$INSUNITS"] = unit
    entities(drawing.modelspace())
    drawing.saveas(path)
    return path


HALF = [(0, 4), (0, 10), (40, 10), (40, 0), (10, 0), (10, 4)]


def test_a_closed_half_section_in_dxf(tmp_path):
    file = write_dxf(tmp_path / "cup.dxf", lambda m: m.add_lwpolyline(HALF, close=True))
    profile = read_profile(file)
    assert profile.area_mm2.value == pytest.approx(area("0 20, 40 20; bore left 8 x 10 flat"), rel=1e-12)
    skin = surface_of(revolve(profile))
    assert {f.name for f in skin.features} == {"outside", "left-end", "right-end", "blind-bore-1"}
    assert skin.named("blind-bore-1").depth_mm == pytest.approx(10)


def test_lines_in_any_order_and_a_bulge_in_inches(tmp_path):
    def draw(m):
        m.add_line((2, 0), (2, 0.5))
        m.add_line((0, 0.25), (0, 0.5))
        m.add_line((0.25, 0.5), (0, 0.5))
        m.add_line((2, 0.25), (0, 0.25))  # a through bore
        m.add_lwpolyline([(2, 0.5, 0, 0, 0.3), (0.25, 0.5)], format="xyseb")

    file = write_dxf(tmp_path / "ring.dxf", draw, unit=1)
    with pytest.raises(BadInput, match="does not meet"):
        read_profile(write_dxf(tmp_path / "loose.dxf", lambda m: (draw(m), m.add_line((5, 5), (6, 6))), unit=1))
    with pytest.raises(BadInput):
        read_profile(file)  # the first line runs to the axis past the bore


@pytest.mark.parametrize("text", [
    "0\nSECTION\n20", "0\nSECTION\n2\nENTITIES\n0\nLINE\n62\ninf\n0\nENDSEC\n0\nEOF\n",
    "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n1\n\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n",
])  # fmt: skip
def test_a_damaged_dxf_is_one_line_whatever_the_library_raises(tmp_path, text):
    file = tmp_path / "part.dxf"
    file.write_text(text)
    with pytest.raises(BadInput, match="is not a DXF drawing that can be read"):
        read_profile(file)


@pytest.mark.parametrize("turned", [False, True])
def test_a_dxf_ring_with_a_bulge_has_a_through_bore(tmp_path, turned):
    points = [(0, 5, 0), (0, 10, 0), (5, 10, -0.25), (25, 10, 0), (30, 10, 0), (30, 5, 0)]
    points = [(x, y, b) for x, y, b in points]
    if turned:
        points = [(points[i][0], points[i][1], -points[i - 1][2]) for i in range(len(points) - 1, -1, -1)]
    file = write_dxf(tmp_path / "ring.dxf", lambda m: m.add_lwpolyline(points, format="xyb", close=True))
    skin = surface_of(revolve(read_profile(file)))
    radius = 10 * (1 + 0.25**2) / (2 * 0.25)  # chord 20, bulge b: r = c (1 + b2) / 4b
    exact = area(f"0 20, 5 20, 25 20 arc r{radius}, 30 20; bore through 10")
    assert sum(f.area_mm2.value for f in skin.features) == pytest.approx(exact, rel=1e-9)
    assert skin.named("bore-1").area_mm2.value == pytest.approx(2 * PI * 5 * 30, rel=1e-12)


def test_csv_in_its_dialects(tmp_path):
    exact = area("0 10, 5 12.5, 40 12.5")
    cases = {
        "a.csv": "0,10\n5,12.5\n40,12.5\n",
        "b.csv": "position; diameter\n0;10\n\n# the barrel\n5;12,5\n40;12,5\n",
        "c.csv": "x [mm]\tradius [mm]\n0\t5\n5\t6.25\n40\t6.25\n",
        "d.csv": "\ufeffx (in), d (in)\r\n0, 0.39370078740157477\r\n0.19685039370078738,0.4921259842519685\r\n"
        "1.574803149606299,0.4921259842519685\r\n",
    }
    for name, text in cases.items():
        (tmp_path / name).write_text(text, "utf-8")
        assert read_profile(tmp_path / name).area_mm2.value == pytest.approx(exact, rel=1e-9), name
    assert read_body(tmp_path / "a.csv").notes[-1].code == "unit-assumed"
    assert read_profile(tmp_path / "a.csv", LENGTH_UNITS["in"]).area_mm2.value == pytest.approx(
        exact * 25.4**2, rel=1e-9
    )


def test_the_typed_picture_is_solid_to_the_end_beyond_a_blind_bore():
    *rows, axis, _ = typed_section(profile_of("0 12, 100 12, 110 8; bore left 8 x 90 drill 118; unit mm")).splitlines()
    assert [len(row) for row in rows[2:]] == [len(axis)] * (len(rows) - 2)  # metal under the end's edge, to x 110
    assert rows[-1].strip("#") == rows[-1].replace("#", "")  # one piece of metal
    assert rows[-1].count("#") == pytest.approx(76 * (110 - 91) / 110, abs=2)


def test_toml_and_plain_data_give_the_sketch_back(tmp_path):
    sketch = sketch_of("0 12 r1, 40 12 thread M12, 60 8; bore left 6 x 20, 4 x 30 drill 118; unit mm; name ågrenær")
    (tmp_path / "part.toml").write_text(sketch.to_toml(), "utf-8")
    assert Sketch.from_dict(sketch.to_dict()) == sketch
    assert read_body(tmp_path / "part.toml").name == "ågrenær"


@pytest.mark.parametrize("suffix", [".stl", ".3mf"])
def test_an_export_reads_back(tmp_path, suffix):
    body = revolve(profile_of("0 12, 40 12, 40 8 r1, 60 8; bore right 5 x 30"))
    export(body, tmp_path / f"part{suffix}")
    back = read_body(tmp_path / f"part{suffix}", LENGTH_UNITS["mm"])
    assert back.facet_area_mm2 == pytest.approx(body.facet_area_mm2, rel=1e-6 if suffix == ".stl" else 1e-12)
    assert back.closed


def test_a_blind_bore_in_a_part_that_flares_is_within_the_metal():
    assert profile_of("0 3, 5.3162 3, 6.3162 17.3005; bore left 2.4 x 3.1581 flat").segments


@st.composite
def outlines(draw):
    steps = draw(st.lists(st.tuples(st.floats(0.5, 20), st.floats(2, 40)), min_size=2, max_size=7))
    x, words = 0.0, [f"0 {steps[0][1]:.4f}"]
    for step, diameter in steps[1:]:
        x += step
        words.append(f"{x:.4f} {diameter:.4f}")
    bore = draw(st.sampled_from(["", "; bore through {:.4f}", "; bore left {:.4f} x {:.4f} flat"]))
    least = min(d for _, d in steps)
    return ", ".join(words) + bore.format(draw(st.floats(0.2, 0.8)) * least, draw(st.floats(0.1, 0.9)) * x)


@settings(deadline=None, max_examples=60)
@given(outlines())
def test_any_turned_part_is_closed_and_its_mesh_falls_short_of_the_exact_area(words):
    profile = profile_of(words)
    body = revolve(profile, 0.02)
    assert body.closed
    assert body.topology.oriented
    exact = profile.area_mm2.value
    flats = np.sum(np.abs(body.vertices[:, 0] - body.vertices[0, 0]) < 1e-9)
    assert exact * math.cos(PI / 60) * 0.98 <= body.facet_area_mm2 <= exact * (1 + 1e-9), flats
    assert sum(f.area_mm2.value for f in surface_of(body).features) == pytest.approx(exact, rel=1e-12)
    a, b, c = (body.vertices[body.triangles[:, k]] for k in range(3))
    assert 0.97 * profile.volume_mm3 <= np.einsum("ij,ij->", a, np.cross(b, c)) / 6 <= profile.volume_mm3 * (1 + 1e-9)


@pytest.mark.parametrize(
    "line",
    [
        "0 40, 30 40 c8 r1, 30 10, 60 10",
        "0 40, 30 40 r8 c1, 30 10, 60 10",
        "0 40, 30 40 r1 r2, 30 10, 60 10",
        "0 12, 40 12 thread M12 knurl 0.8",
        "0 12, 40 12 thread M12 thread M10",
        "0 40, 30 40; bore left 8 x 20 flat drill 90",
        "0 40, 30 40; bore left 8 x 20 c1 chamfer 2",
    ],
)
def test_a_word_too_many_is_refused_not_dropped(line: str) -> None:
    with pytest.raises(BadInput, match=r"too many|twice"):
        profile_of(sketch_of(line), "profile")


def test_two_fillets_may_use_up_the_side_between_them() -> None:
    ball = profile_of(sketch_of("0 12 r6, 40 12 r6"), "profile")
    assert math.isclose(sum(segment.area_mm2.value for segment in ball.segments), math.pi * 12 * 40, rel_tol=1e-9)
    profile_of(sketch_of("0 20, 20 20 r2, 20 28 r2, 40 28"), "profile")


def test_an_outside_that_runs_back_is_told_as_a_hollow_end():
    (note,) = profile_of("0 12, 100 12, 90 8; unit mm").notes
    assert (note.code, note.warns) == ("hollow-end", False)
    assert note.fact["most"].estimate.value == pytest.approx(100.0)
    assert note.fact["end"].estimate.value == pytest.approx(90.0)
    assert not profile_of("0 12, 100 12, 110 8; unit mm").notes
