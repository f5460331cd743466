"""Words for the current through a run, raised, held, held down; and for a coating larger than asked."""

from areacalc.bath.course import LimitedBy
from areacalc.load.load import EVEN_CHANCE
from areacalc.plan.plan import Plan
from areacalc.report.figures import shown, value_text
from areacalc.report.words.at_the_tank import aimed_words
from areacalc.report.words.places import Keys

_LARGER = 1.02  # chosen: a coating this much thicker than asked wants a reason


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


def coating_reason(plan: Plan, inch: bool = False) -> str:
    """Why the coating planned is thicker than asked; "" where it is not."""
    certainty, wanted = plan.load.finish.certainty, plan.figures["coating-wanted"]
    larger = plan.film.film.estimate.value > _LARGER * wanted.estimate.value
    if not larger or certainty <= EVEN_CHANCE:
        return ""
    told = aimed_words(value_text(wanted, inch), value_text(plan.figures["coating"], inch), certainty)
    return f"{told} ({Keys():finish.certainty})"
