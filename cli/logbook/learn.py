"""What the logged runs of a bath teach, what it would change in the next plan, and writing it to the bath's record."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Annotated

from typer import Option

from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.fact import quantity
from areacalc.surface.air.drag_out import FILM_ML_PER_M2

from .. import show as out
from ..options import LoadFile, Show, ShowOption
from ..write import done

if TYPE_CHECKING:
    from areacalc.logbook.came import Logged
    from areacalc.logbook.logbook import Logbook
    from areacalc.plan.load_book import LoadBook
    from areacalc.plan.plan import Plan
    from areacalc.run.learn import Learned

Accept = Annotated[bool, Option("--accept", help="Write what was learned to the bath that the load names.")]
_SLOPES = ("half_density_voltage", "")
AS_PLANNED = "as planned with"
_SHOWN = ("time", "voltage-start", "voltage-end", "coating", "warming", "drag-out")


def learn(load_file: LoadFile, accept: Accept = False, show: ShowOption = Show.MM) -> None:
    """Learn from the runs logged in a bath: volts, coating, cooling, and what changes in the next plan.

    Nothing changes until you accept it.

    Example: areacalc logbook learn desk-set.toml --accept
    """
    from areacalc.logbook.logbook import Logbook
    from areacalc.plan.load_book import LoadBook
    from areacalc.report.words.telling import joined
    from areacalc.run.learn import bath_keys, learn

    held = LoadBook(load_file)
    name = held.names.get("bath")
    if accept and name is None:
        raise BadInput("--accept", "needs a load that names its bath",
                       "areacalc logbook bath NAME --from LOAD keeps the bath; then take [bath] out and write "
                       "bath = \"NAME\" above the first [[part]]")  # fmt: skip
    with Logbook() as book:
        made, logged = held.plan(), _logged(book, held)
        learned = learn(made, logged, book.events(book.vessel("bath", name)) if name else ())
        keys = bath_keys(learned, made)
        if not keys and learned.film is None:
            runs = joined([f"run {each.run.number}" for each in logged])
            had = f"{runs} of this bath, with readings or results, teach too little" if runs else "no run has readings"
            out.say(f"Nothing can be learned yet: {had}. Log volts, amperes and bath of a run (areacalc run), and the "
                    "coating you measure.")  # fmt: skip
            return
        inch = show is Show.IN
        _tell(learned, made, inch)
        if learned.film is not None and "measured_coating" not in keys:
            out.say("The coatings lie too far apart to plan with: measured_coating is not written.")
        if learned.bores is not None and "bore_slope" not in keys:
            out.say("The slope down bores is known no better than before: bore_slope is not written.")
        if not keys:
            return
        unnamed = sum(each.run.bath is None for each in logged)
        if name is not None and unnamed:
            out.say(f"Used too: {out.counted(unnamed, 'run')} of {made.load.name} logged before its bath had a name.")
        _changes(made, held.plan_in_bath(keys), inch)
        if not accept:
            _offer(keys, name, held)
            return
        assert name is not None
        vessel = book.vessel("bath", name)
        with done(f"what was learned is in the record of {vessel.name}"):
            book.keep_vessel("bath", vessel.name, {**vessel.settings, **keys})
    out.say(f"Written to the record of {vessel.name}; what stood there stays as history.")


def _logged(book: Logbook, held: LoadBook) -> list[Logged]:
    """The runs of the bath that the load names, and of the load before it named one, with readings or results."""
    name = held.names.get("bath")
    named = held.load().name
    bath = book.vessel("bath", name) if name else None
    runs = book.runs_in(bath, load=named) if bath else [run for run in book.runs() if run.load == named]
    return [each for each in map(book.logged, runs) if each.readings or each.outcomes]


def _tell(learned: Learned, plan: Plan, inch: bool) -> None:
    from areacalc.report.figures import shown, whole_quantity
    from areacalc.run.learn import COATED_MIN

    cases, law, today = plan.run.course.cases, plan.run.course.cases.bath.law, plan.load.bath
    evening = today.bore_slope or law.evening
    density, bath_c = learned.density_a_per_dm2, learned.bath_c
    at = shown(density, "A/dm2", inch)
    per_min, half, acid = density * COATED_MIN, math.log(2.0), cases.bath.acid_g_per_l
    rows = (
        (f"volts at {at}, {shown(bath_c, 'C', inch)}", "measured_voltage", learned.volts, 1.0, "V",
         law.volts_v(density, bath_c, acid)),
        ("volts less at half that density", "half_density_voltage", learned.per_e_fold, half, "V",
         float(cases.e_fold_v[0])),
        ("volts less at half density, by bores", "bore_slope", learned.bores, half, "V", evening.value),
        ("change for each degree warmer", "", learned.per_k, 1.0, "V/K",
         law.volts_v(density, bath_c + 0.5, acid) - law.volts_v(density, bath_c - 0.5, acid)),
        (f"coating after {COATED_MIN:g} min at {at}", "measured_coating", learned.film, per_min, "um",
         float(cases.um_per_a_min_per_dm2[0])),
        ("heat that the cooling takes", "cooling", learned.cooling, 1.0, "W", float(cases.cooling_w[0])),
        ("current given, of what is set", "", learned.given, 100.0, "%", 1.0),
        ("liquid carried out, as a layer", "drag_out", learned.drag_out, 1.0, "um",
         (today.drag_out or FILM_ML_PER_M2).value),
    )  # fmt: skip
    cells = [(what, key, whole_quantity(quantity(found.estimate.scaled(times), unit), inch) if found else AS_PLANNED,
              whole_quantity(quantity(times * was, unit), inch), str(found.readings) if found else "")
             for what, key, found, times, unit, was in rows if found or (learned.volts and key in _SLOPES)]  # fmt: skip
    out.table(f"What {out.counted(learned.runs, 'run')} taught", ("", "key", "learned", "planned with", "readings"),
              cells, right=(2, 3, 4))  # fmt: skip
    for what, lesson in (("volts", learned.volts), ("coatings", learned.film)):
        if lesson and lesson.scatter and lesson.scatter.disagrees:
            out_of_line = lesson.scatter.stands_out
            who = f"run {out_of_line}" if out_of_line else "no one run"
            out.say(f"The {what} of the runs scatter far more than the meters account for: {who} stands out.")
    if learned.left_out:
        out.say(f"Left out: {out.counted(learned.left_out, 'entry')} that cannot be: volts, amperes or a bath that "
                "this tank never had, or a coating that the charge does not make.")  # fmt: skip
    if learned.of_other_alloys:
        out.say(f"Left out: coatings of {out.counted(learned.of_other_alloys, 'run')} on other alloys.")


def _changes(now: Plan, then: Plan, inch: bool) -> None:
    from areacalc.report.figures import whole_text

    bores = [name for name in now.figures if re.fullmatch(r"bores-\d+\.coating", name) and name in then.figures]
    both = [(now.figures[name], then.figures[name]) for name in (*_SHOWN, *bores)]
    cells = [(a.name, was, then_is, _change(a.estimate, b.estimate)) for a, b in both
             if (was := whole_text(a, inch)) != (then_is := whole_text(b, inch))]  # fmt: skip
    out.table("What changes in the next plan", ("", "now", "then", "change"), cells, right=(1, 2, 3))


def _change(now: Estimate, then: Estimate) -> str:
    if now.value == 0.0:
        return ""
    return f"{100.0 * (then.value / now.value - 1.0):+.1f} %"


def _offer(keys: dict[str, str], name: str | None, held: LoadBook) -> None:
    if name is not None:
        out.say(f"Nothing is changed yet: areacalc logbook learn {held.path} --accept writes it to the bath {name}.")
        return
    out.say("Nothing is changed. To use it, put these lines, fitted to your runs, under [bath], or name the bath:")
    for key, value in keys.items():
        out.line(f'{key} = "{value}"  # fitted')
