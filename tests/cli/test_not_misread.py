"""What stands on the screen, read as someone new to it reads it."""

import re
from pathlib import Path

import numpy as np
import pytest
from areacalc_cli.show import _laid_out
from hypothesis import given
from hypothesis import strategies as st
from typed import typed

SAMPLES = Path(__file__).parents[2] / "sample_models"
DESK_SET, CAP = SAMPLES / "desk-set.toml", SAMPLES / "pen-cap.toml"
STUD = 'name = "stud"\nunit = "mm"\noutside = ["0 20", "30 20"]\nbores = ["left 5 x 20 thread M6"]\n'


def said(*words, columns=100):
    done = typed(*words, COLUMNS=str(columns))
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture
def stud(tmp_path):
    (tmp_path / "stud.toml").write_text(STUD)
    return tmp_path / "stud.toml"


@pytest.fixture
def crossed(tmp_path):
    """Two cubes of 20 mm, one pushed 10, 5 and 3 mm into the other: 575 mm2 of each lie in the other."""
    corners = np.array([[x, y, z] for x in (0, 20) for y in (0, 20) for z in (0, 20)], float)
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    faces = [each for a, b, c, d in quads for each in ((a, b, c), (a, c, d))]
    lines = ["solid two"]
    for shift in (np.zeros(3), np.array([10.0, 5.0, 3.0])):
        for face in faces:
            spots = "".join(f" vertex {x:g} {y:g} {z:g}\n" for x, y, z in corners[list(face)] + shift)
            lines.append(f"facet normal 0 0 0\nouter loop\n{spots}endloop\nendfacet")
    (tmp_path / "two.stl").write_text("\n".join([*lines, "endsolid two"]))
    return tmp_path / "two.stl"


def test_names_stay_whole_in_a_narrow_terminal(stud):
    shown = said("area", stud, columns=60)
    assert re.search(r"^blind-bore-1 ", shown, re.M)
    assert " across " in shown
    assert max(len(line) for line in shown.splitlines() if not line.startswith("note")) <= 60


WORDS = st.lists(st.text("abcde-", min_size=1, max_size=9), max_size=4).map(" ".join)


@given(st.lists(st.tuples(WORDS, WORDS, WORDS), min_size=1, max_size=5), st.integers(10, 90))
def test_no_column_is_narrower_than_its_longest_word_and_a_table_that_can_fit_fits(lines, room):
    gap, widths = _laid_out(lines, room)
    longest = [
        max([1, *(len(word) for cell in column for word in cell.split())]) for column in zip(*lines, strict=True)
    ]
    assert all(width >= least for width, least in zip(widths, longest, strict=True))
    assert sum(widths) + 2 * gap <= max(room, sum(longest) + 2 * 2)


def test_a_threaded_bore_says_why_it_has_more_skin_than_its_size(stud):
    """M6 x 1 has 27.682 mm2 a mm (ISO 68-1 basic profile): 553.64 mm2 over 20 mm; pi 5 x 20 is 314.16 mm2."""
    note = "note: blind-bore-1: the M6x1 thread has 554 mm2 of surface; a plain wall would have 314 mm2"
    assert note in " ".join(said("area", stud, "--plug", "blind-bore-1").split())


def test_what_is_kept_dry_names_each_feature_once_and_says_how_much_of_it(crossed):
    shown = said("current", crossed, "--unit", "mm", "--mask", "outside-1")
    assert "On two: outside-1 masked, outside-2 in part (575 mm2 hidden)\n" in shown


def test_every_way_to_hang_that_is_listed_is_leaned(crossed):
    shown = said("hang", crossed, "--unit", "mm", "--directions", "0", "--full")
    rows = [line for line in shown.splitlines() if re.search(r" -?[01],-?[01],-?[01] ", line)]
    assert len(rows) > 1
    assert all(re.search(r"mm2 .* to |\b0 mm2 ", line) for line in rows), rows
    assert "Least and most cover a tilt of 5 degrees." in shown


def test_a_thread_on_flat_skin_is_told_what_it_sits_on(crossed):
    words = ("area", crossed, "--unit", "mm", "--add", "outside-1 thread M6")
    done = typed(*words)
    assert done.returncode == 2
    assert "outside-1 has no plain round wall, and a thread such as M6 sits on one" in done.stderr


def test_a_stepped_bore_says_that_its_diameter_is_the_narrowest(tmp_path, stud):
    (tmp_path / "sunk.toml").write_text('unit = "mm"\noutside = ["0 20", "30 20"]\nbores = ["left 12 x 5, 6 x 20"]\n')
    assert "blind-bore-1 has several diameters; the table shows the smallest" in said("area", tmp_path / "sunk.toml")
    assert "In steps" not in said("area", stud)


def test_an_export_says_that_its_threads_are_smooth(tmp_path):
    threaded = "0 8, 12 8 thread M8, 12 14, 40 18; unit mm"
    assert "threads and knurls are smooth in pin.stl" in said("sketch", threaded, "--export", tmp_path / "pin.stl")
    plain = said("sketch", threaded.replace(" thread M8", ""), "--export", tmp_path / "plain.stl")
    assert "smooth in" not in plain


def test_the_outside_is_as_wide_as_its_widest_end(tmp_path):
    assert re.search(r"^outside +wet +18 ", said("sketch", "0 8, 12 8, 40 18; unit mm"), re.M)


@pytest.mark.parametrize(("words", "told"), [
    (("plan", DESK_SET, "--what-if", "tempreature = 3 C"), "the nearest of"),
    (("tank", "--largest", "a rod of 100 x 30 mm", "--ramp", "-3 min"), "--ramp: the ramp must be 0 min or longer"),
    (("hang", "0 13, 40 13"), "areacalc sketch POINTS --export part.toml"),
    (("sketch", "0 12, 40 8 thread M10, 50 8"), "after a point of the same diameter as the point before"),
])  # fmt: skip
def test_a_refusal_is_one_short_line_with_a_remedy_that_helps(words, told):
    done = typed(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr
    assert len(done.stderr) < 300
    assert typed("sketch", "0 12, 40 10, 50 10 thread M10").returncode == 0


def test_explain_begins_with_the_formula_and_the_figures_in_it():
    first = "".join(said("explain", DESK_SET, "current", columns=80).splitlines(keepends=True)[:12])
    assert "current to set = 3 A\n     = limit of the power supply" in first
    assert re.search(r"area that sets the current +\d+ cm2 \(\d+ to \d+\)", first)


def test_a_cathode_is_told_in_square_centimetres_and_as_wanted_and_hung():
    assert "Cathode area facing the part: 11610 mm2" in said("cathode", "--area", "9 in2")
    full = said("plan", DESK_SET, "--full")
    assert re.search(r"cathode area wanted +260 cm2", full)
    assert re.search(r"cathode area hung +288 cm2", full)


def test_one_degree_is_one_degree():
    assert "a tilt of 1 degree." in " ".join(said("hang", CAP, "--accuracy", "1").split())


@pytest.mark.parametrize(("density", "weight"), [("small-tank", "watch"), ("40 A/ft2", "spoils the part")])
def test_a_run_without_a_ramp_is_told_as_what_it_does(tmp_path, density, weight):
    text = DESK_SET.read_text("utf-8").replace('file = "', f'file = "{SAMPLES}/')
    for was, now in (('"5 min"', '"0 s"'), ('"small-tank"', f'"{density}"'), ('"3 A"', '"9 A"')):
        text = text.replace(was, now)
    (tmp_path / "load.toml").write_text(text, "utf-8")
    assert f"{weight}: No ramp" in said("plan", tmp_path / "load.toml", "--full")
