"""The door of the page: only this computer, only this start's token, only this page's own requests."""

from __future__ import annotations

import secrets
from http.cookies import CookieError, SimpleCookie

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

SAFE_METHODS = ("GET", "HEAD")
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
ASK_AGAIN = "Open the address that `areacalc page` shows in the terminal: it holds this start's token.\n"


class Guard:
    """Lets a request in only with the right Host, Origin and token, and puts the safe headers on every answer."""

    def __init__(self, app: ASGIApp, port: int, token: str) -> None:
        self.app = app
        self.token = token
        self.cookie = f"areacalc-{port}"
        self.hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}
        self.origins = {f"http://{host}" for host in self.hosts}

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
        refused = self._refusal(scope)
        await (refused or self.app)(scope, receive, send_safely)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        if headers.get("host", "") not in self.hosts:
            return PlainTextResponse("this page answers on this computer alone\n", 421)
        origin = headers.get("origin")
        writes = scope["method"] not in SAFE_METHODS
        if (origin is None and writes) or (origin is not None and origin not in self.origins):
            return PlainTextResponse("the request comes from another page\n", 403)
        if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return PlainTextResponse("the request comes from another page\n", 403)
        return self._without_token(scope, headers)

    def _without_token(self, scope: Scope, headers: Headers) -> Response | None:
        """None for a request with the cookie; the address with the token gets the cookie and is sent on without it."""
        try:
            held = SimpleCookie(headers.get("cookie", "")).get(self.cookie)
        except CookieError:
            held = None
        if held is not None and secrets.compare_digest(held.value.encode(), self.token.encode()):
            return None
        asked = scope["query_string"].decode("latin-1")
        if scope["path"] == "/" and secrets.compare_digest(asked.encode(), f"token={self.token}".encode()):
            onward = RedirectResponse("/", 303)
            onward.set_cookie(self.cookie, self.token, httponly=True, samesite="strict")
            return onward
        return PlainTextResponse(ASK_AGAIN, 401)
