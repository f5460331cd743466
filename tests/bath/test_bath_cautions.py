"""Cautions as facts: every hazard has a harm, a source and words; what a load brings is told by its values alone."""

import re

import pytest

from areacalc.bath.cautions import ALWAYS, Harm, Hazard, Work, caution, cautions_at, gathered, of_mixing, shock
from areacalc.bath.mixing import battery_acid, mix, stock_named
from areacalc.bath.seal import SEALS
from areacalc.errors import UnknownName
from areacalc.fact import quantity
from areacalc.figure import given
from areacalc.report.words.cautions import CAUTIONS, caution_text

OF_LOAD = {
    Hazard.SHOCK: {"most": quantity(70.0, "V")}, Hazard.SHOCK_WET: {"most": quantity(45.0, "V")},
    Hazard.CONCENTRATED_ACID: {"stock": quantity(96.0, "wt%"), "portion": quantity(0.2, "L")},
    Hazard.HOT_CAUSTIC: {"etch": quantity(65.0, "C")},
}  # fmt: skip


def hazards(cautions):
    return [each.hazard for each in cautions]


@pytest.mark.parametrize("hazard", Hazard)
def test_every_hazard_is_worded_once_with_every_value_it_brings(hazard):
    each = caution(hazard, **OF_LOAD.get(hazard, {}))
    slots = set(re.findall(r"{(\w+)(?::\w+)?}", CAUTIONS[hazard]))
    assert slots == {name for name, _ in each.fact.values}
    assert not re.search(r"[{}]", caution_text(each))
    assert each.source.text
    assert each.harm in Harm


def test_nothing_is_said_of_a_hazard_that_is_not_held():
    assert set(CAUTIONS) == set(Hazard)
    assert set(ALWAYS) == set(Work)
    with pytest.raises(UnknownName, match="choose from mix"):
        cautions_at("lunch")


def test_data_sheets_come_first_then_the_worst():
    found = gathered((*cautions_at(Work.TANK), *cautions_at(Work.ANODISE)))
    assert found[0].hazard is Hazard.DATA_SHEETS
    assert [c.harm for c in found[1:]] == sorted((c.harm for c in found[1:]), reverse=True)
    for words in ("safety data sheets", "local codes", "licensed practice"):
        assert words in caution_text(found[0])


def test_a_hazard_of_two_works_stands_once_with_both():
    found = gathered((*cautions_at(Work.ETCH), *cautions_at(Work.ANODISE), *cautions_at(Work.STRIP)))
    assert len(hazards(found)) == len(set(hazards(found)))
    hydrogen = next(c for c in found if c.hazard is Hazard.HYDROGEN)
    assert hydrogen.at == (Work.ETCH, Work.ANODISE, Work.STRIP)
    assert "1 % of the air" in caution_text(hydrogen)


def test_the_mist_limits_stand_in_the_caution():
    said = caution_text(caution(Hazard.MIST))
    for words in ("1 mg/m3 (OSHA)", "0.2 mg/m3 (ACGIH)", "0.05 mg/m3 (EU)"):
        assert words in said


@pytest.mark.parametrize(("volts", "told"), [
    (30.0, []), (30.1, [Hazard.SHOCK_WET]), (60.0, [Hazard.SHOCK_WET]), (60.1, [Hazard.SHOCK]),
])  # fmt: skip
def test_shock_is_told_over_30_volts_in_the_wet_and_again_over_60(volts, told):
    assert hazards(shock(given("most", volts, "V"))) == told


@pytest.mark.parametrize(("seal", "told"), [
    ("hot water", {Hazard.SCALD}), ("nickel acetate", {Hazard.SCALD, Hazard.NICKEL}),
    ("mid-temperature salts", {Hazard.SCALD}), ("cold", {Hazard.NICKEL, Hazard.FLUORIDE_SEAL}),
])  # fmt: skip
def test_a_seal_carries_its_own_hazards(seal, told):
    assert set(SEALS[seal].hazards) == told


def test_concentrated_acid_has_a_caution_of_its_own_with_its_portion():
    strong, weak = (of_mixing(mix(10.0, 180.0, acid)) for acid in (stock_named("96 % acid"), battery_acid()))
    assert strong[0].hazard is Hazard.CONCENTRATED_ACID
    assert Hazard.CONCENTRATED_ACID not in hazards(weak)
    assert caution_text(strong[0]).startswith("Acid of 96 wt% chars")
    assert "0.17 L at a time" in caution_text(strong[0])
    assert "5.76 fl oz at a time" in caution_text(strong[0], inch=True)
