"""The run at the tank over HTTP: as it is now, begun, and a line typed."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from areacalc.errors import BadInput

from .bench import text
from .desk import Desk

PATH = "/api/run"
Endpoint = Callable[[Request], Awaitable[Response]]


def run_routes(
    desk_of: Callable[[Request], Desk],
    body_of: Callable[[Request], Awaitable[dict[str, Any]]],
    answers: Callable[[Endpoint], Endpoint],
) -> list[Route]:
    """The routes of the run, which read and answer requests as all the others do."""

    async def shown(desk: Desk, status: int = 200) -> Response:
        found = await run_in_threadpool(desk.at_tank.document, desk.bench.settings.show == "in")
        return JSONResponse(found, status)

    async def run(request: Request) -> Response:
        desk = desk_of(request)
        if request.method == "PUT":
            _only(await body_of(request))
            await desk.begin_run()
            return await shown(desk, 201)
        if request.method == "POST":
            body = await body_of(request)
            _only(body, "line")
            await run_in_threadpool(desk.at_tank.take, text(body["line"], "line"))
        return await shown(desk)

    return [Route(PATH, answers(run), methods=["GET", "PUT", "POST"])]


def _only(body: dict[str, Any], *keys: str) -> None:
    """Refuse a request that does not hold just these keys. Raises BadInput."""
    if set(body) != set(keys):
        raise BadInput("the request", f"holds {', '.join(sorted(body)) or 'nothing'}",
                       f"send {', '.join(keys) or 'an empty object'}")  # fmt: skip
