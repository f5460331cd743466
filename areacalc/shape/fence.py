"""A fence about code that reads files nobody has checked: a process of its own, which may crash, hang or eat memory.

    with Fence() as fence:
        body = fence.call("areacalc.shape.files.read_obj:read", (path, None), Bounds("pen.obj", budget))

Whatever happens in there ends as the function's result or as one `BadInput`. A fence serves one call after the other
and starts its process with the first; what is read under `one_fence` shares one, which saves starting the CAD kernel.
"""

import os
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, Self

from areacalc import loops
from areacalc.errors import BadInput, Passing
from areacalc.shape.fenced import Budget as Budget
from areacalc.shape.fenced import receive, send

CLOCK = 12.0  # seconds by the clock for one of processor, on a machine with much more to do
_NEARLY_ALL = 0.6  # of the memory allowed: a crash past it is put down to memory
_KILLED, _ALARM, _OUT_OF_TIME = -9, -14, (-24, -14)  # signals: SIGKILL, SIGALRM; SIGXCPU and SIGALRM


@dataclass(frozen=True, slots=True)
class Bounds:
    """What a call may take, and the words for when it takes more: who works there, and which settings allow more."""

    source: str
    budget: Budget
    who: str = "the reader"
    more_time: str = "export a simpler part"
    more_memory: str = "export a simpler part"


class Fence:
    """One process behind the fence, started by the first call or by `start`. To be used by one thread at a time.

    first: "module:function" that the process calls before anything else, to load what it will need.
    """

    def __init__(self, first: str = "") -> None:
        self._first = first
        self._process: subprocess.Popen[bytes] | None = None
        self._said: IO[bytes] | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def call(self, target: str, arguments: tuple[Any, ...], bounds: Bounds) -> Any:
        """The result of "module:function" with these arguments, both of which pickle.

        Raises AreacalcError and OSError as the function did; BadInput for every other end: a fault of its own, a
        crash, too much time or memory.
        """
        process = self.start()
        late = threading.Event()

        def end() -> None:
            late.set()
            process.kill()

        clock = threading.Timer(bounds.budget.clock_seconds, end)
        clock.daemon = True
        clock.start()
        kept = grown = False
        try:
            assert process.stdin is not None
            assert process.stdout is not None
            send(process.stdin, (target, arguments, bounds.budget))
            while (message := receive(process.stdout))[0] == "told":
                if (watcher := _watcher.get()) is not None:
                    watcher(bounds.source, *message[1])
            kind, content, grown = message
            kept = kind in ("done", "refused")
            if kind == "ended":
                raise self._died(bounds, late.is_set(), content)
        except (OSError, EOFError):
            raise self._died(bounds, late.is_set()) from None
        finally:
            clock.cancel()
            if (watcher := _watcher.get()) is not None:
                watcher(bounds.source, "", 0, 0)
            if not kept or grown:
                self.close()
        if kind == "done":
            return content
        if kind == "refused":
            raise content
        raise _out_of_memory(bounds) if kind == "memory" else fault_line(bounds.source, content)

    def close(self) -> None:
        """End the process; the next call starts another."""
        process, self._process = self._process, None
        if process is not None:
            process.kill()
            process.wait()
            for pipe in (process.stdin, process.stdout, self._said):
                if pipe is not None:
                    with suppress(OSError):  # what was not taken yet
                        pipe.close()

    def start(self) -> subprocess.Popen[bytes]:
        """The process, which may be started early, so that it loads what it needs while this one does the same."""
        if self._process is not None and self._process.poll() is None:
            return self._process
        self.close()
        self._said = _nameless()
        work = f"from areacalc.shape.fenced import work; work({os.getpid()}, {self._first!r})"
        command = [sys.executable, "-P", "-c", work]  # -P: nothing that lies in this folder is taken for a library
        self._process = subprocess.Popen(
            command, env=_environment(), stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=self._said
        )
        return self._process

    def _died(self, bounds: Bounds, late: bool, used_bytes: int = 0) -> BadInput:
        """What ended the process, in one line; used_bytes: the most memory it had, 0 where not told."""
        assert self._process is not None
        code = self._process.wait()
        if late or code in _OUT_OF_TIME:
            seconds = bounds.budget.clock_seconds if late else bounds.budget.seconds
            kind = Passing if late or code == _ALARM else BadInput  # by the clock: the machine may have been busy
            return kind(bounds.source, f"{bounds.who} did not finish within {seconds:.0f} s", bounds.more_time)
        assert self._said is not None
        self._said.seek(0)
        said = self._said.read(1 << 16).decode("utf-8", "replace")
        short = any(word in said for word in ("MemoryError", "bad_alloc", "Cannot allocate"))
        if short or code == _KILLED or used_bytes > _NEARLY_ALL * bounds.budget.bytes:
            return _out_of_memory(bounds)
        cause = f"signal {-code}" if code < 0 else f"exit {code}"
        what = f"{bounds.who} broke down while reading it ({cause}); the file may be damaged"
        return BadInput(bounds.source, what, "export the part again")


Watcher = Callable[[str, str, int, int], None]
"""Called with the file, the stage it is at, how much of that is done, and of how much (0: not known); at the end with
no stage."""

_watcher: ContextVar[Watcher | None] = ContextVar("watcher", default=None)


@contextmanager
def watched(watcher: Watcher) -> Iterator[None]:
    """Tell how far each file is that is read inside the block."""
    before = _watcher.set(watcher)
    try:
        yield
    finally:
        _watcher.reset(before)


_ours: ContextVar[Fence | None] = ContextVar("fence", default=None)


@contextmanager
def one_fence(first: str = "") -> Iterator[Fence]:
    """A fence that every reading inside the block uses, one after the other; without it each has one of its own.

    With `first`, as for Fence, its process starts at once.
    """
    with Fence(first) as fence:
        if first:
            fence.start()
        before = _ours.set(fence)
        try:
            yield fence
        finally:
            _ours.reset(before)


def keep_one_fence() -> None:
    """From here on every reading in this process shares one fence, which ends with the process."""
    if _ours.get() is None:
        _ours.set(Fence())


def fenced(target: str, arguments: tuple[Any, ...], bounds: Bounds) -> Any:
    """`Fence.call` in the fence of the block around, or in one for this call alone."""
    fence = _ours.get()
    if fence is not None:
        return fence.call(target, arguments, bounds)
    with Fence() as own:
        return own.call(target, arguments, bounds)


def fault_line(source: str, words: str) -> BadInput:
    """The one line for a reader that failed in a way nobody foresaw: the file, what failed, what to do."""
    if loops.stale():
        return BadInput("areacalc", *loops.STALE.split("; "))
    short = " ".join(words.split())[:120]
    return BadInput(source, f"cannot be read ({short}); the file may be damaged", "export the part again")


def _out_of_memory(bounds: Bounds) -> Passing:
    what = f"{bounds.who} ran out of memory ({bounds.budget.bytes / 2**30:.2g} GB allowed)"
    return Passing(bounds.source, what, bounds.more_memory)


def machine_bytes() -> int:
    """The machine's memory; 4 GB where the system does not tell."""
    try:
        return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, ValueError, OSError):
        return 4 << 30


def _nameless() -> IO[bytes]:
    """A file without a name, which no end of this program leaves behind; in memory, since no folder may be writable."""
    if sys.platform == "linux":
        return open(os.memfd_create("said"), "w+b")
    return tempfile.TemporaryFile()


def _environment() -> dict[str, str]:
    """This process's, with this very package found first, and one thread for arithmetic: more only take memory."""
    root = str(Path(__file__).resolve().parents[2])
    path = os.pathsep.join(filter(None, [root, os.environ.get("PYTHONPATH", "")]))
    return {**os.environ, "PYTHONPATH": path, "OPENBLAS_NUM_THREADS": "1"}
