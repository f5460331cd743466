"""A run at the tank as its rows in the logbook: begun, read, stepped through, ended, and begun again."""

from datetime import datetime, timedelta

import pytest
from areacalc_cli.run.loop import switch_off_words
from msgspec import structs
from simulated_tank import DESK_SET, desk_set

from areacalc.errors import BadInput, CannotRun
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Reading
from areacalc.plan.load_book import LoadBook
from areacalc.report.run_document import run_document
from areacalc.run.alarms import AlarmKind
from areacalc.run.follow_up import Do, steps_at_the_tank
from areacalc.run.held import SayAgain, begin, elapsed_s, move_clock, take, view
from areacalc.run.typed import typed


@pytest.fixture
def book(tmp_path):
    with Logbook(tmp_path / "logbook.sqlite") as made:
        yield made


@pytest.fixture
def run(book):
    return begun_ago(book, 2.0)


def begun_ago(book, hours):
    when = (datetime.now().astimezone() - timedelta(hours=hours)).isoformat(timespec="seconds")
    return begin(book, LoadBook(DESK_SET), desk_set(), when)


def test_a_run_is_found_at_the_tank_until_it_is_ended(book, run):
    plan = desk_set()
    assert book.at_the_tank("desk set") == book.at_the_tank() == run
    assert book.at_the_tank("another") is None
    take(book, plan, run, typed("18 3 20.2"), 600.0)
    take(book, plan, run, typed("17.9 3 20.9"), 900.0)
    take(book, plan, run, typed("end"), 1000.0, is_sure=True)
    assert book.at_the_tank() is None
    kept = book.run(run.number)
    assert (kept.start_v, kept.end_v, kept.end_temperature_c) == (18.0, 17.9, 20.9)
    assert datetime.fromisoformat(kept.ended) - datetime.fromisoformat(kept.when) == timedelta(seconds=1000.0)


def test_the_same_load_begun_again_is_another_run(book, run):
    again = begun_ago(book, 1.99)
    assert again.number != run.number
    assert book.at_the_tank("desk set") == again


def test_the_steps_are_gone_through_one_by_one_to_the_end(book, run):
    plan, number = desk_set(), len(steps_at_the_tank(desk_set()))
    for i in range(1, number):
        take(book, plan, run, typed("next"), 1300.0 + 60.0 * i, is_sure=True)
        seen = view(book, plan, book.run(run.number), 1300.0 + 60.0 * i)
        assert (seen.step, seen.due.kind, seen.in_acid) == (i, Do.STEP, False)
    take(book, plan, run, typed("next"), 5000.0, is_sure=True)
    assert view(book, plan, book.run(run.number), 5000.0).due.kind is Do.DONE
    assert book.run(run.number).ended is not None


@pytest.mark.parametrize("odd", [{"volts_v": 0.4, "current_a": 3.0}, {"temperature_c": 55.0}])
def test_a_reading_that_cannot_be_lets_the_run_go_on(book, run, odd):
    plan = desk_set()
    take(book, plan, run, typed("18 3 20.2"), 600.0)
    book.add_reading(Reading(run=run.number, at_s=700.0, **odd))  # as `areacalc logbook reading` adds it
    seen = view(book, plan, run, 720.0)
    assert [one.area is None for one in seen.follow.judged] == [False, True]
    assert run_document(seen)["in_acid"]
    with pytest.raises(BadInput):
        take(book, plan, run, typed("0.4 V 3 A"), 740.0, is_sure=True)
    take(book, plan, run, typed("undo"), 760.0)
    assert len(book.readings(run.number)) == 1


def test_the_coating_stops_growing_when_the_current_is_off(book, run):
    plan = desk_set()
    take(book, plan, run, typed("18 3"), 600.0)
    take(book, plan, run, typed("next"), 900.0, is_sure=True)
    seen = [view(book, plan, run, now_s).follow.film.value for now_s in (900.0, 2000.0)]
    assert seen[0] == seen[1]


@pytest.mark.parametrize("line", ["20:00 18 3", "20:00 next"])
def test_what_is_still_to_come_is_refused_and_nothing_is_kept(book, run, line):
    with pytest.raises(BadInput):
        take(book, desk_set(), run, typed(line), 600.0)
    assert book.readings(run.number) == []


def test_a_clock_set_back_is_told_and_a_time_typed_is_taken(book, run):
    plan = desk_set()
    take(book, plan, run, typed("18 3 20.2"), 600.0)
    with pytest.raises(BadInput, match="clock was set back: 5 min by it, but the line before is of 10 min"):
        take(book, plan, run, typed("18 3 20.4"), 300.0)
    take(book, plan, run, typed("4:00 17.5 3"), 300.0)
    assert [each.at_s for each in book.readings(run.number)] == [240.0, 600.0]


def test_a_reading_that_no_run_gives_is_not_kept(book, run):
    for line in ("18 3 90", "170 3"):
        with pytest.raises(BadInput):
            take(book, desk_set(), run, typed(line), 600.0)
    assert book.readings(run.number) == []


def test_a_load_that_was_changed_meanwhile_is_told(book, run):
    assert not view(book, desk_set(), run, 60.0).changed
    changed = LoadBook(DESK_SET).plan(["thickness=8 um"])
    assert view(book, changed, run, 60.0).changed


def test_a_plan_that_cannot_run_is_not_begun(book):
    load = LoadBook(DESK_SET)
    with pytest.raises(CannotRun):
        begin(book, load, load.plan(["tank.volume=1 L", "density=hard"]))
    assert book.runs() == []


def test_that_the_current_is_still_on_takes_back_the_switch_off_and_no_reading(book, run):
    plan = desk_set()
    take(book, plan, run, typed("5:00 18 V note clear"), 600.0)
    take(book, plan, run, typed("4:00 next"), 600.0)
    take(book, plan, run, typed("on"), 610.0)
    assert view(book, plan, run, 620.0).in_acid
    assert [(each.volts_v, each.remark) for each in book.readings(run.number)] == [(18.0, "clear")]
    with pytest.raises(BadInput, match="not in the step after the current"):
        take(book, plan, run, typed("on"), 630.0)


def test_switching_off_early_is_taken_at_once_told_and_can_be_taken_back(book, run):
    plan = desk_set()
    take(book, plan, run, typed("next"), 400.0)
    seen = view(book, plan, run, 500.0)
    assert (seen.in_acid, seen.follow.now_s) == (False, 400.0)  # clock and coating do not run on
    assert seen.early_s == pytest.approx(plan.run.set_s - 400.0, abs=1.0)
    assert run_document(seen)["early"].startswith("The current went off at 6 min 40 s, 14 min 39 s before its time.")
    take(book, plan, run, typed("undo"), 510.0)
    assert view(book, plan, run, 520.0).follow.now_s == 520.0


def test_a_step_said_to_be_over_twice_was_over_the_first_time(book, run):
    plan = desk_set()
    take(book, plan, run, typed("next"), 1280.0)
    with pytest.raises(SayAgain) as asked:
        take(book, plan, run, typed("next"), 1285.0)
    again, is_sure = typed("next").meant(asked.value.about)
    take(book, plan, run, again, 1305.0, is_sure)
    assert [each.at_s for each in book.begun(run.number)] == [0.0, 1280.0, 1285.0]


def orders(book, plan, run, *lines):
    """What is told to do, and the alarms, after lines that were all confirmed."""
    for line in lines:
        take(book, plan, run, typed(line), 600.0, is_sure=True)
    document = run_document(view(book, plan, run, 601.0))
    return document["do"], document["due_s"], document["alarms"]


def test_one_order_at_a_time_and_it_is_that_of_the_alarm(book, run):
    plan = desk_set()
    do, due_s, alarms = orders(book, plan, run, "9:00 18 3 20", "9:30 25 2.5")
    assert (do, due_s) == ("Switch off at the power supply", None)
    assert len(alarms) == 1
    assert "turn it up" not in alarms[0]
    assert orders(book, plan, run, "9:40 18 3", "9:50 2.5 A")[0] == "Turn the current up to 3 A"
    assert orders(book, plan, run, "9:55 12 3")[0] == "Lower the current by half"


def test_the_ramp_goes_on_from_what_was_read_in_it(book, run):
    """By hand: 1.5 A at 60 s, straight to 3 A at 300 s."""
    plan = desk_set()
    take(book, plan, run, typed("1:00 12 1.5"), 61.0, is_sure=True)
    document = run_document(view(book, plan, run, 61.0))
    assert (document["do"], document["then"]) == ("Raise evenly to 1.88 A", "Raise evenly to 2.25 A")
    assert document["current_a"]["value"] == pytest.approx(1.5, abs=0.01)
    take(book, plan, run, typed("3:30 17 3"), 211.0, is_sure=True)
    assert view(book, plan, run, 212.0).due.kind is Do.HOLD


def test_a_current_raised_too_fast_is_ordered_down_to_the_plan_and_lifted_by_a_good_reading(book, run):
    plan = desk_set()
    planned_s = view(book, plan, run, 21.0).follow.end.value
    take(book, plan, run, typed("0:20 5 2.9"), 21.0, is_sure=True)
    document = run_document(view(book, plan, run, 25.0))
    assert (document["do"], len(document["alarms"])) == ("Turn the current down to 0.2 A, then raise it evenly", 1)
    assert document["current_a"]["value"] == pytest.approx(0.25, abs=0.02)  # 3 A over 300 s, not what was read
    assert document["end_s"] == pytest.approx(planned_s, abs=60.0)
    take(book, plan, run, typed("0:35 21 C"), 36.0, is_sure=True)
    assert run_document(view(book, plan, run, 37.0))["do"] == document["do"]
    assert run_document(view(book, plan, run, 301.0))["do"] == "Hold 3 A"
    take(book, plan, run, typed("0:40 0.4 A"), 41.0, is_sure=True)
    document = run_document(view(book, plan, run, 42.0))
    assert document["alarms"] == []
    assert document["do"].startswith("Raise evenly to ")


def test_past_its_end_a_run_has_one_order_and_tells_that_the_coating_is_too_thick(book, run):
    plan = desk_set()
    take(book, plan, run, typed("10:00 18 3"), 600.0)
    take(book, plan, run, typed("25:00 12 3"), 1500.0, is_sure=True)
    document = run_document(view(book, plan, run, 2200.0))
    assert document["do"] == "Switch off now, at the power supply"
    (told,) = document["alarms"]
    assert "by now, 12 um were asked" in told
    assert "may turn it to powder" in told


@pytest.mark.parametrize("word", ["next", "end"])
def test_a_step_that_is_said_to_be_over_long_before_its_time_is_asked_once_more(book, run, word):
    plan, first = desk_set(), steps_at_the_tank(desk_set())[1]
    take(book, plan, run, typed("next"), 1280.0)
    with pytest.raises(SayAgain, match=f"still to go; type {word} again"):
        take(book, plan, run, typed(word), 1288.0)
    assert len(book.begun(run.number)) == 2
    assert book.run(run.number).ended is None
    take(book, plan, run, typed(word), 1280.0 + 60.0 * first.minutes.value)


def test_a_bath_far_from_the_one_before_is_asked_about_once(book, run):
    plan = desk_set()
    take(book, plan, run, typed("18 3 20.2"), 600.0)
    with pytest.raises(SayAgain, match=r"7\.9 C is far from the 20.* C expected of the bath"):
        take(book, plan, run, typed("18 3 7.9"), 700.0)
    take(book, plan, run, typed("18 3 7.9"), 700.0, is_sure=True)
    take(book, plan, run, typed("18 3 8.1"), 760.0)
    assert [each.temperature_c for each in book.readings(run.number)] == [20.2, 7.9, 8.1]


def test_what_is_said_once_more_is_the_same_again():
    assert typed("next").meant(typed("6:00 off")) == (typed("6:00 next"), True)
    for line, asked, is_meant in (("end", "next", False), ("18 3 8.1", "30:00 7.9 C", True), ("17 3", "0.3 A", False),
                                  ("18 3 20.1", "30:00 7.9 C", False), ("17 0.31", "0.3 A", True)):  # fmt: skip
        assert typed(line).meant(typed(asked)) == (typed(line), is_meant)


def test_ending_a_run_long_before_the_current_is_due_off_is_asked_once_more(book, run):
    with pytest.raises(SayAgain, match="type end again to end the run"):
        take(book, desk_set(), run, typed("end"), 146.0)
    assert book.run(run.number).ended is None


def test_switching_off_near_the_time_is_taken_at_once(book, run):
    take(book, desk_set(), run, typed("next"), 1200.0)
    assert len(book.begun(run.number)) == 2


def test_a_slip_of_the_hand_is_refused_and_a_reading_is_taken_back(book, run):
    plan = desk_set()
    with pytest.raises(BadInput, match="30 A cannot be: the power supply gives 3 A"):
        take(book, plan, run, typed("18 30"), 600.0)
    take(book, plan, run, typed("18 3"), 600.0)
    take(book, plan, run, typed("18 2"), 700.0)
    take(book, plan, run, typed("undo"), 710.0)
    assert [each.current_a for each in book.readings(run.number)] == [3.0]


def test_any_line_is_taken_back_by_its_time(book, run):
    plan = desk_set()
    for line in ("10:00 18 3", "11:00 18.1 3", "12:00 18.2 3"):
        take(book, plan, run, typed(line), 800.0)
    assert take(book, plan, run, typed("11:00 undo"), 800.0).volts_v == 18.1
    assert [each.at_s for each in book.readings(run.number)] == [600.0, 720.0]
    with pytest.raises(BadInput, match="no reading or note stands at 11:00; undo alone takes back the last line"):
        take(book, plan, run, typed("11:00 undo"), 800.0)


@pytest.mark.parametrize("line", ["30 0.1", "0 A", "0 0", "30 V 0 A"])
def test_no_current_is_one_alarm_and_nothing_is_expected_until_it_flows_again(book, run, line):
    plan = desk_set()
    take(book, plan, run, typed("5:00 17.9 3"), 600.0)
    for _ in range(2):
        take(book, plan, run, typed(line), 600.0, is_sure=True)
    seen = view(book, plan, run, 610.0)
    assert [each.kind for each in seen.follow.alarms] == [AlarmKind.NO_CURRENT]
    told = run_document(seen)
    assert len(told["alarms"]) == 1
    assert told["end_s"] is told["volts_v"] is told["readings"][-1]["expected_v"] is told["steps"][0]["due_s"] is None
    assert switch_off_words(told) == ""
    take(book, plan, run, typed("18 3"), 660.0, is_sure=True)
    told = run_document(view(book, plan, run, 660.0))
    assert told["end_s"] > 60.0 + told["planned_end_s"]
    assert told["volts_v"] is not None


def test_a_current_left_on_is_ordered_off_and_no_coating_is_told_above_what_the_bath_allows(book, run):
    plan = desk_set()
    take(book, plan, run, typed("8:00 17.9 3"), 600.0)
    told = run_document(view(book, plan, run, 4800.0))
    assert told["alarms"][0].startswith(
        "Switch off at the power supply: the current was due off at 21 min 19 s. By its charge"
    )
    assert "This bath allows 32.9 um (11.3 to 58.7) at most." in told["alarms"][0]
    assert switch_off_words(told).startswith("the current was due off at 21 min 19 s")


def test_a_step_that_was_done_by_mistake_is_taken_back(book, run):
    plan = desk_set()
    take(book, plan, run, typed("5:00 18 3"), 600.0)
    take(book, plan, run, typed("next"), 600.0, is_sure=True)
    take(book, plan, run, typed("undo"), 610.0)
    seen = view(book, plan, run, 620.0)
    assert (seen.step, len(seen.readings)) == (0, 1)
    take(book, plan, run, typed("undo"), 630.0)
    assert book.readings(run.number) == []
    with pytest.raises(BadInput, match="there is no line to take back"):
        take(book, plan, run, typed("undo"), 640.0)


def test_start_volts_are_the_first_after_the_ramp(book, run):
    for line in ("1:00 12 0.6", "5:00 17.8 3", "12:00 18 3"):
        take(book, desk_set(), run, typed(line), 900.0)
    take(book, desk_set(), run, typed("end"), 1000.0, is_sure=True)
    assert (book.run(run.number).start_v, book.run(run.number).end_v) == (17.8, 18.0)


def test_volts_read_in_the_ramp_alone_are_no_start_volts(book, run):
    take(book, desk_set(), run, typed("1:00 12 0.6"), 100.0)
    take(book, desk_set(), run, typed("end"), 1000.0, is_sure=True)
    assert book.run(run.number).start_v is None


@pytest.mark.parametrize(("line", "is_told"), [("0:10 18 3", True), ("1:00 12 0.7", False)])
def test_full_current_at_the_start_of_the_ramp_is_told(book, run, line, is_told):
    take(book, desk_set(), run, typed(line), 100.0)
    alarms = view(book, desk_set(), run, 100.0).follow.alarms
    assert (AlarmKind.RAISED_TOO_FAST in [each.kind for each in alarms]) is is_told


def test_the_clock_of_a_rehearsal_moves_on_to_a_time_that_is_told(book):
    made = begin(book, LoadBook(DESK_SET), desk_set())
    moved = move_clock(book, made, 600.0, 60.0)
    assert elapsed_s(moved, 60.0) >= 600.0
    assert move_clock(book, moved, 300.0, 60.0) == moved
    take(book, desk_set(), moved, typed("10:00 18 3"), elapsed_s(moved, 60.0))
    assert book.readings(made.number)[0].at_s == 600.0


def test_a_run_is_ended_within_its_first_second(book):
    made = begin(book, LoadBook(DESK_SET), desk_set(), "2026-03-03T10:00:00.900+00:00")
    take(book, desk_set(), made, typed("end"), 0.05, is_sure=True)
    assert book.run(made.number).ended == "2026-03-03T10:00:00.950000+00:00"
    assert not book.logged(book.run(made.number)).came.is_worth_repeating


def test_a_run_that_was_never_ended_is_not_at_the_tank_for_ever(book):
    old = begun_ago(book, 25.0)
    assert book.at_the_tank() is None
    assert book.forgotten("desk set") == old
    again = begun_ago(book, 0.1)
    assert book.at_the_tank("desk set") == again
    assert book.forgotten("desk set") is None


def test_a_run_that_is_over_takes_nothing_and_does_not_end_twice(book, run):
    take(book, desk_set(), run, typed("end"), 1000.0, is_sure=True)
    ended = book.run(run.number).ended
    for line in ("end", "next", "18 3", "undo", "note late"):
        with pytest.raises(BadInput, match=f"run {run.number} is over"):
            take(book, desk_set(), run, typed(line), 1100.0, is_sure=True)
    assert book.run(run.number).ended == ended
    assert len(book.database.history("run", run.number)) == 1


@pytest.mark.parametrize("word", ["next", "end"])
def test_a_current_said_to_be_off_long_after_its_time_is_asked_about(book, run, word):
    with pytest.raises(SayAgain, match=f"due off 78.7 min ago; type {word} again .*, such as 21:19 {word}"):
        take(book, desk_set(), run, typed(word), 6000.0)
    take(book, desk_set(), run, typed(f"21:19 {word}"), 6000.0)
    assert book.logged(book.run(run.number)).came.run_s == pytest.approx(1279.0, abs=0.1)


def test_lines_of_a_meters_log_are_kept_at_the_time_they_tell(book, run):
    plan, began = desk_set(), datetime.fromisoformat(run.when)
    take(book, plan, run, typed(f"{(began + timedelta(seconds=300)).isoformat()},18.0,3.0"), 600.0)
    assert [each.at_s for each in book.readings(run.number)] == [300.0]
    for off, says in ((-5, "before the run began"), (900, "still to come")):
        with pytest.raises(BadInput, match=says):
            take(book, plan, run, typed(f"{(began + timedelta(seconds=off)).isoformat()} 18 3"), 600.0)
    with pytest.raises(BadInput, match="is not a date and time"):
        take(book, plan, run, typed("2026-13-03 10:00 18 3"), 600.0)


@pytest.mark.parametrize(
    ("slip", "says"),
    [("10:00 18 0.3", "0.3 A is far from the 3 A expected; type it again if the ammeter shows that"),
     ("10:00 3 3", "3 V is far from the 18.* V expected; type it again if the voltmeter shows that"),
     ("4:30 14 0.3", "0.3 A is far from the 2.7 A expected")],
)  # fmt: skip
def test_a_first_reading_far_from_what_is_expected_is_asked_about_and_moves_nothing(book, run, slip, says):
    plan, before = desk_set(), view(book, desk_set(), run, 600.0).follow
    with pytest.raises(SayAgain, match=says) as asked:
        take(book, plan, run, typed(slip), 600.0)
    assert view(book, plan, run, 600.0).follow == before
    _, again = typed(slip).meant(asked.value.about)
    take(book, plan, run, typed(slip), 600.0, is_sure=again)
    assert len(book.readings(run.number)) == 1
    take(book, plan, run, typed("10:30 18 3"), 660.0)  # near the plan: not asked about, whatever was kept before
    take(book, plan, run, typed("undo"), 661.0)


def test_the_volts_expected_are_never_more_than_the_power_supply_gives(book):
    load = LoadBook(DESK_SET)
    plan = load.plan(["supply.voltage=18.5 V"])
    run = begin(book, load, plan, (datetime.now().astimezone() - timedelta(hours=1)).isoformat())
    for line in ("10:00 18.4 3", "10:30 18.5 3", "11:00 18.5 3"):
        take(book, plan, run, typed(line), 1000.0, is_sure=True)
    for at_s in (690.0, 900.0, 1200.0):
        seen = view(book, plan, run, at_s).follow
        assert seen.volts.high <= 18.5
        assert AlarmKind.BURNING not in [each.kind for each in seen.alarms]


def test_a_run_whose_folder_is_gone_is_told_in_one_line(book, run, tmp_path):
    gone = structs.replace(run, folder=str(tmp_path / "gone"))
    with pytest.raises(BadInput, match=r"pen-body\.toml"):
        LoadBook.of(gone).plan()
