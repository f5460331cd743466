"""`areacalc logbook`: the runs of the shop, what was read and what came out, baths and tanks, out and in."""

import typer

from ..plain_help import PlainCommand, PlainGroup
from .exchange import backup, export, import_
from .learn import learn
from .picture import draw
from .repeat import repeat
from .runs import add, correct, list_, reading, result, show
from .vessels import bath, tank

app = typer.Typer(
    name="logbook",
    cls=PlainGroup,
    help="Keep the shop's logbook: runs, readings, results, and the baths and tanks that loads name.",
    epilog="The logbook is one file in your data folder. areacalc --logbook FILE or AREACALC_LOGBOOK uses another.",
)


@app.callback(invoke_without_command=True)
def _list_without_words(context: typer.Context) -> None:
    if context.invoked_subcommand is None:
        list_()


for command in (list_, show, add, reading, result, correct, repeat, bath, tank, learn, draw, export, import_, backup):
    app.command(command.__name__.rstrip("_"), cls=PlainCommand)(command)
