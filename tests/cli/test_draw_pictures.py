"""Pictures of the skin: colours that every kind of sight tells apart, each in place, and HTML that opens offline."""

import io
import itertools
import re
from pathlib import Path

import manifold3d
import numpy as np
import pytest
from areacalc_cli.palette import STATE_STYLES
from PIL import Image
from typed import typed

from areacalc.shape.body import Body
from areacalc.shape.kinds import UnitBasis, UnitHow
from areacalc.surface.choice import Choices
from areacalc.surface.covering import cover
from areacalc.surface.features.features import find_features
from areacalc.surface.picture import picture
from areacalc.surface.skin import State

SAMPLES = Path(__file__).parents[2] / "sample_models"

# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, severity 1.0
SIGHTS = {
    "full": np.eye(3),
    "no red": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
                        [-0.003882, -0.048116, 1.051998]]),
    "no green": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
                          [-0.011820, 0.042940, 0.968881]]),
    "no blue": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
                         [0.004733, 0.691367, 0.303900]]),
}  # fmt: skip


def lab(linear):
    """CIE 1976 L*a*b* of linear sRGB, white D65 (IEC 61966-2-1; CIE 15)."""
    xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]) @ linear
    f = np.cbrt(np.clip(xyz / [0.9505, 1.0, 1.089], 0.0, None))
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def linear(colour):
    part = np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)]) / 255
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


@pytest.mark.parametrize("sight", SIGHTS)
def test_no_two_states_look_alike_to_any_kind_of_sight(sight):
    seen = {s: lab(np.clip(SIGHTS[sight] @ linear(style.colour), 0.0, 1.0)) for s, style in STATE_STYLES.items()}
    near = {(a.value, b.value): np.linalg.norm(seen[a] - seen[b]) for a, b in itertools.combinations(seen, 2)}
    assert min(near.values()) > 12.0, min(near, key=near.get)


def test_every_state_has_a_colour_and_words():
    assert set(STATE_STYLES) == set(State)
    assert len({style.words for style in STATE_STYLES.values()}) == len(STATE_STYLES)


def look(*words, cwd):
    return typed("draw", *words, cwd=cwd)


def share_like(image, colour, within=0.12):
    """The share of pixels whose hue is that of a colour, whatever the light on it."""
    pixels = np.asarray(image.convert("RGB")).reshape(-1, 3).astype(float) + 1.0
    want = np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)]) + 1.0
    pixels /= np.linalg.norm(pixels, axis=1, keepdims=True)
    return float((np.linalg.norm(pixels - want / np.linalg.norm(want), axis=1) < within).mean())


@pytest.fixture(scope="module")
def ring(tmp_path_factory):
    """The folder that the ring is drawn into."""
    folder = tmp_path_factory.mktemp("ring")
    done = look(SAMPLES / "ring.stl", "--unit", "mm", cwd=folder)
    assert done.returncode == 0, done.stderr
    assert "ring-drawing.png" in done.stdout
    return folder


def test_both_pictures_are_written(ring):
    assert {p.name for p in ring.iterdir()} == {"ring-drawing.png", "ring-drawing.html"}


def test_what_is_plugged_and_masked_shows_in_its_colour(ring, tmp_path):
    closed = tmp_path / "closed.png"
    look(SAMPLES / "ring.stl", "--unit", "mm", "--plug", "bore-1", "--mask", "outside", "-o", closed, cwd=tmp_path)
    orange, sand, blue = (STATE_STYLES[s].colour for s in (State.PLUGGED, State.MASKED, State.WET))
    before, after = Image.open(ring / "ring-drawing.png"), Image.open(closed)
    assert share_like(before, blue) > 0.2
    assert share_like(before, orange) < 0.001
    assert share_like(after, orange) > 0.05
    assert share_like(after, blue) < 0.01
    assert share_like(after, sand) > share_like(before, sand) + 0.05


def test_a_part_of_a_feature_is_drawn_in_its_own_state(tmp_path):
    half = tmp_path / "half.png"
    words = ("--mask", "outside and z from 0 to 12 mm", "-o", half)
    assert look(SAMPLES / "ring.stl", "--unit", "mm", *words, cwd=tmp_path).returncode == 0
    picture = Image.open(half)
    assert share_like(picture, STATE_STYLES[State.WET].colour) > 0.1


@pytest.mark.parametrize(("box", "shown"), [((30, 20, 10), (0, 0, 10)), ((10, 12, 40), (0, 0, 40))])
def test_a_through_bore_is_named_at_the_mouth_that_is_seen_first(box, shown):
    """Both drawings look from above, along z where the part stands or lies flat; a drill through z shows its top."""
    drilled = manifold3d.Manifold.cube(box, True).translate((0, 0, box[2] / 2)) - manifold3d.Manifold.cylinder(
        box[2] + 2, 2, 2, 48
    ).translate((0, 0, -1))
    for turned in (False, True):
        mesh = (drilled.mirror((0, 0, 1)).translate((0, 0, box[2])) if turned else drilled).to_mesh()
        body = Body("box", "box.stl", mesh.vert_properties[:, :3].astype(float), mesh.tri_verts.astype("int32"),
                    UnitBasis("mm", UnitHow.GIVEN))  # fmt: skip
        skin = find_features(body)
        drawn = picture(skin, cover(skin, Choices()))
        at = dict(zip((feature.name for feature in skin.features), drawn.labels, strict=True))
        assert at["bore-1"] == pytest.approx(shown, abs=1e-3)


def test_cut_open_the_metal_shows(tmp_path):
    whole, cut = tmp_path / "whole.png", tmp_path / "cut.png"
    look(SAMPLES / "pen-body.toml", "-o", whole, cwd=tmp_path)
    look(SAMPLES / "pen-body.toml", "--cut", "y", "-o", cut, cwd=tmp_path)
    metal = (154, 163, 168)
    count = [int((np.asarray(Image.open(p).convert("RGB")) == metal).all(axis=2).sum()) for p in (whole, cut)]
    assert count[0] == 0
    assert count[1] > 2000


def test_the_picture_loop_sees_the_nearest_triangle():
    from areacalc.surface.picture_loops import nearest

    spots = np.array([[0, 0, 1.0], [8, 0, 1], [0, 8, 1], [0, 0, 3], [4, 0, 3], [0, 4, 3]])
    corners = np.array([[0, 1, 2], [3, 4, 5]], np.int32)
    everywhere = np.array([0.0, 0, 0, 1])
    seen, toward = nearest(spots, corners, 8, 8, everywhere)
    assert seen[0, 0] == 1
    assert seen[1, 5] == 0
    assert seen[7, 7] == -1
    assert toward[0, 0] == pytest.approx(3.0)
    behind, _ = nearest(spots, corners, 8, 8, np.array([0.0, 0, -1, 2]))
    assert behind[0, 0] == 0


def test_the_html_names_every_feature_and_asks_the_network_for_nothing(tmp_path):
    file = tmp_path / "ring.html"
    assert look(SAMPLES / "ring.stl", "--unit", "mm", "-o", file, cwd=tmp_path).returncode == 0
    text = file.read_text()
    for name in ("outside", "bore-1", "bore-5"):
        assert f'data-name="{name}"' in text
    assert not re.search(r'(?:src|href)="(?!data:)', text)
    assert "default-src 'none'" in text
    assert "@" not in "".join(re.findall(r"@[A-Z]+@", text))


def test_an_ending_that_is_no_picture_is_refused(tmp_path):
    done = look(SAMPLES / "ring.stl", "-o", "ring.docx", cwd=tmp_path)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert list(tmp_path.iterdir()) == []


@pytest.mark.browser
def test_the_html_opens_offline_and_draws(chromium, tmp_path):
    file = tmp_path / "ring.html"
    look(SAMPLES / "ring.stl", "--unit", "mm", "--plug", "bore-1", "-o", file, cwd=tmp_path)
    context = chromium.new_context(offline=True)
    tab, errors, asked = context.new_page(), [], []
    tab.on("console", lambda m: errors.append(m.text) if m.type == "error" else None)
    tab.on("pageerror", lambda e: errors.append(str(e)))
    tab.on("request", lambda r: asked.append(r.url) if not r.url.startswith(("file:", "data:")) else None)
    tab.goto(file.as_uri())
    tab.wait_for_selector(".labels button", state="attached")
    tab.wait_for_timeout(500)
    shot = Image.open(io.BytesIO(tab.locator("#view").screenshot()))
    context.close()
    assert errors == []
    assert asked == []
    assert share_like(shot, STATE_STYLES[State.PLUGGED].colour) > 0.01
    assert share_like(shot, STATE_STYLES[State.WET].colour) > 0.05


def test_a_drawing_shows_the_axes_of_its_file_how_far_it_reaches_and_which_way_is_up(tmp_path):
    names = ("-o", tmp_path / "ring.png", "-o", tmp_path / "ring.html")
    look(SAMPLES / "ring.stl", "--unit", "mm", "--up", "x-", *names, cwd=tmp_path)
    assert "The part reaches from x -22 to 22, y -22 to 22, z 0 to 24 mm; hung flat on its side" in (
        (tmp_path / "ring.html").read_text("utf-8")
    )
    with Image.open(tmp_path / "ring.png") as drawn:
        corner = np.asarray(drawn.convert("RGB"))[780:880, 10:150].reshape(-1, 3)
    seen = {tuple(map(int, each)) for each in corner}
    assert (31, 42, 46) in seen  # the axes, in ink
    assert (179, 84, 30) in seen  # and up in the bath
