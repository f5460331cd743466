"""The best way to hang a part, the vent that would free a pocket, drag-out, and the command that tells them."""

import json
import math
import re
import shlex
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
import manifold3d as m3
import numpy as np
import pytest
from bodies import body, box
from typed import typed

from areacalc.estimate import Estimate
from areacalc.part.part import Part, open_part
from areacalc.report.documents import json_schema
from areacalc.report.words.hung import in_words
from areacalc.shape.export import export
from areacalc.surface.air.best_hanging import (
    HangingOutcome,
    Ranked,
    _Trial,
    apart,
    best_hanging,
    directions,
    one_way,
)
from areacalc.surface.air.drag_out import FILM_ML_PER_M2, drag_out_ml
from areacalc.surface.air.going_under import Moment, strip
from areacalc.surface.air.trapped_air import carried_liquid, trapped_air
from areacalc.surface.air.vent import vents

MODELS = Path(__file__).parents[2] / "sample_models"


def rod_x(radius, x):
    return rod(radius, x).rotate((0.0, 90.0, 0.0))


def rod(radius, z):
    return m3.Manifold.cylinder(z[1] - z[0], radius, radius, 48).translate((0.0, 0.0, z[0]))


@pytest.fixture(scope="module")
def cup():
    """A cup whose mouth looks along -z."""
    return Part(body(rod(10, (0, 30)) - rod(8, (-1, 27))))


@pytest.fixture(scope="module")
def bottle():
    """A hollow with a small hole below: every direction traps air or carries liquid out."""
    return Part(body(rod(20, (0, 40)) - rod(17, (3, 36)) - rod(2, (-1, 5))))


def test_the_best_way_for_a_cup_is_mouth_up_and_far_over(cup):
    ranked = best_hanging(cup.bath_skin, cup.skin)
    best = ranked[0]
    assert best.most is not None
    assert best.most.dry_mm2 == 0.0  # even leaned
    assert -0.5 < best.up[2] < 0.0  # not dead level, where leaning would trap air
    upright = next(r for r in ranked if r.up[2] < -0.999999)
    assert upright.outcome.dry_mm2 == 0.0
    assert best.outcome.carried_mm3 < 0.3 * upright.outcome.carried_mm3


def test_each_figure_is_what_that_direction_traps(cup):
    for ranked in best_hanging(cup.bath_skin, cup.skin, sphere=20)[::7]:
        up = np.asarray(ranked.up)
        air, liquid = trapped_air(cup.bath_skin, up), trapped_air(cup.bath_skin, -up)
        assert ranked.outcome.dry_mm2 == pytest.approx(sum(pocket.area_mm2 for pocket in air.pockets))
        assert ranked.outcome.carried_mm3 == pytest.approx(liquid.volume_mm3)


def test_marks_on_seen_faces_are_counted(cup):
    seen = np.ones(len(cup.body.triangles))
    ranked = best_hanging(cup.bath_skin, cup.skin, seen, sphere=0, accuracy_deg=0.0)
    down = next(r for r in ranked if r.up[2] > 0.999999)
    assert down.outcome.marks_mm2 == pytest.approx(down.outcome.dry_mm2)


def test_progress_is_told_to_the_end(cup):
    told = []
    for accuracy in (0.0, 5.0):
        told.clear()
        best_hanging(
            cup.bath_skin, sphere=10, accuracy_deg=accuracy, progress=lambda done, total: told.append((done, total))
        )
        assert [done for done, _ in told[:-1]] == list(range(1, len(told)))
        assert all(done <= total for done, total in told)
        assert told[-1][0] == told[-1][1] == len(told) - 1


def test_of_ways_that_keep_as_little_bare_the_driest_comes_first(cup):
    """Half a mm2 of bare surface, of 4900, is no reason to carry more acid out."""
    trial = _Trial(cup.bath_skin, None, None)
    wet, dry = (Ranked((0.0, 0.0, 1.0), HangingOutcome(0.0, 0.0, carried, 0.0, bare))
                for carried, bare in ((2.0, 0.1), (1.0, 0.5)))  # fmt: skip
    assert trial.worth(dry) < trial.worth(wet)


def test_the_table_of_ways_has_the_figures_of_the_short_form():
    short, full = (" ".join(typed("hang", MODELS / "pen-cap.toml", *more).stdout.split()) for more in ((), ("--full",)))
    assert "1560 mm2 (1540 to 1560) bare in blind-bore-1, nothing carried out" in short
    assert "1560 mm2 1540 to 1560 mm2 nothing" in full


def test_one_way_is_told_as_it_would_be_among_all(cup):
    among = next(r for r in best_hanging(cup.bath_skin, cup.skin) if r.most is not None)
    alone = one_way(cup.bath_skin, among.up)
    assert (alone.outcome, alone.most) == (among.outcome, among.most)


def test_directions_leave_no_side_out():
    around = directions(200)
    rng = np.random.default_rng(1)
    probe = rng.normal(size=(2000, 3))
    probe /= np.linalg.norm(probe, axis=1, keepdims=True)
    assert (probe @ around.T).max(axis=1).min() > np.cos(np.radians(20))


def test_a_vent_where_the_metal_is_pierced_frees_the_pocket(bottle):
    air = trapped_air(bottle.bath_skin, (0.0, 0.0, 1.0))
    (vent,) = vents(air)
    assert vent.metal_mm == pytest.approx(4.0)
    x, y, _ = vent.inside
    pierced = rod(20, (0, 40)) - rod(17, (3, 36)) - rod(2, (-1, 5)) - rod(0.5, (30, 50)).translate((x, y, 0.0))
    assert trapped_air(body(pierced), (0.0, 0.0, 1.0)).pockets == ()


def test_drag_out_adds_cups_and_film():
    out = drag_out_ml(Estimate(5e4, 4e4, 6e4), 1500.0)
    assert out.value == pytest.approx(1.5 + 0.05 * FILM_ML_PER_M2.value)
    assert out.low == pytest.approx(1.5 + 0.04 * 16)
    assert out.high == pytest.approx(1.5 + 0.06 * 163)


def test_the_strip_shows_air_only_once_it_is_shut_in(cup):
    made = strip(cup.hung("z+").hanging, cup.skin)
    assert made.metal.area == pytest.approx(20 * 30 - 16 * 27, rel=2e-2)
    air = [frame.air.area for frame in made.frames]
    assert air[0] == 0.0
    assert air[1:4] == pytest.approx([16 * 27] * 3, rel=2e-2)
    lifted = strip(cup.hung("z-").hanging, cup.skin).frames
    assert lifted[-1].moment is Moment.LIFTED_OUT
    assert lifted[-1].liquid.area - lifted[0].liquid.area == pytest.approx(16 * 27, rel=2e-2)
    for frame in made.frames:
        assert frame.liquid.intersection(made.metal).area == pytest.approx(0.0, abs=1e-6)
        assert frame.liquid.intersection(frame.air).area == pytest.approx(0.0, abs=1e-6)


def run(*words):
    done = typed(*words)
    return done.returncode, done.stdout, done.stderr


@pytest.mark.slow
def test_a_vent_is_told_only_for_more_than_a_drop_that_no_way_lets_out(tmp_path):
    """A chamber whose port ends in a spout inside keeps air any way up."""
    for side_mm, bore_mm, told in ((24.0, 6.0, True), (5.0, 1.0, False)):
        chamber = m3.Manifold.cube((side_mm,) * 3, True) - rod(1.5 * bore_mm, (0.2 * side_mm, 21))
        block = m3.Manifold.cube((40, 40, 40), True) - chamber - rod(bore_mm, (0.2 * side_mm, 21))
        export(body(block), tmp_path / "block.stl")
        words = ("hang", str(tmp_path / "block.stl"), "--unit", "mm", "--directions", "0")
        said = " ".join(run(*words)[1].split())
        assert ("a vent hole there, through" in said) is told
        assert not re.search(r"[xyz] -?\d+\.\d", said)  # no places in numbers
        assert all(vent["metal_mm"] > 0.0 for vent in json.loads(run(*words, "--json")[1])["vents"])


def test_one_degree_is_one_degree():
    leaned = (np.sin(np.radians(1.2)), 0.0, np.cos(np.radians(1.2)))
    assert in_words(leaned) == "top (z+) up, tilted 1 degree, the side drawn at the right (x+) raised"


def test_hang_says_how_and_draws(tmp_path):
    drawn = tmp_path / "cap.svg"
    code, said, _ = run("hang", str(MODELS / "pen-cap.toml"), "--directions", "20", "--draw", str(drawn))
    assert code == 0
    assert re.search(r"on its side, blind-bore-1 mouth raised \d+ degrees", said.splitlines()[0])
    assert "no trapped air" in " ".join(said.split()[:40])
    assert "from memory" in said  # the film's source
    root = ElementTree.fromstring(drawn.read_text())
    assert sum(1 for node in root.iter() if node.tag.endswith("text")) == 5


@pytest.mark.parametrize("suffix", [".png", ".html"])
def test_hang_draws_other_forms(tmp_path, suffix):
    drawn = tmp_path / f"cap{suffix}"
    assert run("hang", str(MODELS / "pen-cap.toml"), "--directions", "0", "--draw", str(drawn))[0] == 0
    start = drawn.read_bytes()[:15]
    assert start.startswith(b"\x89PNG" if suffix == ".png" else b"<!doctype html>")


def test_hang_refuses_what_it_cannot_draw_or_read(tmp_path):
    code, _, said = run("hang", str(MODELS / "pen-cap.toml"), "--directions", "0", "--draw", str(tmp_path / "a.bmp"))
    assert (code, said.count("\n")) == (2, 1)
    assert run("area", str(MODELS / "pen-cap.toml"), "--liquid-line", "4 mm")[0] == 2
    assert run("area", str(MODELS / "pen-cap.toml"), "--up", "bore-99")[0] == 2


def test_hang_refuses_an_open_mesh_rather_than_call_it_free_of_air(tmp_path):
    corners = np.zeros(2, np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")]))
    corners["v"] = [[[0, 0, 0], [9, 0, 0], [9, 9, 0]], [[0, 0, 0], [9, 9, 0], [0, 9, 0]]]
    sheet = tmp_path / "sheet.stl"
    sheet.write_bytes(bytes(80) + np.uint32(2).tobytes() + corners.tobytes())
    code, said, told = run("hang", str(sheet), "--unit", "mm")
    assert (code, said, told.count("\n")) == (2, "", 1)
    assert "open" in told
    said = run("area", str(sheet), "--unit", "mm", "--up", "z+")[1]
    assert "trapped air cannot be computed" in " ".join(said.split())


def test_the_documents_keep_to_their_schemas():
    code, said, _ = run("hang", str(MODELS / "pen-cap.toml"), "--directions", "0", "--json")
    assert code == 0
    jsonschema.validate(json.loads(said), json_schema("hang"))
    code, said, _ = run("area", str(MODELS / "pen-cap.toml"), "--up", "blind-bore-1 down", "--json")
    document = json.loads(said)
    jsonschema.validate(document, json_schema("area"))
    part = document["parts"][0]
    bore = open_part(MODELS / "pen-cap.toml").skin.named("blind-bore-1")
    assert part["airlocked_area_mm2"]["value"] == pytest.approx(bore.area_mm2.value, rel=0.2)
    assert part["pockets"][0]["volume_mm3"] == pytest.approx(part["trapped_air_mm3"]["value"])
    states = {row["state"] for row in part["features"]}
    assert "airlocked" in states


def test_ways_that_lean_the_same_are_one_on_a_turned_part(cup):
    ranked = best_hanging(cup.bath_skin, cup.skin)
    told = apart(ranked, cup.skin, 5)
    assert told[0] is ranked[0]
    lean = [np.degrees(np.arccos(-each.up[2])) for each in told]
    assert all(abs(a - b) >= 12.0 for i, a in enumerate(lean) for b in lean[:i])


def test_a_slender_part_is_tilted_until_it_holds_little():
    """What is carried out counts against the film on the skin, not against a box around the part."""
    pen = Part(body(rod(6, (0, 120)) - rod(4, (-1, 110))))
    best = best_hanging(pen.bath_skin, pen.skin)[0]
    assert best.most.dry_mm2 == 0.0
    steeper = carried_liquid(pen.bath_skin, (np.cos(np.radians(10)), 0.0, -np.sin(np.radians(10)))).volume_mm3
    assert best.outcome.carried_mm3 < steeper


@pytest.mark.parametrize("words", [("--accuracy", "3"), ("--least-gap", "0.1 mm"), ("--deep", "100 mm")])
def test_how_it_hangs_belongs_to_a_direction(words):
    code, _, said = run("area", str(MODELS / "pen-cap.toml"), *words)
    assert (code, said.count("\n")) == (2, 1)
    assert words[0] in said


def test_hanging_more_truly_narrows_the_bounds_and_depth_presses_the_air():
    def hung(*words):
        document = json.loads(
            run("area", str(MODELS / "pen-cap.toml"), "--up", "blind-bore-1 down", *words, "--json")[1]
        )
        return document["parts"][0]

    plain, true, deep = hung(), hung("--accuracy", "0"), hung("--deep", "500 mm")
    assert true["airlocked_area_mm2"]["low"] > plain["airlocked_area_mm2"]["low"]
    assert deep["trapped_air_mm3"]["value"] < plain["trapped_air_mm3"]["value"]
    assert "air-pressed" in {note["code"] for note in deep["notes"]}


def test_the_next_command_that_hang_prints_runs():
    said = run("hang", str(MODELS / "lamp-knob.stl"), "--unit", "mm", "--directions", "0")[1]
    (then,) = [line for line in said.splitlines() if line.startswith("Next: areacalc ")]
    assert run(*shlex.split(then)[2:])[0] == 0


def test_a_way_of_ones_own_is_told_and_drawn(tmp_path):
    drawn = tmp_path / "cap.html"
    code, said, _ = run("hang", str(MODELS / "pen-cap.toml"), "--up", "blind-bore-1 down", "--draw", str(drawn))
    assert code == 0
    assert "blind-bore-1 mouth down" in " ".join(said.split()[:40])
    assert "Best" not in said
    assert "vent" not in said  # turned over it lets the air out
    assert "leave --up out" in said
    page = drawn.read_text()
    assert "prefers-reduced-motion" in page
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")
    assert page.count('class="f"') == 2 * 24 - 1  # down, up, and lifted out


def test_hang_answers_for_the_faces_that_show():
    said = {
        up: run("hang", str(MODELS / "pen-cap.toml"), "--seen", "blind-bore-1", "--up", up)[1] for up in ("x-", "x+")
    }
    assert re.search(r"leave up to \d+ mm2 of marks on the surface that shows", " ".join(said["x+"].split()))
    assert "surface that shows" not in run("hang", str(MODELS / "pen-cap.toml"), "--up", "x+")[1]
    full = run("area", str(MODELS / "lamp-knob.step"), "--up", "1,0,0", "--full")[1]
    assert "Why least and most differ: how it hangs" in full  # 171 mm2; rounding is nothing beside that
    assert "the rest escapes at the mouth of blind-bore-1." in full


def test_a_stop_does_not_wait_for_the_ways_not_yet_tried(cup):
    told = []

    def stop(done, total):
        told.append(done)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        best_hanging(cup.bath_skin, cup.skin, progress=stop)
    assert told == [1]


STOPPED = """
import os, signal, sys
import areacalc.surface.air.best_hanging as ways
from areacalc_cli.main import run
ways.best_hanging = lambda *given, **named: os.kill(os.getpid(), signal.SIGINT)
sys.argv = ["areacalc", "hang", sys.argv[1], "--draw", sys.argv[2]]
run()
"""


def test_a_stop_is_one_line_and_leaves_nothing(tmp_path):
    words = [sys.executable, "-c", STOPPED, str(MODELS / "pen-cap.toml"), str(tmp_path / "cap.html")]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "areacalc: stopped; nothing was written\n")
    assert list(tmp_path.iterdir()) == []


def test_what_surface_tension_keeps_dry_counts():
    """A chamber between two 1.5 mm ports fills only where one port is 18 mm above the other (fills.head_mm)."""
    block = box((-30, 30), (-12, 12), (-12, 12)) - rod_x(8.0, (-20, 20)) - rod_x(0.75, (-31, 31))
    part = Part(body(block))
    ranked = best_hanging(part.bath_skin, part.skin, sphere=0)
    best, level = ranked[0], next(r for r in ranked if r.up == (0.0, 0.0, 1.0))
    assert abs(best.up[0]) > 0.5
    assert best.outcome.bare_mm2 == pytest.approx(best.outcome.dry_mm2, abs=1e-6)
    chamber = math.pi * 16 * 40 + 2 * math.pi * 8**2
    assert level.outcome.bare_mm2 == pytest.approx(chamber, rel=0.08)  # with its ports, which are 1.5 mm of 11 each
    filled = one_way(part.bath_skin, level.up, filled=[f.name for f in part.skin.features])
    assert filled.outcome.bare_mm2 == pytest.approx(filled.outcome.dry_mm2)


def test_more_directions_do_not_change_which_simple_way_is_best():
    part = Part(body(m3.Manifold.cube((30.0, 14.0, 16.0)) - rod_x(2.0, (-1.0, 3.0)).translate((0.0, 7.0, 8.0))))
    few, many = (best_hanging(part.bath_skin, part.skin, sphere=sphere)[0] for sphere in (0, 100))
    assert (few.up, many.simple) == (many.up, True)
