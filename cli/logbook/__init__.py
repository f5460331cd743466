"""`areacalc logbook`: the runs of the shop, what was read and what came out, baths and tanks, out and in."""

from typing import ClassVar

import typer

from ..plain_help import PlainGroup


class LogbookCommands(PlainGroup):
    """The commands of the logbook, in the order of the help."""

    places: ClassVar = {
        "list": "logbook.runs:list_", "show": "logbook.runs", "add": "logbook.runs", "reading": "logbook.runs",
        "result": "logbook.runs", "correct": "logbook.runs", "repeat": "logbook.repeat", "bath": "logbook.vessels",
        "tank": "logbook.vessels", "learn": "logbook.learn", "draw": "logbook.picture", "export": "logbook.exchange",
        "import": "logbook.exchange:import_", "backup": "logbook.exchange",
    }  # fmt: skip


app = typer.Typer(
    name="logbook",
    cls=LogbookCommands,
    add_completion=False,
    help="Keep the shop's logbook: runs, readings, results, and the baths and tanks that loads name.",
    epilog="The logbook is one file in your data folder. areacalc --logbook FILE or AREACALC_LOGBOOK uses another.",
)


@app.callback(invoke_without_command=True)
def _list_without_words(context: typer.Context) -> None:
    if context.invoked_subcommand is None:
        from .runs import list_

        list_()
