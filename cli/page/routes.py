"""The HTTP interface of the page; `openapi.json` beside this file describes it."""

from __future__ import annotations

import asyncio
import math
import os
from collections.abc import AsyncIterator, Awaitable, Callable, Coroutine
from contextlib import asynccontextmanager
from functools import wraps
from pathlib import Path
from typing import Any, TypeVar

import msgspec
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from areacalc.errors import AreacalcError, BadInput
from areacalc.shape.toml_kind import LOAD, kind_of_table, table_of

from . import catalogue
from .asked import (
    AddSample,
    AddSketch,
    ChangePart,
    ChangeSettings,
    Keep,
    LogRun,
    Nothing,
    OpenLoad,
    Redraw,
    Rehang,
    RequestBody,
)
from .bench import text
from .desk import Desk, Stale, error_document
from .load_text import load_text, shown_files
from .load_zip import SUFFIX as ZIP
from .load_zip import load_zip, unpacked
from .rehang import rehang
from .run_routes import PDF_POLICY, run_routes
from .store import TooLarge

HERE = Path(__file__).parent
MOST_JSON_BYTES = 500_000
STALE = "Another window changed this first; you see it as it is now. Make your change again if you still want it."
R = TypeVar("R", bound=RequestBody)
Endpoint = Callable[[Request], Awaitable[Response]]


def application(desk: Desk) -> Starlette:
    """The page's routes around a desk."""

    @asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        desk.start()
        yield
        desk.close()

    routes = [
        Route("/", page),
        Route("/api/openapi.json", openapi),
        Route("/api/catalogue", catalogue_),
        Route("/api/bench", bench),
        Route("/api/settings", settings, methods=["PATCH"]),
        *(Route(f"/api/{which}", travel, methods=["POST"]) for which in ("undo", "redo")),
        Route("/api/shop", keep, methods=["PUT"]),
        Route("/api/parts", add_part, methods=["POST"]),
        Route("/api/parts/{id}", by_method(PATCH=change_part, DELETE=remove_part), methods=["PATCH", "DELETE"]),
        Route("/api/parts/{id}/ways", ways),
        Route("/api/parts/{id}/going-under", going_under),
        Route("/api/samples", add_sample, methods=["POST"]),
        Route("/api/sketches", add_sketch, methods=["POST"]),
        Route("/api/sketches/{id}", redraw, methods=["PUT"]),
        Route("/api/measure", measure, methods=["POST"]),
        Route("/api/removed/{id}", put_back, methods=["POST"]),
        Route("/api/views/{name}", view),
        Route("/api/plan", plan),
        Route("/api/rack", rack, methods=["POST"]),
        Route("/api/sheet", sheet),
        Route("/api/logbook", by_method(GET=logbook, HEAD=logbook, POST=log_run), methods=["GET", "POST"]),
        *run_routes(_desk, _said, answers),
        Route("/api/load.toml", load_file),
        Route("/api/load.zip", load_folder),
        Route("/api/load", open_load, methods=["POST"]),
        Mount("/static", StaticFiles(directory=HERE / "static")),
    ]
    app = Starlette(routes=routes, lifespan=life, exception_handlers={405: not_so})
    app.state.desk = desk
    return app


def answers(endpoint: Endpoint) -> Endpoint:
    """Turn what an endpoint raises into one line with the right status."""

    @wraps(endpoint)
    async def asked(request: Request) -> Response:
        try:
            return await endpoint(request)
        except AreacalcError as bad:
            return JSONResponse({"error": error_document(bad)}, 422)
        except Stale:
            now = _desk(request).document()
            return JSONResponse({"error": {"line": STALE}, "bench": now}, 409)
        except KeyError:
            return JSONResponse({"error": {"line": "That is not on the bench any more."}}, 404)
        except TooLarge:
            return JSONResponse({"error": {"line": "That is larger than is let in; export it coarser."}}, 413)
        except ClientDisconnect:
            return PlainTextResponse("", 400)
        except Exception as fault:
            if os.environ.get("AREACALC_TRACE"):
                raise
            line = f"This brought areacalc to a fault of its own ({type(fault).__name__}: {fault}); please report it."
            return JSONResponse({"error": {"line": " ".join(line.split())}}, 500)

    return asked


def by_method(**endpoints: Endpoint) -> Endpoint:
    """One endpoint for a path that several methods go to, so that a wrong method is told all of them."""

    async def asked(request: Request) -> Response:
        return await endpoints[request.method](request)

    return asked


async def not_so(_: Request, wrong: Exception) -> Response:
    """A method that the path does not take; the static files do not say themselves which they do."""
    allowed = (getattr(wrong, "headers", None) or {}).get("Allow", "GET, HEAD")
    return PlainTextResponse("this cannot be done here\n", 405, headers={"Allow": allowed})


def _desk(request: Request) -> Desk:
    desk: Desk = request.app.state.desk
    return desk


async def _said(request: Request, kind: type[R]) -> R:
    """What the body says, as a document of a kind. Raises BadInput, TooLarge."""
    content = bytearray()
    async for chunk in request.stream():
        content += chunk
        if len(content) > MOST_JSON_BYTES:
            raise TooLarge
    try:
        return msgspec.json.decode(bytes(content), type=kind)
    except (ValueError, RecursionError) as wrong:
        raise BadInput("the request", f"cannot be used: {wrong}", "send what openapi.json says") from None


def _query(request: Request, *names: str) -> list[str | None]:
    """The values of these words of the address. Raises BadInput where another is there."""
    others = set(request.query_params) - set(names)
    if others:
        raise BadInput("the request", f"says {', '.join(sorted(others))}", f"say only {', '.join(names)}")
    return [request.query_params.get(name) for name in names]


async def _while_asked(request: Request, working: Coroutine[Any, Any, dict[str, Any]]) -> dict[str, Any]:
    """The outcome of long work, which ends as soon as the browser no longer wants it. Raises ClientDisconnect."""
    task = asyncio.create_task(working)
    while not task.done():
        await asyncio.wait([task], timeout=0.25)
        if not task.done() and await request.is_disconnected():
            task.cancel()
            raise ClientDisconnect
    return task.result()


async def page(_: Request) -> Response:
    return FileResponse(HERE / "static" / "index.html")


async def openapi(request: Request) -> Response:
    document = (HERE / "openapi.json").read_text("utf-8").replace("PORT", str(request.url.port))
    return Response(document, media_type="application/json")


async def catalogue_(_: Request) -> Response:
    return JSONResponse(await run_in_threadpool(catalogue.document))


@answers
async def bench(request: Request) -> Response:
    desk = _desk(request)
    asked = _query(request, "after", "wait")
    try:
        after, wait_s = int("0" if asked[0] is None else asked[0]), float("0" if asked[1] is None else asked[1])
    except ValueError:
        raise BadInput("the request", "after and wait are not numbers", "leave them out") from None
    if after and wait_s > 0 and not await desk.wait(after, min(wait_s, 30.0) if math.isfinite(wait_s) else 30.0):
        return Response(status_code=204)
    return JSONResponse(desk.document())


@answers
async def settings(request: Request) -> Response:
    said = await _said(request, ChangeSettings)
    await _desk(request).set(said.revision, msgspec.to_builtins(said.change))
    return JSONResponse(_desk(request).document())


@answers
async def travel(request: Request) -> Response:
    await _said(request, Nothing)
    await _desk(request).travel(back=request.url.path.endswith("/undo"))
    return JSONResponse(_desk(request).document())


@answers
async def keep(request: Request) -> Response:
    """Keep a bath or tank of the shop under a name; without values, forget it."""
    said = await _said(request, Keep)
    await _desk(request).keep(said.table, said.name, said.values)
    return Response(status_code=204)


@answers
async def add_part(request: Request) -> Response:
    """A part file; or a load, by itself or with its files in a zip, which is opened."""
    asked = _query(request, "name", "unit")
    name = text(asked[0], "name").replace("/", "_").replace("\\", "_")
    unit = text(asked[1], "unit") or None
    suffix = ZIP if name.lower().endswith(ZIP) else catalogue.suffix_of(name)
    desk = _desk(request)
    file = await desk.store.take(name, request.stream(), suffix)
    if suffix == ZIP:
        return JSONResponse({"awaited": await _open_zip(desk, name, file)}, 202)
    table = table_of(desk.store.parts / file) if suffix == ".toml" else {}
    if kind_of_table(table) == LOAD:
        load = (desk.store.parts / file).read_text("utf-8")
        desk.store.drop(file)
        return JSONResponse({"awaited": await desk.open_load(load)}, 202)
    part = await desk.add(name, file, unit, catalogue.sketch_or_none(table, name))
    return JSONResponse({"id": part.id}, 202)


async def _open_zip(desk: Desk, name: str, file: str) -> list[str]:
    """Open the load in a stored zip, with the part files in it; the files still wanted. Raises BadInput."""
    try:
        load, files = await run_in_threadpool(unpacked, desk.store.parts / file, name)
    finally:
        desk.store.drop(file)
    awaited = []
    for wanted in await desk.open_load(load):
        if wanted in files:
            suffix = catalogue.suffix_of(wanted)
            stored = await desk.store.keep(wanted, files[wanted], suffix)
            table = table_of(desk.store.parts / stored) if suffix == ".toml" else {}
            await desk.add(wanted, stored, None, catalogue.sketch_or_none(table, wanted))
        else:
            awaited.append(wanted)
    return awaited


@answers
async def add_sample(request: Request) -> Response:
    sample = catalogue.sample((await _said(request, AddSample)).name)
    desk = _desk(request)
    if sample.sketch is not None:
        file = await desk.store.keep(sample.name, catalogue.sketch_toml(sample.sketch), ".toml")
    else:
        file = await desk.store.keep(sample.name, sample.content, sample.suffix)
    part = await desk.add(sample.name, file, None if sample.suffix != ".stl" else "mm", sample.sketch)
    return JSONResponse({"id": part.id}, 202)


@answers
async def add_sketch(request: Request) -> Response:
    clean = catalogue.sketch_from((await _said(request, AddSketch)).sketch)
    desk = _desk(request)
    file = await desk.store.keep(clean["name"], catalogue.sketch_toml(clean), ".toml")
    part = await desk.add(clean["name"], file, None, clean)
    return JSONResponse({"id": part.id}, 202)


@answers
async def redraw(request: Request) -> Response:
    said = await _said(request, Redraw)
    clean = catalogue.sketch_from(said.sketch)
    desk = _desk(request)
    file = await desk.store.keep(clean["name"], catalogue.sketch_toml(clean), ".toml")
    part = await desk.redraw(request.path_params["id"], said.revision, clean["name"], file, clean)
    return JSONResponse({"id": part.id, "revision": part.revision}, 202)


@answers
async def measure(request: Request) -> Response:
    said = await _said(request, AddSketch)
    return JSONResponse(await run_in_threadpool(catalogue.measured, said.sketch))


@answers
async def change_part(request: Request) -> Response:
    said = await _said(request, ChangePart)
    part = await _desk(request).change(request.path_params["id"], said.revision, msgspec.to_builtins(said.change))
    return JSONResponse({"id": part.id, "revision": part.revision}, 202)


@answers
async def remove_part(request: Request) -> Response:
    await _desk(request).remove(request.path_params["id"])
    return Response(status_code=204)


@answers
async def ways(request: Request) -> Response:
    return JSONResponse(await _while_asked(request, _desk(request).ways(request.path_params["id"])))


@answers
async def going_under(request: Request) -> Response:
    return JSONResponse(await _while_asked(request, _desk(request).going_under(request.path_params["id"])))


@answers
async def put_back(request: Request) -> Response:
    part = await _desk(request).put_back(request.path_params["id"])
    return JSONResponse({"id": part.id})


@answers
async def view(request: Request) -> Response:
    desk, name = _desk(request), request.path_params["name"]
    if name not in desk.pictures:  # a name that was on the bench, never a path
        raise KeyError(name)
    return FileResponse(desk.store.views / name, media_type="application/octet-stream",
                        headers={"cache-control": "private, max-age=86400, immutable"})  # fmt: skip


@answers
async def plan(request: Request) -> Response:
    document = await _desk(request).plan()
    return JSONResponse({key: value for key, value in document.items() if key not in ("sheet", "run")})


@answers
async def rack(request: Request) -> Response:
    return JSONResponse(await rehang(_desk(request), (await _said(request, Rehang)).moved))


@answers
async def sheet(request: Request) -> Response:
    from areacalc.report.sheet_pdf import sheet_pdf

    desk = _desk(request)
    made = (await desk.plan())["sheet"]
    content = await run_in_threadpool(sheet_pdf, made, desk.bench.settings.show == "in")
    return Response(content, media_type="application/pdf",
                    headers={"content-disposition": 'inline; filename="run-sheet.pdf"',
                             "content-security-policy": PDF_POLICY})  # fmt: skip


@answers
async def logbook(request: Request) -> Response:
    return JSONResponse({"runs": _desk(request).runs()})


@answers
async def log_run(request: Request) -> Response:
    said = await _said(request, LogRun)
    await _desk(request).log(text(said.remark, "remark"))
    return JSONResponse({"runs": _desk(request).runs()}, 201)


@answers
async def open_load(request: Request) -> Response:
    said = await _said(request, OpenLoad)
    return JSONResponse({"awaited": await _desk(request).open_load(said.text)})


@answers
async def load_folder(request: Request) -> Response:
    """The load with the files of its parts, as the command line wants them side by side."""
    desk = _desk(request)
    content = await run_in_threadpool(load_zip, desk.bench, desk.store.parts)
    return Response(content, media_type="application/zip",
                    headers={"content-disposition": 'attachment; filename="load.zip"'})  # fmt: skip


@answers
async def load_file(request: Request) -> Response:
    names = shown_files(bench := _desk(request).bench)
    return PlainTextResponse(load_text(bench, lambda part: names[part.id]), media_type="application/toml",
                             headers={"content-disposition": 'attachment; filename="load.toml"'})  # fmt: skip
