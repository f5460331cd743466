"""Sentences in US units say what the tables beside them say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.digits import three
from areacalc.load.read_load import load_of
from areacalc.plan.load_book import LoadBook
from areacalc.plan.plan import plan_of
from areacalc.report.figures import bounds_text, value_text
from areacalc.report.sheet import sheet_of
from areacalc.report.sheet_html import sheet_html
from areacalc.report.us_words import Wording, wording
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell

DESK_SET = Path(__file__).parents[2] / "sample_models" / "desk-set.toml"
SAID = Wording(True)


@pytest.mark.parametrize(("metric", "us"), [
    ("25.4 mm", "1 in"), ("-40 C", "-40 F"), ("10 K more", "18 F more"), ("3.785411784 L", "1 gal"),
    ("100 x 50.8 mm", "3.94 x 2 in"), ("20 to 22 C", "68 to 71.6 F"), ("1 A/dm2", "9.29 A/ft2"),
    ("(0.5 kg of ice)", "(1.1 lb of ice)"), ("1000 W.", "3412 BTU/h."),
    # what is no metric quantity, or no quantity at all, stays
    ("180 g/L", "180 g/L"), ("M6x1 thread, 6061, 12 V, 3 A", "M6x1 thread, 6061, 12 V, 3 A"),
    ("copper cable, 4 mm2", "copper cable, 4 mm2"), ("at 3, 0, 10 mm", "at 3, 0, 10 mm"), ("68 to 72 F", "68 to 72 F"),
    ("150 A/m2", "150 A/m2"), ("1 mg/m3", "1 mg/m3"), ("600 Wh", "600 Wh"),
])  # fmt: skip
def test_a_sentence_in_us_units(metric, us):
    assert SAID(metric) == us
    assert Wording(False)(metric) == metric


@given(st.floats(0.2, 80.0), st.sampled_from(["2 A", "30 A"]), st.floats(2.0, 90.0))
@settings(deadline=None, max_examples=25)
def test_the_sentences_of_a_plan_give_its_figures_as_the_tables_do(area_in2, amps, film_um):
    text = f'''
        [[part]]
        area = "{area_in2} in2"
        [bath]
        acid = "180 g/L"
        temperature = "20 C"
        [tank]
        volume = "4 L"
        [supply]
        current = "{amps}"
        voltage = "99 V"
        ramp = "5 min"
        [finish]
        thickness = "{film_um} um"
        dye = "blue"
    '''
    made = plan_of(load_of(text, "own.toml"))
    told = (("warming", "K"), ("bath-end", "C"), ("density", "A/dm2"), ("cooling", "W"), ("rinse", "L"))
    said = wording([*(made.figures[name] for name, _ in told), *made.figures.values()], True)
    for name, unit in told:
        figure = made.figures[name]
        for end in ("value", "low", "high"):
            metric = three(getattr(figure.estimate, end))
            shown = f"{value_text(figure, True).split(' ')[0]} {bounds_text(figure, True)}".replace(" to ", " ").split()
            assert said(f"{metric} {unit}").split()[0] in shown


def test_a_run_sheet_in_us_units_keeps_no_metric_quantity():
    made = LoadBook(DESK_SET).plan()
    front = re.sub(r"<style>.*?</style>", "", sheet_html(sheet_of(made, True), True), flags=re.DOTALL).split(
        'class="back"'
    )[0]
    assert not re.findall(r"\d (?:mm2?|cm2|um|C|K|A/dm2|L|mL|kg)(?![\w/])", front)
    assert "<th>bath F</th>" in front


def test_every_number_of_a_matte_warm_run_with_a_fit_goes_over_with_its_unit():
    text = DESK_SET.read_text("utf-8").replace('surface = "gloss"', 'surface = "matte"')
    text = text.replace('temperature = "20 C"', 'temperature = "30 C"').replace(
        'file = "', f'file = "{DESK_SET.parent}/'
    )
    made = plan_of(load_of(text, "desk.toml"))
    told = [*(tell(f.fact, True) for f in made.faults), *(tell(f.fact(f.fit.verdict), True) for f in made.fits)]
    told += [step_words(s, True).does for s in made.steps]
    assert any("this bath has 86 F" in each for each in told)
    assert any("after the etch, ends at 0.39" in each for each in told)
    assert not any(re.search(r"\d (?:mm2?|cm2|um|C|K|A/dm2|L|mL|kg)(?![\w/])", each) for each in told)
