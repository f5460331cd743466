"""The child's side of the fence: one call after the other, each under limits that the process sets on itself.

It ends with its parent, however the parent ends: Linux sends a signal; elsewhere a thread sees the pipe of calls
close, and an alarm of the system's, which no busy kernel holds up, ends what runs too long.

On Linux the calls run in a fork, for what a process begins with, its parent's memory, counts as its own; a fork begins
with nothing, so the most it had is its own.
"""

import contextlib
import os
import pickle
import pkgutil
import queue
import signal
import struct
import sys
import threading
import time
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

_MARK = b"areacalc"
_HEAD = struct.Struct("<8sQQ")  # the mark, the length of what was pickled, how many arrays follow it
_MOST_BUFFERS = 1 << 20
_DEATH_SIGNAL = 1  # PR_SET_PDEATHSIG of Linux's prctl
_RETIRES_AT_BYTES = 1 << 29  # a process that has grown past this makes room after its call


@dataclass(frozen=True, slots=True)
class Budget:
    """What one call may take: processor seconds, seconds by the clock, bytes of memory (addresses)."""

    seconds: float
    clock_seconds: float
    bytes: int


Call = tuple[str, tuple[Any, ...], Budget]
"""A function ("module:name"), what it is called with, and what that may take."""


def send(file: IO[bytes], content: object) -> None:
    """Write one message: arrays go as they are, without a copy. Raises OSError."""
    buffers: list[pickle.PickleBuffer] = []
    head = pickle.dumps(content, 5, buffer_callback=buffers.append)
    rows = [buffer.raw() for buffer in buffers]
    file.write(_HEAD.pack(_MARK, len(head), len(rows)) + struct.pack(f"<{len(rows)}Q", *map(len, rows)))
    file.write(head)
    for row in rows:
        file.write(row)
    file.flush()


def receive(file: IO[bytes]) -> Any:
    """The next message. Raises EOFError where none comes, or what comes is no message."""
    start = _exactly(file, _HEAD.size)
    mark, length, count = _HEAD.unpack(start)
    if mark != _MARK or count > _MOST_BUFFERS:
        raise EOFError
    sizes = struct.unpack(f"<{count}Q", _exactly(file, 8 * count))
    head = _exactly(file, length)
    try:
        return pickle.loads(head, buffers=[_exactly(file, size) for size in sizes])
    except Exception:  # a broken process writes anything
        raise EOFError from None


def _exactly(file: IO[bytes], size: int) -> bytearray:
    try:
        content = bytearray(size)
    except (MemoryError, OverflowError):
        raise EOFError from None
    view = memoryview(content)
    while view:
        got = file.readinto(view)  # type: ignore[attr-defined]
        if not got:
            raise EOFError
        view = view[got:]
    return content


_answers: IO[bytes] | None = None  # in the child alone
_TOLD_EVERY_S = 0.2
_told_at = 0.0


def tell(stage: str, done: int = 0, of: int = 0) -> None:
    """Say how far the call is; behind no fence, and too soon after the last time, nothing happens."""
    global _told_at
    if _answers is not None and time.monotonic() - _told_at > _TOLD_EVERY_S:
        _told_at = time.monotonic()
        send(_answers, ("told", (stage, done, of)))


def work(parent: int, first: str = "") -> None:
    """The life of the child: `first` ("module:function") is called. Then a Call comes in; ("told", (stage, done, of))
    goes out as often as it likes, and at last its end.

    That is one of ("done", result), ("refused", error), ("memory", ""), ("fault", words), with whether the process has
    grown; ("ended", bytes) where it died, with the most memory it had.
    """
    global _answers
    _answers = answers = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # what a library prints must not run into the answers
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches the parent, which ends this process
    _end_with(parent)
    if sys.platform.startswith("linux"):
        _fork(answers)
    if first:
        with contextlib.suppress(Exception):  # the call that needs it tells what is wrong
            pkgutil.resolve_name(first)()
    calls: queue.Queue[Call] = queue.Queue()
    threading.Thread(target=_listen, args=(calls,), daemon=True).start()
    while True:
        with contextlib.suppress(BrokenPipeError):
            send(answers, (*_outcome(calls.get()), _grown()))


def _fork(answers: IO[bytes]) -> None:
    """Go on in a fork. The process itself waits, tells the most memory the fork had, and ends as the fork did."""
    import resource

    waits = os.getpid()
    fork = os.fork()
    if not fork:
        _end_with(waits)
        return
    os.close(sys.stdin.fileno())
    _, status, usage = os.wait4(fork, 0)
    with contextlib.suppress(OSError):
        send(answers, ("ended", usage.ru_maxrss * 1024, True))
    code = os.waitstatus_to_exitcode(status)
    if code < 0:
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        os.kill(waits, -code)
    os._exit(code)


def _grown() -> bool:
    try:
        resident = Path("/proc/self/statm").read_text("ascii").split()[1]
    except (OSError, IndexError, MemoryError):
        return False
    return int(resident) * os.sysconf("SC_PAGE_SIZE") > _RETIRES_AT_BYTES


def _listen(calls: queue.Queue[Call]) -> None:
    """Take calls from the parent until it is gone, and end the process then, whatever it is at."""
    source = os.fdopen(sys.stdin.fileno(), "rb")
    try:
        while True:
            calls.put(receive(source))
    finally:
        os._exit(0)


def _outcome(call: Call) -> tuple[str, Any]:
    from areacalc.errors import AreacalcError

    target, arguments, budget = call
    try:
        _limit(budget)
        return "done", pkgutil.resolve_name(target)(*arguments)
    except (AreacalcError, OSError) as refused:
        return "refused", refused
    except MemoryError:
        return "memory", ""
    except Exception as fault:
        if "bad_alloc" in str(fault) or "OutOfMemory" in str(fault):
            return "memory", ""
        return "fault", f"{type(fault).__name__}: {fault}"
    finally:
        if hasattr(signal, "setitimer"):
            signal.setitimer(signal.ITIMER_REAL, 0.0)


def _limit(budget: Budget) -> None:
    """Set this process's own limits for the call that comes; what the system cannot do, the parent's clock does."""
    if hasattr(signal, "setitimer"):
        signal.signal(signal.SIGALRM, signal.SIG_DFL)  # the system's own: it needs no turn of the interpreter
        signal.setitimer(signal.ITIMER_REAL, budget.clock_seconds)
    try:
        import resource
    except ImportError:
        return
    used = int(time.process_time())
    wanted = {
        resource.RLIMIT_CPU: used + max(1, round(budget.seconds)),
        resource.RLIMIT_AS: budget.bytes,
        resource.RLIMIT_CORE: 0,
    }
    for kind, most in wanted.items():
        hard = resource.getrlimit(kind)[1]
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(kind, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))


def _end_with(parent: int) -> None:
    if not sys.platform.startswith("linux"):
        return
    import ctypes

    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL(None).prctl(_DEATH_SIGNAL, signal.SIGKILL, 0, 0, 0)
    if os.getppid() != parent:  # it ended before that was set
        os._exit(0)
