"""What every endpoint of the page shares: how its request is read, and how what goes wrong is answered."""

import os
from collections.abc import Awaitable, Callable
from functools import wraps
from typing import Any, get_type_hints

import msgspec
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Route

from areacalc.errors import AreacalcError, BadInput

from .asked import RequestBody
from .desk import Desk, Stale, error_document
from .store import TooLarge

MOST_JSON_BYTES = 500_000
STALE = "Another window changed this first; you see it as it is now. Make your change again if you still want it."
Endpoint = Callable[[Request], Awaitable[Response]]
BODIES: dict[tuple[str, str], type[RequestBody]] = {}
"""What the endpoint of a method and a path wants in its body."""
_ENDPOINTS: dict[str, dict[str, Endpoint]] = {}


def on(method: str, path: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Make a function the endpoint of a method and a path; the type of its `said` is what the body holds."""

    def made(work: Callable[..., Any]) -> Callable[..., Any]:
        kind = get_type_hints(work).get("said")

        async def endpoint(request: Request) -> Response:
            answer: Response = await (work(request, await _said(request, kind)) if kind else work(request))
            return answer

        if kind is not None:
            BODIES[method, path] = kind
        _ENDPOINTS.setdefault(path, {})[method.upper()] = answers(endpoint)
        return work

    return made


def routes() -> list[Route]:
    """Every path with its endpoints, so that a wrong method is told all of them."""
    return [Route(path, _by_method(each), methods=list(each)) for path, each in _ENDPOINTS.items()]


def _by_method(endpoints: dict[str, Endpoint]) -> Endpoint:
    async def asked(request: Request) -> Response:
        return await endpoints["GET" if request.method == "HEAD" else request.method](request)

    return asked


def answers(endpoint: Endpoint) -> Endpoint:
    """Turn what an endpoint raises into one line with the right status."""

    @wraps(endpoint)
    async def asked(request: Request) -> Response:
        try:
            return await endpoint(request)
        except AreacalcError as bad:
            told = error_document(bad)
            if "text/html" in request.headers.get("accept", ""):  # a link opened in a tab, read by a person
                return PlainTextResponse(str(told["line"]), 422)
            return JSONResponse({"error": told}, 422)
        except Stale:
            now = desk_of(request).document()
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


async def not_so(_: Request, wrong: Exception) -> Response:
    """A method that the path does not take; the static files do not say themselves which they do."""
    allowed = (getattr(wrong, "headers", None) or {}).get("Allow", "GET, HEAD")
    return PlainTextResponse("this cannot be done here\n", 405, headers={"Allow": allowed})


def desk_of(request: Request) -> Desk:
    """The desk behind the page."""
    desk: Desk = request.app.state.desk
    return desk


def query(request: Request, *names: str) -> list[str | None]:
    """The values of these words of the address. Raises BadInput where another is there."""
    others = set(request.query_params) - set(names)
    if others:
        raise BadInput("the request", f"says {', '.join(sorted(others))}", f"say only {', '.join(names)}")
    return [request.query_params.get(name) for name in names]


async def _said(request: Request, kind: type[RequestBody]) -> RequestBody:
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
