"""Start the page on this computer alone, show its address, keep it until it is interrupted."""

from __future__ import annotations

import secrets
import socket
import sys
import webbrowser
from pathlib import Path

import uvicorn

from areacalc.errors import BadInput

from .. import show as out
from .desk import Desk
from .guard import Guard
from .routes import application
from .store import Store, default_folder
from .workers import Pool


def serve(port: int, data: Path | None, open_browser: bool) -> None:
    """Run the page until it is interrupted. Raises BadInput: the port or the data folder cannot be had."""
    store = Store(data or default_folder())
    listening = _listen(port)
    port = listening.getsockname()[1]
    token = secrets.token_urlsafe(24)
    address = f"http://127.0.0.1:{port}/?token={token}"

    pool = Pool()
    desk = Desk(store, pool)
    guard = Guard(application(desk), port, token)
    out.say(f"The page is at {address}")
    out.say(f"What you do is kept in {store.folder}. Ctrl-C ends it.")
    server = _Server(
        desk,
        uvicorn.Config(
            guard,
            log_level="warning",
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
        server.run(sockets=[listening])
    finally:
        pool.close()


class _Server(uvicorn.Server):
    """Lets the windows that wait for a change go before it ends."""

    def __init__(self, desk: Desk, config: uvicorn.Config) -> None:
        super().__init__(config)
        self.desk = desk

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        await self.desk.let_go()
        await super().shutdown(sockets)


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
    listening.listen(64)  # from now on a browser that asks waits, and is not turned away
    return listening
