"""Runs: listed, shown, added, corrected; their readings and what came out of them."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from typer import Argument, Option

from areacalc.digits import three
from areacalc.errors import BadInput, CannotRun
from areacalc.logbook.database import plain
from areacalc.logbook.records import Outcome, Reading
from areacalc.quantity import Dimension

from .. import show as out
from ..grouped import grouped, option
from ..options import Json, LoadFile, Show, ShowOption, known, maybe
from ..write import done

if TYPE_CHECKING:
    from areacalc.logbook.came import Came, Logged

_FIRST_YEAR = 1950  # chosen: an older one is a slip of the hand
_LISTED = 20
_NOT_SHOWN = ("number", "key", "parts", "settings", "text", "folder", "course")
_PLANNED = {
    "current_a": "planned_current_a", "density_a_per_dm2": "planned_density_a_per_dm2", "run_s": "planned_time_s",
    "film_um": "planned_film_um", "planned_ah": "planned_charge_ah",
    "dye_s": "dye_time_s", "seal_s": "seal_time_s", "asked_um": "asked_film_um",
    "supply_a": "power_supply_most_current_a", "supply_v": "power_supply_most_v", "struck": "struck_out",
}  # fmt: skip
_UNITS = {
    "_ah": "Ah", "_a_per_dm2": "A/dm2", "_g_per_l": "g/L", "_mm2": "mm2", "_um": "um", "_a": "A", "_v": "V",
    "_s": "s", "_c": "C", "_l": "L",
}  # fmt: skip

RunName = Annotated[
    str, Argument(metavar="RUN", help="The run's number, or words such as 'moss green' (latest run with them).")
]
OnlyRun = Annotated[str, Argument(metavar="RUN", help="The run's number, or words that only this run has.")]
Words = Annotated[list[str] | None, Argument(metavar="WORDS", help="Only runs with these words in them.")]
Instead = Annotated[
    int | None, Option("--correct", metavar="NO.", help="Number of the entry to correct; the values given replace it.")
]
Strike = Annotated[
    bool | None, Option("--strike/--no-strike", help="Strike the run out: it counts nowhere, and stays.")
]
Remark = Annotated[str | None, Option("--remark", help="Remark worth reading next month.")]


@dataclass(frozen=True)
class ReadOptions:
    """What was read off a run as a whole."""

    when: str | None = option("When the run began: 2026-03-03T10:00.", metavar="DATE")
    ended: str | None = option("When the run ended.", metavar="DATE")
    start_volts: str | None = option("Volts at the start.", metavar="V")
    end_volts: str | None = option("Volts at the end.", metavar="V")
    end_temperature: str | None = option("Bath temperature at the end.", metavar="T")
    dye_time: str | None = option("Time in the dye.", metavar="TIME")
    seal_time: str | None = option("Time in the seal.", metavar="TIME")
    remark: Remark = None

    def fields(self) -> dict[str, Any]:
        """What was told, by the field of a run; not when it began, nor the remark. Raises BadInput."""
        return known({
            "start_v": maybe(self.start_volts, Dimension.VOLTAGE, "--start-volts"),
            "end_v": maybe(self.end_volts, Dimension.VOLTAGE, "--end-volts"),
            "end_temperature_c": maybe(self.end_temperature, Dimension.TEMPERATURE, "--end-temperature"),
            "dye_s": maybe(self.dye_time, Dimension.TIME, "--dye-time"),
            "seal_s": maybe(self.seal_time, Dimension.TIME, "--seal-time"),
            "ended": None if self.ended is None else moment(self.ended, "--ended"),
        })  # fmt: skip


def list_(words: Words = None, show: ShowOption = Show.MM, json: Json = False) -> None:
    """List the runs, latest last; with words, the runs that contain all of them.

    Example: areacalc logbook list moss green
    """
    from areacalc.logbook.logbook import Logbook

    with Logbook() as book:
        runs = [each for each in map(book.logged, book.runs(True)) if each.holds(words or ())]
    logged = runs if json else runs[-_LISTED:]
    if json:
        from areacalc.report.logbook_document import logbook_document

        out.json_out(logbook_document(logged))
        return
    if not runs:
        out.say("No such runs." if words else "No runs yet; areacalc logbook add LOAD writes one down.")
        return
    film = "mil" if show is Show.IN else "um"
    heads = ("run", "when", "load", "min", "Ah", film, "state", "colour", "remark")
    rows = [_row(each, show) for each in logged]
    shown = len(heads) if any(row[-1] for row in rows) else len(heads) - 1  # no remarks: room for the rest
    out.table(book.path.name, heads[:shown], [row[:shown] for row in rows], right=(0, 3, 4, 5))
    for each in logged:
        if not (each.came.is_worth_repeating or each.run.struck):
            out.say(f"Run {each.run.number} had hardly any charge: there is no colour to repeat.")
    if len(runs) > _LISTED:
        out.say(f"{len(runs) - _LISTED} earlier runs are not shown; name words of theirs, or give --json.")


def show(run_name: RunName, show: ShowOption = Show.MM) -> None:
    """Show one run: plan, readings, results, corrections.

    Example: areacalc logbook show "moss green"
    """
    from areacalc.logbook.came import FilmFrom
    from areacalc.logbook.logbook import Logbook
    from areacalc.report.figures import shown
    from areacalc.report.words.at_the_tank import into_run

    inch = show is Show.IN
    with Logbook() as book:
        found = book.named(run_name)
        run, logged = found.number, book.logged(found)
        readings, outcomes, came = logged.readings, logged.outcomes, logged.came
        before = [("run", run, at, was) for at, was in book.database.history("run", run)]
        before += [
            ("result", o.number, at, was) for o in outcomes for at, was in book.database.history("outcome", o.number)
        ]
        before += [("reading", n, at, was) for n, at, was in book.database.readings_before(run)]
    said = {k: v for k, v in plain(found).items() if v not in (None, "") and k not in _NOT_SHOWN}
    said |= {k: local_minutes(said[k]) for k in ("when", "ended", "struck") if k in said}
    out.table(f"Run {run}", ("", ""), [_told(_PLANNED.get(k, k), v, inch) for k, v in said.items()])
    of_the_day = (("current flowed", shown(came.run_s, "s")), ("charge", f"{three(came.charge_ah)} Ah"))
    film = ("coating", f"{shown(came.film_um, 'um', inch)} {came.film_from.value}")
    if came.is_followed or came.film_from is not FilmFrom.PLAN:
        rows = [*(of_the_day if came.is_followed else ()), film]
        out.table("As it went", ("", ""), [("current flowed", "none")] if came.is_none else rows)
    parts = [(f"{p.count} x", p.name, shown(p.area_mm2, "mm2", inch)) for p in found.parts]
    if parts:
        out.table("Parts", ("", "part", "area of one"), parts, right=(0, 2))
    cells = [(str(r.number), into_run(r.at_s), *(("" if v is None else shown(v, unit, inch)) for v, unit in (
              (r.volts_v, "V"), (r.current_a, "A"), (r.temperature_c, "C"))), r.remark)
             for r in readings]  # fmt: skip
    if cells:
        out.table("Readings", ("no.", "after", "volts", "amperes", "bath", "remark"), cells, right=(0, 1, 2, 3, 4))
    after = [(str(o.number), "" if o.film_um is None else shown(o.film_um, "um", inch), o.place, o.how, o.colour,
              o.judged, o.fault, o.photo, o.remark) for o in outcomes]  # fmt: skip
    if after:
        out.table("Results", ("no.", "coating", "where", "how", "colour", "judged", "fault", "photo", "remark"), after)
    kept = {("run", run): plain(found), **{("reading", r.number): plain(r) for r in readings},
            **{("result", o.number): plain(o) for o in outcomes}}  # fmt: skip
    for kind, number, at, was in before:
        now, when = kept.get((kind, number)), local_minutes(at)
        known = {k: v for k, v in was.items() if v not in (None, "") and (now is None or now.get(k) != v)}
        told = ", ".join(" ".join(_told(k, v, inch)) for k, v in known.items() if k not in ("number", "run"))
        if now is None:
            out.say(f"Taken back {when}, {kind} {number}: {told}.")
        elif told:  # what was filled in later is no correction
            out.say(f"Corrected {when}; until then {kind} {number} had {told}.")


@grouped
def add(load_file: LoadFile, read: ReadOptions) -> None:
    """Add a run of a load, as planned and as read, so that it can be repeated.

    Example: areacalc logbook add desk-set.toml --start-volts "16.8 V" --remark "even, deep"
    """
    from areacalc.logbook.logbook import Logbook
    from areacalc.plan.entry import run_of
    from areacalc.plan.load_book import LoadBook

    begun, fields = moment(read.when, "--when"), read.fields()
    book = LoadBook(load_file)
    made = book.plan()
    if not made.can_run:
        raise CannotRun(made.load.source, "the plan cannot be run as it stands, so no such run is logged",
                        "areacalc plan tells why; change the load file to what was run")  # fmt: skip
    planned = run_of(made, begun, read.remark or "", book.data, **book.written(), **fields)
    with as_typed(), Logbook() as logbook, done("the run is in the logbook"):
        run, there = logbook.add_run(planned)
    if there:
        out.say(f"Run {run.number} is this run already; nothing was added.")
    else:
        out.say(f"Run {run.number} is in the logbook. areacalc logbook result {run.number} adds what came out.")


def reading(
    run: OnlyRun,
    after: Annotated[str, Option("--after", metavar="TIME", help="Time since the start.")],
    volts: Annotated[str | None, Option(metavar="V", help="Volts at the power supply.")] = None,
    amps: Annotated[str | None, Option(metavar="A", help="Current.")] = None,
    temperature: Annotated[str | None, Option(metavar="T", help="Bath temperature.")] = None,
    remark: Remark = None,
    instead: Instead = None,
) -> None:
    """Add one set of meter readings to a run.

    Example: areacalc logbook reading 1 --after "5 min" --volts "16.8 V" --amps "3 A"
    """
    at_s = maybe(after, Dimension.TIME, "--after")
    assert at_s is not None
    read = Reading(run=0, at_s=at_s, volts_v=maybe(volts, Dimension.VOLTAGE, "--volts"),
                   current_a=maybe(amps, Dimension.CURRENT, "--amps"), remark=remark or "",
                   temperature_c=maybe(temperature, Dimension.TEMPERATURE, "--temperature"))  # fmt: skip
    _keep("reading", run, read, instead)


@dataclass(frozen=True)
class OutcomeOptions:
    """What came out of a run at one place."""

    coating: str | None = option("Coating measured, such as '11 um'.", metavar="LENGTH")
    at: str = option("Where it was measured or seen.", default="", metavar="WHERE")
    by: str = option("How it was measured: 'eddy current', 'section' ...", default="", metavar="HOW")
    colour: str = option("The colour that came out.", default="")
    judged: Literal["good", "bad"] | None = option("Whether the parts are good.")
    fault: str = option("What went wrong.", default="")
    photo: Path | None = option("A photo; its path is kept.", metavar="FILE")
    remark: Remark = None

    def outcome(self) -> Outcome:
        """What is to be kept of it. Raises BadInput."""
        if self.photo is not None and not self.photo.is_file():
            raise BadInput("--photo", f"there is no file '{self.photo}'", "check the name and the folder")
        return Outcome(run=0, film_um=maybe(self.coating, Dimension.FILM, "--coating"), place=self.at, how=self.by,
                       colour=self.colour, judged=self.judged or "", fault=self.fault,
                       photo=str(self.photo.resolve()) if self.photo else "", remark=self.remark or "")  # fmt: skip


@grouped
def result(run: OnlyRun, came: OutcomeOptions, instead: Instead = None) -> None:
    """Add what came out of a run: coating measured, colour, faults, photos; once for each place.

    Example: areacalc logbook result 1 --coating "11.4 um" --at outside --by "eddy current" --colour "moss green"
    """
    _keep("result", run, came.outcome(), instead)


@grouped
def correct(run: OnlyRun, strike: Strike = None, *, read: ReadOptions) -> None:
    """Correct a run, or strike it out; the earlier entry is kept, and `show` prints both.

    Example: areacalc logbook correct 1 --end-volts "17.2 V" --remark "even; lighter at the rim"
    """
    from areacalc.logbook.logbook import Logbook

    begun = None if read.when is None else moment(read.when, "--when")
    values = read.fields() | known({"when": begun, "remark": read.remark})
    if not values and strike is None:
        raise BadInput("correct", "nothing to correct is given", "give at least one option, such as --remark")
    with as_typed(), Logbook() as book:
        number = book.named(run, is_one=True).number
        with done(f"run {number} is corrected"):
            book.correct("run", number, **values)
            if strike is not None:
                book.strike(number, strike)
    out.say(f"Run {number} is corrected; areacalc logbook show {number} prints the earlier entry as well.")


_OPTIONS = {
    "when": "--when", "ended": "--ended", "start_v": "--start-volts", "end_v": "--end-volts", "at_s": "--after",
    "end_temperature_c": "--end-temperature", "dye_s": "--dye-time", "seal_s": "--seal-time", "remark": "--remark",
    "volts_v": "--volts", "current_a": "--amps", "temperature_c": "--temperature", "film_um": "--coating",
    "acid_g_per_l": "--acid", "aluminium_g_per_l": "--aluminium", "place": "--at", "how": "--by",
}  # fmt: skip


@contextlib.contextmanager
def as_typed() -> Iterator[None]:
    """Names what is refused inside as it was typed. Raises BadInput."""
    try:
        yield
    except BadInput as bad:
        if bad.where not in _OPTIONS:
            raise
        raise type(bad)(_OPTIONS[bad.where], bad.what, bad.remedy) from None


def _keep(what: str, run: str, record: Reading | Outcome, instead: int | None) -> None:
    """Add a reading or a result to its run, or put it in the place of an earlier one. Raises BadInput."""
    import msgspec

    from areacalc.logbook.came import is_counted
    from areacalc.logbook.logbook import Logbook
    from areacalc.run.lesson import refuse_other_bore

    from .picture import recorded

    with as_typed(), Logbook() as book, done(f"the {what} is in the logbook"):
        of = book.named(run, is_one=True)
        record = msgspec.structs.replace(record, run=of.number)
        if isinstance(record, Outcome) and "bore-" in record.place.lower():
            plan = recorded(book, of)[1]
            if plan is not None:
                refuse_other_bore(record.place, plan)
        if instead is None:
            number = (book.add_reading(record) if isinstance(record, Reading) else book.add_outcome(record)).number
        else:
            number = instead
            values = {name: value for name, value in msgspec.structs.asdict(record).items()
                      if name != "number" and value not in (None, "")}  # fmt: skip
            if set(values) == {"run"}:
                raise BadInput("--correct", "has nothing to put there", "give what is to be corrected")
            book.correct("reading" if isinstance(record, Reading) else "outcome", instead, **values)
    kept = "in the logbook" if instead is None else "corrected"
    out.say(f"{what.capitalize()} {number}, of run {record.run}, is {kept}.")
    if isinstance(record, Outcome) and record.film_um is not None and not is_counted(record.place):
        out.say(f"At '{record.place}' it does not count as the coating of the run: measure one --at outside for that.")


def _told(name: str, value: object, inch: bool = False) -> tuple[str, str]:
    """A field in words and its value with the unit.

    >>> _told("density_a_per_dm2", 2.48), _told("run_s", 1035.0), _told("end_v", None)
    (('density', '2.48 A/dm2'), ('run', '17.2 min'), ('end volts', 'unknown'))
    """
    from areacalc.report.figures import shown

    end = next((end for end in _UNITS if name.endswith(end)), "")
    words = name.removesuffix(end).replace("film", "coating").replace("_", " ")
    words += " volts" if end == "_v" and name != "volts_v" else ""
    if name == "certainty" and isinstance(value, float):
        return "runs to reach it", f"{100.0 * value:.3g} of 100"
    if not isinstance(value, float):
        return words, "unknown" if value is None else str(value)
    return words, shown(value, _UNITS.get(end, ""), inch)


def _row(each: Logged, show: Show) -> tuple[str, ...]:
    """A run with what came of it; a colour only where enough charge passed for one."""
    from areacalc.report.figures import number

    run, came = each.run, each.came
    film = three(round(came.film_um / (25.4 if show is Show.IN else 1.0), 3))
    colour = run.colour if came.is_worth_repeating else "none"
    state = "struck out" if run.struck else "unfinished" if each.is_unfinished else _kind(came)
    return (str(run.number), local_minutes(run.when), run.load, number(round(came.run_s / 60.0, 2), "min"),
            three(round(came.charge_ah, 3)), film, state, colour, run.remark)  # fmt: skip


def _kind(came: Came) -> str:
    """Whether the figures are the plan's, or come by the charge that passed, or the film was measured."""
    from areacalc.logbook.came import FilmFrom

    is_mixed = came.film_from is FilmFrom.MEASURED and not came.is_followed
    return "as planned; coating measured" if is_mixed else came.film_from.value


def local_minutes(when: str) -> str:
    """A date and time as the clock on the wall shows it, to the minute.

    >>> local_minutes("2026-03-03T10:00:07.250")
    '2026-03-03 10:00'
    """
    at = datetime.fromisoformat(when)
    return f"{at.astimezone() if at.tzinfo else at:%Y-%m-%d %H:%M}"


def moment(text: str | None, option: str) -> str:
    """The time given, or now, as ISO 8601. Raises BadInput."""
    from areacalc.logbook.logbook import now

    if text is None:
        return now()
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise BadInput(option, f"'{text}' is not a date", "write it like 2026-03-03T10:00") from None
    if at.year < _FIRST_YEAR:
        raise BadInput(option, f"'{text}' is long past", "write the year in full, as in 2026-03-03T10:00")
    here = datetime.now().astimezone()
    if at > (here if at.tzinfo else here.replace(tzinfo=None)):
        raise BadInput(option, f"'{text}' is still to come: it is {here:%Y-%m-%dT%H:%M}", "give a time that is past")
    return at.isoformat(timespec="minutes")
