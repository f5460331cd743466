"""Runs of a simulated tank, judged: what is lost is told, and what is normal raises no alarm."""

import pytest
from simulated_tank import desk_set, read_run

from areacalc.run.alarms import AlarmKind
from areacalc.run.judged import followed

RUNS = 100


def alarms(plan, readings):
    """When each alarm was raised, and its kind."""
    judged = followed(plan, readings).judged
    return [(one.reading.at_s, alarm.kind) for one in judged for alarm in one.alarms]


def lost_knob(plan):
    """The share of the area that the smallest part of the load takes."""
    knob = plan.throw.parts[2].effective.estimate.value / plan.parts[2].line.count
    return knob / plan.throw.effective.estimate.value


def test_a_lost_contact_is_told_and_a_normal_run_is_not():
    plan = desk_set()
    assert alarms(plan, read_run(plan, 0, every_s=60.0)) == []
    found = alarms(plan, read_run(plan, 0, every_s=60.0, lost_share=lost_knob(plan), until_s=800.0))
    assert found[0] == (720.0, AlarmKind.LESS_AREA)


@pytest.mark.slow
def test_normal_runs_raise_no_alarm_in_99_of_100():
    plan = desk_set()
    raised = [seed for seed in range(RUNS) if alarms(plan, read_run(plan, seed))]
    assert len(raised) <= RUNS // 100


@pytest.mark.slow
def test_the_smallest_part_without_contact_at_minute_12_is_told_within_a_minute_in_95_of_100():
    plan, share, told = desk_set(), lost_knob(desk_set()), 0
    for seed in range(RUNS):
        found = alarms(plan, read_run(plan, RUNS + seed, lost_share=share, lost_at_s=710.0, until_s=800.0))
        told += bool(found) and 710.0 <= found[0][0] <= 770.0 and found[0][1] is AlarmKind.LESS_AREA
    assert told >= 95
