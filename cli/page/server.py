"""Start the page on this computer alone, show its address, keep it until it is interrupted."""

import asyncio
import contextlib
import os
import socket
import sys
import webbrowser
from pathlib import Path

import uvicorn
from msgspec.structs import replace

from areacalc.errors import BadInput
from areacalc.logbook.logbook import shop_folder, shop_logbook

from .. import show as out
from .connections import Connection, one_line
from .desk import Desk
from .guard import Guard, keep_key, kept_key
from .routes import application
from .store import Store
from .workers import Pool

_BACKLOG = 64  # connections taken up at once: all of them are held before the oldest can be let go


def serve(port: int, data: Path | None, open_browser: bool, speed: float = 1.0) -> None:
    """Run the page until it is interrupted. Raises BadInput: the port or the data folder cannot be had.

    speed is that of the clock of rehearsed runs.
    """
    is_named = bool(os.environ.get("AREACALC_LOGBOOK"))
    if data is not None and not is_named:  # whoever keeps their work apart keeps their runs apart
        os.environ["AREACALC_LOGBOOK"] = str(data.absolute() / "logbook.sqlite")
    store = Store(data or shop_folder())
    key = kept_key(store.folder)
    listening = _listen_again(key.port) if port == 0 else _listen(port)
    port = listening.getsockname()[1]
    key = replace(key, port=port)
    with contextlib.suppress(BadInput):  # without it all works, but a tab left open has to be let in again
        keep_key(store.folder, key)

    pool = Pool()
    desk = Desk(store, pool, speed)
    guard = Guard(application(desk), port, key, _show)
    address = guard.invite()
    why = ", which areacalc --logbook or AREACALC_LOGBOOK names" if is_named else ""
    out.say(f"What you do is kept in {store.folder}, runs in {shop_logbook()}{why}. Ctrl-C ends it.")
    server = _Server(
        desk,
        uvicorn.Config(
            guard,
            http=Connection,
            backlog=_BACKLOG,
            log_level="error",
            access_log=False,
            server_header=False,
            date_header=False,
            timeout_graceful_shutdown=1,
            lifespan="on",
        ),
    )
    if open_browser:
        webbrowser.open(address)
    try:
        with contextlib.suppress(KeyboardInterrupt):  # the way to end it; all that was done is kept
            server.run(sockets=[listening])
    finally:
        pool.close()


def _show(address: str) -> None:
    with contextlib.suppress(OSError, SystemExit):  # the terminal may be closed by now
        out.say(f"To let a browser in, once: {address}")


class _Server(uvicorn.Server):
    """Lets the windows that wait for a change go before it ends."""

    def __init__(self, desk: Desk, config: uvicorn.Config) -> None:
        super().__init__(config)
        self.desk = desk

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        asyncio.get_running_loop().set_exception_handler(one_line)
        await super().startup(sockets)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        await self.desk.let_go()
        await super().shutdown(sockets)


def _listen_again(port: int) -> socket.socket:
    """The port of last time, where a tab may still be open; another where it is taken."""
    try:
        return _listen(port)
    except BadInput:
        return _listen(0)


def _listen(port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if sys.platform != "win32":
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)  # a port just let go may be had again
    try:
        listening.bind(("127.0.0.1", port))
    except OSError as trouble:
        listening.close()
        raise BadInput(
            f"port {port}", f"cannot be used: {trouble.strerror}", "give another with --port, or none"
        ) from None
    listening.listen(_BACKLOG)  # from now on a browser that asks waits, and is not turned away
    return listening
