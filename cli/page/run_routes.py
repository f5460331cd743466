"""The run at the tank over HTTP: as it is now, begun, and a line typed."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING, Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from areacalc.errors import BadInput, UnknownName

from .asked import Nothing, TankLine
from .bench import text
from .desk import Desk

if TYPE_CHECKING:
    from areacalc.report.run_picture import Ending

PATH = "/api/run"
_MOST_DIGITS = 9
_MEDIA: dict[Ending, str] = {"svg": "image/svg+xml", "png": "image/png", "pdf": "application/pdf"}
PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"
PDF_POLICY = "frame-ancestors 'none'"  # a sandbox would forbid the reader of the browser to print and to save
Endpoint = Callable[[Request], Awaitable[Response]]


def run_routes(
    desk_of: Callable[[Request], Desk],
    said: Callable[[Request, type[Any]], Awaitable[Any]],
    answers: Callable[[Endpoint], Endpoint],
) -> list[Route]:
    """The routes of the run, which read and answer requests as all the others do."""

    async def shown(desk: Desk, status: int = 200) -> Response:
        found = await run_in_threadpool(desk.at_tank.document, desk.bench.settings.show == "in")
        return JSONResponse(found, status)

    async def run(request: Request) -> Response:
        desk = desk_of(request)
        if request.method == "PUT":
            await said(request, Nothing)
            await desk.begin_run()
            return await shown(desk, 201)
        if request.method == "POST":
            typed = await said(request, TankLine)
            await run_in_threadpool(desk.at_tank.take, text(typed.line, "line"), typed.sure)
        return await shown(desk)

    async def picture(request: Request) -> Response:
        number = request.path_params["number"]
        if not number.isdecimal() or len(number) > _MOST_DIGITS:
            raise BadInput("the run", f"'{number[:20]}' is not its number", "send the number that came with it")
        return await _drawn(request, lambda ending: _of_run(int(number), ending))

    async def months(request: Request) -> Response:
        figure = request.path_params["figure"]
        return await _drawn(request, lambda ending: _over_the_months(figure, ending))

    return [
        Route(PATH, answers(run), methods=["GET", "PUT", "POST"]),
        Route("/api/runs/{number}/picture", answers(picture)),
        Route("/api/months/{figure}", answers(months)),
    ]


async def _drawn(request: Request, draw: Callable[[Ending], bytes]) -> Response:
    """A picture in the kind that the address asks for, SVG unless told. Raises BadInput, UnknownName."""
    if others := set(request.query_params) - {"kind"}:
        raise BadInput("the request", f"says {', '.join(sorted(others))}", "say only kind")
    kind = request.query_params.get("kind", "svg")
    ending = next((each for each in _MEDIA if each == kind), None)
    if ending is None:
        raise UnknownName.among("kind", kind, _MEDIA)
    content = await run_in_threadpool(draw, ending)
    policy = PDF_POLICY if ending == "pdf" else PICTURE_POLICY
    return Response(content, media_type=_MEDIA[ending], headers={"content-security-policy": policy})


def _of_run(number: int, ending: Ending) -> bytes:
    from areacalc.logbook.logbook import Logbook
    from areacalc.report.run_picture import run_picture

    from ..logbook.picture import recorded

    with Logbook() as book:
        logged, plan, _ = recorded(book, book.run(number))
    return run_picture(logged, plan, ending)


def _over_the_months(figure: str, ending: Ending) -> bytes:
    from areacalc.logbook.logbook import Logbook
    from areacalc.report.run_picture import months_picture

    from ..logbook.picture import FIELDS, Over

    over = next((each for each in Over if each == figure), None)
    if over is None:
        raise UnknownName.among("figure", figure, list(Over))
    field, label, per = FIELDS[over]
    with Logbook() as book:
        return months_picture(book.runs(), field, label, ending, per)
