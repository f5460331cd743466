"""The HTTP interface against its own OpenAPI document: no fault, and no answer that the document does not tell of."""

import asyncio
import json
import runpy
from importlib.resources import files
from pathlib import Path
from types import SimpleNamespace

import pytest
from areacalc_cli.page.bench import MOST_PARTS
from areacalc_cli.page.desk import Desk
from areacalc_cli.page.routes import application
from starlette.routing import Route

from areacalc.errors import BadInput

TEXT = (files("areacalc_cli.page") / "openapi.json").read_text("utf-8")
DOCUMENT = json.loads(TEXT)


class NoDesk:
    """The routes alone are looked at."""

    def start(self):
        """Nothing to start."""

    def close(self):
        """Nothing to end."""


def test_every_route_is_in_the_document_and_the_other_way_round():
    routes = {
        (r.path, method.lower())
        for r in application(NoDesk()).routes
        if isinstance(r, Route) and r.path.startswith("/api/") and r.path != "/api/openapi.json"
        for method in r.methods - {"HEAD"}
    }
    told = {(path, method) for path, each in DOCUMENT["paths"].items() for method in each if method != "parameters"}
    assert routes == told


def test_the_document_is_that_of_the_types():
    made = runpy.run_path(str(Path(__file__).with_name("make_openapi.py")))["text"]()
    assert made == TEXT, "python tests/cli/page/make_openapi.py"


def test_the_page_tells_the_document_with_its_own_port(page, client):
    own = TEXT.replace("PORT", page.origin.rpartition(":")[2])
    assert client.get("/api/openapi.json").json() == json.loads(own)


def test_putting_a_part_back_on_a_full_rack_is_documented():
    full = SimpleNamespace(bench=SimpleNamespace(parts=(None,) * MOST_PARTS))
    with pytest.raises(BadInput, match="take one off first"):
        asyncio.run(Desk.put_back(full, "p1"))
    assert "422" in DOCUMENT["paths"]["/api/removed/{id}"]["post"]["responses"]
