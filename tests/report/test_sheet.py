"""The run sheet in both forms, and the steps on it."""

import html
import io
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
import trimesh
from pypdf import PdfReader

from areacalc.bath.cautions import Hazard
from areacalc.load.read_load import load_of, read_load
from areacalc.logbook.records import Run
from areacalc.plan.fault import FaultKind
from areacalc.plan.plan import plan_of
from areacalc.plan.steps import RunStepKind
from areacalc.report.figures import in_print, value_text
from areacalc.report.plan_document import plan_document
from areacalc.report.sheet import sheet_of
from areacalc.report.sheet_html import sheet_html
from areacalc.report.sheet_pdf import sheet_pdf
from areacalc.report.words.cautions import caution_text
from areacalc.report.words.covered import covered_names, covered_words
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell

SAMPLES = Path(__file__).parents[2] / "sample_models"
LOAD = """\
name = "caps <b> & pens"
[[part]]
area = "6 in2"
count = 4
plug = []
[bath]
acid = "180 g/L"
aluminium = "5 g/L"
temperature = "20 C"
[tank]
volume = "10 L"
[supply]
current = "10 A"
voltage = "30 V"
ramp = "5 min"
[finish]
thickness = "12 um"
"""
MATTE = LOAD + 'surface = "matte"\netch = "3 min"\ndye = "sea green"\n'
RUN = Run(when="2026-03-03T10:00", load="pens", area_mm2=1.5e4, current_a=3.8, density_a_per_dm2=2.4, run_s=1000.0,
          film_um=11.0, acid_g_per_l=180.0, aluminium_g_per_l=5.0, temperature_c=20.0, dye="night blue", dye_s=720.0,
          seal_s=1500.0)  # fmt: skip


class Balanced(HTMLParser):
    """Fails where a tag is closed that is not open; collects what would be loaded from elsewhere."""

    def __init__(self):
        super().__init__()
        self.open, self.outside = [], []

    def handle_starttag(self, tag, attributes):
        if tag not in ("meta", "br", "path", "polyline"):
            self.open.append(tag)
        self.outside += [v for k, v in attributes if k in ("src", "href") and v]

    def handle_endtag(self, tag):
        assert tag in ("path", "polyline") or self.open.pop() == tag


@pytest.fixture(scope="module")
def plan():
    return plan_of(load_of(MATTE))


def page_of(plan, inch=False):
    return html.unescape(re.sub(r"<[^>]+>", " ", sheet_html(sheet_of(plan, inch), inch)))


def pdf_of(plan, **how):
    """The pages of the PDF as text in one line each, and their sizes in points."""
    reader = PdfReader(io.BytesIO(sheet_pdf(sheet_of(plan, how.get("letter", False)), **how)))
    return [" ".join(page.extract_text().split()) for page in reader.pages], [
        page.mediabox[2:] for page in reader.pages
    ]


def test_the_html_is_whole_and_loads_nothing(plan):
    page = Balanced()
    page.feed(sheet_html(sheet_of(plan)))
    assert page.open == []
    assert page.outside == []


def test_names_cannot_break_the_page(plan):
    text = sheet_html(sheet_of(plan))
    assert "<b> & pens" not in text
    assert "caps &lt;b&gt; &amp; pens" in text


@in_print()
def test_both_sheets_hold_what_is_set_and_every_step_fault_and_caution(plan):
    (front,), _ = pdf_of(plan)
    for said in (page_of(plan), front):
        bare = re.sub(r"\s", "", said)
        for name in ("current", "time", "voltage-supply-start", "voltage-supply"):
            assert value_text(plan.figures[name]) in said
        told = [*(caution_text(each) for each in plan.cautions), *(tell(f.fact) for f in plan.faults)]
        steps = [step_words(step, parts=plan.parts, above=True) for step in plan.steps]
        told += [words for step in steps for words in (step.does, step.look_for)]
        assert [each for each in told if re.sub(r"\s", "", each) not in bare] == []
        assert said.index("Faults") < said.index("Cautions") < said.index("Steps") < said.index("Read the meters")
    assert "How this was worked out" in page_of(plan)


def test_the_pdf_is_one_side_of_a4_or_letter_with_a_back_on_request(plan):
    pages, sizes = pdf_of(plan)
    assert len(pages) == 1
    assert [round(float(side)) for side in sizes[0]] == [595, 842]
    pages, sizes = pdf_of(plan, letter=True, back=True)
    assert [round(float(side)) for side in sizes[0]] == [612, 792]
    assert 2 <= len(pages) <= 3
    assert "How this was worked out" not in pages[0]
    assert "How this was worked out" in pages[1]
    assert "Sources of faults and cautions" in pages[1]


def test_the_pdf_carries_its_typeface(plan):
    pages = PdfReader(io.BytesIO(sheet_pdf(sheet_of(plan), back=True))).pages
    fonts = [font.get_object() for page in pages for font in page["/Resources"]["/Font"].values()]
    assert len(fonts) >= 2
    assert [str(font["/BaseFont"]) for font in fonts if "/FontFile2" not in font.get("/FontDescriptor", {})] == []


def test_the_rack_is_drawn_to_scale_on_the_back_of_both_sheets():
    made = plan_of(read_load(Path(__file__).parents[2] / "sample_models" / "desk-set.toml"))
    page = Balanced()
    page.feed(sheet_html(sheet_of(made)))
    assert page.open == []
    pages, _ = pdf_of(made, back=True)
    for said in (page_of(made), pages[1]):
        for words in ("desk set: the rack in its tank", "Scale 1 : 5", "Front", "Side", "Plan", "320", "250", "118"):
            assert words in said


def test_the_back_is_read_without_a_glass(plan):
    sizes = set()
    for page in PdfReader(io.BytesIO(sheet_pdf(sheet_of(plan), back=True))).pages[1:]:
        page.extract_text(
            visitor_text=lambda text, _, matrix, font, size: sizes.add(size * abs(matrix[3])) if text.strip() else None
        )
    assert min(sizes) >= 7.5


@in_print()
def test_the_front_tells_coating_cathodes_cooling_and_what_a_syringe_fills(tmp_path):
    (tmp_path / "knob.toml").write_bytes((SAMPLES / "lamp-knob.toml").read_bytes())
    strips = '[cathodes]\nmetal = "6063"\ncount = 4\nwidth = "40 mm"\nimmersed = "180 mm"\n[rack]\ncontacts = 2\n'
    part = '[[part]]\nfile = "knob.toml"\nup = "x+"\nfill = "blind-bore-1"\n'
    head, _, rest = LOAD.partition("[[part]]")
    tail = rest[rest.index("[bath]") :].replace('temperature = "20 C"', 'temperature = "20 C"\ncooling = "15 W"')
    (tmp_path / "load.toml").write_text(head + part + tail + strips)
    plan = plan_of(read_load(tmp_path / "load.toml"))
    (front,), _ = pdf_of(plan)
    for said in (page_of(plan), front):
        for words in (
            f"coating {value_text(plan.figures['coating'])}", "asked 12 µm",
            "Hang as above", "4 cathodes of aluminium 6063, 40 mm wide, 180 mm deep", "cooling 15 W",
            "2 contacts on each part, not drawn",
            "Under the surface, before the current, fill blind-bore-1 of knob.toml from a syringe of this bath.",
        ):  # fmt: skip
            assert " ".join(words.split()) in " ".join(said.split())
        assert said.count("syringe") == 1  # in the bath, not dry on the rack


@pytest.mark.parametrize(("plug", "seal", "opens"), [("", "cold", True), ("bores under 99 mm", "cold", False),
                                                     ("bores under 99 mm", "hot water", False)])  # fmt: skip
def test_bores_are_cleaned_before_they_are_plugged_and_plugs_come_out_before_a_hot_seal(plug, seal, opens):
    part = f'file = "{SAMPLES / "ring.stl"}"\nunit = "mm"\nplug = "{plug}"'
    load = LOAD.replace('area = "6 in2"', part).replace("plug = []\n", "") + f'seal = "{seal}"\n'
    does = {s.kind: step_words(s) for s in plan_of(load_of(load if plug else load.replace('plug = ""', ""))).steps}
    rack, clean, rinse, last = (does[k] for k in (RunStepKind.RACK, RunStepKind.CLEAN, RunStepKind.RINSE_ACID,
                                                  RunStepKind.INSPECT))  # fmt: skip
    assert ("First degrease and dry the bores (brush them)" in rack.does) is bool(plug)
    assert ("brushed into bores" in clean.does, "every bore" in rinse.does, "bores" in rinse.look_for) == (opens,) * 3
    assert "Gloss is assumed: `surface` under [finish] is not given." in clean.does
    assert ("plugs and masks out, and rinse" in does[RunStepKind.SEAL].does) is (bool(plug) and seal == "hot water")
    assert ("plugs and masks out" in last.does) is (bool(plug) and seal == "cold")


def test_the_page_and_the_paper_round_the_minutes_alike(plan):
    on_page = [step["takes"] for step in plan_document(plan)["steps"]]
    assert on_page == [step.minutes for step in sheet_of(plan).steps]
    assert on_page[-2] == "33 (22.7 to 46)"


def test_a_load_that_must_not_run_has_no_settings_on_its_sheet():
    made = plan_of(load_of(LOAD.replace('current = "10 A"', 'current = "1 A"')))
    for said in (page_of(made), pdf_of(made)[0][0]):
        assert "DO NOT RUN THIS AS IT STANDS" in said
        assert "Read the meters" not in said
        assert "Steps" not in said
        assert "A power supply of" in said


def test_the_readings_expected_are_those_of_the_course(plan):
    last = sheet_of(plan).readings[-1]
    assert last.at == value_text(plan.figures["time"])
    value, low, high = (float(word) for word in re.findall(r"[\d.]+", last.volts))
    assert low <= value <= high
    assert value == pytest.approx(plan.run.moments()[-1, 2], abs=0.06)


def test_the_steps_of_a_matte_dyed_run_in_their_order(plan):
    assert [step_words(s).name for s in plan.steps] == [
        "rack", "clean", "rinse", "etch", "rinse", "desmut", "rinse", "anodise", "rinse", "dye", "rinse", "seal",
        "inspect",
    ]  # fmt: skip
    assert {Hazard.CAUSTIC, Hazard.NITRIC, Hazard.FLUORIDE_DIP} <= {c.hazard for c in plan.cautions}
    etch, desmut = (next(s for s in plan.steps if s.kind is kind) for kind in (RunStepKind.ETCH, RunStepKind.DESMUT))
    assert etch.cautions[0].hazard is Hazard.CAUSTIC
    # the trade's hotter etch, 37.5 g/L at 65.6 C for 5 min: 3 x (37.5 / 55)^0.75 x 1.49 um/min, 46 kJ/mol from 57.5 C
    assert "takes 16.8 um" in step_words(etch).does
    assert "Nitric acid of 30 to 55 %" in step_words(desmut).does


def test_a_glossy_clear_run_is_neither_etched_nor_dyed():
    names = [step_words(s).name for s in plan_of(load_of(LOAD)).steps]
    assert "etch" not in names
    assert "dye" not in names


def test_the_time_to_seal_follows_the_film():
    # 2.5 min a micrometre, 2 to 3; 15 min at least
    made = plan_of(load_of(LOAD))
    seal, film = next(s for s in made.steps if s.kind is RunStepKind.SEAL), made.figure("coating").estimate
    assert seal.minutes.value == pytest.approx(2.5 * film.value)
    assert seal.minutes.high == pytest.approx(3.0 * film.high)
    thin = plan_of(load_of(LOAD.replace("12 um", "3 um")))
    assert next(s for s in thin.steps if s.kind is RunStepKind.SEAL).minutes.value == 15.0


def test_a_run_from_the_logbook_is_repeated():
    load = LOAD.replace('thickness = "12 um"\n', "")  # what the load says itself goes before the run
    made = plan_of(load_of(load), RUN)
    assert made.figure("coating").estimate.value == pytest.approx(11.0)
    assert made.figure("density").estimate.value == pytest.approx(2.4)
    minutes = {s.kind: s.minutes for s in made.steps}
    assert (minutes[RunStepKind.DYE].value, minutes[RunStepKind.SEAL].value) == (12.0, 25.0)
    warm = plan_of(load_of(load.replace('"20 C"', '"24 C"')), RUN)
    (warms,) = (f for f in warm.faults if f.kind is FaultKind.TOO_WARM_FOR_DYE)
    assert "The bath is 24 C; dyed work needs 22 C or less" in tell(
        warms.fact
    )  # it is dyed again, so all that dye wants counts
    assert "dye" in warm.figures


def test_lead_in_the_tank_is_cautioned():
    lead = '[cathodes]\nmetal = "lead"\ncount = 4\nwidth = "50 mm"\nimmersed = "200 mm"\n'
    assert Hazard.LEAD in {c.hazard for c in plan_of(load_of(LOAD + lead)).cautions}


def test_units_have_the_signs_of_print_and_names_stay_as_typed():
    made = sheet_of(plan_of(load_of(LOAD.replace('area = "6 in2"', 'area = "6 in2"\nname = "mm2 jig at 20 C"'))))
    assert "mm2 jig at 20 C" in made.what
    assert "12 \u00b5m asked" in made.what
    assert made.bath.endswith("20\u00a0\u00b0C")


def test_the_sheet_lists_what_is_plugged_and_masked_part_by_part(tmp_path):
    cap = Path(__file__).parents[2] / "sample_models" / "pen-cap.toml"
    (tmp_path / "cap.toml").write_text(cap.read_text())
    (tmp_path / "cap.wet.toml").write_text('mask = ["right-end"]\n')  # words in the file beside count as well
    part = f'file = "{tmp_path / "cap.toml"}"\nplug = ["bores under 10 mm"]'
    plan = plan_of(load_of(LOAD.replace('area = "6 in2"', part).replace("plug = []\n", "")))
    plugged = ("plug blind-bore-1 (9.2 mm across at the narrowest, 9.7 mm at the mouth, 46.8 mm deep; "
               "15.6 cm2 with its steps, M10.5x0.75 thread included)")  # fmt: skip
    assert covered_words(plan.parts[0]) == ("mask right-end (0.503 cm2)", plugged)
    (front,), _ = pdf_of(plan)
    with in_print():
        printed = covered_words(plan.parts[0])
    assert all(words in front and words in page_of(plan) for words in printed)
    inches = covered_words(plan.parts[0], inch=True)[1]  # 9.2, 46.8 mm, 15.6 cm2
    assert "0.362 in across at the narrowest, 0.382 in at the mouth, 1.84 in deep; 2.42 in2" in inches


def test_a_piece_that_is_masked_or_plugged_is_told_in_the_words_of_the_load(tmp_path):
    trimesh.creation.annulus(5.0, 20.0, 60.0).export(tmp_path / "ring.stl")
    chosen = 'mask = ["bottom", "x above 19 mm"]\nplug = ["bore-1 5 mm deep at both ends"]'
    part = f'file = "{tmp_path / "ring.stl"}"\nunit = "mm"\n{chosen}'
    plan = plan_of(load_of(LOAD.replace('area = "6 in2"', part).replace("plug = []\n", "")))
    mask, plug = covered_words(plan.parts[0])
    assert re.fullmatch(r"mask bottom and x above 19 mm \([\d. ]+ cm2\)", mask)
    assert re.fullmatch(r"plug bore-1 5 mm deep at both ends \(3.1\d cm2\)", plug)
    assert covered_names(plan.parts[0]) == "mask bottom and x above 19 mm, plug bore-1 5 mm deep at both ends"


def test_a_part_that_hangs_either_way_is_told_as_it_is_drawn(tmp_path):
    trimesh.creation.annulus(5.0, 20.0, 60.0).export(tmp_path / "ring.stl")
    part = f'file = "{tmp_path / "ring.stl"}"\nunit = "mm"'
    tank = 'length = "400 mm"\nwidth = "300 mm"\ndepth = "300 mm"'
    text = LOAD.replace('area = "6 in2"', part).replace("plug = []\n", "").replace('volume = "10 L"', tank)
    ((_, _, said),) = sheet_of(plan_of(load_of(text))).parts
    assert re.match(r"as drawn, .* up; another way is as good$", said[0])
    ((_, _, told),) = sheet_of(plan_of(load_of(text.replace("count = 4", 'count = 4\nup = "x+"')))).parts
    assert "as drawn" not in told[0]
