"""The command `areacalc`: registers the commands, and turns every error into one line and an exit code."""

import contextlib
import gc
import io
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, ClassVar

import typer
from typer import Option
from typer.exceptions import TyperException

from areacalc import loops
from areacalc.errors import AreacalcError, Field, Taken, said_of
from areacalc.shape.fence import watched

from .plain_help import PlainGroup
from .show import NO_ROOM, say_no_more, seen
from .write import DONE

_SILENT_S = 1.5  # most files are read before it is worth a word


@contextmanager
def reading_shown() -> Iterator[None]:
    """Show it for what is read inside the block, where standard error is a terminal."""
    if not sys.stderr.isatty():
        yield
        return
    began: dict[str, float] = {}

    def show(source: str, stage: str, done: int, of: int) -> None:
        since = time.monotonic() - began.setdefault(source, time.monotonic())
        if not stage:  # it has been read
            del began[source]
            sys.stderr.write("\r\x1b[K" if since > _SILENT_S else "")
        elif since > _SILENT_S:
            far = f" {done} of {of}" if of else ""
            sys.stderr.write(f"\r{source}: {stage}{far}, {since:.0f} s\x1b[K")
        sys.stderr.flush()

    with watched(show):
        yield


class Commands(PlainGroup):
    """The commands of areacalc, in the order of the help."""

    places: ClassVar = {
        "area": "area", "hang": "hang", "sketch": "sketch", "current": "current", "cathode": "cathode", "mix": "mix",
        "init": "init", "plan": "plan", "explain": "explain", "sheet": "sheet", "check": "check", "tank": "tank",
        "draw": "draw", "page": "page.command", "run": "run.command", "logbook": "logbook:app",
    }  # fmt: skip


app = typer.Typer(
    name="areacalc",
    cls=Commands,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
    help="Wetted area of a part, and from it everything to set for a sulphuric-acid anodising run.",
    epilog="Start with: areacalc area PART.stl --unit mm\n\nA figure 'from memory' was not looked up: check it before "
    "you rely on it.",
)


def _version(asked: bool) -> None:
    if asked:
        from importlib.metadata import version

        typer.echo(f"areacalc {version('areacalc')}")
        raise typer.Exit


@app.callback()
def _root(
    version: Annotated[
        bool, Option("--version", help="Print the version and stop.", callback=_version, is_eager=True)
    ] = False,
    logbook_file: Annotated[
        Path | None, Option("--logbook", metavar="FILE", help="Use this logbook instead of the shop's.")
    ] = None,
) -> None:
    if logbook_file is not None:
        os.environ["AREACALC_LOGBOOK"] = str(logbook_file)


_PLAIN = (
    "its loops are not compiled here, so parts take long; with a C compiler and Python's headers in place"
    " (Debian: gcc, python3-dev) install it again"
)


def run() -> None:
    """Start the command line: 0 done, 2 bad input, 3 a plan that cannot be run, 130 interrupted."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed by who called
            setattr(sys, name, open(os.devnull, "w"))  # noqa: SIM115
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")  # letters that the terminal has not are shown as \\u...
    gc.set_threshold(200_000, 20, 20)  # looking for rings of dead objects at every 700 new ones takes up to a sixth
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # the matrices are small: more threads only take longer to start
    os.environ.setdefault("NUMPY_MADVISE_HUGEPAGE", "0")  # large pages are cleared whole, however little is used
    if not loops.compiled():
        _say(_PLAIN, 0)
    sys.exit(_outcome())


def _outcome() -> int:
    try:
        with reading_shown():
            code = int(app(standalone_mode=False) or 0)
        sys.stdout.flush()  # a full disk is told here, not by the interpreter on its way out
        return _say(_stopped(), code) if code == 130 else code  # an interrupt comes back as its code alone
    except AreacalcError as refused:
        return _say(_line(refused), refused.exit_code)
    except (typer.Abort, KeyboardInterrupt):
        return _say(_stopped(), 130)
    except TyperException as misuse:
        return _misused(misuse)
    except BrokenPipeError:
        say_no_more()
        return 0
    except SystemExit as end:  # what the option reader makes of a reader that has gone
        if isinstance(end.__context__, BrokenPipeError):
            say_no_more()
            return 0
        raise
    except OSError as trouble:
        if trouble.errno not in NO_ROOM:
            return _fault(trouble)
        say_no_more()
        return _say(f"no more can be written ({trouble.strerror}); make room, or send what is printed elsewhere", 2)
    except MemoryError:
        return _say("the part needs more memory than there is; export it with a coarser mesh", 2)
    except Exception as fault:
        return _fault(fault)


def _line(refused: AreacalcError) -> str:
    if isinstance(refused, Taken):
        return f"{said_of(refused.where, refused.what)}; choose another name, or give --force"
    if not isinstance(refused.where, Field):
        return str(refused)
    option = refused.where.replace("_", "-")
    return f"{said_of(f'--{option}', refused.what)}; {refused.remedy}"


def _stopped() -> str:
    return f"stopped; {'; '.join(DONE) or 'nothing was written'}"


def _fault(fault: Exception) -> int:
    if os.environ.get("AREACALC_TRACE"):
        raise fault
    if loops.stale():
        return _say(loops.STALE, 1)
    return _say(f"a fault in areacalc itself ({type(fault).__name__}: {fault}); set AREACALC_TRACE=1 to see where", 1)


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
    names = list(getattr(context.command, "places", ())) if context is not None else []
    return _say(plain(message, context.command_path if context is not None else "areacalc", names), 2)


def _say(line: str, code: int) -> int:
    with contextlib.suppress(OSError):  # where not even this can be told, the exit code does
        print(f"areacalc: {seen(line)}", file=sys.stderr, flush=True)  # noqa: T201
    return code
