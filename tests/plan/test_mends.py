"""Where a fault is mended: keys that the load has, and values that mend it."""

import itertools

from loads import desk_set

from areacalc.load.keys import PART, TABLES
from areacalc.plan.fault import _MENDED, _RULES, FaultKind, changes_for, changes_of, keys_of
from areacalc.plant import bus, cathode, rack, spacing, tank
from areacalc.plant.rule import Rule
from areacalc.report.words.course import coating_reason
from areacalc.report.words.equipment import ways_out_told


def test_every_key_named_is_one_of_the_load():
    known = {f"{table}.{key.name}" for table, keys in {**TABLES, "part": PART}.items() for key in keys}
    assert {*itertools.chain(*_MENDED.values()), *_RULES.values()} <= known


def test_every_rule_named_is_one_of_the_equipment():
    rules = {each.name for room in (bus, cathode, rack, spacing, tank) for each in vars(room).values()
             if isinstance(each, Rule)}  # fmt: skip
    assert rules - {"drop along the leads"} <= set(_RULES)


def test_a_dye_that_wants_a_thicker_coating_is_mended_by_the_thickness_told():
    (thin,) = (each for each in desk_set(finish_dye="black").faults if each.kind is FaultKind.THIN_FOR_DYE)
    assert changes_of(thin) == {"finish.thickness": "18.7 um", "finish.shade": ""}
    mended = desk_set(finish_dye="black", finish_thickness="18.7 um")
    assert FaultKind.THIN_FOR_DYE not in [each.kind for each in mended.faults]


def test_a_power_supply_to_buy_takes_the_way_out():
    short = desk_set(supply_voltage="14 V")
    fault = next(each for each in short.faults if each.kind is FaultKind.VOLTS_HOLD_DOWN)
    assert keys_of(fault) == ("supply.voltage",)
    changes = [changes_for(way) for way, _ in ways_out_told(short.plant.ways_out)]
    (buy,) = (each for each in changes if "supply.voltage" in each)
    larger = desk_set(**{key.replace(".", "_"): value for key, value in buy.items()})
    assert FaultKind.VOLTS_HOLD_DOWN not in [each.kind for each in larger.faults]


def test_a_coating_larger_than_asked_tells_why():
    assert coating_reason(desk_set(finish_certainty="50 %")) == ""
    told = coating_reason(desk_set(finish_certainty="90 %"))
    assert "12 um asked, " in told
    assert "so that 90 of 100 runs reach 12 um (`certainty` under [finish])" in told
