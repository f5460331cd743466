"""The commands of a load as a person runs them: init, plan, explain; documents, errors, exit codes."""

import json
import os
import re
import subprocess
from pathlib import Path
from xml.etree import ElementTree

import pytest
from one_area import AREA_LOAD
from typed import BIN, document, typed

from areacalc.bath.dissolved import aluminium_dissolved
from areacalc.figure import given

SAMPLES = Path(__file__).parents[2] / "sample_models"
DESK_SET = SAMPLES / "desk-set.toml"


def run(*words, cwd=None):
    return typed(*words, cwd=cwd, COLUMNS="110")


def refused(*words, cwd=None, code=2):
    done = run(*words, cwd=cwd)
    assert done.returncode == code, (done.stdout, done.stderr)
    assert done.stdout == ""
    assert "fault in areacalc" not in done.stderr
    assert "Traceback" not in done.stderr
    return done.stderr


def test_a_plan_as_json_holds_to_its_schema():
    made = document("plan", "plan", DESK_SET)
    assert made["can_run"]
    figures = made["figures"]
    assert figures["current"]["value"] == 3.0
    (bore,) = made["bores"]
    assert (bore["part"], bore["names"]) == ("pen body", ["bore-1"])
    assert bore["mouth_share"]["value"] > bore["mean_share"]["value"] > bore["least_share"]["value"]
    assert any("from memory" in said for said in made["bores_say"])
    assert all(f["low"] <= f["value"] <= f["high"] for f in figures.values())


def test_a_plan_in_the_terminal_says_what_to_set_and_its_faults():
    lines = run("plan", DESK_SET).stdout.splitlines()
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 80
    assert lines[1].startswith("Set      3 A, raised over 5 min; ")
    assert "Faults, worst first:" in lines
    assert any(line.startswith("Next: areacalc sheet") for line in lines)
    said = run("plan", DESK_SET, "--full").stdout
    assert "current to set" in said
    assert said.index("Faults, worst first") > said.index("time of the run")


def test_a_plan_that_cannot_be_run_ends_with_3_and_ways_out():
    done = run("plan", DESK_SET, "--what-if", "supply.current=1 A")
    assert done.returncode == 3
    assert done.stdout.splitlines()[1].startswith("DO NOT RUN THIS AS IT STANDS")
    assert "stops the run:" in done.stdout
    assert "A power supply of 5 A and 30 V or more: 3.6 A at most" in done.stdout


@pytest.mark.parametrize(("change", "code"), [
    ("supply.current=1.3 A", 0), ("supply.current=1.2 A", 3), ("supply.voltage=12 V", 0), ("supply.voltage=10 V", 3),
])  # fmt: skip
def test_amperes_and_volts_stop_a_plan_by_one_rule(change, code):
    """3 where the load gets less than any published density, 1.08 A/dm2, even at the most that it may get."""
    done = run("plan", DESK_SET, "--what-if", change, "--json")
    figure = json.loads(done.stdout)["after"]["figures"]["density"]
    assert (done.returncode, figure["high"] < 10.0 / 9.290304) == (code, code == 3)


def test_a_plan_draws_its_rack(tmp_path):
    path = tmp_path / "rack.svg"
    assert run("plan", DESK_SET, "--draw", path).returncode == 0
    drawn = ElementTree.parse(path).getroot()
    names = [title.text for title in drawn.iter("{http://www.w3.org/2000/svg}title")]
    assert names.count("lamp knob") == 3 * 2  # two of them in three views
    assert run("plan", DESK_SET, "--draw", path).returncode == 2
    assert run("plan", DESK_SET, "--draw", path, "--sweep", "count = 1 to 3").returncode == 2


def test_a_load_that_does_not_fit_ends_with_3_the_tank_that_would_do_and_runs_by_name():
    small = ("rack.rows=1", "tank.length=45 mm", "depth=140 mm", "immersed=100 mm", "cathodes.count=2")
    done = run("plan", DESK_SET, *(word for each in small for word in ("--what-if", each)))
    assert done.returncode == 3
    said = " ".join(done.stdout.split())
    assert "4 parts do not fit in 45 x 125 x 140 mm of liquid at once. The smallest tank for all: " in said
    assert "In 2 runs. Run 1: pen body" in said
    assert "A tank of at least" in said


def test_a_hard_coating_that_nothing_cools_ends_with_3_and_says_why():
    thick = ("--what-if", "density=hard", "--what-if", "supply.current=6 A", "--what-if", "thickness=40 um")
    done = run("plan", DESK_SET, *thick)
    assert done.returncode == 3
    assert "A hard coating needs a cold bath: the bath warms by" in " ".join(done.stdout.split())


def test_what_if_tells_every_main_figure_that_moves_and_parts_by_the_names_they_are_shown_by(tmp_path):
    said = run("plan", DESK_SET, "--what-if", "thickness=6 um").stdout
    moved = said.split("Current:")[0]
    assert all(name in moved for name in ("time of the run", "coating thickness", "time to dye")), said
    (tmp_path / "area.toml").write_text(AREA_LOAD.replace('name = "pen body"\n', ""))
    more = run("plan", tmp_path / "area.toml", "--what-if", "part 1.count=2")
    assert more.returncode in (0, 3), more.stderr
    both = refused("plan", DESK_SET, "--what-if", "thickness=5 um", "--what-if", "shade=dark")
    assert "finish.thickness and finish.shade exclude each other" in both


def test_what_if_as_json_holds_both_plans():
    made = document("what-if", "plan", DESK_SET, "--what-if", "acid=200 g/L", "--what-if", "temperature=18 C")
    was, now = (made[k]["figures"]["voltage-start"]["value"] for k in ("before", "after"))
    assert now > was  # two degrees colder outweighs 20 g/L
    assert made["before"]["figures"]["area"] == made["after"]["figures"]["area"]


def test_a_sweep_is_a_table_a_document_and_a_plot(tmp_path):
    plot = tmp_path / "a folder" / "größe.svg"
    plot.parent.mkdir()
    made = document("sweep", "plan", DESK_SET, "--sweep", "supply.current = 1.2 A to 4 A in 5", "--plot", plot)
    current = [row["figures"]["current"]["value"] for row in made["rows"]]
    assert current == pytest.approx([1.2, 1.9, 2.6, 3.007, 3.007], abs=0.001)
    assert [row["can_run"] for row in made["rows"]] == [False, True, True, True, True]
    drawn = ElementTree.parse(plot).getroot()
    assert drawn.tag.endswith("svg")
    assert len(drawn.findall(".//{*}circle[@class='stops']")) == len(drawn.findall(".//{*}polyline"))


def test_the_rows_of_a_sweep_that_cannot_be_planned_say_why():
    made = document("sweep", "plan", DESK_SET, "--sweep", "supply.voltage = 1 V to 31 V in 2")
    assert made["rows"][0]["refused"]
    assert made["rows"][1]["refused"] is None
    warm = document("sweep", "plan", DESK_SET, "--sweep", "temperature = 20 C to 60 C in 3")
    assert [bool(row["refused"]) for row in warm["rows"]] == [False, False, True]
    assert "outside -5 to 40 C" in warm["rows"][2]["refused"]


@pytest.mark.parametrize("name", ["current", "warming", "rinse"])
def test_a_figure_can_be_explained(name):
    chain = document("explain", "explain", DESK_SET, name)["chain"]
    assert chain[0]["depth"] == 0
    assert len(chain) > 2


def test_all_figures_are_listed_as_json_as_the_plan_has_them():
    figures = document("figures", "explain", DESK_SET)["figures"]
    planned = document("plan", "plan", DESK_SET)["figures"]
    assert {each.pop("figure"): each for each in figures} == planned


def test_the_chain_of_the_current_ends_at_the_part_and_at_the_person():
    said = run("explain", DESK_SET, "current", "--full").stdout
    assert "entered by you" in said
    assert "wetted surface of pen-body.toml" in " ".join(said.split())
    assert "bore-1 = 25.9 cm2" in said


def test_init_writes_a_load_that_can_be_planned(tmp_path):
    (tmp_path / "cap.toml").write_text((SAMPLES / "pen-cap.toml").read_text())
    done = run("init", "own load.toml", "cap.toml", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    blanks = refused("plan", "own load.toml", cwd=tmp_path).splitlines()
    asked = ["[bath] acid", "[bath] temperature", "[tank] length", "[tank] width", "[tank] depth", "[supply] current",
             "[supply] voltage"]  # fmt: skip
    assert [line.split(", ")[2].split(" is ")[0] for line in blanks] == asked
    assert all("is not filled in yet; write" in line for line in blanks)
    for place in asked:
        assert re.search(rf"line \d+: {re.escape(place)}; ", done.stdout)
    text = (tmp_path / "own load.toml").read_text()
    for key, value in (("acid", "180 g/L"), ("temperature", "68 F"), ("length", "1 ft"), ("width", "5 in"),
                       ("depth", "250 mm"), ("current", "3 A"), ("voltage", "30 V")):  # fmt: skip
        text = text.replace(f'\n{key} = "?"', f'\n{key} = "{value}"', 1)
    (tmp_path / "own load.toml").write_text(text)
    filled = run("plan", "own load.toml", cwd=tmp_path)
    assert filled.returncode == 0, filled.stderr
    assert "cap" in filled.stdout
    assert "already exists" in refused("init", "own load.toml", cwd=tmp_path)
    assert run("init", "own load.toml", "--force", cwd=tmp_path).returncode == 0


@pytest.mark.parametrize(("words", "says"), [
    (("plan", "gone.toml"), "gone.toml: there is no such file"),
    (("plan", DESK_SET, "--what-if", "cuont=3"), "did you mean 'count'"),
    (("plan", DESK_SET, "--sweep", "surface = gloss to matte"), "not a number"),
    (("plan", DESK_SET, "--sweep", "count = 1 to 3", "--figure", "curent"), "did you mean 'current'"),
    (("plan", DESK_SET, "--plot", "a.svg"), "is for a sweep"),
    (("explain", DESK_SET, "amps"), "'amps' is not known"),
    (("init", "load.txt"), "ends in .toml"),
    (("init", "load.toml", "gone.stl"), "gone.stl: there is no such file"),
])  # fmt: skip
def test_mistakes_are_a_line(words, says, tmp_path):
    said = refused(*words, cwd=tmp_path)
    assert says in said
    assert len(said.splitlines()) == 1


def test_init_names_parts_from_where_you_are_and_asks_for_the_unit_of_a_mesh(tmp_path):
    (tmp_path / "loads").mkdir()
    (tmp_path / "ring.stl").write_bytes((SAMPLES / "ring.stl").read_bytes())
    said = run("init", "loads/a.toml", "ring.stl", cwd=tmp_path).stdout
    text = (tmp_path / "loads" / "a.toml").read_text()
    assert 'file = "../ring.stl"' in text
    assert 'name = "ring"' in text
    assert "[[part]] 1 unit; write for example" in said
    assert run("init", "loads/b.toml", "ring.stl", "--unit", "mm", cwd=tmp_path).returncode == 0
    assert 'unit = "mm"' in (tmp_path / "loads" / "b.toml").read_text()
    assert "not a length unit" in refused("init", "c.toml", "ring.stl", "--unit", "furlong", cwd=tmp_path)


BAD = """\
[[part]]
file = "a.stl"
count = 0
[bath]
acid = "600 g/L"
temperature = "20 C"
[tank]
volume = 10
"""


def test_all_mistakes_of_a_load_are_told_at_once_with_their_lines(tmp_path):
    load = tmp_path / "bad.toml"
    load.write_text(BAD)
    said = refused("plan", load).splitlines()
    assert [line.split(",")[1].strip() for line in said] == ["line 2", "line 3", "line 5", "line 8"]


def test_the_sheet_is_written_as_pdf_or_html(tmp_path):
    page = tmp_path / "sheet.html"
    assert run("sheet", DESK_SET, "--out", page).returncode == 0
    assert page.read_text().startswith("<!doctype html>")
    assert "choose from .pdf, .html" in refused("sheet", DESK_SET, "--out", tmp_path / "sheet.txt")
    assert run("sheet", DESK_SET, "--out", tmp_path / "sheet.pdf").returncode == 0
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")


def test_the_meters_as_json_hold_to_their_schema():
    words = ("check", DESK_SET, "--volts", "18 V", "--amps")  # what the plan says for the start
    assert document("check", *words, "3 A")["agrees"]
    assert "--amps: 3.4 A cannot be: the power supply gives 3 A; read it again" in refused(*words, "3.4 A")
    lost = document("check", *words, "1 A")
    assert not lost["agrees"]
    assert lost["causes"][0]["words"] == "1 x pen body with no contact"
    assert "has no unit" in refused(*words, "3")
    assert "--held: '-1 min' must be 0 or more" in refused(*words, "3 A", "--held", "-1 min")


@pytest.mark.parametrize(("words", "says"), [
    (("--volts", "1e300 V", "--amps", "1e-300 A"), "--volts: '1e300 V' is more than the largest voltage"),
    (("--volts", "17 V", "--amps", "1e-300 A"), "--amps: 0 A cannot be the amperes of a run"),
    (("--volts", "17 V", "--amps", "1.2 A", "--temperature", "90 C"), "--temperature: 90 C is outside -5 to 40 C"),
])  # fmt: skip
def test_meters_that_read_what_no_run_does_get_one_line(words, says):
    said = refused("check", DESK_SET, *words)
    assert says in said
    assert said.count("\n") == 1


@pytest.fixture
def desk_set(tmp_path):
    for file in ("desk-set.toml", "pen-body.toml", "pen-cap.toml", "lamp-knob.toml"):
        (tmp_path / file).write_text((SAMPLES / file).read_text())
    return tmp_path / "desk-set.toml"


def test_a_run_is_logged_found_again_and_repeated(desk_set):
    load = desk_set
    assert "No runs yet" in run("logbook").stdout
    added = run("logbook", "add", load, "--when", "2026-03-03T10:00", "--dye-time", "12 min", "--remark", "deep")
    assert (added.returncode, "Run 1 is in the logbook" in added.stdout) == (0, True), added.stderr
    again = run("logbook", "add", load, "--when", "2026-03-03T10:05", "--dye-time", "12 min", "--remark", "deep")
    assert (again.returncode, "Run 1 is this run already" in again.stdout) == (0, True)
    (entry,) = document("logbook", "logbook", "list")["runs"]
    assert entry["current_a"] == pytest.approx(3.0, abs=1e-4)
    assert (entry["dye_s"], entry["dye"]) == (720.0, "moss green")
    assert [(p["name"], p["count"], len(p["digest"])) for p in entry["parts"]] == [
        ("pen body", 1, 64), ("pen cap", 1, 64), ("lamp knob", 2, 64)
    ]  # fmt: skip
    assert entry["settings"]["bath"]["acid"] == "180 g/L"
    load.write_text(load.read_text().replace('thickness = "12 um"', 'repeat = "moss deep"'))
    again = document("plan", "plan", load)
    settled = 1e-5  # how closely the shares of current settle
    assert again["figures"]["coating"]["value"] == pytest.approx(entry["film_um"], rel=settled)
    assert again["figures"]["current"]["value"] == pytest.approx(entry["current_a"], abs=1e-4)
    assert next(s for s in again["steps"] if s["name"] == "dye")["minutes"] == 12.0
    load.write_text(load.read_text().replace("moss deep", "crimson"))
    assert "[finish] repeat: 'crimson' is not known" in refused("plan", load)


def test_a_run_is_followed_up_and_corrected(desk_set):
    run("logbook", "add", desk_set, "--start-volts", "16 V")
    kept = run("logbook", "reading", "1", "--after", "5 min", "--volts", "16.4 V", "--amps", "3 A")
    assert kept.stdout == "Reading 1, of run 1, is in the logbook.\n"
    assert "--volts: 170 V cannot be: the power supply gives 30 V" in refused(
        "logbook", "reading", "1", "--after", "6 min", "--volts", "170 V"
    )
    assert run("logbook", "result", "1", "--coating", "0.45 mil", "--at", "rim", "--by", "eddy current").returncode == 0
    assert run("logbook", "correct", "1", "--end-volts", "17.4 V", "--remark", "even").returncode == 0
    words = ("--after", "5 min", "--volts", "16.8 V", "--amps", "3 A", "--correct", "1")
    assert run("logbook", "reading", "1", *words).returncode == 0
    said = run("logbook", "show", "1").stdout
    assert "until then reading 1 had volts 16.4 V" in said
    assert re.search(r"end volts +17.4 V", said)
    assert re.search(r"1 +5 min +16.8 V +3 A", said)
    assert re.search(r"1 +11.4 um +rim +eddy current", said)
    assert "until then run 1" not in said  # what was filled in later is no correction


def test_a_bath_kept_by_name_is_used_by_a_load_as_it_was_last_analysed(desk_set):
    plain = document("plan", "plan", desk_set)
    kept = run("logbook", "bath", "the small one", "--from", desk_set, "--new", "--when", "2026-01-01T10:00")
    assert kept.returncode == 0, kept.stderr
    assert "10 L of it" in kept.stdout
    text = desk_set.read_text()
    begin, end = text.index("[bath]"), text.index("[tank]")
    named = desk_set.with_name("named.toml")
    named.write_text('bath = "The Small One"\n' + text[:begin] + text[end:])
    assert document("plan", "plan", named)["figures"] == plain["figures"]
    run("logbook", "bath", "the small one", "--acid", "160 g/L")
    weaker = document("plan", "plan", named)["figures"]
    assert weaker["voltage-start"]["value"] != plain["figures"]["voltage-start"]["value"]
    assert run("logbook", "add", named).returncode == 0
    said = run("logbook", "bath", "the small one").stdout
    assert "acid 160 g/L" in said
    assert re.search(r"1 run, 0\.9[34]\d? Ah as planned", said)  # 3 A for 21.3 min, raised over 5 min
    said = run("logbook", "bath", "the small one", "--aluminium", "6 g/L", "--when", "2026-01-02T10:00").stdout
    least, most = re.search(r"6 g/L measured on 2026-01-02, reckoned now (\S+) to (\S+) g/L", said).groups()
    entry = document("logbook", "logbook", "list")["runs"][0]
    planned_ah = entry["current_a"] * (entry["run_s"] - 150.0) / 3600.0  # raised evenly over 5 min
    grams = aluminium_dissolved(given("charge", planned_ah, "Ah")).estimate
    assert float(least) == pytest.approx(6.0 + grams.low / entry["bath_l"], abs=6e-4)
    assert float(most) == pytest.approx(6.0 + grams.high / entry["bath_l"], abs=6e-4)
    mixed = run("mix", named, "--acid", "180 g/L", "--into", "the small one")
    assert "history of 'the small one': addition, 10 L in all, " in " ".join(mixed.stdout.split())
    enough = run("mix", desk_set, "--into", "the small one").stdout
    assert "Nothing was written. The logbook has 'the small one' at 160 g/L." in " ".join(enough.split())
    said = refused("mix", "--volume", "60 L", "--into", "the small one")
    assert "60 L do not go into 'the small one', which holds 10 L" in said
    said = run("logbook", "bath", "the small one").stdout
    assert re.search(r"addition .* L of", said)
    assert "battery" in said
    assert "bath has no name" in refused("logbook", "bath", "--acid", "170 g/L")
    assert "--remark is of nothing" in refused("logbook", "bath", "the small one", "--remark", "cloudy")
    said = run("logbook", "bath", "the small one", "--added", "0.4 L of battery acid").stdout
    assert "(0.4 L of battery acid): acid and aluminium are from before" in " ".join(said.split())
    assert "6 g/L measured on 2026-01-02, not reckoned since" in " ".join(said.split())
    assert "Not measured since" not in run("logbook", "bath", "the small one", "--acid", "170 g/L").stdout
    named.write_text(named.read_text().replace("The Small One", "the smal one"))
    assert "named.toml, line 1, bath: 'the smal one' is not known (did you mean 'the small one'?)" in refused(
        "plan", named
    )


def test_the_logbook_goes_out_and_in_and_is_copied(desk_set, tmp_path):
    run("logbook", "add", desk_set, "--remark", "deep")
    for name in ("all.json", "runs.csv", "copy.sqlite"):
        word = "backup" if name.endswith("sqlite") else "export"
        assert run("logbook", word, tmp_path / name).returncode == 0
        assert "already exists" in refused("logbook", word, tmp_path / name)
    counted = (("runs.csv", " 1 added to runs"), ("all.json", " nothing new"), ("runs.csv", " 1 already in"))
    for name, says in counted:
        said = run("--logbook", tmp_path / "other.sqlite", "logbook", "import", tmp_path / name).stdout
        assert says in " ".join(said.split())
    for book in ("other.sqlite", "copy.sqlite"):
        assert "deep" in run("--logbook", tmp_path / book, "logbook", "list", "deep").stdout


@pytest.mark.parametrize(("words", "says"), [
    (("--when", "yesterday"), "--when: 'yesterday' is not a date"),
    (("--when", "2999-01-01T10:00"), "--when: '2999-01-01T10:00' is still to come"),
    (("--when", "2999-01-01T10:00+02:00"), "is still to come"),
    (("--when", "2026-03-03T10:00", "--ended", "2026-03-03T09:00"), "--ended: 2026-03-03T09:00 is before the start"),
    (("--start-volts", "-4 V"), "--start-volts: -4 V cannot be: it must be above zero"),
    (("--start-volts", "170 V"), "--start-volts: 170 V cannot be: the power supply gives 30 V"),
    (("--end-volts", "1e300 V"), "--end-volts: '1e300 V' is more than the largest voltage"),
    (("--end-temperature", "95 C"), "--end-temperature: 95 C cannot be: a bath of 180 g/L is liquid from"),
    (("--dye-time", "0 min"), "--dye-time: 0 s cannot be: it must be above zero"),
    (("--seal-time", "10 V"), "--seal-time: '10 V' is not a time"),
])  # fmt: skip
def test_a_reading_that_cannot_be_adds_nothing_to_the_logbook(tmp_path, words, says):
    load = tmp_path / "pens.toml"
    load.write_text(AREA_LOAD)
    said = refused("logbook", "add", load, *words)
    assert says in said
    assert said.count("\n") == 1
    assert not (tmp_path / "logbook.sqlite").exists()


def test_a_run_whose_plan_cannot_be_run_is_not_logged(tmp_path):
    load = tmp_path / "pens.toml"
    load.write_text(AREA_LOAD.replace('current = "3 A"', 'current = "0.1 A"'))
    assert "cannot be run as it stands" in refused("logbook", "add", load, code=3)
    assert not (tmp_path / "logbook.sqlite").exists()


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs a device that is always full")
def test_a_run_that_is_logged_is_a_success_though_nobody_hears_it(tmp_path):
    load = tmp_path / "pens.toml"
    load.write_text(AREA_LOAD)
    with open("/dev/full", "w") as full:
        done = subprocess.run([BIN, "logbook", "add", load], stdout=full, stderr=subprocess.PIPE, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert len(document("logbook", "logbook", "list")["runs"]) == 1


def test_inches_show_the_same_plan_in_other_units():
    said = run("plan", DESK_SET, "--full", "--show", "in").stdout
    assert re.search(r"wetted area of the load +20\.1 in2", said)  # 12990 mm2 / 645.16
    assert re.search(r"density on the surface +23 A/ft2", said)  # 2.4800 x 9.2903
    assert re.search(r"coating thickness +0\.559 mil", said)  # 14.2 / 25.4
    assert re.search(r"bath at the end +70\.9 F", said)  # 21.59 x 1.8 + 32
    assert "in2" in run("explain", DESK_SET, "area", "--show", "in").stdout
    meters = run("check", DESK_SET, "--volts", "18 V", "--amps", "3 A", "--show", "in").stdout
    assert re.search(r"The readings mean\s+[\d.]+ in2 \(", meters)
