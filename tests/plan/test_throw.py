"""Bores in a plan: which are counted and how, what they do to the current, and what is said of them."""

import html
import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import areacalc
from areacalc.bath.voltage import RISE_WARM, Polarisation
from areacalc.estimate import Estimate
from areacalc.figure import given as given_figure
from areacalc.load.read_load import load_of
from areacalc.plan.fault import FaultKind, Weight
from areacalc.plan.plan import plan_of
from areacalc.plan.throw import _whole, counted_whole, wet_bores
from areacalc.report.figures import in_print
from areacalc.report.plan_summary import plan_summary
from areacalc.report.sheet import sheet_of
from areacalc.report.sheet_html import sheet_html
from areacalc.report.words.bores import bore_notes, bore_sentence
from areacalc.surface.covering import mouth_plugs
from areacalc.surface.features.naming import joined
from areacalc.surface.skin import BoreStep, Feature, FeatureKind, State
from areacalc.surface.wetted import Row
from areacalc.throw.thrown import Evening, down_the_bore

SAMPLES = Path(__file__).parents[2] / "sample_models"
LOAD = """\
[[part]]
name = "tube"
file = "tube.toml"
{part}
[bath]
acid = "180 g/L"
aluminium = "5 g/L"
temperature = "20 C"
[tank]
volume = "20 L"
[finish]
{finish}
{supply}
"""
FILLED = 'fill = "blind-bore-1"'  # else its 8 mm may hold air, and the bounds are wider
TWELVE = 'thickness = "12 um"\ncertainty = "50 %"'


def tube(folder, bore="left 8 x 110 flat", length=113.0, outside=12.0):
    (folder / "tube.toml").write_text(
        f'outside = ["0 {outside}", "{length} {outside}"]\nunit = "mm"\nbores = ["{bore}"]\n'
    )


def plan(folder, part="", finish=TWELVE, supply=""):
    return plan_of(load_of(LOAD.format(part=part, finish=finish, supply=supply), "tubes.toml", str(folder)))


def value(made, name):
    return made.figure(name).estimate.value


@pytest.fixture
def folder(tmp_path):
    tube(tmp_path)
    return tmp_path


def test_a_deep_bore_takes_less_and_the_current_follows(folder):
    """Of the tube of 12 mm with its bore of 8 x 110, counting it whole asks for a fifth too much and more."""
    made = plan(folder)
    (bore,) = made.bores
    skin = math.pi * 8.0 * 110.0 + math.pi * 16.0
    share = bore.thrown.mean_share.estimate.value
    assert value(made, "effective-area") == pytest.approx(value(made, "area") - skin * (1.0 - share), rel=1e-9)
    assert value(made, "current") == pytest.approx(value(made, "effective-area") * 1e-4 * 0.16 / 0.064516, rel=1e-9)
    assert value(made, "area") / value(made, "effective-area") > 1.2
    assert value(made, "density") == pytest.approx(0.16 / 0.064516)  # on the outside: the window's middle
    assert value(made, "coating") == pytest.approx(12.0)
    assert bore.film.estimate.value == pytest.approx(12.0 * bore.thrown.least_share.estimate.value)
    assert bore.thrown.least_at_mm == pytest.approx(110.0)


def test_the_most_current_counts_the_bores_whole(folder):
    made = plan(folder, FILLED)
    area, effective = made.figure("area").estimate, made.figure("effective-area").estimate
    assert effective.high == pytest.approx(area.high)
    assert effective.low < effective.value < area.low
    assert made.figure("current-most").estimate.high == pytest.approx(area.high * 1e-4 * 0.175 / 0.064516)
    assert made.figure("current-least").estimate.low == pytest.approx(effective.low * 1e-4 * 0.145 / 0.064516)


def test_the_least_current_takes_a_bore_in_doubt_off_once(folder):
    """Where the bore keeps its air, what is left is the turned outside: two ends and a wall, none of them spared."""
    made = plan(folder)
    outside = math.pi * 12.0 * 113.0 + math.pi * 72.0 - math.pi * 16.0
    assert made.figure("effective-area").estimate.low == pytest.approx(outside, rel=1e-6)
    current = made.figure("current").estimate.value
    assert made.figure("density").estimate.high == pytest.approx(current / (outside * 1e-4), rel=1e-6)
    share = plan(folder, FILLED).throw.parts[0].bores[0][1].mean_share.estimate.low
    sure = plan(folder, FILLED).figure("effective-area").estimate.low  # the acid is in: its share at the least
    assert sure == pytest.approx(outside + share * (math.pi * 8.0 * 110.0 + math.pi * 16.0), rel=1e-6)


def test_a_supply_at_its_limit_is_shared_by_outside_and_bore(folder):
    made = plan(folder, supply='[supply]\ncurrent = "1.27 A"\nvoltage = "30 V"')
    assert made.currents.held_down
    assert value(made, "current") == 1.27
    assert value(made, "density") * value(made, "effective-area") * 1e-4 == pytest.approx(1.27)
    outside = next(f for _, f in made.figure("bores-1.mean").chain() if f.name == "density on the outside")
    assert outside.estimate.value == pytest.approx(value(made, "density"), rel=1e-3)


def test_a_plugged_bore_leaves_the_area_as_it_is(folder):
    made = plan(folder, 'plug = "blind-bore-1"')
    assert made.bores == ()
    assert made.throw.effective is made.figure("area")
    assert {"effective-area", "wagner-length", "coating-length"}.isdisjoint(made.figures)


def test_both_mouths_open_are_better_than_one_plugged(folder):
    tube(folder, "through 8")
    opened, plugged = plan(folder), plan(folder, 'plug = "bore-1 left 5 mm deep"')
    far = plan(folder, 'plug = "bore-1 5 mm deep from mouth 2"')
    assert plugged.bores[0].thrown.least_share.estimate.value < 0.9 * opened.bores[0].thrown.least_share.estimate.value
    assert plugged.bores[0].thrown.mean_share.estimate.value == pytest.approx(
        far.bores[0].thrown.mean_share.estimate.value, rel=1e-6
    )
    assert (plugged.bores[0].thrown.least_at_mm, far.bores[0].thrown.least_at_mm) == (0.0, pytest.approx(108.0))
    assert (plugged.bores[0].least_at_mm, far.bores[0].least_at_mm) == (5.0, pytest.approx(108.0))
    assert "5 mm from the left mouth" in bore_sentence(plugged.bores[0])


@pytest.mark.parametrize("up", ["x+", "x-"])
def test_a_mouth_above_the_liquid_line_is_shut_as_by_a_plug_down_to_it(folder, up):
    tube(folder, "through 8")
    hung = plan(folder, f'up = "{up}"\nliquid_line = "50 mm below the top"').bores[0]
    shut = [plan(folder, f'plug = "bore-1 50 mm deep from mouth {mouth}"').bores[0] for mouth in (1, 2)]
    assert hung.thrown.mean_share.estimate.value == pytest.approx(shut[0].thrown.mean_share.estimate.value, rel=1e-3)
    assert min(abs(hung.least_at_mm - each.least_at_mm) for each in shut) < 1e-6
    assert min(hung.least_at_mm, 113.0 - hung.least_at_mm) == pytest.approx(50.0)


@given(st.floats(10.0, 150.0), st.floats(1.05, 3.0))
@settings(deadline=None, max_examples=8)
def test_a_deeper_bore_takes_more_current_and_its_floor_less_film(tmp_path_factory, depth, more):
    found = []
    for deep in (depth, min(depth * more, 190.0)):
        here = tmp_path_factory.mktemp("tube")
        tube(here, f"left 6 x {deep}", 200.0)
        found.append(plan(here))
    one, deeper = found
    if deeper.figures["area"].estimate.value <= one.figures["area"].estimate.value:
        return
    assert value(deeper, "current") >= value(one, "current") * (1 - 1e-4)
    least = [made.throw.parts[0].bores[0][1].least_share.estimate.value for made in found]
    assert least[1] <= least[0] * (1 + 1e-4)


def test_every_figure_of_a_bore_can_be_explained_and_says_what_is_from_memory(folder):
    made = plan(folder)
    for name in ("mouth", "mean", "least", "coating"):
        chain = [each for _, each in made.figure(f"bores-1.{name}").chain()]
        assert {
            "reach of the current down the bores (Wagner length)",
            "conductivity in the bores",
            "more volts for 2.72 times the current, at any density",
        } <= {each.name for each in chain}
        assert any("from memory" in str(each.source) for each in chain)
        assert all(each.source.text.strip() and each.formula.strip() for each in chain)


def test_a_dyed_bore_too_thin_for_the_shade_is_told(folder):
    dyed = plan(folder, finish=TWELVE + '\ndye = "moss green"')
    (said,) = (f for f in dyed.faults if f.kind is FaultKind.BORE_THIN_DYED)
    assert said.weight is Weight.WATCH
    assert (said.fact["part"], said.fact["bore"], said.fact["shade"]) == ("tube", "blind-bore-1", "pale")
    bare = plan(folder, FILLED, finish='thickness = "3 um"\ndye = "sky"')
    assert any(f.weight is Weight.SPOILS and f.kind is FaultKind.BORE_TAKES_NO_DYE for f in bare.faults)


def test_a_shallow_bore_is_counted_but_not_told(folder):
    tube(folder, "left 10 x 5", 30.0, 16.0)
    made = plan(folder)
    assert made.bores == ()
    assert value(made, "effective-area") == pytest.approx(value(made, "area"), rel=0.01)
    assert FaultKind.BORE_THIN not in {f.kind for f in made.faults}


def test_a_narrow_bore_that_keeps_its_air_is_a_fault_until_it_is_filled(folder):
    tube(folder, "left 3 x 20 flat", 40.0)
    (fault,) = (f for f in plan(folder).faults if f.kind is FaultKind.AIR_HELD)
    assert fault.weight is Weight.SPOILS
    area = plan(folder).figure("area").estimate
    assert area.value == area.low == pytest.approx(area.high - math.pi * 3.0 * 20.0 - math.pi * 1.5**2)
    filled = plan(folder, FILLED)
    assert FaultKind.AIR_HELD not in {f.kind for f in filled.faults}
    assert filled.figure("area").estimate.low == pytest.approx(area.high)


def test_the_sheet_names_the_bore_and_what_it_gets(folder):
    made = plan(folder)
    with in_print():
        sentence = bore_sentence(made.bores[0])
    assert sentence.startswith("tube blind-bore-1: of the outside's density")
    assert sentence in html.unescape(sheet_html(sheet_of(made)))


def test_a_current_by_area_alone_says_which_bores_it_counts_whole():
    (said,) = counted_whole(areacalc.open(SAMPLES / "pen-body.toml"), 2.48)
    assert (said["part"], said["bore"]) == ("pen-body", "bore-1")
    assert said["share"].estimate.value == pytest.approx(0.66, abs=0.005)
    assert said["spared"].estimate.value == pytest.approx(0.34 * 8.5 * math.pi * 110.0, rel=0.2)  # of its wall
    assert counted_whole(areacalc.open(SAMPLES / "pen-body.toml").with_choices(plug="bore-1"), 2.48) == ()


def test_cross_holes_are_alike_and_shut_where_they_meet_the_bore():
    """The ring's four holes of 3 mm open into its bore of 36 mm."""
    wide, holes = wet_bores(areacalc.open(SAMPLES / "ring.stl", unit="mm").wetted().rows)
    assert wide.names == ("bore-1",)
    assert (wide.bore.first_open, wide.bore.last_open) == (True, True)
    assert holes.names == ("bore-2", "bore-3", "bore-4", "bore-5")
    assert sorted((holes.bore.first_open, holes.bore.last_open)) == [False, True]


def test_the_steps_of_a_bore_become_its_stretches():
    part = areacalc.open(SAMPLES / "pen-body.toml")
    (found,) = wet_bores(part.wetted().rows)
    lengths = [(round(s.length_mm, 6), round(s.diameter_mm, 6)) for s in found.bore.stretches]
    assert lengths == [(18.0, 9.2), (70.0, 8.0), (30.0, 2.6)]
    assert found.skin_mm2 == pytest.approx(part.skin.named("bore-1").area_mm2.value)
    assert [round(s.end_mm2, 1) for s in found.bore.stretches] == [16.2, 45.0, 0.0]


def test_a_mask_thins_the_skin_and_a_declared_thread_adds_to_it():
    part = areacalc.open(SAMPLES / "lamp-knob.step")
    plain, masked, cut = (wet_bores(p.wetted().rows)[0] for p in (
        part, part.with_choices(mask="x below 8 mm"), part.with_choices(add="blind-bore-1 thread M6")))  # fmt: skip
    assert masked.skin_mm2 < 0.6 * plain.skin_mm2
    assert masked.bore.depth_mm == plain.bore.depth_mm
    assert cut.skin_mm2 > 1.3 * plain.skin_mm2


def test_a_plug_of_stated_depth_cuts_the_bore_and_shuts_its_mouth():
    part = areacalc.open(SAMPLES / "pen-body.toml").with_choices(plug="bore-1 left 20 mm deep")
    plugs = mouth_plugs(part.skin, part.choices)
    assert plugs == {"bore-1": {1: 20.0}}
    (found,) = wet_bores(part.wetted().rows, plugs)
    assert found.bore.depth_mm == pytest.approx(98.0)
    assert (found.bore.first_open, found.bore.last_open) == (False, True)


ROUND = Feature(
    "bore-1", FeatureKind.THROUGH_BORE, Estimate.exact(math.pi * 240.0), 6.0, 40.0, (0.0, 0.0, 1.0),
    ((0.0, 0.0, 0.0), (0.0, 0.0, 40.0)), (BoreStep(6.0, 40.0, Estimate.exact(math.pi * 240.0)),), floor_mm2=0.0,
)  # fmt: skip
HALF = Estimate.exact(math.pi * 160.0)


def bores_of(*features):
    return wet_bores([Row(f, State.WET, f.area_mm2) for f in features])


def taken(bore):
    kappa, film = given_figure("kappa", 60.0, "S/m"), given_figure("coating", 12.0, "um")
    return down_the_bore(bore, Evening(kappa, Polarisation(), film, RISE_WARM), given_figure("i", 1.5, "A/dm2"))


SLIT = replace(ROUND, area_mm2=HALF, steps=(BoreStep(6.0, 40.0, HALF, round_mm2=math.pi * 240.0),))
MOUTHS = replace(ROUND, mouths=(ROUND.mouths[0], (3.0, 0.0, 20.0), ROUND.mouths[1]))


@pytest.mark.parametrize("feature", [SLIT, MOUTHS])
def test_what_comes_in_along_the_side_lies_between_a_closed_bore_and_the_outside(feature):
    (found,) = bores_of(feature)
    opened, closed = taken(found.bore), taken(replace(found.bore, side=0.0))
    assert found.bore.side > 0.1
    mean = opened.mean_share.estimate
    assert mean.low == closed.mean_share.estimate.low
    assert closed.mean_share.estimate.value < mean.value < mean.high == 1.0


def test_a_plug_over_the_middle_mouth_shuts_it():
    (found,) = wet_bores([Row(MOUTHS, State.WET, MOUTHS.area_mm2)], {"bore-1": {2: 1.0}})
    assert (found.bore.side, found.bore.depth_mm) == (0.0, 40.0)


def test_keyways_are_one_with_their_bore():
    """Two of 3 x 1.5 mm, as long as the bore: its wall is short of the two chords, and open nowhere."""
    wall = Estimate.exact(math.pi * 240.0 - 240.0)
    bore = replace(ROUND, area_mm2=wall, steps=(BoreStep(6.0, 40.0, wall, round_mm2=math.pi * 240.0),))
    key = Feature(
        "keyway-1", FeatureKind.KEYWAY, Estimate.exact(240.0), depth_mm=1.5, width_mm=3.0, length_mm=40.0,
        mouths=((3.5, 0.0, 20.0),), opens=((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)),
    )  # fmt: skip
    other = replace(key, name="keyway-2", mouths=((-3.5, 0.0, 20.0),), opens=((1.0, 0.0, 0.0), *key.opens[1:]))
    (found,) = bores_of(*joined([bore, key, other]))
    assert (found.names, found.keyways, found.bore.side) == (("bore-1",), ("keyway-1", "keyway-2"), 0.0)
    assert found.skin_mm2 == pytest.approx(wall.value + 480.0)
    assert found.bore.stretches[0].section_mm2 == pytest.approx(math.pi * 9.0 + 9.0)


@pytest.mark.parametrize(("kind", "floor"), [(FeatureKind.PASSAGE, 0.0), (FeatureKind.POCKET, 12.0)])
def test_a_passage_or_a_deep_pocket_is_a_line_of_its_own_section(kind, floor):
    mouths = ((0.0, 0.0, 40.0), (0.0, 0.0, 0.0))[: 1 if floor else 2]
    box = Feature(
        "box", kind, Estimate.exact(640.0 + floor), depth_mm=40.0, width_mm=2.0, length_mm=6.0, mouths=mouths,
        opens=((0.0, 0.0, 1.0), (0.0, 0.0, -1.0))[: len(mouths)], section_mm2=12.0, around_mm=16.0,
    )  # fmt: skip
    (found,) = bores_of(box)
    (stretch,) = found.bore.stretches
    assert (stretch.length_mm, stretch.section_mm2, stretch.wall_mm2, stretch.end_mm2) == (40.0, 12.0, 640.0, floor)
    assert found.bore.last_open == (floor == 0.0)
    assert bores_of(replace(box, area_mm2=Estimate.exact(900.0))) == ()  # no one section
    assert bores_of(replace(box, depth_mm=1.5, area_mm2=Estimate.exact(24.0 + floor))) == ()  # wider than deep
    assert bores_of(replace(box, opens=(*box.opens, (1.0, 0.0, 0.0)))) == ()  # runs out at a side


@pytest.mark.parametrize("feature", [replace(ROUND, kind=FeatureKind.POCKET), replace(ROUND, diameter_mm=None)])
def test_what_no_line_runs_down_counts_as_the_outside(feature):
    assert bores_of(feature) == ()


def test_a_deep_bore_that_no_line_runs_down_is_named(folder):
    """Open into others alone, 200 mm and 4 mm deep: the deep one matters."""
    made = plan(folder)
    many = replace(ROUND, into=("bore-8", "bore-9"), depth_mm=200.0)
    short = replace(many, name="bore-2", depth_mm=4.0)
    rows = (*made.parts[0].rows, *(Row(bore, State.WET, bore.area_mm2) for bore in (many, short)))
    area = replace(made.parts[0], rows=rows)
    lengths = {name: made.figure(name) for name in ("wagner-length", "coating-length")}
    assert _whole([area], [wet_bores(rows)], lengths) == ("tube bore-1",)
    (said,) = bore_notes(replace(made.throw, whole=("tube bore-1",)), ())
    assert said.startswith("Counted in full: tube bore-1 (open into other bores only)")


def test_a_bore_between_two_others_counts_as_the_outside():
    ends = [replace(ROUND, name=f"bore-{n}", axis=(1.0, 0.0, 0.0), mouths=((-20.0, 0.0, z), (20.0, 0.0, z)),
                    steps=(BoreStep(6.0, 40.0, ROUND.area_mm2),)) for n, z in ((2, 0.0), (3, 40.0))]  # fmt: skip
    assert [b.names for b in bores_of(*joined([ROUND, *ends]))] == [("bore-2", "bore-3")]


def test_steps_that_overlap_make_one_plain_bore():
    half = BoreStep(6.0, 40.0, Estimate.exact(math.pi * 120.0))
    (found,) = bores_of(replace(ROUND, steps=(half, half)))
    (stretch,) = found.bore.stretches
    assert (stretch.length_mm, stretch.wall_mm2) == (40.0, pytest.approx(math.pi * 240.0))
    assert found.bore.last_open


def test_the_current_of_each_run_offered_is_that_of_its_own_plan(folder):
    supply = '[supply]\ncurrent = "{} A"\nvoltage = "30 V"\nramp = "5 min"'
    alone = value(plan(folder, FILLED, supply=supply.format(9)), "current")
    made = plan(folder, f"{FILLED}\ncount = 5", supply=supply.format(1.05 * alone))
    (run, *_) = made.plant.ways_out.in_runs.runs
    assert run.parts == (("tube", 1),)
    assert run.current_a == pytest.approx(alone, rel=5e-3)


def test_the_area_that_sets_the_current_is_told_where_it_is_another(folder):
    said = []
    for bore in ("left 8 x 110 flat", "left 8 x 4 flat"):
        tube(folder, bore, outside=30.0)
        made = plan(folder, FILLED)
        assert "effective-area" in made.figures
        said.append(" ".join(plan_summary(made)))
    assert ["as bores take less" in each for each in said] == [True, False]
