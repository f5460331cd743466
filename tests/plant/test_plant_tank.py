"""Loads in words, tanks that exist and new ones, cathodes, the drawing and the list of materials."""

import math
import xml.etree.ElementTree as ET
from itertools import combinations

import numpy as np
import pytest
import shapely
from hypothesis import given as given_by
from hypothesis import settings
from hypothesis import strategies as st

from areacalc.errors import BadInput, UnknownName
from areacalc.estimate import Estimate
from areacalc.figure import given
from areacalc.plant.cathode import RATIOS, CathodeSet, check_cathodes, ratio
from areacalc.plant.drawing import Scene, drawn, tank_scene
from areacalc.plant.hung import box_part
from areacalc.plant.largest import boxes, largest
from areacalc.plant.layout import Room, lay_out, smallest
from areacalc.plant.materials import Buy, materials
from areacalc.plant.moved import Moved, rehung
from areacalc.plant.new_tank import Duty, TankChoices, TankFact, size_tank
from areacalc.plant.paper import Lettering, Mark, svg
from areacalc.plant.rule import judged_fact
from areacalc.plant.spacing import USUAL
from areacalc.plant.tank import CONTAINMENT, Tank, check_shell, tank_of
from areacalc.report.words.materials import item_words
from areacalc.report.words.tank import over_drawing
from areacalc.report.words.tell import tell


def duty(area_mm2, density=2.48):
    amps = area_mm2 * 1e-4 * density
    return Duty(
        current=given("current", Estimate(amps, 0.9 * amps, 1.1 * amps, ("window",)), "A"),
        volts=given("volts", Estimate(17.0, 15.0, 20.0), "V"),
        heat=given("heat", Estimate(amps * 18.4, 0.8 * amps * 18.4, 1.2 * amps * 18.4), "W"),
        energy=given("energy", Estimate(1.0, 0.8, 1.2).scaled(amps * 18.4 * 2400.0), "J"),
        run=given("run", 2400.0, "s"),
        hold=given("hold", 2400.0, "s"),
        capacity=given("capacity", 4020.0, "J/(L K)"),
        band=given("band", 2.0, "K"),
    )


def tank_svg(design):
    return svg(drawn(tank_scene(design, *over_drawing(design))))


def sides(load):
    """The sides of each kind of part, the longest first."""
    return [tuple(sorted((w.along_mm, w.across_mm, w.high_mm), reverse=True)) for w in (p.ways[0] for p in load.parts)]


@pytest.mark.parametrize(("words", "envelope", "area"), [
    ("a plate of 300 x 200 x 6 mm", (300.0, 200.0, 6.0), 2 * (300 * 200 + 300 * 6 + 200 * 6)),
    ("plate 300x200x6 mm", (300.0, 200.0, 6.0), 126_000.0),
    ("a plate of 30 cm x 20 cm x 6 mm", (300.0, 200.0, 6.0), 126_000.0),
    ("a plate of 12 x 8 x 1/4 in", (304.8, 203.2, 6.35), 2 * (12 * 8 + 12 * 0.25 + 8 * 0.25) * 645.16),
    ("a rod of 400 x 30 mm", (400.0, 30.0, 30.0), math.pi * 30 * 400 + math.pi / 2 * 900),
    ("a cylinder of 400 x 30 mm", (400.0, 30.0, 30.0), math.pi * 30 * 400 + math.pi / 2 * 900),
    ("a tube of 400 x 30 x 26 mm", (400.0, 30.0, 30.0), math.pi * 56 * 400 + math.pi / 2 * (900 - 676)),
])  # fmt: skip
def test_a_load_in_words(words, envelope, area):
    load = largest(words)
    assert sides(load) == [pytest.approx(envelope)]
    assert load.area_mm2.value == pytest.approx(area, rel=1e-12)


def test_several_of_a_kind_and_several_kinds():
    two = largest("2 plates of 300 x 200 x 6 mm")
    assert (two.count, two.area_mm2.value) == (2, 252_000.0)
    mixed = largest("a plate of 300 x 200 x 6 mm and 20 cylinders of 25 x 18 mm")
    assert [part.count for part in mixed.parts] == [1, 20]
    assert sides(mixed) == [pytest.approx((300.0, 200.0, 6.0)), pytest.approx((25.0, 18.0, 18.0))]
    assert mixed.area_mm2.value == pytest.approx(126_000.0 + 20 * math.pi * (18 * 25 + 162.0))


def test_upright_keeps_the_long_side_down():
    assert {way.high_mm for way in largest("3 rods of 400 x 30 mm", upright=True).parts[0].ways} == {400.0}


@pytest.mark.parametrize("words", [
    "a plate of 300 x 200 mm", "a plate of 300 x 200 x 0 mm", "a cat of 3 x 2 x 1 mm", "a plate of 300 x 200 x 6",
    "a tube of 400 x 30 x 30 mm", "0 plates of 3 x 2 x 1 mm", "", "a plate of -3 x 2 x 1 mm", "a plate of a x b x c mm",
])  # fmt: skip
def test_words_that_are_no_load_are_refused(words):
    with pytest.raises(BadInput):
        largest(words)


def test_a_tank_knows_its_litres():
    tank = tank_of(300.0, 200.0, 170.0, 30.0)
    assert tank.liquid_l == pytest.approx(10.2)
    assert tank.brimful_l == pytest.approx(12.0)
    assert Tank(10.0).brimful_l is None


@pytest.mark.parametrize("sizes", [(0.0,), (10.0, -1.0), (10.0, 1.0, 1.0, math.inf)])
def test_a_tank_with_no_size_is_refused(sizes):
    with pytest.raises(BadInput, match="tank"):
        Tank(*sizes)


def test_the_shell_of_a_tank_has_its_own_rules():
    broken = {j.rule.name: j.value for j in check_shell(tank_of(300.0, 200.0, 170.0, 30.0, containment_l=10.0))}
    assert broken == {"freeboard": 30.0, "outer containment over the tank's own volume": pytest.approx(10.0 / 12.0)}


def test_cathodes_for_16_000_mm2():
    # 4 x 50 x 200 = 40 000 mm2 is 2.5 times; 4 A over 4 strips; 4 x 50 x 3 x 280 mm3 x 2.70 g/cm3 = 453.6 g
    found = check_cathodes(CathodeSet("6063", 4, 50.0, 200.0), Estimate.exact(16_000.0), Estimate.exact(4.0))
    assert found.over_part.estimate.value == pytest.approx(2.5)
    assert found.a_strip.estimate.value == pytest.approx(1.0)
    assert found.density.estimate.value == pytest.approx(1.0)
    assert found.mass.estimate.value == pytest.approx(0.4536)
    assert all(j.kept for j in found.judged)
    assert "2 to 4 years" in tell(found.life)


def test_too_few_strips_are_told_how_many_would_do():
    found = check_cathodes(CathodeSet("lead", 2, 20.0, 100.0), Estimate.exact(16_000.0), Estimate.exact(4.0))
    (broken,) = (j for j in found.judged if not j.kept)
    assert "hang 8 such strips a side" in tell(judged_fact(broken))  # 32 000 / 2 000
    assert "No published life" in tell(found.life)


@pytest.mark.parametrize(("tank_mm", "faces", "cure"), [
    (160.0, 1, "hang 8 such strips a side"), (159.0, 1, "hang clear"), (159.0, 2, "hang 4 such strips a side"),
    (79.0, 2, "too short"),
])  # fmt: skip
def test_strips_that_do_not_fit_in_the_tank_are_not_the_cure(tank_mm, faces, cure):
    """32 000 mm2 are wanted: 8 strips of 20 x 100 mm a side are 160 mm of tank, 4 with both faces 80 mm."""
    strips = CathodeSet("lead", 2, 20.0, 100.0, faces_that_look=faces)
    found = check_cathodes(strips, Estimate.exact(16_000.0), Estimate.exact(4.0), tank_mm=tank_mm)
    said = tell(judged_fact(found.judged[0])).replace("them ", "")
    assert cure in said


def test_a_sheet_a_side_is_the_cure_where_whole_strips_leave_no_room():
    found = check_cathodes(
        CathodeSet("lead", 2, 60.0, 100.0), Estimate.exact(16_000.0), Estimate.exact(4.0), tank_mm=170.0
    )
    assert "hang one wider sheet a side" in tell(judged_fact(found.judged[0]))  # 160 mm; three of 60 mm are 180


def test_a_rule_of_thumb_is_kept_to_one_per_cent_and_a_miss_reads_apart_from_its_limit():
    def over(area_mm2):
        found = check_cathodes(CathodeSet("6063", 4, 50.0, 200.0), Estimate.exact(area_mm2), Estimate.exact(4.0))
        return found.judged[0]

    assert over(20_150.0).kept  # 40 000 / 20 150 = 1.985
    said = tell(judged_fact(over(20_300.0)))
    assert said.startswith("Cathode area over part area: 1.97, should be at least 2 (common practice); hang 3 such")
    own = USUAL.own(cathodes=75.0).cathodes.judge(74.98)  # a person's own figure is no rule of thumb
    assert "distance: 74.98 mm, should be at least 75 mm" in tell(judged_fact(own))
    assert not CONTAINMENT.judge(0.995).kept  # nor is what keeps acid off the floor


def test_a_bound_on_the_area_counts_against_the_cathodes():
    area = Estimate(16_000.0, 15_000.0, 24_000.0, ("unknown",))
    found = check_cathodes(CathodeSet("6063", 4, 50.0, 200.0), area, Estimate.exact(4.0))
    assert not found.judged[0].kept  # 40 000 / 24 000 = 1.67
    assert "at the most area (2.5 at the likely one); hang 3 such" in tell(
        judged_fact(found.judged[0])
    )  # 48 000 / 20 000


@pytest.mark.parametrize(("name", "sizes"), [("brass", (4, 50.0, 200.0)), ("6063", (0, 50.0, 200.0)),
                                             ("6063", (4, -50.0, 200.0))])  # fmt: skip
def test_cathodes_that_are_none_are_refused(name, sizes):
    with pytest.raises((BadInput, UnknownName)):
        CathodeSet(name, *sizes)


def broken(design):
    """The rules that are broken, but for amperes a litre, which is a rule of thumb."""
    return {j.rule.name for j in design.judged if not j.kept}


def test_a_new_tank_keeps_every_rule_by_itself():
    load = largest("a plate of 300 x 200 x 6 mm")
    design = size_tank(load, duty(126_000.0))
    assert broken(design) == set()
    assert design.tub.holds_l >= design.tank.brimful_l


def test_a_choice_that_breaks_a_rule_is_named():
    load = largest("a plate of 300 x 200 x 6 mm")
    narrow = size_tank(load, duty(126_000.0), TankChoices(width_mm=150.0, depth_mm=260.0, length_mm=380.0))
    assert broken(narrow) == {
        "room at the ends", "room below", "part-to-cathode distance", "cathode area over part area",
    }  # fmt: skip


def test_a_tank_that_cannot_hold_the_load_is_refused():
    with pytest.raises(BadInput, match="200 x 250 x 250 mm of liquid cannot hold a plate of 300 x 200 x 6 mm"):
        size_tank(
            largest("a plate of 300 x 200 x 6 mm"),
            duty(126_000.0),
            TankChoices(length_mm=200.0, width_mm=250.0, depth_mm=250.0),
        )


def test_without_cooling_the_liquid_takes_the_heat_of_one_run():
    load = largest("a plate of 300 x 200 x 6 mm")
    cooled = size_tank(load, duty(126_000.0))
    alone = size_tank(load, duty(126_000.0), TankChoices(without_cooling=True))
    assert cooled.liquid.estimate.value < cooled.by_heat.estimate.value < alone.liquid.estimate.value
    assert cooled.cooling.estimate.low > 0.0
    assert alone.cooling.estimate.high == 0.0
    # heat x time / (c x band): 12.6 dm2 x 2.48 x 18.4 W x 2400 s / (4020 x 2)
    assert cooled.by_heat.estimate.value == pytest.approx(12.6 * 2.48 * 18.4 * 2400 / 8040, rel=1e-12)


def test_a_smaller_ratio_makes_strips_where_the_larger_needs_sheets():
    load = largest("a plate of 400 x 200 x 6 mm")
    ratios = RATIOS["small-tank"], RATIOS["one-third"]
    sheets, strips = (size_tank(load, duty(167_200.0), TankChoices(ratio=each)) for each in ratios)
    assert sheets.cathodes.count == 2
    assert any("sets the tank's depth of 430 mm" in tell(fact) for fact in sheets.facts)
    assert sheets.tank.length_mm == 500.0  # 167 200 mm2 a side over 480 mm of room is 350 mm deep, and 75 below
    assert (strips.cathodes.count, strips.tank.length_mm) == (6, 500.0)


@given_by(st.floats(60.0, 500.0), st.floats(40.0, 300.0), st.floats(2.0, 40.0), st.floats(0.3, 3.0))
@settings(deadline=None, max_examples=30)
def test_any_load_gets_a_tank_that_keeps_the_rules(a, b, c, times):
    load = boxes("block", (a, b, c), Estimate.exact(2 * (a * b + b * c + c * a)))
    design = size_tank(load, duty(load.area_mm2.value), TankChoices(ratio=ratio(str(round(times, 3)))))
    assert broken(design) == set()
    row = design.cathodes.count // 2
    assert row * design.cathodes.width_mm + (row - 1) * 10.0 <= design.tank.length_mm
    assert design.pitch_mm >= design.cathodes.width_mm


def test_the_smaller_of_a_longer_and_a_deeper_tank_is_taken():
    # 70 723.5 mm2 a side: a sheet 80 mm deep is 890 mm long (910 x 160), one 480 mm long is 150 deep (500 x 230)
    load = largest("a tube of 400 x 30 x 26 mm")
    design = size_tank(load, duty(load.area_mm2.value))
    assert (design.tank.length_mm, design.tank.depth_mm) == (500.0, 230.0)
    assert (design.cathodes.width_mm, design.cathodes.immersed_mm) == (480.0, 150.0)
    assert "10 strips a side do not fit in 500 mm" in " ".join(map(tell, design.facts))  # 70 723.5 / (50 x 150) = 9.4
    assert design.rack.above_mm == 60.0  # (150 - 30) / 2: half way down the cathodes
    held = size_tank(load, duty(load.area_mm2.value), TankChoices(depth_mm=160.0))
    assert (held.tank.length_mm, held.tank.depth_mm) == (910.0, 160.0)


def on_paper(drawing):
    """How wide and high each outline is on paper [mm], by what it is called."""
    found = {}
    for mark in drawing.marks:
        if isinstance(mark, Mark) and mark.closed:
            found.setdefault(mark.name, []).append(tuple(np.ptp(np.array(mark.points), axis=0)))
    return found


def test_the_drawing_is_to_scale():
    design = size_tank(largest("a plate of 300 x 200 x 6 mm"), duty(126_000.0), TankChoices(ratio=RATIOS["one-third"]))
    drawing = drawn(tank_scene(design, *over_drawing(design)))
    words = [mark.text for mark in drawing.marks if isinstance(mark, Lettering)]
    scale = float(next(w for w in words if w.startswith("Scale")).split(":")[1].split()[0])
    outlines = {
        name: [tuple(scale * side for side in size) for size in sizes] for name, sizes in on_paper(drawing).items()
    }
    front, side, plan = outlines["a plate of 300 x 200 x 6 mm"]
    assert front == pytest.approx((300.0, 200.0))
    assert side == pytest.approx((6.0, 200.0))
    assert plan == pytest.approx((300.0, 6.0))
    assert outlines["spill tray"][-1] == pytest.approx((design.tub.length_mm, design.tub.width_mm))
    assert len(outlines["cathode"]) == design.cathodes.count + design.cathodes.count // 2 + 2  # plan, front, side
    for size in (design.tank.length_mm, design.tank.width_mm, design.tank.depth_mm, design.cathodes.immersed_mm):
        assert f"{size:.4g}" in words


@pytest.mark.parametrize("words", ["a plate of 900 x 500 x 10 mm", "60 cylinders of 25 x 25 mm", "a rod of 20 x 5 mm"])
def test_the_paper_holds_every_mark_and_goes_on_a4(words):
    load = largest(words)
    design = size_tank(load, duty(load.area_mm2.value))
    drawing = drawn(tank_scene(design, *over_drawing(design)))
    assert drawing.wide_mm <= 188.0
    assert drawing.high_mm <= 275.0
    at = np.array([point for mark in drawing.marks if isinstance(mark, Mark) for point in mark.points])
    assert at.min() >= 0.0
    assert at[:, 0].max() <= drawing.wide_mm
    assert at[:, 1].max() <= drawing.high_mm


SIDE = st.floats(3.0, 120.0)


@given_by(st.lists(st.tuples(SIDE, SIDE, SIDE, st.integers(1, 6)), min_size=1, max_size=3), st.tuples(SIDE, SIDE, SIDE),
       st.booleans(), st.floats(0.0, 90.0))  # fmt: skip
@settings(deadline=None, max_examples=20)
def test_no_number_stands_on_another_or_off_the_paper(kinds, more, inch, freeboard_mm):
    parts = [box_part(f"kind {i}", sides, count) for i, (*sides, count) in enumerate(kinds)]
    room = smallest(parts).room
    sizes = (size + each for size, each in zip((room.length_mm, room.width_mm, room.depth_mm), more, strict=True))
    rack = lay_out(parts, Room(*sizes, 13.0))
    moved = rehung(rack, [Moved("kind 0", 1, 2.0, 3.0, 15.0)], USUAL).layout
    strips = CathodeSet("aluminium 6063", 4, 20.0, 0.8 * rack.room.depth_mm)
    drawing = drawn(Scene("rack", ("words",), moved, freeboard_mm, 5.0, strips, inch=inch))
    texts = [mark for mark in drawing.marks if isinstance(mark, Lettering) and not mark.small]
    boxes = []
    for each in texts:
        long, high = 0.55 * each.size_mm * len(each.text), 0.75 * each.size_mm
        wide, tall = (high, long) if each.turned else (long, high)
        left = each.x - (0.5 * wide if each.middle and not each.turned else wide if each.turned else 0.0)
        top = each.y - (0.5 * tall if each.turned else tall)
        boxes.append(shapely.box(left, top, left + wide, top + tall))
    paper = shapely.box(0.0, 0.0, drawing.wide_mm, drawing.high_mm)
    assert all(paper.contains(box) for box in boxes)
    crossing = [(texts[i].text, texts[j].text) for i, j in combinations(range(len(boxes)), 2)
                if boxes[i].intersects(boxes[j])]  # fmt: skip
    assert crossing == []
    lines = shapely.MultiLineString([m.points for m in drawing.marks if isinstance(m, Mark) and m.kind == "dim"])
    assert not any(lines.intersects(box) for box in boxes)


def test_words_of_the_person_cannot_break_the_drawing():
    load = boxes("<b>&", (300.0, 200.0, 6.0), Estimate.exact(126_000.0))
    made = tank_svg(size_tank(load, duty(126_000.0)))
    assert "&lt;b&gt;&amp;" in made
    assert ET.fromstring(made).get("width").endswith("mm")


def test_the_list_holds_what_the_design_holds():
    design = size_tank(largest("a plate of 300 x 200 x 6 mm"), duty(126_000.0))
    items = materials(design)
    cathodes = next(i for i in items if i.told.kind is Buy.CATHODES)
    assert cathodes.number == design.cathodes.count
    assert cathodes.mass.estimate.value == pytest.approx(design.cathode_check.mass.estimate.value)
    assert {i.told.kind for i in items} == set(Buy) - {Buy.NO_RACK_WIRE}
    us = [item_words(i, inch=True) for i in items]
    assert us[0].size == "20 7/8 x 7 1/2 x 15 15/16 in inside"  # 530 x 190 x 405 mm


@pytest.mark.parametrize(("words", "read_as", "longest_mm"), [
    ("a rod of 400 x 1/2 in", "a rod of 400 x 1/2 in", 10160.0),
    ("a rod of 400 mm x 1/2 in", "a rod of 400 mm x 1/2 in", 400.0),
    ("2 plates of 300 x 200 x 6 mm", "2 plates of 300 x 200 x 6 mm", 300.0),
])  # fmt: skip
def test_how_sizes_were_read_is_said(words, read_as, longest_mm):
    load = largest(words)
    assert load.words == read_as
    assert sides(load)[0][0] == pytest.approx(longest_mm)


def test_twenty_knobs_get_a_tank_worked_out_by_hand():
    # 20 cylinders of 25 x 25 mm: pi x 25 x 25 + 2 x pi / 4 x 625 = 2945.2 mm2 each, 58 905 mm2 in all. One row of four
    # tiers of five: along 5 x 25 + 4 x 25 + 2 x 50 = 325; across 25 + 2 x (75 + 3 + 10) = 201. The cathodes want twice
    # the area, 58 905 mm2 a side: sheets of 270 mm, 225 mm deep, and 75 below: 300. 330 x 210 x 300 mm.
    load = largest("20 cylinders of 25 x 25 mm")
    design = size_tank(load, duty(load.area_mm2.value))
    assert (design.tank.length_mm, design.tank.width_mm, design.tank.depth_mm) == (330.0, 210.0, 300.0)
    assert 15.0 < design.tank.liquid_l < 330 * 210 * 310 / 1e6 * 1.02
    assert design.rack.rows * design.rack.tiers * design.rack.columns >= 20
    assert broken(design) == set()
    said = [tell(fact) for fact in design.facts]
    assert any(s.startswith("Choose: 20.8 L cooled by ") and "asks for 48.7 L" in s for s in said), said


def test_a_tank_holds_the_volume_asked_for_or_says_what_the_load_needs():
    load = largest("a tube of 400 x 30 x 26 mm")
    free = size_tank(load, duty(70_000.0))
    asked = size_tank(load, duty(70_000.0), TankChoices(volume_l=60.0))
    assert 60.0 <= asked.tank.liquid_l < 66.0
    assert asked.tank.depth_mm == free.tank.depth_mm
    small = size_tank(load, duty(70_000.0), TankChoices(volume_l=6.0))
    assert small.tank.liquid_l == free.tank.liquid_l
    (said,) = (each for each in small.facts if each.kind is TankFact.NEEDS_MORE)
    assert said["layout"].estimate.value == pytest.approx(free.tank.liquid_l)
