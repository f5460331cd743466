"""The command `areacalc`: registers the commands, and turns every error into one line and an exit code."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer
from typer.exceptions import TyperException

from .area import area
from .cathode import cathode
from .current import current
from .explain import explain
from .hang import hang
from .init import init
from .logbook import logbook
from .look import look
from .meters import meters
from .mix import mix
from .page.command import page
from .plan import plan
from .sheet import sheet
from .sketch import sketch
from .tank import tank

_STOPPED = "stopped; nothing was written"

app = typer.Typer(
    name="areacalc",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
    help="Wetted area of a part, and from it everything to set for a sulphuric-acid anodising run.",
    epilog="Start with: areacalc area PART.stl --unit mm",
)
for command in (
    area,
    hang,
    sketch,
    current,
    cathode,
    mix,
    init,
    plan,
    explain,
    sheet,
    meters,
    logbook,
    tank,
    look,
    page,
):
    app.command()(command)


def _version(asked: bool) -> None:
    if asked:
        from importlib.metadata import version

        typer.echo(f"areacalc {version('areacalc')}")
        raise typer.Exit


@app.callback()
def _root(
    version: Annotated[
        bool, typer.Option("--version", help="Print the version and stop.", callback=_version, is_eager=True)
    ] = False,
) -> None:
    pass


def run() -> None:
    """Start the command line: 0 done, 2 bad input, 3 a plan that cannot be run, 130 interrupted."""
    sys.exit(_outcome())


def _outcome() -> int:
    from areacalc.errors import AreacalcError

    try:
        code = int(app(standalone_mode=False) or 0)
        return _say(_STOPPED, code) if code == 130 else code  # an interrupt comes back as its code alone
    except AreacalcError as refused:
        return _say(str(refused), refused.exit_code)
    except typer.Abort:
        return _say(_STOPPED, 130)
    except KeyboardInterrupt:
        return _say(_STOPPED, 130)
    except TyperException as misuse:
        return _misused(misuse)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # the reader has gone: say no more
        return 0
    except MemoryError:
        return _say("the part needs more memory than there is; export it with a coarser mesh", 2)
    except Exception as fault:
        if os.environ.get("AREACALC_TRACE"):
            raise
        return _say(
            f"a fault in areacalc itself ({type(fault).__name__}: {fault}); set AREACALC_TRACE=1 to see where", 1
        )


def _misused(misuse: TyperException) -> int:
    """Words that the command line does not take, in one line; no words at all get the help."""
    message = str(getattr(misuse, "format_message", misuse.__str__)())
    if not message.strip():
        return 2  # the help has been printed
    if message.lstrip().startswith("Usage:"):
        typer.echo(message)
        return 2
    from .misuse import plain

    context = getattr(misuse, "ctx", None)
    names = [str(each.callback.__name__) for each in app.registered_commands if each.callback is not None]
    return _say(plain(message, context.command_path if context is not None else "areacalc", names), 2)


def _say(line: str, code: int) -> int:
    print(f"areacalc: {line}", file=sys.stderr)  # noqa: T201
    return code
