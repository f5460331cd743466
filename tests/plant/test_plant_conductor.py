"""Resistance, drop and warmth of wires, bars and cables; the rack that is made of them."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.errors import BadInput, CannotRun, UnknownName
from areacalc.estimate import Estimate
from areacalc.plant.bus import bar_for, cable_for
from areacalc.plant.made_rack import wire_by_current
from areacalc.plant.metal import METALS, RACK_METALS, loss_w_per_m, metal, resistance_ohm, rise_k, round_section_mm2
from areacalc.plant.rack import CONTACT_SHARE, DROP, WARMTH, WIRE, Rack, check_rack
from areacalc.plant.rule import Judgement, judged_fact
from areacalc.report.words.tell import tell
from areacalc.sources import Kind

TITANIUM, ALUMINIUM = METALS["titanium grade 2"], METALS["aluminium 6063"]


def test_resistance_is_rho_l_over_a_with_the_metals_bounds():
    found = resistance_ohm(TITANIUM, 1000.0, math.pi)
    assert found.value == pytest.approx(56e-5 * 1000.0 / math.pi, rel=1e-12)
    assert (found.low, found.high) == pytest.approx((52e-5 * 1000 / math.pi, 57e-5 * 1000 / math.pi), rel=1e-12)


def test_a_warm_conductor_resists_more():
    assert ALUMINIUM.resistivity_ohm_mm(60.0) == pytest.approx(1.14 * ALUMINIUM.resistivity_ohm_mm(), rel=1e-12)


@given(st.floats(0.1, 60.0), st.floats(1.0, 12.0), st.sampled_from(RACK_METALS))
@settings(deadline=None, max_examples=30)
def test_at_the_rise_told_the_heat_made_is_the_heat_lost(current, diameter, name):
    found = rise_k(METALS[name], current, round_section_mm2(diameter), math.pi * diameter)
    if found.value > 490.0:
        return  # beyond what is told
    made = current**2 * METALS[name].resistivity_ohm_mm(25.0 + found.value) / round_section_mm2(diameter) * 1e3
    assert loss_w_per_m(found.value, math.pi * diameter) == pytest.approx(made, rel=1e-6)
    assert found.low <= found.value <= found.high


@given(st.floats(0.5, 30.0), st.floats(1.05, 3.0))
@settings(deadline=None, max_examples=30)
def test_more_current_is_warmer_and_a_thicker_wire_is_cooler(current, more):
    thin = rise_k(TITANIUM, current, round_section_mm2(2.0), math.pi * 2.0).value
    assert rise_k(TITANIUM, current * more, round_section_mm2(2.0), math.pi * 2.0).value >= thin
    assert rise_k(TITANIUM, current, round_section_mm2(2.0 * more), math.pi * 2.0 * more).value <= thin


def test_no_current_no_rise():
    assert rise_k(TITANIUM, 0.0, 3.0, 6.0).value == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("sizes", [(1000.0, 0.0), (-1.0, 3.0)])
def test_a_conductor_with_no_size_is_refused(sizes):
    with pytest.raises(BadInput, match="conductor"):
        resistance_ohm(ALUMINIUM, *sizes)


@pytest.mark.parametrize(("name", "word"), [
    ("brass wire", "eaten"), ("steel", "eaten"), ("copper", "eaten"), ("tin", "'tin' is not known"),
])  # fmt: skip
def test_racks_of_metals_that_the_acid_eats_are_refused(name, word):
    with pytest.raises((BadInput, UnknownName), match=word):
        Rack(name)


def test_people_name_metals_as_they_like():
    assert metal("Aluminum 6061") is METALS["aluminium 6061"]
    assert metal("titanium") is TITANIUM


def test_drop_heat_and_resistance_of_a_rack_belong_together():
    rack = Rack("titanium", 2.0, wires=2, dry_mm=200.0, wet_mm=100.0, contacts=2, contact_ohm=0.01)
    found = check_rack(rack, Estimate(4.0, 3.0, 5.0, ("window",)), parts=4)
    ohms = 56e-5 * 300.0 / (2 * math.pi) + 0.01 / 8
    assert found.resistance.estimate.value == pytest.approx(ohms, rel=1e-12)
    assert found.drop.estimate.value == pytest.approx(4.0 * ohms, rel=1e-12)
    assert found.heat.estimate.value == pytest.approx(16.0 * ohms, rel=1e-12)
    assert found.drop.estimate.low == pytest.approx(3.0 * (52e-5 * 300.0 / (2 * math.pi) + 0.01 / 8), rel=1e-12)


def test_a_contact_whose_resistance_is_not_told_is_from_memory():
    inputs = {each.name: each for each in check_rack(Rack(), Estimate.exact(1.0)).resistance.inputs}
    assert inputs["contacts"].source.kind is Kind.FROM_MEMORY
    assert inputs["contacts"].estimate.low == pytest.approx(0.25 * inputs["contacts"].estimate.value)


def test_a_thin_wire_breaks_the_rules_and_the_thinnest_that_keeps_them_is_found():
    thin = check_rack(Rack("titanium", 1.0, dry_mm=250.0, wet_mm=0.0), Estimate.exact(6.0))
    assert {j.rule for j in thin.judged if not j.kept} == {DROP, WARMTH, WIRE}
    wire = wire_by_current(6.0, "titanium", 250.0)
    assert wire is not None
    kept = check_rack(Rack("titanium", wire, dry_mm=250.0, wet_mm=0.0), Estimate.exact(6.0))
    assert all(j.kept for j in kept.judged)


def test_no_wire_carries_everything():
    assert wire_by_current(5000.0, "titanium", 1000.0) is None


def test_the_recalled_contact_share_only_asks_to_look_again():
    found = check_rack(Rack(contact_mm2=1.0), Estimate.exact(1.0), 1, Estimate.exact(4000.0))
    share = next(j for j in found.judged if j.rule is CONTACT_SHARE)
    assert not share.kept
    assert (judged_fact(share).kind, share.value) == (Judgement.TO_CHECK, pytest.approx(0.00025))


@pytest.mark.parametrize("parts", [0, -2])
def test_a_rack_with_no_parts_is_refused(parts):
    with pytest.raises(BadInput, match="at least one part"):
        check_rack(Rack(), Estimate.exact(1.0), parts)


def test_a_cable_is_the_thinnest_that_drops_little_and_stays_cool():
    chosen = cable_for(41.0, 4000.0)
    assert (chosen.section_mm2, tell(chosen.stock)) == (10.0, "copper cable, 10 mm2")
    assert chosen.drop_v.value == pytest.approx(41.0 * 1.7241e-5 * 4000.0 / 10.0, rel=1e-12)
    assert all(j.kept for j in chosen.judged)


def test_a_bar_carries_no_more_a_section_than_the_rule_of_gutters():
    assert bar_for(46.0, 600.0).section_mm2 == 30.0  # 46 / 1.55 = 29.7 mm2
    assert bar_for(47.0, 600.0).section_mm2 == 45.0  # 47 / 1.55 = 30.3 mm2


@pytest.mark.parametrize("choose", [cable_for, bar_for])
def test_what_no_usual_lead_carries_is_refused(choose):
    with pytest.raises(CannotRun):
        choose(50_000.0, 4000.0)
    with pytest.raises(BadInput):
        choose(0.0, 4000.0)
