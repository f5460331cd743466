"""Racks made for a layout, by hand."""

import itertools
import math

import pytest

from areacalc.estimate import Estimate
from areacalc.plant.hung import box_part
from areacalc.plant.layout import Room, lay_out
from areacalc.plant.made_rack import made_rack
from areacalc.plant.metal import METALS
from areacalc.plant.moved import Moved, rehung
from areacalc.plant.rack import Rack, check_rack, contact_for
from areacalc.plant.spacing import USUAL
from areacalc.plant.stock import INCHES
from areacalc.plant.strands import RackKind, strands
from areacalc.report.words.rack import volts_sentence, wires_sentence

KNOBS = [box_part("knob", (25.0, 25.0, 25.0), 20)]
AL, TI = "aluminium 6063", "titanium grade 2"


def hung(parts=KNOBS, room=(400.0, 300.0, 300.0)):
    return lay_out(parts, Room(*room, 13.0))


def made(current_a, metal, kind=RackKind.WIRES, layout=None, shares=(0.05,), **told):
    layout = layout or hung()
    return check_rack(
        made_rack(Rack(metal, kind=kind, **told), layout, shares, current_a), Estimate.exact(current_a), 20
    )


def test_twenty_knobs_hang_by_five_wires():
    # five columns of four tiers at 50, 100, 150 and 200 mm: each wire 100 mm dry, 200 wet, a fifth of the current
    found = made(14.6, AL)
    (wire,) = found.rack.rods
    assert (wire.number, wire.deep_mm) == (5, 200.0)
    assert found.fullest_a == pytest.approx(2.92)
    assert (wire.diameter_mm, wire.by_current_mm) == (2.0, 1.0)
    assert found.rack.bare_mm2.value == pytest.approx(5 * 200.0 * math.pi * 2.0)
    assert found.rack.mass_g == pytest.approx(5 * 300.0 * math.pi * 2.70e-3)
    # 3.35 microohm cm: 0.73 A each over 150, 200, 250 and 300 mm of pi mm2; the contact and the bar come on top
    wire_v = 0.73 * (150.0 + 200.0 + 250.0 + 300.0) * 3.35e-5 / math.pi
    rods, contact, bar = (each.estimate.value * 14.6 for each in found.resistance.inputs)
    assert rods == pytest.approx(wire_v, rel=1e-6)
    # 10 x 3 mm of copper over 400 mm, half of it on the way: 1.7241 microohm cm
    assert bar == pytest.approx(14.6 * 0.5 * 400.0 * 1.7241e-5 / 30.0, rel=1e-3)
    # Holm, at the least force, 5 N; four times a clean spot
    ohm = 4.0 * 0.25 * (3.35e-5 + 4.01e-5) * math.sqrt(math.pi * 1050.0 / 5.0)
    assert contact == pytest.approx(0.73 * ohm, rel=1e-3)
    assert found.drop.estimate.value == pytest.approx(rods + contact + bar)


def test_a_last_tier_of_fewer_parts_hangs_by_the_wires_of_the_others():
    # twenty in three tiers of at most seven: 7, 7 and 6 in the columns of the seven
    assert len(strands(hung(room=(450.0, 300.0, 270.0)), RackKind.WIRES)) == 7


def test_a_spline_carries_all_and_its_arms_a_tier():
    # one spline in the gap beside the third column, 10 mm over each tier an arm to either side, 20 hooks of 10 mm
    found = made(14.6, TI, RackKind.SPLINE)
    spline, arms, hooks = found.rack.rods
    assert [(rod.piece.value, rod.number) for rod in found.rack.rods] == [("spline", 1), ("arm", 8), ("hook", 20)]
    assert (spline.share, arms.share, hooks.share) == pytest.approx((1.0, 0.15, 0.05))
    # a quarter each goes off 140, 190, 240 and 290 mm under the bar; three parts 25, 75 and 125 mm along the longer arm
    assert spline.moment_mm == pytest.approx(0.25 * (140.0 + 190.0 + 240.0 + 290.0))
    assert arms.moment_mm == pytest.approx(0.05 * (25.0 + 75.0 + 125.0))
    assert hooks.moment_mm == pytest.approx(0.05 * 10.0)
    assert found.rack.bare_mm2.high == 0.0
    assert found.drop.estimate.value < 0.5


@pytest.mark.parametrize("kind", RackKind)
def test_a_part_that_is_moved_hangs_by_a_rod_that_reaches_it(kind):
    layout = hung([box_part("knob", (25.0, 25.0, 25.0), 4)])
    moved = rehung(layout, [Moved("knob", 2, 40.0, 150.0, 60.0)], USUAL).layout
    where = (52.5, 72.5, 150.0)  # the middle of its top
    rods = strands(moved, kind)
    holds = next(rod for rod in rods if rod.points[-1] == where)
    while holds.points[0][2] > -100.0:  # up to the bar, each rod beginning on the one before
        x, y, z = holds.points[0]
        holds = next(rod for rod in rods if rod.piece is not holds.piece and any(
            min(a[0], b[0]) <= x <= max(a[0], b[0]) and min(a[1], b[1]) <= y <= max(a[1], b[1])
            and min(a[2], b[2]) <= z <= max(a[2], b[2]) for a, b in itertools.pairwise(rod.points)))  # fmt: skip
    assert all(rod.points[-1][1] == 150.0 for rod in rods if rod.loads[0][0] != 1)  # the others hang as before


def test_each_hook_carries_one_part_past_those_above():
    found = made(14.6, AL, RackKind.HOOKS)
    (hook,) = found.rack.rods
    assert (hook.number, hook.share) == (20, 0.05)
    drawn = strands(hung(), RackKind.HOOKS)
    boxes = [hung().box(place) for place in hung().places]
    for strand in drawn:  # no hook runs through a part it does not hold
        for (x1, _, z1), (x2, _, z2) in itertools.pairwise(strand.points):
            for i, box in enumerate(boxes):
                inside = min(x1, x2) < box[3] and max(x1, x2) > box[0] and min(z1, z2) < box[5] and max(z1, z2) > box[2]
                assert not inside or i == strand.loads[0][0]


def test_a_clip_grips_with_two_contacts_that_share_the_current():
    one, two = made(14.6, TI, RackKind.SPLINE), made(14.6, TI, RackKind.CLIPS)
    assert two.rack.rods[-1].number == 40
    assert two.a_contact.estimate.value == pytest.approx(0.5 * one.a_contact.estimate.value)


def test_the_fullest_wire_sets_the_thickness_of_titanium():
    # in air 2 mm of grade 2 carry about 3.6 A at a rise of 30 K, 1.5 mm 2.3 A (derived from h = 12 W/m2K, rho = 56)
    assert made(5 * 2.9, TI).fullest.diameter_mm == 2.0
    thicker = made(5 * 4.5, TI)
    assert thicker.fullest.diameter_mm == thicker.fullest.by_current_mm > 2.0
    assert thicker.rack.bare_mm2.high == 0.0
    assert made(5 * 400.0, TI).fullest.by_current_mm is None
    assert made(5 * 2.9, TI, wire_mm=5.0).fullest.diameter_mm == 5.0


def test_current_goes_by_area_where_kinds_differ():
    mixed = hung([box_part("plate", (100.0, 80.0, 6.0)), box_part("knob", (25.0, 25.0, 25.0), 2)])
    whole = 18_160.0 + 2 * 2945.0
    found = made(6.0, AL, layout=mixed, shares=(18_160.0 / whole, 2945.0 / whole))
    assert found.fullest_a == pytest.approx(6.0 * 18_160.0 / whole)
    assert found.contact.current_a == pytest.approx(found.fullest_a)


def test_a_contact_has_the_section_of_a_bar():
    # 700 A/in2 are 1.085 A/mm2
    found = contact_for(1.085, AL)
    assert found.face_mm2 == pytest.approx(1.0, rel=1e-3)
    assert found.mark_mm == pytest.approx(2.0 / math.sqrt(math.pi), rel=1e-3)
    assert contact_for(1.085, TI).face_mm2 == pytest.approx(10.0, rel=1e-3)


def test_a_contact_is_pressed_until_its_spot_drops_no_more_than_30_millivolts():
    """Holm's law, from memory: 10 N make 2.7 milliohm of titanium on clean aluminium, 4 times that in use."""
    force_n = 10.0 * (4.0 * 2.7e-3 * 2.63 / 0.03) ** 2
    assert contact_for(2.63, TI).force_n == pytest.approx(force_n, rel=0.03)
    assert contact_for(2.63, TI).ohm(METALS[TI]).value * 2.63 == pytest.approx(0.03)
    assert contact_for(0.01, TI).force_n == contact_for(2.63, AL).force_n == 5.0  # a part must not shift


def test_in_inches_wires_are_those_that_are_sold_there():
    # the hand wants 2 mm: 3/32 in is the next that is sold, 2.38 mm; five of 300 mm weigh (2.38 / 2)^2 as much
    metric, layout = made(14.6, AL), hung()
    rack = made_rack(Rack(AL, kind=RackKind.WIRES), layout, (0.05,), 14.6, stock=INCHES)
    found = check_rack(rack, Estimate.exact(14.6), 20)
    assert found.fullest.diameter_mm == pytest.approx(25.4 * 3 / 32)
    assert found.rack.mass_g == pytest.approx(metric.rack.mass_g * (25.4 * 3 / 64) ** 2)
    assert wires_sentence(found, inch=True).startswith("5 wires, 3/32 in thick (1/16 in would carry the current)")


def test_it_is_told_whether_the_volts_count_a_rack():
    wires = [made(14.6, metal) for metal in (AL, TI)]
    drop = wires[1].drop.estimate.value
    assert volts_sentence(None, wires) == (
        f"The planned volts include no rack: these wires take up to {drop:.3g} V more. Give `kind` under [rack]."
    )
    own = check_rack(Rack(AL, 2.0, 4), Estimate.exact(14.6))
    assert volts_sentence(own, wires).startswith("The planned volts include your rack,")


def test_what_is_said_of_the_wires():
    said = wires_sentence(made(14.6, AL))
    assert said.startswith("5 wires, 2 mm thick (1 mm would carry the current), wet for up to 200 mm; all of")
    assert "in2" in wires_sentence(made(14.6, AL), inch=True)
    assert wires_sentence(made(2000.0, TI)).startswith("No usual wire of titanium grade 2 carries")
    said = wires_sentence(made(100.0, TI, RackKind.SPLINE, wire_mm=16.0, contact_ohm=0.001))
    assert said.startswith("1 spline, 16 mm thick,")
    assert "contacts from memory" not in said
