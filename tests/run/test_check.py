"""The area that volts and amperes imply, and what would explain it."""

import functools
import itertools
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.bath.film import DEFAULT_RULE
from areacalc.bath.voltage import rise_per_um
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.plan.load_book import LoadBook
from areacalc.plant.supply import Meters
from areacalc.report.plan_document import verdict
from areacalc.report.words.at_the_tank import alarm_words
from areacalc.report.words.tell import tell
from areacalc.run.alarms import AlarmKind, CauseKind, area_alarm
from areacalc.run.judged import checked

DESK_SET = Path(__file__).parents[2] / "sample_models" / "desk-set.toml"


@functools.cache
def planned():
    book = LoadBook(DESK_SET)
    book.data["bath"] |= {"measured_voltage": "17.6 V", "measured_density": "2.31 A/dm2"}
    return book.plan()


@pytest.fixture
def plan():
    return planned()


def reading(plan, area_mm2, current_a=3.0, time_s=0.0):
    """What the meters show where this area is wet: the law, the film so far and the rack, put together again."""
    density = current_a / (area_mm2 * 1e-4)
    minutes = (0.5 * plan.load.supply.ramp_s + time_s) / 60.0
    film_um = DEFAULT_RULE.film_per_charge.value * current_a * minutes / (plan.throw.effective.estimate.value * 1e-4)
    volts = plan.load.bath.law.volts_v(density, 20.0, 180.0) + rise_per_um(20.0).value * film_um
    volts += current_a * plan.plant.rack.resistance.estimate.value
    return volts, current_a, 20.0, time_s


@given(st.floats(8e3, 2e4), st.floats(2.0, 4.0), st.floats(0.0, 1200.0))
@settings(deadline=None, max_examples=8)
def test_the_area_put_into_the_meters_comes_back(area_mm2, current_a, time_s):
    plan = planned()
    found = checked(plan, *reading(plan, area_mm2, current_a, time_s)).implied.estimate
    assert found.value == pytest.approx(area_mm2, rel=3e-4)  # the bath as it began is found from one reading
    assert found.low <= area_mm2 <= found.high


def test_a_good_run_agrees(plan):
    found = checked(plan, *reading(plan, plan.throw.effective.estimate.value))
    assert found.agrees
    assert verdict(found) == "The meters agree with the planned area."


@given(st.floats(-0.1, 0.1), st.floats(-0.01, 0.01), st.floats(-0.5, 0.5), st.floats(0.0, 900.0))
@settings(deadline=None, max_examples=8)
def test_meters_that_are_off_by_as_much_as_they_may_be_raise_no_alarm(volts_v, amps_share, warmer_k, time_s):
    """A perfect run, whose meters alone are not perfect."""
    plan = planned()
    volts, amps, bath, time_s = reading(plan, plan.throw.effective.estimate.value, time_s=time_s)
    assert checked(plan, volts + volts_v, amps * (1.0 + amps_share), bath + warmer_k, time_s).agrees


def test_a_lost_contact_is_named(plan):
    whole, body = (f.estimate.value for f in (plan.throw.effective, plan.throw.parts[0].effective))
    found = checked(plan, *reading(plan, whole - body))
    assert "a part has lost its contact" in verdict(found)
    assert tell(found.alarms[0].causes[0].fact) == "1 x pen body with no contact"


def test_air_in_the_bore_is_named_by_good_meters(plan):
    plan = replace(plan, load=replace(plan.load, meters=Meters(0.02, 0.002, 0.1)))
    whole = plan.throw.effective.estimate.value
    bore = next(r for r in plan.parts[0].rows if r.feature.name == "bore-1").area_mm2.value
    bore *= plan.bores[0].thrown.mean_share.estimate.value
    causes = [tell(c.fact) for c in checked(plan, *reading(plan, whole - bore)).alarms[0].causes]
    assert "air in bore-1 of one pen body" in causes


def test_a_plug_out_is_named(plan):
    whole = plan.throw.effective.estimate.value
    bore = next(r for r in plan.parts[1].rows if r.feature.name == "blind-bore-1").area_mm2.value
    found = checked(plan, *reading(plan, whole + 2.0 * bore))
    assert "a plug is out" in verdict(found)


def area(value, low, high):
    return Estimate(value, low, high)


def test_every_kind_of_part_whose_loss_fits_is_named_the_nearest_first(plan):
    whole = plan.throw.effective.estimate.value
    kinds = {p.line.name: (t.effective.estimate.value / p.line.count, p.line.count)
             for p, t in zip(plan.parts, plan.throw.parts, strict=True)}  # fmt: skip
    low, value, high = 0.3 * whole, 0.6 * whole, 0.98 * whole
    alarm = area_alarm(plan, area(value, low, high), Estimate.exact(whole))
    fits = {name for name, (one, count) in kinds.items()
            if any(low <= whole - n * one <= high for n in range(1, count + 1))}  # fmt: skip
    told = [each for each in alarm.told if each.fact.kind is CauseKind.NO_CONTACT]
    assert {each.fact["part"] for each in told} == fits
    assert len(fits) > 2
    off = [abs(each.area_mm2 - value) / whole for each in told]
    assert all(first <= then + 0.01 for first, then in itertools.pairwise(off))
    words = alarm_words(alarm)
    assert all(f"x {name} with no contact" in words for name in fits)


def test_a_plug_that_explains_next_to_nothing_is_no_cause(plan):
    whole = plan.throw.effective.estimate.value
    alarm = area_alarm(plan, area(2.0 * whole, 1.0001 * whole, 3.0 * whole), Estimate.exact(whole))
    assert (alarm.kind, alarm.causes) == (AlarmKind.BURNING, ())


def test_a_law_that_is_not_set_right_says_that_it_can_tell_little():
    loose = LoadBook(DESK_SET).plan()
    found = checked(loose, 17.6, 3.0, 20.0, 0.0)
    assert found.agrees
    assert "cannot tell yet" in verdict(found)
    assert found.implied.estimate.width > 5 * loose.figures["area"].estimate.width


@pytest.mark.parametrize(("read", "says"), [
    ((22.0, 2.5, 20.0, 0.0), "The readings point to 46 % of the planned area: a contact may be lost"),
    ((17.6, 3.0, 26.0, 0.0), "The bath is at 26 C, above the 22 C allowed"),
    ((16.0, 2.5, 20.0, 0.0), "The current is 2.5 A, the plan says 3 A: turn it up"),
])  # fmt: skip
def test_the_verdict_follows_the_worst_of_what_was_read(read, says):
    """By a law known so loosely that 55 cm2 might be 121: the likeliest is told, and nobody turns up half a load."""
    found = checked(LoadBook(DESK_SET).plan(), *read)
    assert not found.agrees
    assert says in verdict(found)
    assert ("turn it up" in verdict(found)) is (read[1:3] == (2.5, 20.0) and read[0] == 16.0)


@pytest.mark.parametrize("supply", [{"voltage": "14 V"}, {"voltage": "18 V", "mode": "constant voltage"}])
def test_a_limit_of_the_power_supply_changes_nothing_of_the_area_that_a_reading_implies(plan, supply):
    """Twice the area at 14 V: what the law wants for the planned one is more volts than that power supply gives."""
    book = LoadBook(DESK_SET)
    book.data["bath"] |= {"measured_voltage": "17.6 V", "measured_density": "2.31 A/dm2"}
    book.data["supply"] |= supply
    volts, amps, *_ = reading(plan, 2.0 * plan.throw.effective.estimate.value)
    free, held = checked(plan, volts, amps, 20.0, 0.0), checked(book.plan(), volts, amps, 20.0, 0.0)
    assert held.implied.estimate.value == pytest.approx(free.implied.estimate.value, rel=0.02)
    assert free.share == pytest.approx(2.0, rel=0.02)
    assert not held.agrees


@pytest.mark.parametrize("values", [(0.0, 3.0), (17.0, 0.0), (17.0, -1.0)])
def test_readings_that_are_none_are_refused(plan, values):
    with pytest.raises(BadInput, match="while the current flows"):
        checked(plan, *values, 20.0, 0.0)


def test_volts_that_the_rack_alone_would_take_are_refused(plan):
    with pytest.raises(BadInput, match="less than rack and coating take"):
        checked(plan, 0.1, 3.0, 20.0, 3600.0)


@pytest.mark.parametrize(("read", "says"), [
    ((1e300, 1.2, 20.0, 0.0), "1e\\+300 V cannot be the volts"),
    ((17.0, 1e-300, 20.0, 0.0), "1e-300 A cannot be the amperes of a run"),
    ((17.0, 1.2, 20.0, -600.0), "-300 s into a run"), ((17.0, 1.2, 90.0, 0.0), "90 C is outside -5 to 40 C"),
    ((float("nan"), 1.2, 20.0, 0.0), "nan V"),
])  # fmt: skip
def test_a_reading_that_no_run_gives_is_refused(plan, read, says):
    with pytest.raises(BadInput, match=says):
        checked(plan, *read)


def test_a_reading_long_past_the_end_says_that_the_current_was_due_off():
    made = LoadBook(DESK_SET).plan()
    assert "Switch off at the power supply: the current was due off at 21 min" in verdict(
        checked(made, 18.0, 3.0, None, 2400.0)
    )
    assert "due off" not in verdict(checked(made, 18.0, 3.0, None, 600.0))


def test_no_current_is_told_as_that_alone():
    said = verdict(checked(LoadBook(DESK_SET).plan(), 18.0, 0.05, None, 0.0))
    assert said.startswith("No current flows")
    assert "points to" not in said
