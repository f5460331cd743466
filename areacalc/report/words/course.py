"""Words for the current through a run: raised, held, held down."""

from areacalc.bath.course import LimitedBy
from areacalc.plan.plan import Plan
from areacalc.report.figures import shown, value_text


def course_words(plan: Plan) -> str:
    """How the current goes from span to span: 'raise to 3 A over 5 min, then hold to 21.3 min'."""
    told = []
    for by, start_s, end_s in plan.run.spans():
        end = shown(end_s, "s")
        told.append({
            LimitedBy.RAMP: f"raise to {value_text(plan.figures['current'])} over {shown(end_s - start_s, 's')}",
            LimitedBy.SETTING: f"hold to {end}",
            LimitedBy.VOLTAGE: f"the power supply's volts limit it until {end}",
            LimitedBy.CURRENT: f"the power supply's amperes limit it until {end}",
        }[by])  # fmt: skip
    return ", then ".join(told)
