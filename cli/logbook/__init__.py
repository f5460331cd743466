"""`areacalc logbook`: the runs of the shop, what was read and what came out, baths and tanks, out and in."""

from __future__ import annotations

import typer

from .exchange import backup, export, import_
from .learn import learn
from .picture import draw
from .repeat import repeat
from .runs import add, correct, list_, reading, result, show
from .vessels import bath, tank

app = typer.Typer(
    name="logbook",
    help="The shop's logbook: runs, readings, what came out; baths and tanks that loads call by name.",
    epilog="One file for the shop, in your data folder; areacalc --logbook FILE, or AREACALC_LOGBOOK, names another.",
)


@app.callback(invoke_without_command=True)
def _list_without_words(context: typer.Context) -> None:
    if context.invoked_subcommand is None:
        list_()


for command in (list_, show, add, reading, result, correct, repeat, bath, tank, learn, draw, export, import_, backup):
    app.command(command.__name__.rstrip("_"))(command)
