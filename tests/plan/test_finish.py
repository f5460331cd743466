"""What a load says of its etch, seal, charge rule and room, and what the plan makes of it."""

from functools import cache

import pytest
from loads import desk_set

from areacalc.bath.dissolved import Aluminium
from areacalc.bath.film import UM_312, UM_720, Stated
from areacalc.errors import CannotRun
from areacalc.load.read_load import BadLoad, load_of
from areacalc.plan.fault import FaultKind, Weight
from areacalc.plan.plan import plan_of
from areacalc.plan.steps import RunStepKind
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell

BASE = """
[[part]]
area = "10 cm2"
count = 10
[bath]
acid = "180 g/L"
aluminium = "5 g/L"
temperature = "20 C"
[tank]
volume = "10 L"
{tank}
[finish]
thickness = "12 um"
{finish}
"""


@cache
def plan(finish="", tank=""):
    return plan_of(load_of(BASE.format(finish=finish, tank=tank), "ten.toml"))


def value(made, name):
    return made.figures[name].estimate.value


def said(made):
    return " ".join(tell(f.fact) for f in made.faults)


def test_a_weighed_trial_takes_the_place_of_the_recalled_rate():
    # 0.054 g over 20 cm2: 0.054 / 2.699 / 20 cm = 10.0 um on each face; 100 cm2 lose 10 um x 100 cm2 x 2.699 = 0.27 g
    made = plan('surface = "matte"\netch_trial_loss = "0.054 g"\netch_trial_area = "20 cm2"')
    assert value(made, "etch-lost") == pytest.approx(10.0, rel=1e-3)
    assert made.figures["etch-lost"].source.text == "weight lost / (density x area)"
    # 0.27 g x 15.4 kJ/g = 4.16 kJ
    assert value(made, "etch-heat") == pytest.approx(0.27 * 15.4, rel=2e-3)


def test_the_warming_of_the_etch_bath_is_told_where_its_volume_is():
    made = plan('surface = "matte"\netch_trial_loss = "0.054 g"\netch_trial_area = "20 cm2"\netch_bath = "1 L"')
    # 4.16 kJ / (1 L x 0.9982 kg/L x 4.18 kJ/(kg K)) = 0.996 K
    assert value(made, "etch-warming") == pytest.approx(0.996, rel=3e-3)
    assert "etch-warming" not in plan('surface = "matte"').figures


def test_the_default_matte_etch_is_mild_and_the_finish_tables_are_named():
    made = plan('surface = "matte"')
    etch = next(s for s in made.steps if s.kind is RunStepKind.ETCH)
    assert etch.minutes.value == 4.0
    assert "30 g/L, 35 C; takes 2.24 um" in step_words(etch).does
    assert "30 to 45 g/L at 60 to 71.1 C for 5 min" in step_words(etch).does
    assert str(etch.source).startswith("derived: chosen for a fine matte")


def test_a_seal_bath_that_will_not_seal_is_told():
    assert "does not seal" in said(plan('seal_temperature = "70 C"'))
    assert "pH 4 does not seal" in said(plan("seal_ph = 4.0"))
    assert "seal" not in said(plan('seal_temperature = "98 C"\nseal_ph = 6.0'))


def test_the_two_published_rules_and_faradays_law_are_told_apart():
    by = {name: value(plan(f'rule = "{name}"'), "charge-wanted") for name in ("720", "312", "round")}
    assert by["312"] / by["720"] == pytest.approx(UM_720 / UM_312)
    assert by["round"] / by["720"] == pytest.approx(UM_720 / 0.3)
    # Faraday at 78 %: 0.63405 g/Ah of oxide, 2.5 g/cm3: 0.4227 um per A min/dm2 x 0.78 = 0.3297
    own = plan('coating_efficiency = "78 %"')
    assert value(own, "charge-wanted") / by["720"] == pytest.approx(UM_720 / 0.3297, rel=1e-3)


def test_an_efficiency_of_your_own_already_holds_the_alloy():
    text = BASE.replace('area = "10 cm2"', 'area = "10 cm2"\nalloy = "2024"')
    made = plan_of(load_of(text.format(tank="", finish='coating_efficiency = "60 %"'), "ten.toml"))
    # 0.4227 x 0.60: no further factor for 2024
    assert value(made, "charge-wanted") * 60.0 / 1.0 == pytest.approx(12.0 / (0.4227 * 0.60), rel=1e-3)


@pytest.mark.parametrize(("finish", "words"), [
    ('rule = "312"\ncoating_efficiency = "78 %"', "stands beside a rule"),
    ('coating_efficiency = "130 %"', "not a share of the charge"),
    ('etch_trial_loss = "1 g"', "give both"), ('rule = "my own"', "choose from"),
])  # fmt: skip
def test_half_a_wish_is_refused(finish, words):
    with pytest.raises(BadLoad, match=words):
        plan(finish)


def test_the_air_of_the_room_is_changed_often_enough():
    made = plan(tank='room = "30 m3"')
    # 10 x 10 cm2 at 160 mA/in2: 2.48 A x 0.0504 m3/Ah = 0.125 m3/h over 30 m3
    assert value(made, "air-changes") == pytest.approx(2.48 * 0.0504 / 30.0, rel=1e-3)
    # 2.48 A x 0.4488e-3 m3/Ah / 1 %
    assert value(made, "air-thin") == pytest.approx(2.48 * 0.4488e-3 / 0.01, rel=1e-3)
    litres = value(made, "hydrogen")
    assert value(made, "hydrogen-in-room") == pytest.approx(litres / 30_000.0 * 100.0)
    assert "air-changes" not in plan().figures


def test_cooling_is_told_as_ice_and_as_chilled_water():
    small = plan_of(load_of(BASE.replace('"10 L"', '"1 L"').format(finish="", tank=""), "ten.toml"))
    watts = value(small, "cooling")
    assert watts > 0.0
    assert value(small, "chilled-water") == pytest.approx(watts * 60.0 / (4180.0 * 5.0))
    assert value(small, "ice") == pytest.approx(watts * value(small, "time") / 1e3 / (333.6 + 4.18 * 20.0))
    assert "kg of ice in closed bottles" in said(small)


def test_the_dye_step_says_how_deep_a_shade_the_film_holds():
    dye = step_words(next(s for s in plan('dye = "red"').steps if s.kind is RunStepKind.DYE))
    assert "thick enough for a dark shade; black needs 18.7 um" in dye.does
    assert "pH 5 to 6" in dye.does
    thin = plan_of(load_of(BASE.replace("12 um", "1 um").format(finish='dye = "red"', tank=""), "ten.toml"))
    assert "too thin to dye" in step_words(next(s for s in thin.steps if s.kind is RunStepKind.DYE)).does


@pytest.mark.parametrize(("dye", "film", "weight"), [
    ("black", "12 um", Weight.SPOILS), ("Deep black", "18 um", Weight.WATCH), ("black", "20 um", None),
    ("moss green", "12 um", None), ("dark blue", "6 um", Weight.SPOILS),
])  # fmt: skip
def test_a_coating_too_thin_for_the_shade_that_the_dye_names_is_a_fault(dye, film, weight):
    text = BASE.replace("12 um", film).format(finish=f'dye = "{dye}"\ncertainty = "50 %"', tank="")
    found = [f for f in plan_of(load_of(text)).faults if f.kind is FaultKind.THIN_FOR_DYE]
    assert [f.weight for f in found] == ([] if weight is None else [weight])


@pytest.mark.parametrize(("dye", "film", "holds"), [
    ("moss green", "12 um", "takes up to a dark shade"), ("flurple 9", "2 um", "takes no shade well"),
    ("moss green", "20 um", None), ("dark-green", "12 um", None),
])  # fmt: skip
def test_a_dye_that_names_no_shade_is_told(dye, film, holds):
    text = BASE.replace("12 um", film).format(finish=f'dye = "{dye}"\ncertainty = "50 %"', tank="")
    found = [tell(f.fact) for f in plan_of(load_of(text)).faults if f.kind is FaultKind.DYE_NOT_KNOWN]
    assert [holds in each for each in found] == ([] if holds is None else [True])
    assert all(
        f"such as {dye}, dark, in `dye` under [finish], or give `shade` under [finish]" in each for each in found
    )


@pytest.mark.parametrize(("keys", "told"), [
    ('etch = "5 min"', "Not used: etch. The surface is gloss"),
    ('etch = "5 min"\nsurface = "matte"', None), ("seal_ph = 5.5", None),
    ('seal_ph = 5.5\nseal_temperature = "90 C"\nseal = "none"',
     "Not used: seal_temperature and seal_ph. The coating is left unsealed"),
])  # fmt: skip
def test_keys_of_an_etch_or_a_seal_that_there_is_none_of_are_told(keys, told):
    said = [tell(f.fact) for f in plan(keys).faults if "Not used" in tell(f.fact)]
    assert [told in each for each in said] == ([] if told is None else [True])


def test_dye_none_is_as_if_it_were_left_out():
    clear, left_out, dyed = (plan(f'surface = "gloss"\n{dye}') for dye in ('dye = "None"', "", 'dye = "red"'))
    assert clear.load.finish == left_out.load.finish
    assert RunStepKind.DYE not in {s.kind for s in clear.steps}
    assert RunStepKind.DYE in {s.kind for s in dyed.steps}
    with pytest.raises(BadLoad, match="'none' stands beside a shade; give a thickness"):
        load_of(BASE.replace('thickness = "12 um"', 'shade = "dark"').format(finish='dye = "none"', tank=""))


def test_aluminium_that_is_not_given_is_told_once():
    made = plan_of(load_of(BASE.replace('aluminium = "5 g/L"\n', "").format(finish="", tank="")))
    assert [f.kind for f in made.faults if "luminium" in tell(f.fact)] == [Aluminium.NOT_GIVEN]
    little = plan_of(load_of(BASE.replace('"5 g/L"', '"1 g/L"').format(finish="", tank="")))
    assert Stated.ALUMINIUM in {f.kind for f in little.faults}


@pytest.mark.parametrize(("alloy", "unnamed"), [('alloy = "6061"', False), ('alloy = "2024"', False), ("", True)])
def test_no_alloy_named_is_said_only_where_none_is(alloy, unnamed):
    text = BASE.replace('area = "10 cm2"', f'area = "10 cm2"\n{alloy}')
    made = plan_of(load_of(text.format(tank="", finish=""), "ten.toml"))
    chain = " ".join(str(each.source) for f in made.figures.values() for _, each in f.chain())
    assert ("no alloy named" in chain) is unnamed


def test_a_bath_near_freezing_is_not_cooled_by_water_or_ice():
    cold = BASE.replace('"10 L"', '"1 L"').replace('"20 C"', '"32 F"')
    made = plan_of(load_of(cold.format(finish="", tank=""), "ten.toml"))
    assert value(made, "cooling") > 0.0
    assert not {"ice", "chilled-water"} & set(made.figures)
    assert "this bath has 0 C." in said(made)  # the range of the charge rule, in whole degrees


@pytest.mark.parametrize("etch", ['etch = "900 h"', 'etch_trial_loss = "900 kg"\netch_trial_area = "20 cm2"'])
def test_an_etch_that_eats_the_parts_is_no_plan(etch):
    with pytest.raises(CannotRun, match=r"the etch takes .* mm off every face"):
        plan(f'surface = "matte"\n{etch}')


HARD = BASE.replace('"20 C"', '"0 C"\ncooling = "900 W"').replace('"12 um"', '"50 um"').replace('"10 L"', '"100 L"')


def hard(finish=""):
    return plan_of(load_of(HARD.format(tank="", finish=f'density = "hard"\n{finish}'), "hard.toml"))


def test_a_hard_coat_is_left_unsealed_and_a_seal_that_is_asked_for_gets_a_caution():
    plain, sealed = hard(), hard('seal = "hot water"')
    assert RunStepKind.SEAL not in {s.kind for s in plain.steps}
    assert "seal" not in plain.figures
    assert FaultKind.SEALED_HARD_COAT not in {f.kind for f in plain.faults}
    assert value(sealed, "seal") == pytest.approx(2.5 * value(sealed, "coating"), rel=1e-6)  # min a micrometre
    assert value(sealed, "seal") >= 125.0
    assert "costs a hard coat up to 30 % of its hardness" in said(sealed)
    assert RunStepKind.SEAL in {s.kind for s in plan().steps}
    assert RunStepKind.SEAL not in {s.kind for s in plan('seal = "none"').steps}


def test_sizes_of_a_hard_coat_grow_by_half_the_film_unless_told_and_the_metal_stays_faradays():
    by = {way: hard(f'growth = "{way}"' if way else "") for way in ("", "charge", "half")}
    out = {way: made.figures["growth-outward"] for way, made in by.items()}
    # of the film 0.20722 / 0.305 = 67.9 % is metal; 32.1 % is left by the charge
    film = value(by[""], "coating")
    assert out["charge"].estimate.value == pytest.approx(0.3206 * film, rel=1e-3)
    assert out["half"].estimate.value == out[""].estimate.value == pytest.approx(0.5 * film)
    assert out[""].estimate.low == out["charge"].estimate.low
    assert out[""].estimate.high == out["half"].estimate.high
    assert "ISO 10074" in str(out[""].source)
    for made in by.values():
        assert value(made, "growth-inward") == pytest.approx(0.6794 * film, rel=1e-3)
    ordinary = plan()
    assert value(ordinary, "growth-outward") == pytest.approx(
        value(ordinary, "coating") * 0.3206, rel=1e-3
    )  # by the charge


def test_a_hard_bath_is_renewed_at_its_own_limit():
    # Metal Finishing Guide Book 2012-13, p. 480: hard coating to 15 g/L, ordinary to 20; from 5: 10 and 15
    def limit(made):
        chain = made.figures["runs-left"].chain()
        return next(f.estimate.value for _, f in chain if f.name == "most dissolved aluminium")

    assert (limit(hard()), limit(plan())) == (15.0, 20.0)


def test_an_alloy_that_memory_puts_over_a_limit_is_hard_coated_with_a_warning():
    text = HARD.replace('area = "10 cm2"', 'area = "10 cm2"\nalloy = "2219"')
    made = plan_of(load_of(text.format(tank="", finish='density = "hard"'), "hard.toml"))
    assert "Ask for the certificate and give its copper." in said(made)
    soft = text.replace('"0 C"', '"20 C"').format(tank="", finish="")
    assert "Ask for the certificate" not in said(plan_of(load_of(soft, "soft.toml")))  # the limit is of hard coats


def test_a_bath_too_warm_for_dyed_work_is_said():
    told = [desk_set(bath_temperature=f"{bath_c} C", bath_cooling="5 kW", bath_band="0.2 C") for bath_c in (21, 26)]
    assert [any(f.kind is FaultKind.TOO_WARM_FOR_DYE for f in made.faults if f.weight is Weight.SPOILS)
            for made in told] == [False, True]  # fmt: skip
