"""Pictures out of the logbook: one run on a page, or one figure of all runs over the months."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal, cast

from typer import Argument, Option

from areacalc.errors import AreacalcError, BadInput
from areacalc.logbook.records import Run

from .. import show as out
from ..options import Force
from ..write import target, write

if TYPE_CHECKING:
    from areacalc.logbook.came import Logged
    from areacalc.logbook.logbook import Logbook
    from areacalc.plan.plan import Plan
    from areacalc.report.run_picture import Ending

ENDINGS = (".svg", ".png", ".pdf")


Over = Literal["current", "time", "coating", "start-volts", "end-volts", "acid", "aluminium", "temperature"]
FIELDS: dict[str, tuple[str, str, float]] = {
    "current": ("current_a", "current [A]", 1.0),
    "time": ("run_s", "time [min]", 1.0 / 60.0),
    "coating": ("film_um", "coating planned [um]", 1.0),
    "start-volts": ("start_v", "volts at the start [V]", 1.0),
    "end-volts": ("end_v", "volts at the end [V]", 1.0),
    "acid": ("acid_g_per_l", "acid [g/L]", 1.0),
    "aluminium": ("aluminium_g_per_l", "aluminium [g/L]", 1.0),
    "temperature": ("temperature_c", "bath [C]", 1.0),
}
"""What is drawn of a run over the months: its field, label, and the unit of the label in those of the field."""
Named = Annotated[str | None, Argument(metavar="RUN", help="The run's number or words, unless --over is given.")]
Out = Annotated[Path, Option("--out", metavar="FILE", help=f"File to write: {', '.join(ENDINGS)}.")]
OverOption = Annotated[
    Over | None,
    Option(
        "--over", metavar="FIGURE", help="Draw a figure for all runs, by date: current, time, coating, start-volts ..."
    ),
]


def draw(out_file: Out, run: Named = None, over: OverOption = None, force: Force = False) -> None:
    """Draw a run on one page: volts, amperes, bath and coating, read and planned.

    Example: areacalc logbook draw 1 --out run-1.pdf
    """
    from areacalc.logbook.logbook import Logbook
    from areacalc.report.run_picture import months_picture, run_picture

    if (run is None) == (over is None):
        raise BadInput("draw", "needs a run or --over, one of the two", "name a run, such as areacalc logbook draw 1")
    ending = cast("Ending", target(out_file, "--out", ENDINGS, force)[1:])
    with Logbook() as book:
        if run is None:
            assert over is not None
            field, label, per = FIELDS[over]
            write(out_file, months_picture(book.runs(), field, label, ending, per), force)
        else:
            logged, plan, trouble = recorded(book, book.named(run))
            if trouble:
                out.say(f"Drawn without its plan: {trouble}")
            write(out_file, run_picture(logged, plan, ending), force)
    out.say(f"Wrote {out_file}.")


def recorded(book: Logbook, run: Run) -> tuple[Logged, Plan | None, str]:
    """A run to draw, the plan of the load as it was then, or why it has none."""
    from areacalc.plan.load_book import LoadBook

    try:
        return book.logged(run), LoadBook.of(run).plan(), ""
    except AreacalcError as gone:
        return book.logged(run), None, str(gone)
