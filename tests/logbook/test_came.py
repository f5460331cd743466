"""What came of a run: as measured, by the charge that passed, or as planned; and which run is repeated."""

import msgspec
import pytest

from areacalc.errors import BadInput
from areacalc.logbook.came import FilmFrom, Why, came_of, charge_until_c
from areacalc.logbook.logbook import Logbook, now
from areacalc.logbook.records import Begun, Outcome, Reading, Run

RUN = Run(
    number=1, when="2026-03-03T10:00", load="pens", area_mm2=15000.0, current_a=3.0, density_a_per_dm2=2.0,
    run_s=1200.0, film_um=12.0, acid_g_per_l=180.0, aluminium_g_per_l=3.0, temperature_c=20.0, supply_v=30.0,
    supply_a=5.0, ramp_s=300.0, planned_ah=3.0 * 1050.0 / 3600.0, dye="moss green",
)  # fmt: skip


def begun(*times):
    return [Begun(run=1, at_s=at, step=f"step {i}") for i, at in enumerate(times)]


def test_a_run_that_nobody_followed_is_as_planned():
    came = came_of(RUN, [], [], [])
    assert (came.run_s, came.charge_ah, came.film_um, came.film_from) == (1200.0, RUN.charge_ah, 12.0, FilmFrom.PLAN)


def test_a_followed_run_has_the_charge_that_passed():
    read = [Reading(run=1, at_s=300.0, current_a=2.0), Reading(run=1, at_s=1000.0, current_a=2.0),
            Reading(run=1, at_s=1500.0, current_a=0.1)]  # fmt: skip
    came = came_of(RUN, read, begun(0.0, 1400.0), [])
    assert came.run_s == 1400.0
    assert came.charge_ah == pytest.approx((0.5 * 300 * 2 + 1100 * 2) / 3600)
    assert came.film_um == pytest.approx(12.0 * came.charge_ah / RUN.charge_ah)
    assert came.film_from is FilmFrom.CHARGE


def test_a_run_without_readings_has_the_planned_current_for_the_time_it_took():
    assert came_of(RUN, [], begun(0.0, 1200.0), []).charge_ah == pytest.approx(RUN.charge_ah)
    assert not came_of(RUN, [], begun(0.0, 1.0), []).is_worth_repeating


def test_a_coating_measured_outside_tells_the_film():
    came = came_of(RUN, [], [], [Outcome(run=1, film_um=10.0), Outcome(run=1, film_um=3.0, place="bore")])
    assert (came.film_um, came.film_from, came.is_followed) == (10.0, FilmFrom.MEASURED, False)


def test_the_charge_within_the_ramp_is_that_of_the_ramp():
    assert charge_until_c(RUN, [], 100.0) == pytest.approx(0.5 * 100.0 * 1.0)


def test_where_nothing_was_read_the_ramp_is_as_planned():
    """By hand: 3 A after a ramp of 300 s; read early at its plan, then late at the plan."""
    read = [Reading(run=1, at_s=100.0, current_a=1.0), Reading(run=1, at_s=900.0, current_a=3.0)]
    assert charge_until_c(RUN, read, 900.0) == pytest.approx(0.5 * 300.0 * 3.0 + 600.0 * 3.0)
    ahead = [Reading(run=1, at_s=100.0, current_a=2.0), read[1]]  # 1 A too much, gone as the ramp ends
    assert charge_until_c(RUN, ahead, 900.0) == pytest.approx(0.5 * 300.0 * 3.0 + 600.0 * 3.0 + 0.5 * 300.0 * 1.0)


@pytest.fixture
def book(tmp_path):
    with Logbook(tmp_path / "logbook.sqlite") as made:
        yield made


def kept(book, day, *times, film_um=None):
    run, _ = book.add_run(msgspec.structs.replace(RUN, number=0, when=f"2026-03-{day:02}T10:00", key=str(day)))
    for at in times:
        book.begin(Begun(run=run.number, at_s=at, step=f"step {at}"))
    if film_um is not None:
        book.add_outcome(Outcome(run=run.number, film_um=film_um))
    return run.number


def test_a_colour_is_repeated_from_the_run_that_is_known_best(book):
    kept(book, 1)
    kept(book, 2)
    assert book.to_repeat("moss green")[0].number == 2
    followed = kept(book, 3, 0.0, 1300.0)
    kept(book, 4)
    assert book.to_repeat("moss green")[0].number == followed
    measured = kept(book, 5, film_um=13.0)
    kept(book, 6, 0.0, 1300.0)
    run, came = book.to_repeat("moss green")
    assert (run.number, came.film_um) == (measured, 13.0)


def test_of_several_runs_of_a_colour_the_one_that_was_judged_good_is_repeated_and_it_is_told_why(book):
    numbers = [kept(book, day, film_um=11.0 + day) for day in (1, 2, 3, 4)]
    book.add_outcome(Outcome(run=numbers[1], judged="good", colour="deep moss"))
    book.add_outcome(Outcome(run=numbers[3], fault="streaks"))  # the latest
    run, came = book.to_repeat("moss green")
    assert run.number == numbers[1]
    assert came.why == (Why.NOT_BAD, Why.GOOD, Why.SHADE)
    book.correct("run", numbers[2], alloy="6061")
    assert book.to_repeat("moss green", alloy="6061")[0].number == numbers[2]
    book.strike(numbers[1], True)
    assert book.to_repeat("moss green")[0].number == numbers[2]
    assert [each.number for each in book.runs()] == [1, 3, 4]
    assert [each.number for each in book.runs(with_struck=True)] == [1, 2, 3, 4]
    book.strike(numbers[1], False)
    assert book.to_repeat("moss green")[0].number == numbers[1]


def test_the_run_at_the_tank_is_not_struck_out(book):
    run, _ = book.add_run(msgspec.structs.replace(RUN, number=0, when=now(), key="now"))
    book.begin(Begun(run=run.number, at_s=0.0, step="anodise"))
    assert book.logged(run).is_unfinished
    with pytest.raises(BadInput, match="is at the tank; end it first"):
        book.strike(run.number, True)


def test_a_run_with_hardly_any_charge_is_no_colour_to_repeat(book):
    kept(book, 1, 0.0, 1.0)
    with pytest.raises(BadInput, match="run 1 had hardly any charge"):
        book.to_repeat("moss green")
    kept(book, 2)
    kept(book, 3, 0.0, 1.0)
    assert book.to_repeat("moss green")[0].number == 2


def test_a_reading_taken_back_is_gone_and_stays_as_history(book):
    number = kept(book, 1)
    with pytest.raises(BadInput, match="no line to take back"):
        book.undo(number)
    book.add_reading(Reading(run=number, at_s=60.0, current_a=0.6))
    book.add_reading(Reading(run=number, at_s=120.0, current_a=3.1))
    assert book.undo(number).current_a == 3.1
    assert [each.at_s for each in book.readings(number)] == [60.0]
    assert [was["current_a"] for _, _, was in book.database.readings_before(number)] == [3.1]


def test_amperes_that_the_power_supply_cannot_give_are_refused(book):
    number = kept(book, 1)
    with pytest.raises(BadInput, match=r"38\.5 A cannot be: the power supply gives 5 A"):
        book.add_reading(Reading(run=number, at_s=60.0, current_a=38.5))
    book.add_reading(Reading(run=number, at_s=60.0, current_a=5.4))  # within what `check` takes, 1.1 of the limit


def test_no_coating_is_taken_while_the_current_is_on(book):
    number = kept(book, 1, 0.0)
    with pytest.raises(BadInput, match=r"run 1 is still on, .* areacalc logbook correct 1"):
        book.add_outcome(Outcome(run=number, film_um=12.5))
    book.add_outcome(Outcome(run=number, fault="a streak"))
    book.begin(Begun(run=number, at_s=1300.0, step="rinse"))
    assert book.add_outcome(Outcome(run=number, film_um=12.5)).film_um == 12.5
