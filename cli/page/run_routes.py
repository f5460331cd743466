"""The run at the tank over HTTP: as it is now, begun, and a line typed."""

from __future__ import annotations

import re
from collections.abc import Callable

from msgspec import UNSET
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from areacalc.errors import BadInput, UnknownName
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Outcome
from areacalc.quantity import Dimension, parse
from areacalc.report.run_picture import Ending

from .asked import ChangeRun, Nothing, TankLine
from .bench import text
from .desk import Desk
from .endpoints import desk_of, on, query
from .shop import logged_runs

PATH = "/api/run"
_MOST_DIGITS = 9
_SIZE = re.compile(rb'width="[\d.]+pt" height="[\d.]+pt"')
_MEDIA: dict[Ending, str] = {"svg": "image/svg+xml", "png": "image/png", "pdf": "application/pdf"}
PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"
PDF_POLICY = "frame-ancestors 'none'"  # a sandbox would forbid the reader of the browser to print and to save


@on("get", PATH)
async def run(request: Request) -> Response:
    return await _shown(desk_of(request))


@on("put", PATH)
async def begin(request: Request, said: Nothing) -> Response:
    desk = desk_of(request)
    await desk.begin_run()
    return await _shown(desk, 201)


@on("post", PATH)
async def take(request: Request, said: TankLine) -> Response:
    desk = desk_of(request)
    inch = desk.bench.settings.show == "in"
    answer = await run_in_threadpool(desk.at_tank.take, text(said.line, "line"), said.sure, inch)
    return await _shown(desk, answer=answer)


async def _shown(desk: Desk, status: int = 200, **more: str) -> Response:
    found = await run_in_threadpool(desk.at_tank.document, desk.bench.settings.show == "in")
    return JSONResponse(found | more, status)


def _number(request: Request) -> int:
    number = request.path_params["number"]
    if not number.isdecimal() or len(number) > _MOST_DIGITS:
        raise BadInput("the run", f"'{number[:20]}' is not its number", "send the number that came with it")
    return int(number)


@on("patch", "/api/runs/{number}")
async def change(request: Request, said: ChangeRun) -> Response:
    await run_in_threadpool(_changed, _number(request), said)
    return JSONResponse({"runs": logged_runs()})


def _changed(number: int, said: ChangeRun) -> None:
    """Keep what came out of a run, its remark, and whether it is struck out. Raises BadInput."""
    film_um = parse(said.coating, Dimension.FILM, "coating") if said.coating else None
    found = Outcome(run=number, film_um=film_um, colour=text(said.colour, "shade"), judged=said.judged)
    with Logbook() as book:
        if found != Outcome(run=number):
            try:
                book.add_outcome(found)
            except BadInput as bad:
                raise type(bad)("", bad.what, bad.remedy) from None
        if said.remark is not UNSET:
            book.correct("run", number, remark=text(said.remark, "remark"))
        if said.struck is not UNSET:
            book.strike(number, said.struck)


@on("get", "/api/runs/{number}/picture")
async def picture(request: Request) -> Response:
    number = _number(request)
    return await _drawn(request, lambda ending: _of_run(number, ending))


@on("get", "/api/months/{figure}")
async def months(request: Request) -> Response:
    figure = request.path_params["figure"]
    return await _drawn(request, lambda ending: _over_the_months(figure, ending))


async def _drawn(request: Request, draw: Callable[[Ending], bytes]) -> Response:
    """A picture in the kind that the address asks for, SVG unless told. Raises BadInput, UnknownName."""
    (told,) = query(request, "kind")
    kind = "svg" if told is None else told
    ending = next((each for each in _MEDIA if each == kind), None)
    if ending is None:
        raise UnknownName.among("kind", kind, _MEDIA)
    content = await run_in_threadpool(draw, ending)
    if ending == "svg":  # as large as the window, whatever it measures on paper
        content = _SIZE.sub(b'width="100%" height="100%"', content, count=1)
    policy = PDF_POLICY if ending == "pdf" else PICTURE_POLICY
    return Response(content, media_type=_MEDIA[ending], headers={"content-security-policy": policy})


def _of_run(number: int, ending: Ending) -> bytes:
    from areacalc.report.run_picture import run_picture

    from ..logbook.picture import recorded

    with Logbook() as book:
        logged, plan, _ = recorded(book, book.run(number))
    return run_picture(logged, plan, ending)


def _over_the_months(figure: str, ending: Ending) -> bytes:
    from areacalc.report.run_picture import months_picture

    from ..logbook.picture import FIELDS

    field, label, per = UnknownName.pick("figure", figure, FIELDS)
    with Logbook() as book:
        return months_picture(book.runs(), field, label, ending, per)
