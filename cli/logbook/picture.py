"""Pictures out of the logbook: one run on a page, or one figure of all runs over the months."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, cast

import typer

from .. import show as out
from ..options import Force

if TYPE_CHECKING:
    from areacalc.logbook.logbook import Logbook
    from areacalc.report.run_picture import Ending, RunRecord

ENDINGS = (".svg", ".png", ".pdf")


class Over(StrEnum):
    """A figure of a run that is drawn over the months."""

    CURRENT = "current"
    TIME = "time"
    COATING = "coating"
    START_VOLTS = "start-volts"
    END_VOLTS = "end-volts"
    ACID = "acid"
    ALUMINIUM = "aluminium"
    TEMPERATURE = "temperature"


_FIELDS = {
    Over.CURRENT: ("current_a", "current [A]", 1.0),
    Over.TIME: ("run_s", "time [min]", 1.0 / 60.0),
    Over.COATING: ("film_um", "coating planned [um]", 1.0),
    Over.START_VOLTS: ("start_v", "volts at the start [V]", 1.0),
    Over.END_VOLTS: ("end_v", "volts at the end [V]", 1.0),
    Over.ACID: ("acid_g_per_l", "acid [g/L]", 1.0),
    Over.ALUMINIUM: ("aluminium_g_per_l", "aluminium [g/L]", 1.0),
    Over.TEMPERATURE: ("temperature_c", "bath [C]", 1.0),
}
Number = Annotated[int | None, typer.Argument(metavar="[RUN]", min=1, help="The run's number; or give --over.")]
Out = Annotated[Path, typer.Option("--out", metavar="FILE", help=f"File to write: {', '.join(ENDINGS)}.")]
OverOption = Annotated[Over | None, typer.Option("--over", help="Draw this of all runs, over the months.")]


def draw(out_file: Out, run: Number = None, over: OverOption = None, force: Force = False) -> None:
    """Draw a run on one page: volts, amperes, bath and coating as read, on what was planned.

    Example: areacalc logbook draw 1 --out run-1.pdf
    """
    from areacalc.errors import BadInput
    from areacalc.logbook.logbook import Logbook
    from areacalc.report.run_picture import months_picture, run_picture

    from ..write import target, write

    if (run is None) == (over is None):
        raise BadInput("draw", "needs a run or --over, one of the two", "name a run, such as areacalc logbook draw 1")
    ending = cast("Ending", target(out_file, "--out", ENDINGS, force)[1:])
    with Logbook() as book:
        if run is None:
            assert over is not None
            field, label, per = _FIELDS[over]
            write(out_file, months_picture(book.runs(), field, label, ending, per), force)
        else:
            record, trouble = recorded(book, run)
            if trouble:
                out.say(f"Drawn without its plan: {trouble}")
            write(out_file, run_picture(record, ending), force)
    out.say(f"Wrote {out_file}.")


def recorded(book: Logbook, run: int) -> tuple[RunRecord, str]:
    """A run to draw, with the plan of the load as it was then, or why it has none. Raises UnknownName."""
    from areacalc.errors import AreacalcError
    from areacalc.plan.load_book import LoadBook
    from areacalc.report.run_picture import RunRecord

    then, begun = book.run(run), book.begun(run)
    off_s = begun[1].at_s if len(begun) > 1 else then.run_s
    plan, trouble = None, "the run was logged without its load file"
    if then.text:
        try:
            plan, trouble = LoadBook(Path(then.folder) / "the load", then.text).plan(), ""
        except AreacalcError as gone:
            trouble = str(gone)
    return RunRecord(then, tuple(book.readings(run)), tuple(book.outcomes(run)), off_s, plan), trouble
