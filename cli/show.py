"""How figures look in the terminal: units, tables, notes, JSON."""

from __future__ import annotations

import contextlib
import errno
import functools
import itertools
import json
import os
import re
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

from areacalc.digits import counted as counted
from areacalc.digits import five as five
from areacalc.digits import rounded as rounded
from areacalc.digits import three as three
from areacalc.estimate import Estimate
from areacalc.fact import Value
from areacalc.report.lines import unbroken, wrapped
from areacalc.report.words.places import named_as
from areacalc.sources import Kind
from areacalc.surface.notes import SurfaceNote, advised_once

from .options import Show
from .write import DONE

if TYPE_CHECKING:
    from rich.console import Console

    from areacalc.bath.cautions import Caution, Hazard
    from areacalc.part.part import Part
    from areacalc.shape.kinds import Note

NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
_MM_PER_IN = 25.4
LEAST_AREA_MM2 = 0.01
_LEAST_AREA = {"mm": LEAST_AREA_MM2, "in": 1e-4}
_NARROWEST, _WIDEST = 40, 80
_RANGE = re.compile(r"(?<=\d) to (?=\d)|(?<=least) to (?=most)")  # stays on one line, if the table has room
_NO_LETTER = re.compile("[\ud800-\udfff]")  # a byte of a file name that is no UTF-8
_UNSEEN = dict.fromkeys(
    (*range(10), *range(11, 32), *range(127, 160), *range(0x202A, 0x202F), *range(0x2066, 0x206A)), "?"
)
T = TypeVar("T")


def seen(text: str) -> str:
    """A text whose control characters, as a file's name may have them, are shown and not obeyed.

    >>> seen("\x1b[31mred")
    '?[31mred'
    """
    return text.translate(_UNSEEN)


def area_text(area_mm2: float, show: Show, figures: int = 4) -> str:
    """An area in the units shown, four figures of it, so that a column adds up; what is too small to measure is less.

    >>> area_text(645.16, Show.IN), area_text(12345.678, Show.MM), area_text(1e-14, Show.MM)
    ('1 in2', '12350 mm2', '<0.01 mm2')
    """
    value, unit = (area_mm2 / _MM_PER_IN**2, "in2") if show is Show.IN else (area_mm2, "mm2")
    if 0.0 < value < (least := _LEAST_AREA[show.value]):
        return f"<{least:g} {unit}"
    return f"{rounded(value, figures)} {unit}"


def cautions(found: Iterable[Caution], inch: bool) -> None:
    """Print what can hurt, worst first; the sources stand in --json and on the back of the sheet."""
    from areacalc.report.words.cautions import caution_text

    say("Cautions:")
    for each in found:
        memory = " (from memory)" if each.source.kind is Kind.FROM_MEMORY else ""
        say(f"  - {caution_text(each, inch)}{memory}")


def short_cautions(*more: Hazard) -> None:
    """Print in one paragraph what can hurt at any bath, and `more`."""
    from areacalc.report.words.cautions import AT_ANY_BATH
    from areacalc.report.words.cautions import short_cautions as words

    say(f"Caution: {words(*AT_ANY_BATH, *more)}")


def length_text(length_mm: float | None, show: Show) -> str:
    """A length in the units shown, four figures of it; empty for None."""
    if length_mm is None:
        return ""
    return f"{rounded(length_mm / _MM_PER_IN, 4)} in" if show is Show.IN else f"{rounded(length_mm, 4)} mm"


def bounds_text(area: Estimate, show: Show, figures: int = 4) -> str:
    """Least to most in the units shown; empty where they read the same."""
    low, high = area_text(area.low, show, figures), area_text(area.high, show, figures)
    return "" if low == high else f"{low.rsplit(' ', 1)[0]} to {high}"


def whole_area(area: Estimate, show: Show) -> str:
    """An area with its least and most."""
    bounds = bounds_text(area, show)
    return area_text(area.value, show) + (f" ({bounds.rsplit(' ', 1)[0]})" if bounds else "")


def table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]], right: Sequence[int] = ()) -> None:
    """Print a table; `right` are the columns set to the right. No word in it is broken over two lines."""
    plain = [[seen(cell) for cell in row] for row in (heads, *rows)]
    lines = [[unbroken(_RANGE.sub("\N{NO-BREAK SPACE}to\N{NO-BREAK SPACE}", cell)) for cell in row] for row in plain]
    gap, widths = _laid_out(lines, console().width)
    if sum(widths) + gap * (len(widths) - 1) > console().width:
        lines, (gap, widths) = plain, _laid_out(plain, console().width)
    head, *body = ([*_row(line, widths, right, " " * gap)] for line in lines)
    with _telling():
        for text in (*([title] if title else ()), *head):
            console().print(text, style="bold", markup=False, highlight=False, soft_wrap=True)
        stroke = "-" if console().options.ascii_only else "\N{BOX DRAWINGS LIGHT HORIZONTAL}"
        rule = stroke * (sum(widths) + gap * (len(widths) - 1))
        console().file.writelines(f"{each}\n" for each in (rule, *itertools.chain(*body), ""))


def _row(cells: Sequence[str], widths: Sequence[int], right: Sequence[int], gap: str) -> Iterator[str]:
    """The lines of a row: laid out here, since a library that colours every letter takes a third of a ms each."""
    from rich.cells import cell_len

    broken = [_broken(cell, width) for cell, width in zip(cells, widths, strict=True)]
    for line in itertools.zip_longest(*broken, fillvalue=""):
        blanks = [" " * (width - cell_len(cell)) for cell, width in zip(line, widths, strict=True)]
        whole = gap.join(blanks[i] + cell if i in right else cell + blanks[i] for i, cell in enumerate(line))
        yield whole.replace("\N{NO-BREAK SPACE}", " ")


def _broken(cell: str, width: int) -> list[str]:
    """The lines of a cell, which end at its line ends and blanks."""
    from rich.cells import cell_len

    lines: list[str] = []
    for line in cell.split("\n"):
        words = line.split(" ")
        lines.append(words[0])
        for word in words[1:]:
            if cell_len(longer := f"{lines[-1]} {word}") <= width:
                lines[-1] = longer
            else:
                lines.append(word)
    return lines


def _laid_out(lines: Sequence[Sequence[str]], room: int) -> tuple[int, list[int]]:
    """The gap between columns and the width of each, the widest narrowed first, as far as its longest word lets it."""
    from rich.cells import cell_len

    columns = list(zip(*lines, strict=True))
    widths = [max(1, *(cell_len(line) for cell in column for line in cell.split("\n"))) for column in columns]
    least = [max(1, *(cell_len(word) for cell in column for word in re.split("[ \n]", cell))) for column in columns]
    gap = 3 if sum(widths) + 3 * (len(widths) - 1) <= room else 2
    while sum(widths) + gap * (len(widths) - 1) > room:
        wide = [i for i, width in enumerate(widths) if width > least[i]]
        if not wide:
            break
        widths[max(wide, key=lambda i: widths[i])] -= 1
    return gap, widths


def say(text: str) -> None:
    """Print a text in lines that end at words; what goes on is set in under its beginning."""
    indent = " " * (len(text) - len(text.lstrip()))
    width = min(max(console().width, _NARROWEST), _WIDEST)
    with _telling():
        for line in wrapped(seen(text).lstrip(), indent, f"{indent}  ", width) or [""]:
            console().print(line, markup=False, highlight=False, soft_wrap=True)


def line(text: str) -> None:
    """Print a line that is to be copied, however long."""
    with _telling():
        console().print(seen(text), markup=False, highlight=False, soft_wrap=True)


@contextlib.contextmanager
def _telling() -> Iterator[None]:
    """Once something is written, what is printed about it may go unheard: the work is done."""
    try:
        yield
        if DONE:
            sys.stdout.flush()
    except (OSError, SystemExit):
        if not DONE:
            raise
        say_no_more()


def say_no_more() -> None:
    """Let what is still to be printed go nowhere: the reader has gone, or there is no room for it."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def notes(
    items: Iterable[Note], show: Show = Show.MM, part: str = "", full: bool = False, advised: set[Value] | None = None
) -> None:
    """Print what was odd or chosen of a part, warnings first; with `full` also what leaves the area as it is."""
    from areacalc.report.words.notes import CHANGE_NOTHING, note_words

    whose, advised = f"{part}: " if part else "", set() if advised is None else advised
    for note in sorted(items, key=lambda n: not n.warns):
        if note.fact.kind in CHANGE_NOTHING and not (full or note.warns):
            continue
        with named_as("options"):
            told = note_words(advised_once(note.fact, advised), show is Show.IN)
        say(f"{'warning' if note.warns else 'note'}: {whose}{told}")


def notes_of(parts: Sequence[Part], show: Show) -> None:
    """The notes of several parts, one that holds for all of them once; of several, none that only explains a figure."""
    of: dict[Note, list[str]] = {}
    for part in parts:
        for note in part.wetted().notes:
            if len(parts) == 1 or note.fact.kind is not SurfaceNote.THREAD_SURFACE:
                of.setdefault(note, []).append(part.name)
    advised: set[Value] = set()
    for note, names in sorted(of.items(), key=lambda told: not told[0].warns):
        whose = "" if len(names) == len(parts) else ", ".join(dict.fromkeys(names))
        notes([note], show, whose, advised=advised)


def progress(steps: Iterable[T], words: str, total: int) -> Iterator[T]:
    """The steps as they come, with a bar on standard error where a person watches."""
    if not sys.stderr.isatty():
        return iter(steps)
    from rich.console import Console
    from rich.progress import track

    return iter(track(steps, words, total, console=Console(stderr=True), transient=True))


def json_out(document: Mapping[str, object]) -> None:
    """Print a document as JSON, alone, on standard output: valid whatever letters the terminal has."""
    plain = "utf" not in (sys.stdout.encoding or "").lower()
    text = json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False)
    text = _NO_LETTER.sub("\ufffd", text)
    if plain:
        text = re.sub(r"[^\x00-\x7f]+", lambda found: json.dumps(found[0])[1:-1], text)
    with _telling():
        sys.stdout.write(text + "\n")


@functools.cache
def console() -> Console:
    """The one console for standard output."""
    from rich.console import Console

    return Console(highlight=False)


def left_dry(part: Part, show: Show) -> None:
    """What is kept from the acid, each feature once and how much of it, so that a plug too many is seen."""
    rows = [row for row in part.wetted().rows if row.area_mm2.value > 0.0]
    dry = []
    for name, each in itertools.groupby(rows, key=lambda row: row.feature.name):
        mine = list(each)
        held = [row for row in mine if row.state != "wet"]
        if held and len(mine) == 1:
            dry.append(f"{name} {held[0].state}")
        elif held:
            areas = " and ".join(f"{area_text(row.area_mm2.value, show)} {row.state}" for row in held)
            dry.append(f"{name}{' in part' if len(held) < len(mine) else ''} ({areas})")
    if dry:
        say(f"On {part.name}: {', '.join(dry)}")
