"""The load of an earlier run once more: same coating, dye and times; which bath it has, and what differs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from typer import Option

from areacalc.errors import BadInput
from areacalc.load.lines import key_lines
from areacalc.logbook.records import Run

from .. import show as out
from ..options import Force, Show, ShowOption
from ..write import target, write
from .runs import RunName

if TYPE_CHECKING:
    from areacalc.plan.plan import Plan

Out = Annotated[Path | None, Option("--out", metavar="NEW.toml", help="Load file to write.")]
HowMany = Annotated[int | None, Option("--count", min=1, help="Parts this time, for a load of one kind of part.")]
_WINS = ("repeat", "thickness", "shade", "certainty")  # of a load: what it says itself wins over the run


def repeat(
    run_name: RunName, out_file: Out = None, count: HowMany = None, force: Force = False, show: ShowOption = Show.MM
) -> None:  # fmt: skip
    """Repeat a run: the same coating, dye and times, and what changes.

    A bath that the load calls by its name is today's; one written in the load stays as it was then.

    Example: areacalc logbook repeat 1 --out again.toml
    """
    from areacalc.logbook.logbook import Logbook
    from areacalc.plan.load_book import LoadBook
    from areacalc.report.plan_summary import repeated_words

    with Logbook() as book:
        words = f"run {book.named(run_name).number}" if run_name.isdecimal() else run_name
        then = book.to_repeat(words, "RUN")[0]
        baths = [each.name for each in book.vessels("bath")]
    run = then.number
    if not then.text:
        raise BadInput(f"run {run}", "was logged without its load file",
                       f"write repeat = \"run {run}\" under [finish] of a load")  # fmt: skip
    folder = Path(then.folder)
    if out_file is not None:
        if out_file.absolute().parent.resolve() != folder:
            raise BadInput("--out", "must stand beside the load it repeats, or it does not find the part files",
                           f"write it into {folder}")  # fmt: skip
        target(out_file, "--out", (".toml",), force)
    text = with_repeat(then.text if count is None else with_count(then.text, count), run)
    made = LoadBook(folder / (out_file.name if out_file else f"run {run}"), text).plan()
    out.say(f"{then.load}; repeats {repeated_words(made, show is Show.IN)}.")
    rows = _differs(then, made, show is Show.IN)
    out.table("What differs today", ("", "then", "today"), rows, right=(1, 2)) if rows else out.say(
        f"Nothing differs: {_settings(made)}.")  # fmt: skip
    if out_file is not None:
        write(out_file, text, force)
        out.say(f"Wrote {out_file}. Next: areacalc plan {out_file}")
    _tell_bath(then, made, baths, show is Show.IN)


def _settings(made: Plan) -> str:
    """What to set again: the current, and the minutes in each bath."""
    from areacalc.report.figures import value_text

    times = {"time": "anodise", "dye": "dye", "seal": "seal"}
    told = (f"{what} {value_text(made.figures[name])}" for name, what in times.items() if name in made.figures)
    return f"set {value_text(made.figures['current'])}; {', '.join(told)}"


def _tell_bath(then: Run, made: Plan, baths: list[str], inch: bool) -> None:
    """Which bath the load has, and how it takes today's."""
    from areacalc.report.figures import shown

    bath = made.load.bath
    acid, aluminium = (shown(each, "g/L", inch) for each in (bath.acid_g_per_l, bath.aluminium_g_per_l))
    held = f"{acid} of acid, {aluminium} of aluminium, {shown(bath.temperature_c, 'C', inch)}"
    if then.bath is not None:
        out.say(f"Bath: '{then.bath}' as the logbook has it today, {held}.")
        return
    named = (
        f'write the load with --out, put bath = "{baths[0]}" at its top, and delete its [bath]'
        if baths
        else "write the load with --out, and correct [bath] in that file"
    )
    others = f" (or {', '.join(baths[1:])})" if baths[1:] else ""
    out.say(f"Bath: as it was in run {then.number}, {held}. If today's is different, {named}{others}.")


def with_count(text: str, count: int) -> str:
    """The text of a load with so many of its one kind of part. Raises BadInput for several kinds.

    >>> with_count("[[part]]\\nfile = 'cap.stl'\\n", 6)
    "[[part]]\\ncount = 6\\nfile = 'cap.stl'\\n"
    """
    lines, rows = key_lines(text), text.splitlines()
    if ("part", 0) not in lines or ("part", 1) in lines:
        raise BadInput(
            "--count", "the load has several kinds of part", "leave it out, and change each count in the file"
        )
    line, is_there = lines.get(("part", 0, "count"), lines["part", 0]), ("part", 0, "count") in lines
    rows[line - is_there : line] = [f"count = {count}"]
    return "\n".join(rows) + "\n"


def with_repeat(text: str, run: int) -> str:
    """The text of a load file that repeats a run, without what would win over it.

    >>> with_repeat("[finish]\\nthickness = '8 um'\\nseal = 'none'\\n", 3)
    '[finish]\\nrepeat = "run 3"\\nseal = \\'none\\'\\n'
    """
    line = f'repeat = "run {run}"'
    at, rows = key_lines(text), text.splitlines()
    if ("finish",) not in at:
        return f"{text.rstrip()}\n\n[finish]\n{line}\n"
    out = {at.get(("finish", key), 0) for key in _WINS}
    kept = [[row] * (number not in out) + [line] * (number == at["finish",]) for number, row in enumerate(rows, 1)]
    return "\n".join(row for each in kept for row in each) + "\n"


def _differs(then: Run, made: Plan, inch: bool) -> list[tuple[str, str, str]]:
    """What is not as it was, to the figures shown: bath, parts, and what is to be set."""
    import msgspec

    from areacalc.logbook.came import is_as_asked
    from areacalc.plan.entry import run_of
    from areacalc.report.figures import shown

    now = run_of(made, then.when)
    if made.came is not None and not is_as_asked(then, made.came):
        then = msgspec.structs.replace(then, film_um=made.came.film_um, run_s=made.came.run_s)
    named = (
        ("acid", "acid_g_per_l", "g/L"), ("aluminium", "aluminium_g_per_l", "g/L"),
        ("bath", "temperature_c", "C"), ("wetted area", "area_mm2", "mm2"), ("current", "current_a", "A"),
        ("density", "density_a_per_dm2", "A/dm2"), ("time", "run_s", "s"), ("coating", "film_um", "um"),
    )  # fmt: skip
    rows = [(name, shown(getattr(then, key), unit, inch), shown(getattr(now, key), unit, inch))
            for name, key, unit in named]  # fmt: skip
    minutes = {"dye": then.dye_s, "seal": then.seal_s}
    for name, logged_s in minutes.items():
        if logged_s and name in made.figures:
            rows.append((f"{name} time", shown(logged_s, "s"), shown(60.0 * made.figures[name].estimate.value, "s")))
    files = {part.name: part for part in now.parts}
    for part in then.parts:
        today = files.get(part.name)
        if today is None or today.digest != part.digest:
            rows.append((part.name, "as logged", "missing" if today is None else "another file"))
    return [row for row in rows if row[1] != row[2]]
