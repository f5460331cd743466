"""Openings told by what they are, with their sizes; the same however finely a file is cut, from meshes and STEP."""

import math

import labelled_parts as parts
import numpy as np
import pytest
import random_solids as solids
from bodies import loose

import areacalc
from areacalc.errors import BadInput
from areacalc.shape.read import read_body
from areacalc.surface.features.features import find_features
from areacalc.surface.sides import mouth_names, opens_words

block, rod, cut, fuse = solids.block, solids.rod, solids.cut, solids.fuse


def plate():
    """A plate with one opening of each kind."""
    point = solids.point(4, 4 / math.tan(math.radians(59)), (10, 10, 6), (0, 0, -1))
    obround = fuse(block((16, 6, 6), (12, 27, 9)), rod(3, 6, (12, 30, 9)), rod(3, 6, (28, 30, 9)))
    return cut(
        block((80, 50, 14)), rod(4, 9, (10, 10, 6)), point, rod(3, 16, (25, 10, -1)),
        rod(2.5, 16, (40, 10, -1)), rod(5, 6, (40, 10, 9)), block((8, 6, 16), (50, 7, -1)),
        block((12, 10, 6), (60, 5, 9)), obround, block((30, 7, 5), (55, 25, 10)), block((82, 5, 4), (-1, 40, 11)),
        rod(2, 60, (76, -5, 0), (0, 1, 0)),
    )  # fmt: skip


PLATE = {
    "bore-1": (6, 14), "bore-2": (5, 14), "blind-bore-1": (8, 8 + 4 / math.tan(math.radians(59))),
    "groove-1": (4, 50, 2), "passage-1": (6, 8, 14), "pocket-1": (10, 12, 5),
    "slot-1": (7, 25, 4), "slot-2": (6, 22, 5), "slot-3": (5, 80, 3),
}  # fmt: skip


def sizes(feature):
    if feature.width_mm is not None:
        return feature.width_mm, feature.length_mm, feature.depth_mm
    return feature.diameter_mm, feature.depth_mm


@pytest.fixture(scope="module")
def exact(tmp_path_factory):
    path = tmp_path_factory.mktemp("openings") / "plate.step"
    solids.write_step(plate(), path)
    return read_body(path)


def check_plate(skin):
    assert {f.name for f in skin.features} == {"outside", *PLATE}
    for name, expected in PLATE.items():
        assert sizes(skin.named(name)) == pytest.approx(expected, rel=2e-4), name


def check_cuts(exact, least, most):
    """The same part from `least` to `most` triangles, four times as many at each cut."""
    whole = exact.topology
    corners, points, face = np.asarray(whole.corners), whole.points, exact.face_of_triangle[whole.triangle_of]
    seen = 0
    while len(corners) <= most:
        if len(corners) >= least:
            check_plate(find_features(loose(points[corners], single=True)))
            seen += 1
        corners, points, face = parts.finer(exact, corners, points, face)
    assert seen


def test_names_kinds_and_sizes_from_exact_faces(exact):
    check_plate(find_features(exact))


def test_names_kinds_and_sizes_do_not_depend_on_how_finely_a_mesh_is_cut(exact):
    check_cuts(exact, 0, 40_000)


@pytest.mark.parametrize(("chord_mm", "angle_rad"), [(1.0, 1.0), (0.2, 0.5), (0.05, 0.2), (0.001, 0.02)])
def test_nor_on_how_an_exporter_cuts(tmp_path, chord_mm, angle_rad):
    path = tmp_path / "plate.stl"
    solids.write_stl(plate(), path, chord_mm, angle_rad)
    check_plate(areacalc.open(path, unit="mm").skin)


@pytest.mark.slow
def test_nor_at_half_a_million_triangles(exact):
    check_cuts(exact, 100_000, 1_000_000)


@pytest.mark.campaign
def test_nor_at_millions_of_triangles(exact):
    check_cuts(exact, 1_000_000, 3_000_000)


def keyed_hub():
    return cut(rod(15, 20), rod(6, 22, (0, 0, -1)), block((7.5, 3, 13), (0, -1.5, 8)))


def shape_called(name):
    """A block of 40 x 28 x 12 with one cut in its outside, or a bar."""
    return {
        "a slot rounded at its bottom": cut(
            block((40, 28, 12)), rod(3, 60, (-10, 14, 8), (1, 0, 0)), block((42, 6, 10), (-1, 11, 8))),
        "a slot with a round end": cut(
            block((40, 28, 12)), fuse(block((25, 6, 10), (20, 11, 5)), rod(3, 10, (20, 14, 5)))),
        "a round notch": cut(block((40, 28, 12)), rod(5, 20, (10, 0, -1))),
        "a slot across the end of a bar": cut(rod(10, 60), block((30, 6, 40), (4, -3, 30))),
        "a sunk round": cut(rod(10, 60), rod(9, 5, (12, -2.5, 30), (0, 1, 0))),
        "a slot across a bar": cut(rod(10, 60), block((6, 24, 8), (6, -12, 25))),
        "a channel with a round bottom, shut": cut(
            block((40, 28, 12)), rod(3, 20, (10, 14, 12), (1, 0, 0)), solids.ball(3, (10, 14, 12)),
            solids.ball(3, (30, 14, 12))),
        "a bent passage": cut(block((40, 30, 20)), block((8, 8, 15), (10, 10, 10)), block((40, 8, 6), (10, 10, 10))),
        "a keyway that stops short": keyed_hub(),
    }[name]  # fmt: skip


SHAPES = {
    "a slot rounded at its bottom": ("slot-1", (6, 40, 7), {"top", "left", "right"}),
    "a slot with a round end": ("slot-1", (6, 23, 7), {"top", "right"}),
    "a round notch": ("groove-1", (10, 12, 5), {"front", "top", "bottom"}),
    "a slot across the end of a bar": ("slot-1", (6, 30, 6), {"right", "top"}),
    "a sunk round": ("groove-1", (5, 2 * math.sqrt(81 - 4), 7), {"right"}),
    "a slot across a bar": ("slot-1", (8, 16, 4), {"right", "front", "back"}),
    "a channel with a round bottom, shut": ("groove-1", (6, 26, 3), {"top"}),
    "a bent passage": ("passage-1", (8, 30, 10), {"top", "right"}),
    "a keyway that stops short": ("keyway-1", (3, 12, 7.5 - math.sqrt(36 - 2.25)), {"bore-1", "top"}),
}


@pytest.mark.parametrize("name", SHAPES)
def test_an_opening_is_named_by_what_it_is(tmp_path, name):
    """From exact faces and from meshes coarse and fine."""
    solid = shape_called(name)
    solids.write_step(solid, tmp_path / "part.step")
    found = [areacalc.open(tmp_path / "part.step").skin]
    for chord_mm, angle_rad in ((0.3, 0.5), (0.01, 0.1)):
        solids.write_stl(solid, tmp_path / "part.stl", chord_mm, angle_rad)
        found.append(areacalc.open(tmp_path / "part.stl", unit="mm").skin)
    called, expected, sides = SHAPES[name]
    for skin in found:
        assert [f.name for f in skin.features if "bore" not in f.name] == ["outside", called]
        opening = skin.named(called)
        assert sizes(opening) == pytest.approx(expected, rel=5e-3)
        assert set(opens_words(opening).replace("mouth 1", "").split(", ")) - {""} == sides


def check_labels(tmp_path, seed):
    solid, labels, far = parts.labelled(np.random.default_rng(seed))
    step, stl = tmp_path / "part.step", tmp_path / "part.stl"
    solids.write_step(solid, step)
    random = np.random.default_rng([seed, 1])
    solids.write_stl(solid, stl, float(random.choice([0.2, 0.05, 0.01])), float(random.choice([0.5, 0.3, 0.1])))
    for part in (areacalc.open(step), areacalc.open(stl, unit="mm")):
        check_part(part.skin, labels, far)


def check_part(skin, labels, far):
    """Each label has one feature of its kind and sizes, with every face in its cell that is none of the block's own."""
    middle = skin.body.vertices[skin.body.triangles].mean(axis=1)
    own = (middle[:, 0] < 1.0) | (middle[:, 1] > far[1] - 1.6) | (np.abs(middle[:, 1]) < 1e-4)
    own |= skin.feature_of < 0  # degenerate triangles
    own |= (np.abs(middle) < 1e-4).any(axis=1) | (np.abs(middle - far) < 1e-4).any(axis=1)
    left = {i for i, f in enumerate(skin.features) if f.name != "outside"}
    for label in labels:
        at = parts.CELL_MM * np.array(label.cell)
        inside = ((middle[:, :2] > at) & (middle[:, :2] < at + parts.CELL_MM)).all(axis=1) & ~own
        (index,) = set(skin.feature_of[inside].tolist())
        feature = skin.features[index]
        assert (feature.kind, set(np.nonzero(skin.feature_of == index)[0]) <= set(np.nonzero(inside)[0])) == (
            label.kind, True)  # fmt: skip
        assert sizes(feature) == pytest.approx(label.sizes_mm, rel=1e-3)
        left.remove(index)
    assert not left


@pytest.mark.parametrize("seed", range(4))
def test_labelled_openings_are_found_whole_and_named_right(tmp_path, seed):
    check_labels(tmp_path, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4, 304))
def test_many_labelled_openings_are_found_whole_and_named_right(tmp_path, seed):
    check_labels(tmp_path, seed)


@pytest.fixture(scope="module")
def part(tmp_path_factory):
    path = tmp_path_factory.mktemp("words") / "plate.step"
    solids.write_step(plate(), path)
    return areacalc.open(path)


def away(part, **choices):
    """How much the choices take off the wetted area [mm2]."""
    return part.wetted().value.value - part.with_choices(**choices).wetted().value.value


WALL = math.pi * 6  # of bore-1, on each 1 mm
MASKED = {
    "bore-2 step 1": math.pi * 10 * 5,
    "bore-2 step 2": math.pi * (25 - 6.25),
    "bore-2 step 3": math.pi * 5 * 9,
    "bore-1 top 4 mm deep": 4 * WALL,
    "flat at z = 9 mm": 120 + 96 + 9 * math.pi + math.pi * (25 - 6.25),
    "passages": 2 * (6 + 8) * 14,
    "the top face and x under 5 mm": 5 * 45,
}


@pytest.mark.parametrize("words", MASKED)
def test_lengths_of_a_bore_and_flats_are_chosen_by_name(part, words):
    assert away(part, mask=words) == pytest.approx(MASKED[words], rel=2e-3)


def test_flats_are_chosen_by_the_way_they_face(part):
    assert away(part, mask="facing z+") > away(part, mask="top") > 2000.0
    assert away(part, mask="facing z-") == pytest.approx(away(part, mask="bottom"), rel=1e-9)


def test_a_thread_sits_on_one_step_of_a_bore(part):
    more = -away(part, add="bore-2 step 3 thread M6")
    assert more == pytest.approx(27.68214 * 9 - math.pi * 5 * 9, rel=1e-3)  # ISO 68-1 basic profile, mm2 on each 1 mm


def test_a_plug_goes_into_the_mouth_that_is_said(part):
    assert set(mouth_names(part.skin.named("bore-1"))) == {"top", "bottom"}
    for words in ("bore-1 top 4 mm deep", "bore-1 4 mm deep from the bottom"):
        assert away(part, plug=words) == pytest.approx(4 * WALL, rel=1e-3)
    assert away(part, plug="bore-1 4 mm deep at both ends") == pytest.approx(14 * WALL, rel=1e-3)  # the rest is sealed
    top = part.with_choices(plug="bore-1 top 4 mm deep", mask="z over 9.9 mm and bore-1").wetted()
    assert part.wetted().value.value - top.value.value == pytest.approx(4.1 * WALL, rel=1e-3)


@pytest.mark.parametrize(
    ("choice", "words", "said"),
    [
        ("plug", "bore-1 4 mm deep", "say which: 'bore-1"),
        ("plug", "bore-1 top 40 mm deep", "more than the 14 mm"),
        ("plug", "bore-1 left 4 mm deep", "no mouth at the left"),
        ("plug", "bore-1 top", "no depth"),
        ("plug", "bore-1 top 4 mm deep from the bottom", "two mouths"),
        ("plug", "slot-3", "mask it instead"),
        ("mask", "bore-2 step 4", "steps 1 to 3"),
        ("mask", "passage-1 step 1", "no step 1"),
        ("mask", "flat at z = 3 mm", "lie at 0, 9, 10, 11, 14 mm"),
        ("add", "top texture 1.3", "not a whole feature"),
    ],
)
def test_what_is_not_there_is_told(part, choice, words, said):
    with pytest.raises(BadInput, match=said):
        part.with_choices(**{choice: words}).wetted()
