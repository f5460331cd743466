"""`logbook learn` and `logbook repeat` through the real command."""

import json
import re
import shutil
from pathlib import Path

import msgspec
import numpy as np
import pytest
from simulated_tank import desk_set, hidden, log_of
from typed import typed

from areacalc.logbook.logbook import Logbook, now
from areacalc.logbook.records import Outcome, Reading
from areacalc.plan.entry import run_of
from areacalc.plan.load_book import LoadBook

SAMPLES = Path(__file__).parents[2] / "sample_models"


@pytest.fixture
def shop(tmp_path):
    shutil.copytree(SAMPLES, tmp_path / "shop")
    return tmp_path / "shop"


def areacalc(shop, *words, lines=""):
    done = typed("--logbook", "book.sqlite", *words, cwd=shop, lines=lines)
    return done.returncode, " ".join(done.stdout.split()), done.stderr


def with_runs(shop, bath=None):
    plan = desk_set()
    with Logbook(shop / "book.sqlite") as book:
        for each in log_of(plan, 3, hidden(plan, np.random.default_rng(3))):
            run, _ = book.add_run(msgspec.structs.replace(each.run, number=0, bath=bath))
            for reading in each.readings:
                book.add_reading(msgspec.structs.replace(reading, run=run.number))
            for outcome in each.outcomes:
                book.add_outcome(msgspec.structs.replace(outcome, run=run.number))


def with_a_run(shop):
    """The desk set in the logbook, as `logbook add` adds it."""
    held = LoadBook(shop / "desk-set.toml")
    with Logbook(shop / "book.sqlite") as book:
        book.add_run(run_of(desk_set(), now(), data=held.data, **held.written()))


@pytest.mark.slow
def test_what_runs_teach_is_offered_and_written_only_when_accepted(shop):
    text = (shop / "desk-set.toml").read_text()
    areacalc(shop, "logbook", "bath", "small one", "--from", "desk-set.toml")
    head, _, rest = text.partition("[bath]")
    named = 'bath = "small one"\n' + head + "[tank]" + rest.partition("[tank]")[2]
    (shop / "named.toml").write_text(named)
    with_runs(shop, "small one")
    code, said, _ = areacalc(shop, "logbook", "learn", "named.toml")
    assert code == 0
    assert "What 3 runs taught" in said
    assert "measured_voltage" in said  # in the words of the load file
    assert "e-fold" not in said
    assert "Nothing is changed yet" in said
    with Logbook(shop / "book.sqlite") as book:
        assert "measured_voltage" not in book.vessel("bath", "small one").settings
    assert areacalc(shop, "logbook", "learn", "named.toml", "--accept")[0] == 0
    with Logbook(shop / "book.sqlite") as book:
        vessel = book.vessel("bath", "small one")
        assert {"measured_voltage", "measured_within", "measured_coating"} <= set(vessel.settings)
        assert "measured_voltage" not in str(book.database.history("vessel", vessel.number)[-1])
    learned = vessel.settings["measured_voltage"]
    assert areacalc(shop, "logbook", "learn", "named.toml", "--accept")[0] == 0  # from the same runs the same again
    with Logbook(shop / "book.sqlite") as book:
        now = book.vessel("bath", "small one").settings["measured_voltage"]
    assert float(now.split()[0]) == pytest.approx(float(learned.split()[0]), abs=0.05)


def test_runs_logged_before_the_bath_had_a_name_count_once_it_has(shop):
    with_runs(shop)
    areacalc(shop, "logbook", "bath", "small one", "--from", "desk-set.toml")
    head, _, rest = (shop / "desk-set.toml").read_text().partition("[bath]")
    (shop / "named.toml").write_text('bath = "small one"\n' + head + "[tank]" + rest.partition("[tank]")[2])
    code, said, _ = areacalc(shop, "logbook", "learn", "named.toml")
    assert code == 0
    assert "What 3 runs taught" in said
    assert "Used too: 3 runs of desk set logged before its bath had a name." in said


def test_without_a_named_bath_the_keys_are_told_and_nothing_is_written(shop):
    with_runs(shop)
    code, said, _ = areacalc(shop, "logbook", "learn", "desk-set.toml")
    assert code == 0
    assert re.search(r'measured_within = "\S+ V" # fitted', said)
    code, _, said = areacalc(shop, "logbook", "learn", "desk-set.toml", "--accept")
    assert code == 2
    assert "--accept needs a load that names its bath" in said


def test_a_bath_without_runs_teaches_nothing(shop):
    assert "Nothing can be learned yet: no run has readings." in areacalc(shop, "logbook", "learn", "desk-set.toml")[1]


def test_runs_that_disagree_are_told_and_what_they_cannot_show_is_as_planned_with(shop):
    """A run that was judged alone is not counted; at one density and warmth no slope is learned."""
    planned = run_of(desk_set(), now())
    with Logbook(shop / "book.sqlite") as book:
        for number, film_um in enumerate((8.0, 13.0, 18.0, None), 1):
            run, _ = book.add_run(msgspec.structs.replace(planned, when=f"2026-03-0{number}T10:00"))
            book.add_outcome(Outcome(run=run.number, film_um=film_um, judged="good"))
            if film_um:
                book.add_reading(Reading(run=run.number, at_s=600.0, volts_v=14.2 + number, current_a=planned.current_a,
                                         temperature_c=20.0))  # fmt: skip
    code, said, _ = areacalc(shop, "logbook", "learn", "desk-set.toml")
    assert code == 0
    assert "What 3 runs taught" in said
    assert "The coatings of the runs scatter far more than the meters account for: no one run stands out." in said
    assert "measured_coating is not written" in said
    assert "measured_coating =" not in said
    assert len(re.findall(r"as planned with", said)) == 2
    assert "half_density_voltage =" not in said
    assert "measured_voltage =" in said


def test_a_run_is_repeated_with_what_differs(shop):
    areacalc(shop, "logbook", "add", "desk-set.toml", "--dye-time", "15 min")
    assert "Nothing differs" in areacalc(shop, "logbook", "repeat", "1")[1]
    (shop / "pen-cap.toml").write_text((shop / "pen-cap.toml").read_text() + "# mended\n")
    code, said, _ = areacalc(shop, "logbook", "repeat", "1", "--out", "again.toml")
    assert code == 0
    assert "pen cap as logged another file" in said
    assert 'repeat = "run 1"' in (shop / "again.toml").read_text()
    assert "dye 15 min" in areacalc(shop, "plan", "again.toml")[1]
    (shop / "elsewhere").mkdir()
    code, _, said = areacalc(shop, "logbook", "repeat", "1", "--out", "elsewhere/again.toml")
    assert code == 2
    assert "--out must stand beside the load it repeats" in said


def test_a_colour_that_came_out_is_found_over_all_loads(shop):
    with_a_run(shop)
    areacalc(shop, "logbook", "result", "1", "--colour", "ink blue")
    assert "desk set" in areacalc(shop, "logbook", "list", "ink", "blue")[1]
    assert "No such runs" in areacalc(shop, "logbook", "list", "red")[1]


def test_the_film_that_came_is_repeated_and_the_plan_names_the_run(shop):
    with_a_run(shop)
    areacalc(shop, "logbook", "result", "1", "--coating", "10 um")
    said = areacalc(shop, "logbook", "list")[1]
    assert re.search(r"21\.3 0\.9\d+ 10 as planned; ", said)
    assert " measured" in said
    assert "coating 10 um measured" in areacalc(shop, "logbook", "show", "1")[1]
    code, said, _ = areacalc(shop, "logbook", "repeat", "1", "--out", "again.toml")
    assert code == 0
    assert "10 um measured" in said
    assert "Nothing differs" in said
    said = areacalc(shop, "plan", "again.toml")[1]
    assert "Repeats run 1 of" in said
    assert ": 10 um measured" in said


def test_a_run_switched_off_at_once_shows_what_passed_and_is_no_colour(shop):
    assert areacalc(shop, "run", "desk-set.toml", lines="next\nnext\nend\nend\n")[0] == 0
    said = areacalc(shop, "logbook", "list")[1]
    assert re.search(r"0 by charge none Run 1 had hardly any charge", said)
    code, _, said = areacalc(shop, "logbook", "repeat", "1")
    assert code == 2
    assert said.startswith("areacalc: RUN: run 1 had hardly any charge (no current flowed)")
    assert len(said.splitlines()) == 1
    assert "(run 1)" not in areacalc(shop, "logbook", "repeat", "moss redd")[2]
    said = areacalc(shop, "logbook", "show", "1")[1].partition("As it went")[2].partition("Parts")[0]
    assert re.fullmatch(r"[ ─]*current flowed none ", said)
    code, _, said = areacalc(shop, "logbook", "result", "1", "--coating", "5 um")
    assert (code, said.count("5 um cannot be: no current flowed in run 1")) == (2, 1)


def test_a_bath_has_the_temperature_of_today(shop):
    areacalc(shop, "logbook", "bath", "small one", "--from", "desk-set.toml")
    assert "temperature 21.11 C" in areacalc(shop, "logbook", "bath", "small one", "--temperature", "70 F")[1]
    code, _, said = areacalc(shop, "logbook", "bath", "small one", "--temperature", "95 C")
    assert code == 2
    assert "--temperature: 95 C" in said
    with Logbook(shop / "book.sqlite") as book:
        assert book.vessel("bath", "small one").settings["temperature"] == "21.11 C"
    code, _, said = areacalc(shop, "logbook", "bath", "small one", "--when", "2026-03-03T10:00")
    assert (code, said.startswith("areacalc: --when is the date of nothing")) == (2, True)


def test_the_limits_of_the_power_supply_are_told_each_by_its_name_and_unit(shop):
    with_a_run(shop)
    said = areacalc(shop, "logbook", "show", "1")[1]
    assert "power supply most volts 30 V power supply most current 3 A" in said


def test_a_reading_taken_back_is_told(shop):
    with_a_run(shop)
    areacalc(shop, "logbook", "reading", "1", "--after", "10 min", "--amps", "2.9 A")
    with Logbook(shop / "book.sqlite") as book:
        book.undo(1)
    said = areacalc(shop, "logbook", "show", "1")[1]
    assert re.search(r"Taken back 20[-0-9]+ [:0-9]+, reading 1: at 10 min, current 2\.9 A\.", said)
    assert "planned time 21.3 min" in said
    assert "planned charge 0.94" in said
    code, _, said = areacalc(shop, "logbook", "reading", "1", "--after", "10 min", "--amps", "29 A")
    assert code == 2
    assert "--amps: 29 A cannot be: the power supply gives 3 A" in said


def test_a_result_is_corrected_where_it_was_wrong_and_keeps_the_rest(shop):
    with_a_run(shop)
    areacalc(shop, "logbook", "result", "1", "--coating", "11 um", "--at", "outside", "--colour", "ink blue")
    for film in ("12 um", "13 um"):
        assert areacalc(shop, "logbook", "result", "1", "--correct", "1", "--coating", film)[0] == 0
    with Logbook(shop / "book.sqlite") as book:
        (kept,) = book.outcomes(1)
    assert (kept.film_um, kept.place, kept.colour) == (13.0, "outside", "ink blue")
    said = areacalc(shop, "logbook", "show", "1")[1]
    assert re.findall(r"result 1 had coating (\d+) um", said) == ["11", "12"]
    assert "--correct has nothing to put there" in areacalc(shop, "logbook", "result", "1", "--correct", "1")[2]


def test_json_of_the_list_tells_what_came_as_the_table_does(shop):
    with_a_run(shop)
    areacalc(shop, "logbook", "result", "1", "--coating", "10 um", "--fault", "light rim", "--colour", "ink blue")
    assert areacalc(shop, "run", "desk-set.toml", lines="next\nnext\nend\nend\n")[0] == 0
    done = typed("--logbook", "book.sqlite", "logbook", "list", "--json", cwd=shop)
    first, second = json.loads(done.stdout)["runs"]
    assert (first["came"]["film_um"], first["came"]["film_from"], first["came"]["colour"]) == (
        10.0, "measured", "moss green")  # fmt: skip
    assert [(each["fault"], each["colour"]) for each in first["results"]] == [("light rim", "ink blue")]
    assert (second["came"]["film_from"], second["came"]["colour"], second["results"]) == ("by charge", None, [])
    assert second["came"]["charge_ah"] < 0.01


def test_a_coating_that_the_charge_cannot_make_is_refused_and_one_that_stands_is_not_repeated(shop):
    with_a_run(shop)
    code, _, said = areacalc(shop, "logbook", "result", "1", "--coating", "13 mil")
    assert (code, len(said.splitlines())) == (2, 1)
    assert re.search(r"330 um cannot be: 0\.94\d* Ah, the charge of run 1, makes 2\d(\.\d)? um at most", said)
    assert "was it 13 um?" in said
    assert areacalc(shop, "logbook", "result", "1", "--coating", "13 um")[0] == 0
    assert "--coating: 330 um" in areacalc(shop, "logbook", "result", "1", "--correct", "1", "--coating", "13 mil")[2]
    with Logbook(shop / "book.sqlite") as book:
        book.database.add("outcome", Outcome(run=1, film_um=330.2))
    code, said, _ = areacalc(shop, "logbook", "repeat", "1")
    assert code == 0
    assert "13 um measured" in said


@pytest.mark.slow
def test_a_coating_down_a_bore_is_of_a_bore_that_the_load_of_the_run_has(shop):
    with_a_run(shop)
    for place in ("pen body bore-1", "Pen Body Bore-1", "pen cap blind-bore-1", "rim"):
        assert areacalc(shop, "logbook", "result", "1", "--coating", "7 um", "--at", place)[0] == 0
    for place in ("pen bore-1", "bore-7"):
        code, _, said = areacalc(shop, "logbook", "result", "1", "--coating", "7 um", "--at", place)
        assert (code, len(said.splitlines())) == (2, 1)
        assert f"--at: '{place}' is not known" in said
        assert said.endswith("choose from pen body bore-1, pen cap blind-bore-1, lamp knob blind-bore-1\n")
    (shop / "pen-body.toml").unlink()
    assert areacalc(shop, "logbook", "result", "1", "--coating", "7 um", "--at", place)[0] == 0  # nobody knows


def test_more_parts_are_repeated_and_the_bath_is_told(shop):
    text = (shop / "desk-set.toml").read_text()
    head, rest = text.split("[[part]]")[0], text[text.index("[bath]") :]
    (shop / "knobs.toml").write_text(f'{head}[[part]]\nfile = "lamp-knob.toml"\n{rest}')
    areacalc(shop, "logbook", "add", "knobs.toml")
    areacalc(shop, "logbook", "bath", "small one", "--from", "desk-set.toml", "--acid", "170 g/L")
    code, said, _ = areacalc(shop, "logbook", "repeat", "1", "--count", "4", "--out", "again.toml")
    assert code == 0
    assert "as it was in run 1, 180 g/L of acid" in said
    assert 'If today\'s is different, write the load with --out, put bath = "small one" at its top' in said
    assert "count = 4" in (shop / "again.toml").read_text()
    with_a_run(shop)
    assert "--count: the load has several kinds" in areacalc(shop, "logbook", "repeat", "2", "--count", "4")[2]


def test_a_run_repeated_keeps_the_minutes_of_its_sheet_after_its_coating_was_measured(shop):
    with_a_run(shop)
    minutes = re.compile(r"dye [\d.]+ min, seal [\d.]+ min")
    before = minutes.search(areacalc(shop, "logbook", "repeat", "1")[1])
    areacalc(shop, "logbook", "result", "1", "--coating", "11 um")
    assert before
    assert before[0] in areacalc(shop, "logbook", "repeat", "1")[1]
