"""The wires of a layout, by hand."""

from __future__ import annotations

import math

import pytest

from areacalc.estimate import Estimate
from areacalc.plant.hung import box_part
from areacalc.plant.layout import Room, lay_out
from areacalc.plant.rack import Rack, check_rack
from areacalc.plant.stock import INCHES, METRIC
from areacalc.plant.wires import contact_for, in_stock, wires_for
from areacalc.report.words.rack import volts_sentence, wires_sentence

KNOBS = [box_part("knob", (25.0, 25.0, 25.0), 20)]
KNOBS_MM2 = 20 * 2945.0
AL, TI = "aluminium 6063", "titanium grade 2"


def hung(parts=KNOBS, room=(400.0, 300.0, 300.0)):
    return lay_out(parts, Room(*room, 13.0))


def test_twenty_knobs_hang_by_five_wires():
    # five columns of four tiers at 50, 100, 150 and 200 mm: each wire 100 mm dry, 200 wet, a fifth of the current
    found = wires_for(hung(), [2945.0], 14.6 / KNOBS_MM2, AL)
    assert (found.number, found.wet_mm) == (5, 200.0)
    assert found.fullest_a == pytest.approx(2.92)
    assert (found.diameter_mm, found.by_current_mm, found.for_the_hand) == (2.0, 1.0, True)
    assert found.wet_mm2 == pytest.approx(5 * 200.0 * math.pi * 2.0)
    assert found.mass_g == pytest.approx(5 * 300.0 * math.pi * 2.70e-3)
    # 3.35 microohm cm: 2.92 A x 300 mm x 3.35e-5 ohm mm / (pi mm2)
    assert found.check.drop.estimate.value == pytest.approx(2.92 * 300.0 * 3.35e-5 / math.pi, rel=1e-6)
    assert found.contact.current_a == pytest.approx(0.73)


def test_a_last_tier_of_fewer_parts_hangs_by_the_wires_of_the_others():
    # twenty in three tiers of at most seven: 7, 7 and 6 in the columns of the seven
    found = wires_for(hung(room=(450.0, 300.0, 270.0)), [2945.0], 14.6 / KNOBS_MM2, AL)
    assert found.number == 7


def test_the_fullest_wire_sets_the_thickness_of_titanium():
    # in air 2 mm of grade 2 carry about 3.6 A at a rise of 30 K, 1.5 mm 2.3 A (derived from h = 12 W/m2K, rho = 56)
    assert wires_for(hung(), [2945.0], 5 * 2.9 / KNOBS_MM2, TI).diameter_mm == 2.0
    thicker = wires_for(hung(), [2945.0], 5 * 4.5 / KNOBS_MM2, TI)
    assert thicker.diameter_mm > 2.0
    assert not thicker.for_the_hand
    assert thicker.wet_mm2 == 0.0
    assert wires_for(hung(), [2945.0], 5 * 2000.0 / KNOBS_MM2, TI).diameter_mm is None


def test_current_goes_by_area_where_kinds_differ():
    mixed = hung([box_part("plate", (100.0, 80.0, 6.0)), box_part("knob", (25.0, 25.0, 25.0), 2)])
    found = wires_for(mixed, [18_160.0, 2945.0], 6.0 / (18_160.0 + 2 * 2945.0), AL)
    assert found.fullest_a == pytest.approx(6.0 * 18_160.0 / (18_160.0 + 2 * 2945.0))
    assert found.contact.current_a == pytest.approx(found.fullest_a)


def test_a_contact_has_the_section_of_a_bar_and_the_pressure_of_a_joint():
    # 700 A/in2 are 1.085 A/mm2; 1000 psi are 6.9 N/mm2
    made = contact_for(1.085, AL)
    assert made.face_mm2 == pytest.approx(1.0, rel=1e-3)
    assert made.force_n == pytest.approx(6.9, rel=1e-3)
    assert made.mark_mm == pytest.approx(2.0 / math.sqrt(math.pi), rel=1e-3)
    assert contact_for(1.085, TI).face_mm2 == pytest.approx(10.0, rel=1e-3)


def test_in_inches_wires_are_those_that_are_sold_there():
    # the hand wants 2 mm: 3/32 in is the next that is sold, 2.38 mm; five of 300 mm weigh (2.38 / 2)^2 as much
    metric = wires_for(hung(), [2945.0], 14.6 / KNOBS_MM2, AL)
    found = in_stock(metric, INCHES)
    assert found.diameter_mm == pytest.approx(25.4 * 3 / 32)
    assert found.mass_g == pytest.approx(metric.mass_g * (25.4 * 3 / 64) ** 2)
    assert in_stock(found, METRIC) == metric
    said = wires_sentence(found, inch=True)
    assert said.startswith("5 wires of aluminium 6063, 3/32 in thick (for handling; 1/16 in would carry the current)")


def test_it_is_told_whether_the_volts_count_a_rack():
    wires = [wires_for(hung(), [2945.0], 14.6 / KNOBS_MM2, metal) for metal in (AL, TI)]
    drop = wires[1].check.drop.estimate.value
    assert volts_sentence(None, wires) == (
        f"The planned volts include no rack: these wires take up to {drop:.3g} V more. Give [rack] to include yours."
    )
    own = check_rack(Rack(AL, 2.0, 4), Estimate.exact(14.6))
    assert volts_sentence(own, wires).startswith("The planned volts include your rack,")


def test_what_is_said_of_the_wires():
    said = wires_sentence(wires_for(hung(), [2945.0], 14.6 / KNOBS_MM2, AL))
    assert said.startswith("5 wires of aluminium 6063, 2 mm thick (for handling; 1 mm would carry the current)")
    assert "in2" in wires_sentence(wires_for(hung(), [2945.0], 14.6 / KNOBS_MM2, AL), inch=True)
    assert wires_sentence(wires_for(hung(), [2945.0], 1e4 / KNOBS_MM2, TI)).startswith(
        "No usual wire of titanium grade 2 carries"
    )
