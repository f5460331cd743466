"""Write the page's openapi.json from the types of its interface: python tests/cli/page/make_openapi.py"""

import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any

import msgspec
from areacalc_cli.page.answered import Refusal, StaleDocument
from areacalc_cli.page.routes import BODIES
from interface import ROUTES, STALE, Does, Query

Document = dict[str, Any]
FILE = Path(str(files("areacalc_cli.page"))) / "openapi.json"
ABOUT = (
    "What the local page asks of its server. It answers on this computer alone, under a path of its own, with the"
    " cookie that the address in the terminal is exchanged for; requests that change something need the page's own"
    " Origin. PORT is the port of this start."
)
OTHERS = {
    204: "Nothing changed in the time",
    404: "Not on the bench",
    409: "Another window changed it first; the bench as it is now",
    413: "Larger than is let in",
    422: "What was sent cannot be used; the line says why and what to do",
    401: "Without the cookie, or under another path",
    403: "From another page",
    421: "Asked under another host's name",
}
AT_THE_DOOR = (401, 403, 421)
CONTENT = {404: Refusal, STALE: StaleDocument, 413: Refusal, 422: Refusal}
ORIGIN = {
    "name": "Origin", "in": "header", "required": True,
    "schema": {"type": "string", "enum": ["http://127.0.0.1:PORT", "http://localhost:PORT"]},
    "description": "This page's own address; browsers send it themselves",
}  # fmt: skip
COOKIE = {
    "type": "apiKey", "in": "cookie", "name": "areacalc-PORT",
    "description": "set in exchange for the code in the address that the terminal shows; bound to the path that the"
                   " page stands under",
}  # fmt: skip
IN_PATH = {"figure": "^[a-z-]+$", "id": "^[a-z0-9]+$", "name": "^[0-9a-f]+$", "number": "^[1-9][0-9]{0,8}$"}


def types() -> list[Any]:
    """Every type that a route asks or answers, once."""
    queries = [each.type for does in ROUTES.values() for each in does.query]
    bodies = [each for route, does in ROUTES.items() for each in (BODIES.get(route), does.answer)]
    found = [*bodies, *CONTENT.values(), *queries]
    return list({repr(each): each for each in found if each is not None and not isinstance(each, str)}.values())


def schemas() -> tuple[dict[str, Document], Document]:
    """The schema of each type by its repr, and those that they share; no key is taken that a type does not name."""
    made, shared = msgspec.json.schema_components(types(), ref_template="#/components/schemas/{name}")
    for each in shared.values():
        if "properties" in each:
            each["additionalProperties"] = False
            each.pop("title", None)
    return dict(zip(map(repr, types()), made, strict=True)), shared


def content(of: Any, schema: dict[str, Document]) -> Document:
    """A body or an answer."""
    if isinstance(of, str):
        return {of: {"schema": {"type": "string", "format": "binary"}} if of.endswith("octet-stream") else {}}
    return {"application/json": {"schema": schema[repr(of)]}}


def operation(method: str, path: str, does: Does, schema: dict[str, Document]) -> Document:
    """One method of a path."""
    body = BODIES.get((method, path), does.file)
    answers: dict[int, Document] = {does.status: {"description": does.words}}
    if does.answer is not None:
        answers[does.status]["content"] = content(does.answer, schema)
    for status in (*does.also, *((413,) if body is not None else ()), *AT_THE_DOOR):
        told = {"content": content(CONTENT[status], schema)} if status in CONTENT else {}
        answers[status] = {"description": OTHERS[status], **told}
    made: Document = {"summary": does.summary, "parameters": parameters(method, path, does.query, schema)}
    if body is not None:
        made["requestBody"] = {"required": True, "content": content(body, schema)}
    return {**made, "responses": {str(status): answers[status] for status in sorted(answers)}}


def parameters(method: str, path: str, query: tuple[Query, ...], schema: dict[str, Document]) -> list[Document]:
    """What stands in the path, the address and the head."""
    in_path = [
        {"name": name, "in": "path", "required": True,
         "schema": {"type": "string", "minLength": 1, "maxLength": 40, "pattern": IN_PATH[name]}}
        for name in re.findall(r"{(\w+)}", path)
    ]  # fmt: skip
    asked = [
        {"name": each.name, "in": "query", "required": each.needed, "schema": schema[repr(each.type)],
         "description": each.words}
        for each in query
    ]  # fmt: skip
    return [*in_path, *asked, *([] if method == "get" else [ORIGIN])]


def text() -> str:
    """openapi.json."""
    schema, shared = schemas()
    paths: dict[str, Document] = {}
    for (method, path), does in ROUTES.items():
        paths.setdefault(path, {})[method] = operation(method, path, does, schema)
    whole = {
        "openapi": "3.1.0",
        "info": {"title": "areacalc page", "version": "1", "description": ABOUT,
                 "license": {"name": "MIT", "identifier": "MIT"}},
        "servers": [{"url": ".."}],
        "security": [{"token": []}],
        "paths": paths,
        "components": {"securitySchemes": {"token": COOKIE}, "schemas": shared},
    }  # fmt: skip
    return json.dumps(whole, indent=1) + "\n"


if __name__ == "__main__":
    FILE.write_text(text(), "utf-8")
