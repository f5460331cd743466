"""`areacalc run`: the clock, what to do now, what the meters should show, and alarms, while the current flows."""

from __future__ import annotations

import sys
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING, Annotated

import typer
from typer import Option

from areacalc.errors import BadInput
from areacalc.logbook.records import Run

from .. import show as out
from ..options import LoadFile, Show, ShowOption
from ..write import done

if TYPE_CHECKING:
    from areacalc.logbook.logbook import Logbook
    from areacalc.plan.load_book import LoadBook
    from areacalc.plan.plan import Plan

_LONG_AGO_H, _SLIP_H = 24.0, 12.0  # chosen
# of a changed load, told before others
_FIRST = ("current", "area", "time", "coating", "voltage-supply")
_TOLD = 3
Began = Annotated[
    str | None,
    Option("--began", metavar="TIME", help="When the current was switched on, such as 10:31 (default: now)."),
]
Speed = Annotated[
    float, Option(min=1.0, max=10_000.0, metavar="TIMES",
                  help="Rehearse with a clock this many times as fast; logged apart."),
]  # fmt: skip
New = Annotated[bool, Option("--new", help="Begin a new run, even if one of this load is going.")]
GoOn = Annotated[
    bool, Option("--go-on", help="Go on with the run of this load as it was begun, whatever the file says now.")
]


def run(
    load_file: LoadFile, began: Began = None, new: New = False, go_on: GoOn = False, speed: Speed = 1.0,
    show: ShowOption = Show.MM,
) -> None:  # fmt: skip
    """Follow a run at the tank: what to do now, what to expect, alarms; rinse, dye and seal by the clock.

    Type volts, amperes and the bath (C, or F with --show in) as you read them, or let a meter send them line by line on
    standard input. Each line goes into the logbook at once: after a crash the same command picks the run up again, by
    the plan that the run was begun with.

    Example: areacalc run desk-set.toml
    """
    from areacalc.logbook.logbook import Logbook, rehearsal_logbook
    from areacalc.plan.load_book import LoadBook

    from ..logbook.runs import local_minutes
    from .loop import follow

    held = LoadBook(load_file)
    with Logbook(rehearsal_logbook() if speed > 1.0 else None) as book:
        if speed > 1.0:
            out.say(
                f"A rehearsal, {speed:g} times as fast. It is kept in {book.path.name}, apart from the shop's logbook."
            )
        there = None if new or (speed > 1.0 and not go_on) else book.at_the_tank(held.load().name)
        if there is None:
            plan = held.plan()
            there = _begun(book, held, plan, began)
            out.say(f"Run {there.number} of {there.load} is in {book.path.name if speed > 1.0 else 'the logbook'}.")
        elif began is not None:
            raise BadInput("--began", f"run {there.number} of this load is at the tank", "leave it out, or give --new")
        else:
            plan = _as_begun(there, held, go_on, show is Show.IN)
            out.say(f"Run {there.number}, begun {local_minutes(there.when)}, goes on.")
        fast = f" --speed {speed:g} --go-on" if speed > 1.0 else ""
        again = f"{load_file}{fast or (' --go-on' if go_on else '')}"
        follow(book, plan, there, speed, show is Show.IN, again)


def _as_begun(run: Run, held: LoadBook, go_on: bool, inch: bool) -> Plan:
    """The plan that a run at the tank was begun with. Raises BadInput where the load file plans another run now."""
    from areacalc.plan.load_book import LoadBook

    if not run.text:
        return held.plan()
    then = LoadBook.of(run)
    plan = then.plan()
    if go_on or (then.data == held.data and run.folder == held.written()["folder"]):
        return plan
    if differ := _differences(plan, held.plan(), inch):
        raise BadInput(str(held.path), f"this load differs from the one run {run.number} was begun with: {differ}",
                       "--go-on goes on with the run as it was begun, --new begins one")  # fmt: skip
    return plan


def _differences(then: Plan, now: Plan, inch: bool) -> str:
    """What two plans have otherwise, in words, the current first; "" where they are the same run."""
    from areacalc.report.figures import value_text

    from ..plan_tables import moved_figures

    told = [f"{name} {was or 'none'} then, {now_is or 'none'} now"
            for name, was, now_is in moved_figures(then, now, lambda each: value_text(each, inch), _FIRST)]  # fmt: skip
    return "; ".join(told[:_TOLD]) or ("" if then.steps == now.steps else "other steps")


def _begun(book: Logbook, load: LoadBook, plan: Plan, began: str | None) -> Run:
    """A run begun now, or at the time told. Raises BadInput, CannotRun."""
    from areacalc.run.held import begin

    from ..logbook.runs import local_minutes

    name = plan.load.name
    if (old := book.forgotten(name)) is not None:
        out.say(f"Run {old.number}, begun {local_minutes(old.when)}, was never ended: areacalc logbook correct "
                f"{old.number} --ended ... says when.")  # fmt: skip
    when = None if began is None else _moment(began)
    if plan.can_run:
        _before(plan, when is None)
    with done("the run is in the logbook"):
        made = begin(book, load, plan, when)
    return made


def _before(plan: Plan, wait: bool) -> None:
    """What can hurt; a person at a terminal then says when the current is switched on."""
    from areacalc.bath.cautions import Hazard

    out.short_cautions(Hazard.SPLASH, Hazard.ALONE)
    if wait and sys.stdin and sys.stdin.isatty():
        typer.echo(
            "Turn the current down to zero, switch it on, and press Enter at that moment. Ctrl-C stops. ", nl=False
        )
        if not sys.stdin.readline():
            raise typer.Abort


def _moment(text: str) -> str:
    """A time of the day, or a date and time, as ISO 8601; a time still to come today was yesterday's. Raises BadInput.

    A time that is long ago is a slip of the hand.
    """
    from ..logbook.runs import moment

    here = datetime.now().astimezone()
    try:
        at = datetime.combine(here, time.fromisoformat(text if text.find(":") != 1 else f"0{text}")).astimezone()
    except ValueError:
        if "-" not in text and ":" in text:
            raise BadInput("--began", f"'{text}' is not a time of day", "write it like 10:31") from None
        began = datetime.fromisoformat(moment(text, "--began")).astimezone()
        if here - began > timedelta(hours=_LONG_AGO_H):
            raise BadInput("--began", f"'{text}' is long ago", "write down a run that is over: areacalc logbook add"
                           ) from None  # fmt: skip
        return began.isoformat()
    if at > here:
        at -= timedelta(days=1)
    if here - at > timedelta(hours=_SLIP_H):
        raise BadInput("--began", f"'{text}' is still to come: it is {here:%H:%M}", "give when the current came on")
    return at.isoformat()
