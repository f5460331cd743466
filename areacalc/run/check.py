"""What one reading of volts, amperes and temperature says about the area that is really wet."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.errors import BadInput
from areacalc.figure import Figure, given
from areacalc.logbook.records import Reading
from areacalc.plan.plan import Plan
from areacalc.run.alarms import Alarm, AlarmKind
from areacalc.run.judged import followed
from areacalc.sources import Kind, Source

_AREA = Source(Kind.DERIVED, "current over the density that the volts imply; coating so far and rack take their share")
_FAR = 0.5
LEAST_READ = 1e-6
"""The least volts and amperes that are taken for a reading: a millionth, which no meter on a power supply shows."""
_OF_AREA = (AlarmKind.LESS_AREA, AlarmKind.MORE_AREA, AlarmKind.BURNING)


@dataclass(frozen=True, slots=True)
class Checked:
    """The area a reading implies [mm2], the planned one, and the alarm where they cannot be the same.

    proves_little: the law of volts is known too loosely for the reading to tell much.
    """

    implied: Figure
    planned: Figure
    alarm: Alarm | None
    proves_little: bool


def checked(plan: Plan, volts_v: float, current_a: float, temperature_c: float | None, full_s: float) -> Checked:
    """Compare a reading with the plan's effective area, which is what the meters see, by the rule of a live run.

    full_s: how long the full current has flowed, once it was brought up. temperature_c: the bath now; None: as planned.
    Raises OutOfRange for a bath outside -5 to 40 C, BadInput for a reading that no run gives.
    """
    for what, value, unit in (("volts", volts_v, "V"), ("amperes", current_a, "A")):
        if not value >= LEAST_READ:
            raise BadInput(
                "meters", f"{value:g} {unit} cannot be the {what} of a run", "read both while the current flows"
            )
    at_s = plan.run.course.setting.ramp_s + full_s
    reading = Reading(run=0, at_s=at_s, volts_v=volts_v, current_a=current_a, temperature_c=temperature_c)
    found = followed(plan, [reading]).judged[0]
    assert found.area is not None
    read = (given("volts read", volts_v, "V"), given("amperes read", current_a, "A"),
            given("minutes so far", at_s / 60.0, "min"))  # fmt: skip
    formula = "amperes / exp((volts - rack - rise x coating - law at 1 A/dm2) / V0)"
    implied = Figure("area the meters imply", found.area, "mm2", formula, _AREA, (*read, *plan.run.inputs))
    alarm = next((alarm for alarm in found.alarms if alarm.kind in _OF_AREA), None)
    return Checked(implied, plan.throw.effective, alarm, found.area.width > _FAR * found.area.value)
