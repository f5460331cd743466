"""Connections that keep their time: a slow or silent one is ended, and none takes a place from those who ask."""

import asyncio
import sys
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

HEAD_S = 10.0
"""How long a request may take until its headers are here [s]."""
STILL_S = 30.0
"""How long nothing may come of a body, or go of an answer, that is under way [s]."""
_LOOK_S = 2.0


def most_connections() -> int:
    """How many connections are held at once: a quarter of the files that this process may open, at most 200."""
    if sys.platform == "win32":
        return 200
    import resource

    return max(8, min(200, resource.getrlimit(resource.RLIMIT_NOFILE)[0] // 4))


class Connection(H11Protocol):
    """One connection to a browser, ended when it keeps the page waiting; the oldest silent one makes room for a new."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self.asked_s = self.moved_s = self.loop.time()
        self.unsent = 0
        held = [each for each in self.connections if isinstance(each, Connection)]
        if len(held) > most_connections():
            min(held, key=lambda each: (not each.idle, each.moved_s)).transport.abort()
        self._look()

    def data_received(self, data: bytes) -> None:
        self.moved_s = self.loop.time()
        if self.idle and not self.conn.trailing_data[0]:
            self.asked_s = self.moved_s
        super().data_received(data)

    @property
    def idle(self) -> bool:
        """Whether no request with all its headers is here."""
        return bool(self.conn.their_state is h11.IDLE)

    def _look(self) -> None:
        """Look whether the other side still does its part, and look again in a while."""
        if self.transport.is_closing():
            return
        now, unsent = self.loop.time(), self.transport.get_write_buffer_size()
        if unsent != self.unsent or (self.conn.their_state is h11.DONE and not unsent):
            self.moved_s = now  # it takes what it is sent, or it waits for us
        self.unsent = unsent
        since_s, most_s = (self.asked_s, HEAD_S) if self.idle and not unsent else (self.moved_s, STILL_S)
        if now - since_s > most_s and self.timeout_keep_alive_task is None:  # that one ends it as well
            self.transport.abort()
        else:
            self.loop.call_later(_LOOK_S, self._look)


def one_line(loop: asyncio.AbstractEventLoop, trouble: dict[str, Any]) -> None:
    """Tell a fault of the loop in one line, where asyncio would print a traceback."""
    fault = trouble.get("exception")
    words = f"{trouble.get('message', 'a fault')}{f' ({fault})' if fault else ''}"
    print(f"areacalc: {' '.join(words.split())}", file=sys.stderr)  # noqa: T201
