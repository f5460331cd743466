"""The area that volts and amperes imply, and what would explain it."""

from __future__ import annotations

import functools
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.bath.film import DEFAULT_RULE
from areacalc.bath.voltage import rise_per_um
from areacalc.errors import BadInput
from areacalc.plan.load_book import LoadBook
from areacalc.plan.readings import Reading, back_check

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
    planned = plan.figures["density"].estimate.value
    volts = plan.load.bath.law.volts_v(density, 20.0, 180.0)
    volts += rise_per_um(20.0).value * DEFAULT_RULE.film_per_charge.value * planned * time_s / 60.0
    volts += current_a * plan.plant.rack.resistance.estimate.value
    return Reading(volts, current_a, 20.0, time_s)


@given(st.floats(8e3, 2e4), st.floats(2.0, 4.0), st.floats(0.0, 1200.0))
@settings(deadline=None, max_examples=40)
def test_the_area_put_into_the_meters_comes_back(area_mm2, current_a, time_s):
    plan = planned()
    found = back_check(plan, reading(plan, area_mm2, current_a, time_s)).implied.estimate
    assert found.value == pytest.approx(area_mm2, rel=1e-9)
    assert found.low <= area_mm2 <= found.high


def test_a_good_run_agrees(plan):
    found = back_check(plan, reading(plan, plan.throw.effective.estimate.value))
    assert found.agrees
    assert found.causes == ()


def test_a_lost_contact_is_named(plan):
    whole, body = (f.estimate.value for f in (plan.throw.effective, plan.throw.parts[0].effective))
    found = back_check(plan, reading(plan, whole - body))
    assert not found.agrees
    assert "a contact is lost" in found.verdict
    assert found.causes[0].words == "1 x pen body with no contact"


def test_air_in_the_bore_is_named(plan):
    whole = plan.throw.effective.estimate.value
    bore = next(r for r in plan.parts[0].rows if r.feature.name == "bore-1").area_mm2.value
    bore *= plan.bores[0].thrown.mean_share.estimate.value
    causes = [c.words for c in back_check(plan, reading(plan, whole - bore)).causes]
    assert "air in bore-1 of one pen body" in causes


def test_a_plug_out_is_named(plan):
    whole = plan.throw.effective.estimate.value
    bore = next(r for r in plan.parts[1].rows if r.feature.name == "blind-bore-1").area_mm2.value
    found = back_check(plan, reading(plan, whole + 2.0 * bore))
    assert "a plug is out" in found.verdict


def test_a_law_that_is_not_set_right_says_that_it_can_tell_little():
    loose = LoadBook(DESK_SET).plan()
    found = back_check(loose, Reading(17.6, 3.0, 20.0))
    assert found.agrees
    assert found.implied.estimate.width > 5 * loose.figures["area"].estimate.width


@pytest.mark.parametrize("values", [(0.0, 3.0), (17.0, 0.0), (17.0, -1.0)])
def test_readings_that_are_none_are_refused(values):
    with pytest.raises(BadInput, match="read both"):
        Reading(*values, 20.0)


def test_volts_that_the_rack_alone_would_take_are_refused(plan):
    with pytest.raises(BadInput, match="less than rack and film take"):
        back_check(plan, Reading(0.1, 3.0, 20.0, 3600.0))


@pytest.mark.parametrize(("read", "says"), [
    ((1e300, 1.2, 20.0), "1e\\+300 V are no volts"), ((17.0, 1e-300, 20.0), "1e-300 A are no amperes of a run"),
    ((17.0, 1.2, 20.0, -60.0), "-60 s of full current"), ((17.0, 1.2, 90.0), "90 C is outside -5 to 40 C"),
    ((float("nan"), 1.2, 20.0), "nan V"),
])  # fmt: skip
def test_a_reading_that_no_run_gives_is_refused(plan, read, says):
    with pytest.raises(BadInput, match=says):
        back_check(plan, Reading(*read))
