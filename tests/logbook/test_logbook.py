"""The shop's logbook: kept whole, corrected with its history, out and in, by two at once."""

import contextlib
import csv
import io
import json
import os
import sqlite3
import stat
import threading

import msgspec
import pytest

from areacalc.errors import BadInput, UnknownName
from areacalc.logbook import database
from areacalc.logbook.came import Logged
from areacalc.logbook.exchange import take_in, to_csv, to_json
from areacalc.logbook.logbook import Logbook, find, shop_logbook
from areacalc.logbook.records import Begun, Event, Outcome, Reading, Run, RunPart

RUN = Run(
    when="2026-03-03T10:00+01:00", load="pens", area_mm2=12989.785758214592, current_a=2.5, density_a_per_dm2=2.5,
    run_s=1800.0, film_um=14.0, acid_g_per_l=180.0, aluminium_g_per_l=3.0, temperature_c=20.0, supply_v=30.0,
    dye="night blue", remark="größe; =1+1", parts=(RunPart("pen", 2, 6000.5, "pen.stl", "ab" * 32),),
    settings={"bath": {"acid": "180 g/L", "temperature": "20 C"}, "rack": {"wires": 2}},
)  # fmt: skip
changed = msgspec.structs.replace


@pytest.fixture
def book(tmp_path):
    with Logbook(tmp_path / "deep" / "logbook.sqlite") as made:
        yield made


def filled(book):
    """A logbook with something of every kind in it."""
    run, _ = book.add_run(RUN)
    book.add_run(changed(RUN, when="2026-04-01T09:00", load="caps", bath="The Small One"))
    book.add_reading(Reading(run=run.number, at_s=300.0, volts_v=16.8, current_a=3.0, temperature_c=20.5))
    book.add_outcome(Outcome(run=run.number, film_um=11.4, place="rim", how="eddy current", photo="/photos/1.jpg"))
    bath = book.keep_vessel("bath", "the small one", {"acid": "180 g/L", "temperature": "20 C"})
    book.keep_vessel("tank", "the long one", {"volume": "10 L"})
    book.add_event(Event(vessel=bath.number, when="2026-03-01T08:00", what="new"))
    book.add_event(Event(vessel=bath.number, when="2026-03-20T08:00", what="analysis", acid_g_per_l=171.25))
    return run


def test_a_logbook_that_is_not_there_is_empty_and_is_made_by_the_first_run(book):
    assert (book.runs(), book.path.exists()) == ([], False)
    run, there = book.add_run(RUN)
    assert (run.number, there) == (1, False)
    assert book.runs() == [changed(RUN, number=1, key=run.key)]
    assert stat.S_IMODE(book.path.stat().st_mode) == 0o600
    assert stat.S_IMODE(book.path.parent.stat().st_mode) == 0o700


def test_it_is_one_for_the_shop_unless_another_is_named(monkeypatch, tmp_path):
    monkeypatch.delenv("AREACALC_LOGBOOK", raising=False)
    assert shop_logbook().name == "logbook.sqlite"
    monkeypatch.setenv("AREACALC_LOGBOOK", str(tmp_path / "other.sqlite"))
    assert shop_logbook() == tmp_path / "other.sqlite"


@pytest.mark.parametrize(("change", "there"), [
    ({}, True), ({"when": "2026-03-03T10:29+01:00"}, True), ({"when": "2026-03-03T09:31+00:00"}, False),
    ({"when": "2026-03-03T09:10+00:00"}, True), ({"remark": "other"}, False), ({"start_v": 17.0}, False),
])  # fmt: skip
def test_the_same_run_again_within_its_own_length_is_a_retry(book, change, there):
    first, _ = book.add_run(RUN)
    second, was_there = book.add_run(changed(RUN, **change))
    assert was_there is there
    assert (second.number == first.number) is there
    assert len(book.runs()) == (1 if there else 2)


def test_a_reading_again_is_found_and_another_at_the_same_time_is_refused(book):
    run = filled(book)
    again = Reading(run=run.number, at_s=300.0, volts_v=16.8, current_a=3.0, temperature_c=20.5)
    assert book.add_reading(again).number == 1
    with pytest.raises(BadInput, match="has another reading at 300 s; correct that one, reading 1"):
        book.add_reading(changed(again, volts_v=17.0))
    assert len(book.readings(run.number)) == 1


def test_a_correction_keeps_what_was_before_to_the_last_digit(book):
    run = filled(book)
    book.correct("run", run.number, end_v=17.4, area_mm2=13000.0)
    book.correct("run", run.number, remark="even")
    book.correct("run", run.number, remark="even")
    assert (book.run(run.number).end_v, book.run(run.number).remark) == (17.4, "even")
    before = [was for _, was in book.database.history("run", run.number)]
    assert [(was["end_v"], was["area_mm2"], was["remark"]) for was in before] == [
        (None, RUN.area_mm2, RUN.remark), (17.4, 13000.0, RUN.remark)
    ]  # fmt: skip
    with pytest.raises(BadInput, match="reading 1 is of run 1; name that run"):
        book.correct("reading", 1, run=2, volts_v=16.0)
    with pytest.raises(UnknownName, match="run 99 is not in the logbook"):
        book.correct("run", 99, remark="x")


@pytest.mark.parametrize(("values", "what"), [
    ({"start_v": 170.0}, "start_v: 170 V cannot be: the power supply gives 30 V"),
    ({"end_v": 0.0}, "end_v: 0 V cannot be: it must be above zero"), ({"dye_s": -60.0}, "dye_s: -60 s"),
    ({"seal_s": float("nan")}, "seal_s: nan cannot be"), ({"end_temperature_c": 95.0}, "95 C cannot be"),
    ({"end_temperature_c": -40.0}, "is liquid from about"), ({"remark": "\udcff"}, "not text"),
    ({"ended": "2026-03-03T09:59+01:00"}, "ended: .* is before the start"), ({"when": "Tuesday"}, "is not a date"),
    ({"film_um": 1e300}, "1e\\+300 cannot be"),
])  # fmt: skip
def test_what_no_run_can_have_had_is_refused(book, values, what):
    with pytest.raises(BadInput, match=what):
        book.add_run(changed(RUN, **values))
    assert not book.path.exists()
    run, _ = book.add_run(RUN)
    with pytest.raises(BadInput, match=what):
        book.correct("run", run.number, **values)
    assert book.run(run.number) == run


@pytest.mark.parametrize(("values", "what"), [
    ({"volts_v": 170.0}, "volts_v: 170 V"), ({"at_s": -1.0, "volts_v": 1.0}, "before the start"), ({}, "is empty"),
    ({"temperature_c": 95.0}, "95 C cannot be"), ({"at_s": 9000.0, "volts_v": 9.0}, "after the end"),
])  # fmt: skip
def test_a_reading_that_the_run_cannot_have_had_is_refused(book, values, what):
    run, _ = book.add_run(changed(RUN, ended="2026-03-03T10:40+01:00"))
    with pytest.raises(BadInput, match=what):
        book.add_reading(Reading(**{"run": run.number, "at_s": 60.0, **values}))
    assert book.readings(run.number) == []


def test_a_reading_far_past_a_run_that_was_not_ended_is_refused_and_one_after_it_is_not(book):
    run, _ = book.add_run(RUN)
    book.add_reading(Reading(run=run.number, at_s=2.0 * 1800.0, volts_v=9.0))
    with pytest.raises(BadInput, match="500 min is far past the end of run 1, planned for 30 min"):
        book.add_reading(Reading(run=run.number, at_s=30_000.0, volts_v=9.0))


@pytest.mark.parametrize(("slip_a", "supply_a"), [(300.0, None), (-2.5, None), (3.5, 3.0)])
def test_a_current_that_an_old_logbook_took_and_cannot_be_counts_in_no_charge(slip_a, supply_a):
    run = changed(RUN, supply_a=supply_a, ended="2026-03-03T10:30+01:00")
    read = [Reading(run=1, at_s=60.0 * m, current_a=a) for m, a in ((1, 2.5), (10, slip_a), (20, 2.5))]
    came = Logged(run, tuple(read), (Begun(run=1, at_s=0.0, step="anodise"),)).came
    assert came.charge_ah == pytest.approx(2.5 * 0.5)


def test_runs_over_a_change_of_the_clock_keep_their_order_and_their_length(book):
    """Central Europe, 25 October 2026: at 3:00 the clock goes back to 2:00."""
    book.add_run(changed(RUN, when="2026-10-25T02:50+02:00", ended="2026-10-25T02:20+01:00"))
    book.add_run(changed(RUN, when="2026-10-25T02:10+01:00", load="later"))
    first, second = book.runs()
    assert (first.load, second.load) == ("pens", "later")
    assert Logged(first, (), (Begun(run=1, at_s=0.0, step="anodise"),)).came.run_s == 1800.0


def test_a_bath_is_kept_once_analysed_and_counted_since_it_was_new(book):
    filled(book)
    bath = book.vessel("bath", "THE SMALL ONE")
    assert bath.settings == {"acid": "171.25 g/L", "temperature": "20 C"}
    assert [was["settings"] for _, was in book.database.history("vessel", bath.number)] == [
        json.dumps({"acid": "180 g/L", "temperature": "20 C"})
    ]
    assert [run.charge_ah for run in book.runs_in(bath)] == [pytest.approx(2.5 * 0.5)]
    book.add_event(Event(vessel=bath.number, when="2026-05-01T08:00", what="new"))
    assert book.runs_in(bath) == []
    with pytest.raises(UnknownName, match="did you mean 'the small one'"):
        book.vessel("bath", "the smal one")
    with pytest.raises(UnknownName):
        book.vessel("tank", "the small one")


def test_words_find_runs():
    first, later = (Logged(run, ()) for run in (RUN, changed(RUN, number=2, when="2026-04-01T09:00")))
    came_red = Logged(changed(RUN, number=3), (), (), (Outcome(run=3, colour="Red"),))
    assert find([first, later], "pens, night") == [first, later]
    assert find([first, later], "2026-03-03") == [first]
    assert find([first, later], "run 2") == [later]
    assert find([first, came_red], "red") == [came_red]
    with pytest.raises(UnknownName, match=r"choose from pens, night blue \(run 0\)"):
        find([first], "red")
    with pytest.raises(UnknownName, match="no runs yet; write a run down first"):
        find([], "red")
    with pytest.raises(UnknownName):
        find([], "")


def test_a_run_is_named_by_number_or_words(book):
    run = filled(book)
    other, _ = book.add_run(changed(RUN, when="2026-04-01T09:00"))
    assert book.named(str(run.number)) == book.run(run.number)
    assert book.named("night pens") == other
    with pytest.raises(BadInput, match=r"names several runs: .*give the number of one"):
        book.named("night pens", is_one=True)
    with pytest.raises(UnknownName):
        book.named("99")


def test_out_and_in_again_is_the_same_and_a_second_time_adds_nothing(book, tmp_path):
    filled(book)
    (tmp_path / "all.json").write_bytes(to_json(book))
    with Logbook(tmp_path / "other.sqlite") as other:
        other.add_run(changed(RUN, load="another"))
        assert take_in(other, tmp_path / "all.json") == (8, 0)
        assert take_in(other, tmp_path / "all.json") == (0, 8)
        assert [changed(r, number=0) for r in other.runs() if r.load != "another"] == [
            changed(r, number=0) for r in book.runs()
        ]
        run = next(r for r in other.runs() if r.load == "pens")
        assert [changed(r, number=0, run=0) for r in other.readings(run.number)] == [
            changed(r, number=0, run=0) for r in book.readings(1)
        ]
        assert other.events(other.vessel("bath", "the small one"))[1].acid_g_per_l == 171.25


def test_runs_go_to_a_spreadsheet_and_back(book, tmp_path):
    filled(book)
    text = to_csv(book)
    assert "\n'=" not in text
    (tmp_path / "runs.csv").write_text(text)
    with Logbook(tmp_path / "other.sqlite") as other:
        assert take_in(other, tmp_path / "runs.csv") == (2, 0)
        assert other.runs() == book.runs()


def test_a_spreadsheet_tells_what_came_of_each_run_beside_its_plan(book):
    """3 A for 660 s are 0.55 Ah, of 1.25 planned for 14 um."""
    run = book.add_run(changed(RUN, ramp_s=0.0, planned_ah=1.25))[0].number
    book.begin(Begun(run=run, at_s=0.0, step="anodise"))
    book.add_reading(Reading(run=run, at_s=300.0, current_a=3.0, remark="bubbles"))
    book.begin(Begun(run=run, at_s=660.0, step="rinse"))
    book.add_outcome(Outcome(run=run, film_um=6.0, colour="deep", remark="even"))
    book.add_outcome(Outcome(run=run, fault="a streak"))
    book.add_run(changed(RUN, when="2026-04-01T09:00"))
    followed, not_followed = csv.DictReader(io.StringIO(to_csv(book)))
    came = {name: cell for name, cell in followed.items() if name.startswith("came_")}
    assert (float(came.pop("came_min")), float(came.pop("came_ah"))) == (11.0, pytest.approx(0.55))
    assert float(came.pop("came_by_charge_um")) == pytest.approx(14.0 * 0.55 / 1.25)
    assert came == {
        "came_measured_um": "6.0",
        "came_colour": "deep",
        "came_judged": "bad",
        "came_fault": "a streak",
        "came_remark": "bubbles; even",
    }
    assert followed["film_um"] == "14.0"
    assert {name: cell for name, cell in not_followed.items() if name.startswith("came_") and cell} == {}


@pytest.mark.parametrize(("name", "text", "what"), [
    ("x.json", "{}", "is not an exported"),
    ("x.json", '{"schema": "areacalc/shop/2"}', "is not an exported"),
    ("x.csv", "when,load\n2026,x\n", "line 2 is not a run"),
    ("x.csv", "when,hue\n2026-03-03,red\n", "unknown field"), ("x.csv", "colour\nred\n", "no column 'when'"),
    ("x.csv", "", "no column 'when'"), ("x.json", "[" * 100_000, "is not an exported"),
])  # fmt: skip
def test_a_file_that_holds_no_runs_is_told_and_nothing_is_added(book, tmp_path, name, text, what):
    (tmp_path / name).write_text(text)
    with pytest.raises(BadInput, match=what):
        take_in(book, tmp_path / name)
    assert not book.path.exists()


def test_a_bad_run_among_good_ones_lets_none_in(book, tmp_path):
    filled(book)
    runs = json.loads(to_json(book))
    runs["run"][1]["end_v"] = 170.0
    (tmp_path / "all.json").write_text(json.dumps(runs))
    with Logbook(tmp_path / "other.sqlite") as other:
        with pytest.raises(BadInput, match="end_v: 170 V"):
            take_in(other, tmp_path / "all.json")
        runs["run"][1]["end_v"], runs["reading"][0]["volts_v"] = None, 170.0
        (tmp_path / "all.json").write_text(json.dumps(runs))
        with pytest.raises(BadInput, match="volts_v: 170 V"):
            take_in(other, tmp_path / "all.json")
        assert other.runs() == []


@pytest.mark.parametrize(("spoil", "what"), [
    (lambda d: d["run"][0].update(current_a=-1.0), "all.json, current_a: -1 A cannot be"),
    (lambda d: d["outcome"][0].update(run=77), "all.json, number 77 is told of"),
    (lambda d: d["run"][1].update(number=1), "all.json, run 1 stands there twice"),
    (lambda d: d["begun"].append({"number": 9, "run": 1, "at_s": -5.0, "step": "dye"}), "json, at_s: -5 s is before"),
    (lambda d: d["begun"].extend({"number": n, "run": 1, "at_s": n, "step": "dye"} for n in (8, 9)), "dye: run 1"),
    (lambda d: d["reading"].extend({"number": 90 + n, "run": 1, "at_s": 5.5, "volts_v": 9.0 + n} for n in (0, 1)),
     "all.json, reading at 5.5 s: run 1 has another then"),
])  # fmt: skip
def test_a_spoilt_export_is_refused_whole_with_the_place(book, tmp_path, spoil, what):
    filled(book)
    held = json.loads(to_json(book))
    spoil(held)
    (tmp_path / "all.json").write_text(json.dumps(held))
    with Logbook(tmp_path / "other.sqlite") as other:
        with pytest.raises(BadInput, match=what):
            take_in(other, tmp_path / "all.json")
        assert other.runs() == []


def test_runs_of_a_spreadsheet_without_keys_come_in_each_and_once(book, tmp_path):
    filled(book)
    rows = [line.split(",", 2) for line in to_csv(book).splitlines()]
    assert rows[0][1] == "key"
    (tmp_path / "runs.csv").write_text("\n".join(f"{number},{rest}" for number, _, rest in rows))
    with Logbook(tmp_path / "other.sqlite") as other:
        assert take_in(other, tmp_path / "runs.csv") == (2, 0)
        assert take_in(other, tmp_path / "runs.csv") == (0, 2)


def test_a_number_larger_than_any_is_not_in_the_logbook(book):
    with pytest.raises(UnknownName, match="is not in the logbook"):
        book.run(10**20)


def test_a_backup_is_the_whole_logbook(book, tmp_path):
    run = filled(book)
    book.correct("run", run.number, remark="even")
    book.database.copy_to(tmp_path / "copy.sqlite")
    with Logbook(tmp_path / "copy.sqlite") as copy:
        assert copy.runs() == book.runs()
        assert copy.database.history("run", run.number) == book.database.history("run", run.number)


_AN_EARLIER_RUN = (
    'INSERT INTO run (key, "when", load, area_mm2, current_a, density_a_per_dm2, run_s, film_um, acid_g_per_l, '
    "aluminium_g_per_l, temperature_c, surface, remark, parts, settings) VALUES "
    "('k', '2026-03-03T10:00', 'pens', 1, 2, 3, 4, 5, 180, 6, 20, 'gloss', '', '[]', '{}')"
)


def test_a_file_of_an_earlier_version_is_brought_up_with_all_that_is_in_it(monkeypatch, tmp_path):
    path = tmp_path / "logbook.sqlite"
    first = [table for table in database.TABLES if table not in ("vessel", "event", "begun")]
    with monkeypatch.context() as before:
        before.setattr(database, "MIGRATIONS", database.MIGRATIONS[:1])
        before.setattr(database, "TABLES", {name: database.TABLES[name] for name in first})
        old = database.Database(path)
        old._make()
        old._db.execute(_AN_EARLIER_RUN)
        old.close()
    with Logbook(path) as book:
        (run,) = book.runs()
        assert (run.load, run.film_um, run.bath) == ("pens", 5.0, None)
        filled(book)
        book.correct("run", run.number, bath="the small one")
        assert book.database.history("run", run.number)[0][1]["bath"] is None


def test_an_earlier_file_that_may_only_be_read_is_read_and_takes_no_change(monkeypatch, tmp_path):
    path, connect = tmp_path / "logbook.sqlite", sqlite3.connect
    with monkeypatch.context() as before:
        before.setattr(database, "MIGRATIONS", database.MIGRATIONS[:-1])
        old = database.Database(path)
        old._make()
        old._db.execute(_AN_EARLIER_RUN)
        old.close()
    held = path.read_bytes()
    monkeypatch.setattr(database.sqlite3, "connect", lambda name, **given: connect(
        name if name == ":memory:" else f"file:{name}?mode=ro", uri=True, **given))  # fmt: skip
    with Logbook(path) as book:
        assert [run.load for run in book.runs()] == ["pens"]
        with pytest.raises(BadInput, match="may not be written"):
            book.correct("run", 1, remark="x")
    assert path.read_bytes() == held


def test_a_row_of_a_later_version_is_told_where_the_file_was_brought_up_meanwhile(book):
    run = filled(book)
    book.database._db.execute("ALTER TABLE run ADD COLUMN mood TEXT")
    with pytest.raises(BadInput, match=r"holds a run that this areacalc cannot read .*mood"):
        book.run(run.number)


def test_files_that_are_no_logbook_or_of_a_newer_version_are_refused_untouched(tmp_path):
    (tmp_path / "text.sqlite").write_text("no database\n" * 100)
    with contextlib.closing(sqlite3.connect(tmp_path / "theirs.sqlite")) as theirs:
        theirs.execute("CREATE TABLE photo (name TEXT)")
    with Logbook(tmp_path / "newer.sqlite") as made:
        made.add_run(RUN)
    with contextlib.closing(sqlite3.connect(tmp_path / "newer.sqlite")) as newer:
        newer.execute("PRAGMA user_version = 99")
    for name, what in (
        ("text", "is not a logbook"),
        ("theirs", "of another program"),
        ("newer", "by a newer areacalc"),
    ):
        path = tmp_path / f"{name}.sqlite"
        before = path.read_bytes()
        with pytest.raises(BadInput, match=what):
            Logbook(path)
        assert path.read_bytes() == before


def test_two_writers_wait_for_each_other_and_lose_nothing(tmp_path):
    path = tmp_path / "logbook.sqlite"
    with Logbook(path) as book:
        run, _ = book.add_run(RUN)
    faults = []

    def write(first):
        try:
            with Logbook(path) as mine:
                for n in range(40):
                    mine.add_reading(Reading(run=run.number, at_s=float(first + 2 * n), volts_v=15.0))
        except BadInput as bad:
            faults.append(bad)

    writers = [threading.Thread(target=write, args=(first,)) for first in (0, 1)]
    for each in writers:
        each.start()
    for each in writers:
        each.join()
    assert faults == []
    with Logbook(path) as book:
        assert [r.at_s for r in book.readings(run.number)] == [float(n) for n in range(80)]


def test_a_logbook_held_by_another_or_in_a_folder_that_cannot_be_written_is_told(monkeypatch, tmp_path):
    monkeypatch.setattr(database, "_WAIT_S", 0.1)
    path = tmp_path / "logbook.sqlite"
    with Logbook(path) as book:
        run, _ = book.add_run(RUN)
        with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as other:
            other.execute("BEGIN EXCLUSIVE")
            with pytest.raises(BadInput, match="is being written by another program; wait"):
                book.correct("run", run.number, remark="x")
    if os.geteuid():
        path.chmod(0o400)
        with Logbook(path) as book, pytest.raises(BadInput, match="may not be written"):
            book.correct("run", run.number, remark="x")
    (tmp_path / "file").write_text("x")
    with Logbook(tmp_path / "file" / "logbook.sqlite") as book, pytest.raises(BadInput, match="cannot be written"):
        book.add_run(RUN)


def test_a_user_without_a_home_is_told(monkeypatch):
    monkeypatch.delenv("AREACALC_LOGBOOK")
    for name in ("HOME", "XDG_DATA_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(
        os.path, "expanduser", lambda path: path
    )  # what Python does where the system knows no such user
    with pytest.raises(BadInput, match="home folder: this user has none; set HOME"):
        Logbook()


def test_a_bath_without_a_name_is_refused(book):
    with pytest.raises(BadInput, match="bath has no name"):
        book.keep_vessel("bath", " ", {})
