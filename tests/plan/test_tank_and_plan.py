"""A load planned in the tank that was sized for it: the same figures, and no rule broken."""

from pathlib import Path

import pytest

from areacalc.estimate import Estimate
from areacalc.load.read_load import load_of
from areacalc.part.part import open_part
from areacalc.plan.fault import Weight
from areacalc.plan.plan import plan_of
from areacalc.plan.tank_duty import duty_for, largest_of, run_of, square_of
from areacalc.plant.new_tank import TankChoices, TankFact, size_tank
from areacalc.plant.tank import LOADING

SAMPLES = Path(__file__).parents[2] / "sample_models"


@pytest.mark.parametrize("without_cooling", [False, True])
@pytest.mark.parametrize(("file", "count", "up"), [("lamp-knob.toml", 5, None), ("pen-cap.toml", 4, "x+")])
def test_a_tank_sized_for_a_load_takes_it(file, count, up, without_cooling):
    part = open_part(SAMPLES / file).with_choices(plug="blind-bore-1")
    load = largest_of([part], [count], upright=up is not None)
    duty = duty_for(load)
    design = size_tank(load, duty, TankChoices(without_cooling=without_cooling))
    tank, strips = design.tank, design.cathodes
    made = plan_of(load_of(f'''
        [[part]]
        file = "{SAMPLES / file}"
        plug = "blind-bore-1"
        count = {count}
        {f'up = "{up}"' if up else ""}
        [bath]
        acid = "180 g/L"
        aluminium = "5 g/L"
        temperature = "20 C"
        cooling = "{design.cooling.estimate.high!r} W"
        [tank]
        length = "{tank.length_mm!r} mm"
        width = "{tank.width_mm!r} mm"
        depth = "{tank.depth_mm!r} mm"
        freeboard = "{tank.freeboard_mm!r} mm"
        containment = "{tank.containment_l!r} L"
        [cathodes]
        count = {strips.count}
        width = "{strips.width_mm!r} mm"
        immersed = "{strips.immersed_mm!r} mm"
        [supply]
        current = "{design.supply_a!r} A"
        voltage = "{design.supply_v!r} V"
        ramp = "5 min"
        [finish]
        thickness = "12 um"
    ''', "own.toml"))  # fmt: skip
    assert [f.kind for f in made.faults if f.weight is not Weight.WATCH] == []
    told = {each.rule.name for each in design.judged if not each.kept}  # what the new tank says of itself
    if TankFact.LITRES_OR_COOLING in {each.kind for each in design.facts}:
        told.add(LOADING.name)
    assert {each.rule.name for each in made.plant.judged if not each.kept} <= told
    assert made.figure("warming").estimate.high <= 2.0 * (1 + 1e-9)
    for name, figure in (("current", duty.current), ("time", duty.run)):
        assert made.figure(name).estimate.value == pytest.approx(figure.estimate.value, rel=2e-3), name
    for name, figure in (("voltage-end", duty.volts), ("heat", duty.heat)):  # a bath that warms wants fewer volts
        assert 0.93 * figure.estimate.value < made.figure(name).estimate.value <= figure.estimate.value, name


@pytest.mark.parametrize("keys", [
    'certainty = "50 %"', 'coating_efficiency = "60 %"', 'certainty = "90 %"\nshade = "pale"',
])  # fmt: skip
def test_the_tank_for_a_load_takes_the_run_that_the_plan_has(keys):
    """A casting, whose coating takes a third longer, in a stirred bath whose volts were measured."""
    load = load_of(
        f"""
        [[part]]
        area = "3 dm2"
        alloy = "356"
        [bath]
        acid = "180 g/L"
        aluminium = "5 g/L"
        temperature = "20 C"
        agitation = "pump"
        measured_voltage = "17 V"
        measured_density = "2.2 A/dm2"
        cooling = "5 kW"
        [tank]
        volume = "50 L"
        [supply]
        current = "99 A"
        voltage = "60 V"
        ramp = "3 min"
        [finish]
        density = "decorative"
        {keys}
    """,
        "casting.toml",
    )
    made, duty = plan_of(load), duty_for(square_of(Estimate.exact(3e4), "plates"), run_of(load))
    assert duty.run.estimate.value == pytest.approx(made.figure("time").estimate.value, rel=2e-3)
    assert duty.volts.estimate.value == pytest.approx(made.figure("voltage-end").estimate.value, rel=2e-3)
