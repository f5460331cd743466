"""The door of the page: only this computer, only who was given a code, only this page's own requests.

The page stands under a path that nobody else knows. A browser sends a cookie to every server on the same address, so
the cookie is bound to that path, and to a name of its own for every port. The address in the terminal holds a code that
is good for once: it is exchanged for the cookie, and the next address is shown. Path and cookie are kept in the page's
folder, so that a tab still open finds its page again after a restart.
"""

import secrets
from collections.abc import Callable
from pathlib import Path

import msgspec
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from areacalc.whole_file import write_whole

SAFE_METHODS = ("GET", "HEAD")
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "require-trusted-types-for 'script'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
ASK_AGAIN = """<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<meta name="color-scheme" content="light dark"><title>areacalc</title><h1>areacalc</h1>
<p>Go to the terminal where <code>areacalc page</code> runs, and click the last line with ?code=.</p>
<p>Each such line opens one browser, once.</p></html>
"""
_KEPT = "key.json"


class DoorKey(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The path that the page stands under, the cookie's value, and the port it was on last."""

    path: str
    cookie: str
    port: int


def kept_key(folder: Path) -> DoorKey:
    """The key in the folder; a new one where it cannot be read."""
    try:
        return msgspec.json.decode((folder / _KEPT).read_bytes(), type=DoorKey)
    except (OSError, ValueError):
        return DoorKey(secrets.token_urlsafe(16), secrets.token_urlsafe(32), 0)


def keep_key(folder: Path, key: DoorKey) -> None:
    """Keep the key; only the user may read it. Raises BadInput."""
    write_whole(folder / _KEPT, lambda file: file.write(msgspec.json.encode(key)), private=True)


class Guard:
    """Lets a request in only with the right Host, Origin, path and cookie; puts the safe headers on every answer.

    shown is called with each address that lets a browser in.
    """

    def __init__(self, app: ASGIApp, port: int, key: DoorKey, shown: Callable[[str], None]) -> None:
        self.app = app
        self.key = key
        self.shown = shown
        self.origin = f"http://127.0.0.1:{port}"
        self.cookie = f"areacalc-{port}"
        self.hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}
        self.origins = {f"http://{host}" for host in self.hosts}
        self.code = ""

    def invite(self) -> str:
        """A new address that lets one browser in, once; the one before lets nobody in any more."""
        self.code = secrets.token_urlsafe(24)
        address = f"{self.origin}/?code={self.code}"
        self.shown(address)
        return address

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return

        async def send_safely(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        if scope["type"] != "http":
            return
        headers = Headers(scope=scope)
        answer = self._from_elsewhere(scope, headers) or self._without_key(scope, headers)
        await (answer or self.app)({**scope, "root_path": f"/{self.key.path}"}, receive, send_safely)

    def _from_elsewhere(self, scope: Scope, headers: Headers) -> Response | None:
        """The refusal of what does not come from this page, or None."""
        if headers.get("host", "") not in self.hosts:
            return PlainTextResponse("this page answers on this computer alone\n", 421)
        origin = headers.get("origin")
        writes = scope["method"] not in SAFE_METHODS
        if (origin is None and writes) or (origin is not None and origin not in self.origins):
            return PlainTextResponse("the request comes from another page\n", 403)
        if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return PlainTextResponse("the request comes from another page\n", 403)
        return None

    def _without_key(self, scope: Scope, headers: Headers) -> Response | None:
        """None for a request with path and cookie; a code is exchanged for them; the rest is told where to ask."""
        first = scope["path"].split("/")[1] if scope["path"].count("/") > 1 else ""
        held = cookie_parser("; ".join(headers.getlist("cookie"))).get(self.cookie, "")
        if _same(first, self.key.path) and _same(held, self.key.cookie):
            return None
        asked = scope["query_string"].decode("latin-1").removeprefix("code=")
        if scope["method"] == "GET" and scope["path"] == "/" and self.code and _same(asked, self.code):
            self.invite()
            onward = RedirectResponse(f"/{self.key.path}/", 303)
            onward.set_cookie(self.cookie, self.key.cookie, path=f"/{self.key.path}/", httponly=True, samesite="strict")
            return onward
        return HTMLResponse(ASK_AGAIN, 401)


def _same(given: str, wanted: str) -> bool:
    return secrets.compare_digest(given.encode("utf-8", "replace"), wanted.encode())
