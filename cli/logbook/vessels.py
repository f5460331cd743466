"""Baths and tanks kept by name, and what happened to a bath."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from typer import Argument, Option

from areacalc.digits import three
from areacalc.errors import BadInput
from areacalc.figure import given
from areacalc.logbook.records import Event, Vessel
from areacalc.quantity import Dimension, parse

from .. import show as out
from ..grouped import grouped, option
from ..options import Show, ShowOption, maybe
from ..write import done

if TYPE_CHECKING:
    from areacalc.logbook.logbook import Logbook

Name = Annotated[str | None, Argument(metavar="NAME", help="Name; without one, all are listed.")]
From = Annotated[Path | None, Option("--from", metavar="LOAD", help="Load file to take it from.")]


@dataclass(frozen=True)
class BathOptions:
    """What was analysed in a bath, or happened to it."""

    acid: str | None = option("Free acid analysed, such as '175 g/L'.")
    aluminium: str | None = option("Dissolved aluminium analysed.")
    temperature: str | None = option("Bath temperature today.", metavar="T")
    added: str | None = option("What was added: '0.4 L of battery acid'.", metavar="WORDS")
    new: bool = option("The bath is freshly made.", "--new", default=False)
    when: str | None = option("Date (default: now).", metavar="DATE")
    remark: str = option("Remark worth reading next month.", default="")

    def events(self) -> list[Event]:
        """What happened, of no bath yet. Raises BadInput."""
        from areacalc.bath.strength import acid_in_words

        from .runs import moment

        acid_g_per_l = None if self.acid is None else acid_in_words(self.acid, "--acid")
        aluminium_g_per_l = maybe(self.aluminium, Dimension.CONCENTRATION, "--aluminium")
        at, found = moment(self.when, "--when"), []
        if self.new:
            found.append(Event(vessel=0, when=at, what="new", remark=self.remark))
        if acid_g_per_l is not None or aluminium_g_per_l is not None:
            found.append(Event(vessel=0, when=at, what="analysis", acid_g_per_l=acid_g_per_l,
                               aluminium_g_per_l=aluminium_g_per_l, remark=self.remark))  # fmt: skip
        if self.added is not None:
            words = "; ".join(filter(None, (self.added, self.remark)))
            found.append(Event(vessel=0, when=at, what="addition", remark=words))
        if self.remark and not found:
            raise BadInput("--remark", "is of nothing", "give it with --acid, --aluminium, --added or --new")
        if self.when is not None and not found:
            raise BadInput("--when", "is the date of nothing", "give it with --acid, --aluminium, --added or --new")
        return found


@grouped
def bath(name: Name = None, from_load: From = None, show: ShowOption = Show.MM, *, today: BathOptions) -> None:
    """Keep a bath under a name that load files use (bath = "the small one"), with analyses and additions.

    Example: areacalc logbook bath "the small one" --from desk-set.toml
    """
    import msgspec

    from areacalc.logbook.logbook import Logbook

    from .runs import as_typed

    inch = show is Show.IN
    if name is None:
        _list("bath", inch, is_told=from_load is not None or today != BathOptions())
        return
    events = today.events()
    with as_typed(), Logbook() as book:
        if from_load is not None:
            _keep(book, "bath", name, from_load)
        vessel = book.vessel("bath", name)
        if today.temperature is not None:
            bath_c = _bath_temperature(today.temperature, str(vessel.settings["acid"]))
            with done(f"the temperature of {vessel.name} is in the logbook"):
                vessel = book.keep_vessel("bath", vessel.name, {**vessel.settings, "temperature": bath_c})
        for event in events:
            with done(f"the {event.what} of {vessel.name} is in the logbook"):
                book.add_event(msgspec.structs.replace(event, vessel=vessel.number))
        _tell_bath(book, book.vessel("bath", name), inch)


def _bath_temperature(words: str, acid: str) -> str:
    """A bath's temperature in words, as its record holds it. Raises BadInput for one that no bath of its acid has."""
    from areacalc.bath.electrolyte import Electrolyte
    from areacalc.bath.strength import acid_in_words

    bath_c = parse(words, Dimension.TEMPERATURE, "--temperature")
    try:
        Electrolyte(acid_in_words(acid, "acid"), bath_c)
    except BadInput as bad:
        raise type(bad)("--temperature", bad.what, bad.remedy) from None
    return f"{bath_c:.4g} C"


def tank(name: Name = None, from_load: From = None, show: ShowOption = Show.MM) -> None:
    """Keep a tank under a name that load files use: tank = "the long one".

    Example: areacalc logbook tank "the long one" --from desk-set.toml
    """
    from areacalc.logbook.logbook import Logbook

    if name is None:
        _list("tank", show is Show.IN, is_told=from_load is not None)
        return
    with Logbook() as book:
        if from_load is not None:
            _keep(book, "tank", name, from_load)
        _tell_settings(book.vessel("tank", name), show is Show.IN)


def _keep(book: Logbook, kind: Literal["bath", "tank"], name: str, load_file: Path) -> None:
    """Keep the table of a load that can be read. Raises BadLoad, BadInput."""
    from areacalc.plan.load_book import LoadBook

    held = LoadBook(load_file)
    bath_l = held.load().tank.liquid_l if kind == "bath" else None
    with done(f"{kind} '{name}' is in the logbook"):
        book.keep_vessel(kind, name, dict(held.data[kind]), bath_l)


def _list(kind: Literal["bath", "tank"], inch: bool, is_told: bool) -> None:
    """All that have a name. Raises BadInput where something is told of one that has none."""
    from areacalc.logbook.logbook import Logbook

    if is_told:
        raise BadInput(kind, "has no name", f"give the {kind} a name, such as 'the small one'")
    with Logbook() as book:
        vessels = book.vessels(kind)
        for vessel in vessels:
            _tell_settings(vessel, inch)
    if not vessels:
        out.say(f'No {kind} is kept by name yet; areacalc logbook {kind} "the small one" --from LOAD keeps one.')


def _tell_settings(vessel: Vessel, inch: bool) -> None:
    from areacalc.report.figures import shown

    held = "" if vessel.volume_l is None else f"; {shown(vessel.volume_l, 'L', inch)} of it"
    told = (f"{key} {_setting(vessel.kind, key, value) if inch else value}" for key, value in vessel.settings.items())
    out.say(f"{vessel.name}: {', '.join(told)}{held}")


def _setting(kind: str, key: str, value: object) -> str:
    """A setting that was typed, in US units."""
    from areacalc.bath.strength import acid_in_words
    from areacalc.load.keys import TABLES
    from areacalc.report.figures import shown

    holds = next((each.holds for each in TABLES[kind] if each.name == key), None)
    if key == "acid":
        return shown(acid_in_words(str(value), key), "g/L", inch=True)
    if not isinstance(holds, Dimension):
        return str(value)
    unit = "C" if holds is Dimension.TEMPERATURE else holds.value.replace("**", "")
    return shown(parse(str(value), holds), unit, inch=True)


def _tell_bath(book: Logbook, bath: Vessel, inch: bool) -> None:
    from areacalc.bath.dissolved import aluminium_dissolved
    from areacalc.estimate import Estimate
    from areacalc.report.figures import in_shown_unit, shown

    _tell_settings(bath, inch)
    events = book.events(bath)
    if events:
        rows = [_row(each, inch) for each in events]
        out.table("History", ("when", "what", "acid", "aluminium", ""), rows, right=(2, 3))
    if late := _not_measured_since(events):
        out.say(f"Not measured since the addition of {late.when[:10]} ({late.remark or 'not told what'}): acid and "
                "aluminium are from before. Measure, then give --acid and --aluminium.")  # fmt: skip
    if not (runs := book.runs_in(bath)):
        return
    came = [book.logged(run).came for run in runs]
    charge_ah = sum(each.charge_ah for each in came)
    planned = sum(not each.is_followed for each in came)
    how = {0: "by the amperes read", len(runs): "as planned"}.get(planned, f"{planned} of them as planned")
    out.say(f"Since the bath was new, or first kept: {out.counted(len(runs), 'run')}, {three(charge_ah)} Ah {how}.")
    measured = [e for e in events if e.aluminium_g_per_l is not None]
    bath_l = runs[-1].bath_l
    if measured and bath_l is not None:
        last = measured[-1]
        had = last.aluminium_g_per_l or 0.0
        told = f"Aluminium: {shown(had, 'g/L', inch)} measured on {last.when[:10]}"
        if any(each.what != "analysis" for each in events[events.index(last) :]):
            out.say(f"{told}, not reckoned since: the bath was changed after that.")
            return
        since_ah = sum(book.logged(run).came.charge_ah for run in book.runs_in(bath, last))
        rise = aluminium_dissolved(given("charge", since_ah, "Ah")).estimate.scaled(1.0 / bath_l)
        now, unit = in_shown_unit(Estimate(had + rise.value, had + rise.low, had + rise.high), "g/L", inch)
        out.say(f"{told}, reckoned now {now.low:.4g} to {now.high:.4g} {unit}, drag-out left out.")


def _not_measured_since(events: list[Event]) -> Event | None:
    """The last addition after which no acid was analysed and no bath made new."""
    told = [e for e in events if e.what != "analysis" or e.acid_g_per_l is not None]
    return told[-1] if told and told[-1].what == "addition" else None


def _row(event: Event, inch: bool) -> tuple[str, ...]:
    from areacalc.report.figures import shown

    measured = ("" if v is None else shown(v, "g/L", inch) for v in (event.acid_g_per_l, event.aluminium_g_per_l))
    return (event.when[:16].replace("T", " "), event.what, *measured, event.remark)
