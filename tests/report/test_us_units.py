"""Nothing metric is left on what is printed in US units, but for what the trade says in metric."""

import re
from pathlib import Path

from areacalc.load.read_load import load_of
from areacalc.plan.load_book import LoadBook
from areacalc.plan.plan import plan_of
from areacalc.report.sheet import sheet_of
from areacalc.report.sheet_html import sheet_html
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell

DESK_SET = Path(__file__).parents[2] / "sample_models" / "desk-set.toml"


def test_a_run_sheet_in_us_units_keeps_no_metric_quantity():
    made = LoadBook(DESK_SET).plan()
    front = re.sub(r"<style>.*?</style>", "", sheet_html(sheet_of(made, True), True), flags=re.DOTALL).split(
        'class="back"'
    )[0]
    assert not re.findall(r"\d (?:mm2?|cm2|um|C|K|A/dm2|L|mL|kg)(?![\w/])", front)
    assert "<th>bath °F</th>" in front


def test_every_number_of_a_matte_warm_run_with_a_fit_goes_over_with_its_unit():
    text = DESK_SET.read_text("utf-8").replace('surface = "gloss"', 'surface = "matte"')
    text = text.replace('temperature = "20 C"', 'temperature = "30 C"').replace(
        'file = "', f'file = "{DESK_SET.parent}/'
    )
    made = plan_of(load_of(text, "desk.toml"))
    told = [*(tell(f.fact, True) for f in made.faults), *(tell(f.fact(), True) for f in made.fits)]
    told += [step_words(s, True).does for s in made.steps]
    assert any("this bath has 86 F" in each for each in told)
    assert any("after the etch, ends at 0.39" in each for each in told)
    assert not any(re.search(r"\d (?:mm2?|cm2|um|C|K|A/dm2|L|mL|kg)(?![\w/])", each) for each in told)
