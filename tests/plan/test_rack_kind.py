"""A kind of rack in a plan: its volts, its bare metal, what is told where it cannot be made."""

from dataclasses import replace

import pytest

from areacalc.digits import three
from areacalc.load.read_load import load_of
from areacalc.plan.fault import FaultKind, keys_of
from areacalc.plan.plan import plan_of
from areacalc.plan.steps import RunStepKind
from areacalc.report.figures import shown
from areacalc.report.plan_summary import plan_summary
from areacalc.report.sheet import sheet_of
from areacalc.report.words.places import named_as
from areacalc.report.words.tell import tell

LOAD = """
[[part]]
name = "knob"
file = "knob.toml"
count = 20
{part}
[bath]
acid = "180 g/L"
temperature = "20 C"
cooling = "50 kW"
[tank]
{tank}
[supply]
current = "100 A"
voltage = "30 V"
ramp = "5 min"
[finish]
density = "22 to 26 A/ft2"
thickness = "12 um"
[rack]
{rack}
"""
MIDDLE = "length = '400 mm'\nwidth = '300 mm'\ndepth = '300 mm'"


@pytest.fixture
def planned(tmp_path):
    (tmp_path / "knob.toml").write_text('unit = "mm"\noutside = ["0 25", "25 25"]\n')

    def make(rack, tank=MIDDLE, part=""):
        return plan_of(load_of(LOAD.format(rack=rack, tank=tank, part=part), "load.toml", str(tmp_path)))

    return make


def kinds(made):
    return {fault.kind for fault in made.faults}


def test_the_supply_shows_the_volts_of_the_bath_and_the_drop_of_the_rack(planned):
    made = planned("kind = 'wires'\nmetal = 'titanium'")
    drop = made.figures["rack-drop"].estimate.value
    assert drop > 0.05
    at_supply, at_bath = made.volts["voltage-supply"].estimate.value, made.volts["voltage-end"].estimate.value
    assert at_supply == pytest.approx(at_bath + drop, abs=2e-3)
    start = made.volts["voltage-supply-start"].estimate.value
    assert start == pytest.approx(made.volts["voltage-start"].estimate.value + drop, abs=2e-3)
    (expected,) = (line for line in plan_summary(made) if line.startswith("Expect"))
    assert f"{three(start)} V at the start, {three(at_supply)} V (" in expected
    (step,) = (s.fact for s in made.steps if s.fact.kind is RunStepKind.ANODISE)
    assert step["start"].estimate.value == start
    assert planned("rows = 2").volts["voltage-supply"].estimate.value == pytest.approx(at_bath, abs=2e-3)


def test_bare_aluminium_of_a_kind_is_wetted_area_and_titanium_is_not(planned):
    made = planned("kind = 'spline'\nmetal = 'aluminium 6063'")
    rods = made.load.rack.rods
    by_hand = sum(3.14159265 * rod.diameter_mm * rod.wet_mm for rod in rods)
    parts = sum(part.all.estimate.value for part in made.parts)
    assert made.area.estimate.value == pytest.approx(parts + by_hand)
    assert planned("kind = 'spline'\nmetal = 'titanium'").area.estimate.value == pytest.approx(parts)
    assert planned("kind = 'spline'\nwire_surface = 'insulated'").area.estimate.value == pytest.approx(parts)


def test_wires_whose_size_is_not_told_are_never_exact_and_a_told_length_is_kept(planned):
    drawn, told = (
        planned(f"kind = 'wires'\n{more}").figures["rack-area"] for more in ("", "wire = '2 mm'\nwet = '30 mm'")
    )
    assert drawn.estimate.low < 0.85 * drawn.estimate.value < 1.15 * drawn.estimate.value < drawn.estimate.high
    assert "mm thick (assumed)" in drawn.source.text
    assert "mm (as drawn) in the liquid" in drawn.source.text
    assert "rack wire" in "; ".join(planned("kind = 'wires'").figures["area"].estimate.because)
    wires = planned("kind = 'wires'").load.rack.rods[0].number
    assert told.estimate.width == 0.0
    assert told.estimate.value == pytest.approx(wires * 3.14159265 * 2.0 * 30.0)
    assert told.source.text.startswith(f"{wires} x wire 2 mm thick, 30 mm in the liquid; ")


def test_a_kind_without_the_tanks_sizes_is_told_to_count_nothing(planned):
    made = planned("kind = 'hooks'", "volume = '30 L'")
    assert FaultKind.RACK_NOT_MADE in kinds(made)
    assert made.plant.rack is None
    assert FaultKind.RACK_NOT_MADE not in kinds(planned("kind = 'hooks'"))


def test_a_part_hung_askew_by_one_contact_can_turn(planned):
    askew = "up = '1,0,1'"
    made = planned("kind = 'hooks'", part=askew)
    (told,) = [fault.fact for fault in made.faults if fault.kind is FaultKind.TURNS]
    assert tell(told).endswith("Hold each by two, and say so in `contacts` under [rack].")
    with named_as("page"):
        assert tell(told).endswith("say so in contacts under Rack at the station Rack and tank.")
    for rack in ("kind = 'clips'", "kind = 'hooks'\ncontacts = 2"):
        assert FaultKind.TURNS not in kinds(planned(rack, part=askew))
    assert FaultKind.TURNS not in kinds(planned("kind = 'hooks'"))


def test_bare_wires_that_are_offered_and_not_counted_are_told_on_the_first_screen(planned):
    told = planned("wire = '2 mm'\nmetal = 'titanium'")
    assert FaultKind.BARE_WIRES not in kinds(told)
    made = plan_of(replace(told.load, rack=None))
    wires = next(each.rack for each in made.plant.wires if each.rack.bare_mm2.high)
    (fault,) = [each.fact for each in made.faults if each.kind is FaultKind.BARE_WIRES]
    share = wires.bare_mm2.value / made.figures["area"].estimate.value
    assert fault["share"].estimate.value == pytest.approx(share)
    assert share > 0.03
    assert f"Bare wires add {shown(wires.bare_mm2.value, 'mm2')}, {100.0 * share:.0f} %" in " ".join(plan_summary(made))


def test_a_rack_partly_assumed_is_told_where_it_moves_the_current_and_stands_on_the_sheet(planned):
    made = planned("kind = 'wires'")
    (fault,) = (fault for fault in made.faults if fault.kind is FaultKind.WIRES_ASSUMED)
    bare, area = made.figures["rack-area"].estimate.value, made.area.estimate.value
    said, taken = tell(fault.fact), three(bare / area * made.currents.set.estimate.value)
    assert said.startswith("The rack counts as bare aluminium 6063, 2 mm thick: ")
    assert f"{taken} A of the {three(made.currents.set.estimate.value)} A set" in said
    assert said.endswith("give `metal` under [rack] and `wire` under [rack].")
    assert keys_of(fault) == ("rack.metal", "rack.wire")
    assert "bare aluminium 6063, 2\u00a0mm thick" in " ".join(sheet_of(made).tank)
    for told in ("metal = 'titanium'", "metal = 'aluminium 6063'\nwire = '2 mm'"):
        assert FaultKind.WIRES_ASSUMED not in kinds(planned(f"kind = 'wires'\n{told}"))
