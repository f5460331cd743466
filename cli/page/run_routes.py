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
_MOST_DIGITS = 9
PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"
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

    async def picture(request: Request) -> Response:
        number = request.path_params["number"]
        if not number.isdecimal() or len(number) > _MOST_DIGITS:
            raise BadInput("the run", f"'{number[:20]}' is not its number", "send the number that came with it")
        content = await run_in_threadpool(_drawn, int(number))
        return Response(content, media_type="image/svg+xml", headers={"content-security-policy": PICTURE_POLICY})

    return [
        Route(PATH, answers(run), methods=["GET", "PUT", "POST"]),
        Route("/api/runs/{number}/picture", answers(picture)),
    ]


def _drawn(number: int) -> bytes:
    """A run of the logbook on one page. Raises UnknownName, BadInput."""
    from areacalc.logbook.logbook import Logbook
    from areacalc.report.run_picture import run_picture

    from ..logbook.picture import recorded

    with Logbook() as book:
        return run_picture(recorded(book, number)[0], "svg")


def _only(body: dict[str, Any], *keys: str) -> None:
    """Refuse a request that does not hold just these keys. Raises BadInput."""
    if set(body) != set(keys):
        raise BadInput("the request", f"holds {', '.join(sorted(body)) or 'nothing'}",
                       f"send {', '.join(keys) or 'an empty object'}")  # fmt: skip
