"""The HTTP interface of the page; `openapi.json` beside this file describes it."""

import asyncio
import math
from collections.abc import AsyncIterator, Coroutine
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import msgspec
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from areacalc.errors import BadInput
from areacalc.shape.small_text import LOAD, kind_of_table, table_of

from . import asked, catalogue
from .answered import Awaited
from .bench import text
from .desk import Desk
from .endpoints import BODIES as BODIES
from .endpoints import desk_of, not_so, on, query, routes
from .load_text import ZIP, load_text, load_zip, shown_files, unpacked
from .rehang import rehang
from .run_routes import PDF_POLICY
from .shop import logged_runs

HERE = Path(__file__).parent


def application(desk: Desk) -> Starlette:
    """The page's routes around a desk."""

    @asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        desk.start()
        yield
        desk.close()

    fixed = [Route("/", page), Route("/api/openapi.json", openapi)]
    static = Mount("/static", StaticFiles(directory=HERE / "static"))
    app = Starlette(routes=[*fixed, *routes(), static], lifespan=life, exception_handlers={405: not_so})
    app.state.desk = desk
    return app


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


@on("get", "/api/catalogue")
async def catalogue_(_: Request) -> Response:
    return JSONResponse(await run_in_threadpool(catalogue.document))


@on("get", "/api/bench")
async def bench(request: Request) -> Response:
    desk = desk_of(request)
    since, most = query(request, "after", "wait")
    try:
        after, wait_s = int("0" if since is None else since), float("0" if most is None else most)
    except ValueError:
        raise BadInput("the request", "after and wait are not numbers", "leave them out") from None
    if after and wait_s > 0 and not await desk.wait(after, min(wait_s, 30.0) if math.isfinite(wait_s) else 30.0):
        return Response(status_code=204)
    return JSONResponse(desk.document())


@on("patch", "/api/settings")
async def settings(request: Request, said: asked.ChangeSettings) -> Response:
    await desk_of(request).set(said.revision, msgspec.to_builtins(said.change))
    return JSONResponse(desk_of(request).document())


@on("post", "/api/undo")
@on("post", "/api/redo")
async def travel(request: Request, said: asked.Nothing) -> Response:
    await desk_of(request).travel(back=request.url.path.endswith("/undo"))
    return JSONResponse(desk_of(request).document())


@on("put", "/api/shop")
async def keep(request: Request, said: asked.Keep) -> Response:
    """Keep a bath or tank of the shop under a name; without values, forget it."""
    await desk_of(request).keep(said.table, said.name, said.values)
    return Response(status_code=204)


@on("post", "/api/parts")
async def add_part(request: Request) -> Response:
    """A part file; or a load, by itself or with its files in a zip, which is opened."""
    called, told = query(request, "name", "unit")
    name = text(called, "name").replace("/", "_").replace("\\", "_")
    unit = text(told, "unit") or None
    suffix = ZIP if name.lower().endswith(ZIP) else catalogue.suffix_of(name)
    desk = desk_of(request)
    file = await desk.store.take(name, request.stream(), suffix)
    if suffix == ZIP:
        return JSONResponse(await _open_zip(desk, name, file), 202)
    table = table_of(desk.store.parts / file) if suffix == ".toml" else {}
    if kind_of_table(table) == LOAD:
        load = (desk.store.parts / file).read_text("utf-8")
        desk.store.drop(file)
        return JSONResponse(await desk.open_load(load), 202)
    part = await desk.add(name, file, unit, catalogue.sketch_or_none(table, name))
    return JSONResponse({"id": part.id}, 202)


async def _open_zip(desk: Desk, name: str, file: str) -> Awaited:
    """Open the load in a stored zip, with the part files in it. Raises BadInput."""
    try:
        load, files = await run_in_threadpool(unpacked, desk.store.parts / file, name)
    finally:
        desk.store.drop(file)
    opened, awaited = await desk.open_load(load), []
    for wanted in opened["awaited"]:
        if wanted in files:
            suffix = catalogue.suffix_of(wanted)
            stored = await desk.store.keep(wanted, files[wanted], suffix)
            table = table_of(desk.store.parts / stored) if suffix == ".toml" else {}
            await desk.add(wanted, stored, None, catalogue.sketch_or_none(table, wanted))
        else:
            awaited.append(wanted)
    return {**opened, "awaited": awaited}


@on("post", "/api/samples")
async def add_sample(request: Request, said: asked.AddSample) -> Response:
    sample = catalogue.sample(said.name)
    desk = desk_of(request)
    file = await desk.store.keep(sample.name, sample.content, sample.suffix)
    part = await desk.add(sample.name, file, None if sample.suffix != ".stl" else "mm", sample.sketch)
    return JSONResponse({"id": part.id}, 202)


@on("post", "/api/sketches")
async def add_sketch(request: Request, said: asked.AddSketch) -> Response:
    clean = catalogue.sketch_from(said.sketch)
    desk = desk_of(request)
    file = await desk.store.keep(clean["name"], catalogue.sketch_toml(clean), ".toml")
    part = await desk.add(clean["name"], file, None, clean)
    return JSONResponse({"id": part.id}, 202)


@on("put", "/api/sketches/{id}")
async def redraw(request: Request, said: asked.Redraw) -> Response:
    clean = catalogue.sketch_from(said.sketch)
    desk = desk_of(request)
    file = await desk.store.keep(clean["name"], catalogue.sketch_toml(clean), ".toml")
    part = await desk.redraw(request.path_params["id"], said.revision, clean["name"], file, clean)
    return JSONResponse({"id": part.id, "revision": part.revision}, 202)


@on("post", "/api/measure")
async def measure(request: Request, said: asked.AddSketch) -> Response:
    return JSONResponse(await run_in_threadpool(catalogue.measured, said.sketch))


@on("patch", "/api/parts/{id}")
async def change_part(request: Request, said: asked.ChangePart) -> Response:
    part = await desk_of(request).change(request.path_params["id"], said.revision, msgspec.to_builtins(said.change))
    return JSONResponse({"id": part.id, "revision": part.revision}, 202)


@on("delete", "/api/parts/{id}")
async def remove_part(request: Request) -> Response:
    await desk_of(request).remove(request.path_params["id"])
    return Response(status_code=204)


@on("get", "/api/parts/{id}/ways")
async def ways(request: Request) -> Response:
    return JSONResponse(await _while_asked(request, desk_of(request).ways(request.path_params["id"])))


@on("get", "/api/parts/{id}/going-under")
async def going_under(request: Request) -> Response:
    return JSONResponse(await _while_asked(request, desk_of(request).going_under(request.path_params["id"])))


@on("post", "/api/removed/{id}")
async def put_back(request: Request) -> Response:
    part = await desk_of(request).put_back(request.path_params["id"])
    return JSONResponse({"id": part.id})


@on("get", "/api/views/{name}")
async def view(request: Request) -> Response:
    desk, name = desk_of(request), request.path_params["name"]
    if name not in desk.pictures:  # a name that was on the bench, never a path
        raise KeyError(name)
    return FileResponse(desk.store.views / name, media_type="application/octet-stream",
                        headers={"cache-control": "private, max-age=86400, immutable"})  # fmt: skip


@on("get", "/api/plan")
async def plan(request: Request) -> Response:
    document = await desk_of(request).plan()
    return JSONResponse({key: value for key, value in document.items() if key not in ("sheet", "run")})


@on("post", "/api/rack")
async def rack(request: Request, said: asked.Rehang) -> Response:
    return JSONResponse(await rehang(desk_of(request), said.moved))


@on("get", "/api/sheet")
async def sheet(request: Request) -> Response:
    from areacalc.report.sheet_pdf import sheet_pdf

    desk = desk_of(request)
    made = (await desk.plan())["sheet"]
    content = await run_in_threadpool(sheet_pdf, made, desk.bench.settings.show == "in")
    return Response(content, media_type="application/pdf",
                    headers={"content-disposition": 'inline; filename="run-sheet.pdf"',
                             "content-security-policy": PDF_POLICY})  # fmt: skip


@on("get", "/api/logbook")
async def logbook(request: Request) -> Response:
    return JSONResponse({"runs": logged_runs()})


@on("post", "/api/logbook")
async def log_run(request: Request, said: asked.LogRun) -> Response:
    await desk_of(request).log(text(said.remark, "remark"))
    return JSONResponse({"runs": logged_runs()}, 201)


@on("post", "/api/load")
async def open_load(request: Request, said: asked.OpenLoad) -> Response:
    return JSONResponse(await desk_of(request).open_load(said.text))


@on("get", "/api/load.zip")
async def load_folder(request: Request) -> Response:
    """The load with the files of its parts, as the command line wants them side by side."""
    desk = desk_of(request)
    content = await run_in_threadpool(load_zip, desk.bench, desk.store.parts)
    return Response(content, media_type="application/zip",
                    headers={"content-disposition": 'attachment; filename="load.zip"'})  # fmt: skip


@on("get", "/api/load.toml")
async def load_file(request: Request) -> Response:
    names = shown_files(bench := desk_of(request).bench)
    return PlainTextResponse(load_text(bench, lambda part: names[part.id]), media_type="application/toml",
                             headers={"content-disposition": 'attachment; filename="load.toml"'})  # fmt: skip
