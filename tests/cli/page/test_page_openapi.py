"""The HTTP interface against its own OpenAPI document: no fault, and no answer that the document does not tell of."""

import json
import os
import runpy
import socket
from importlib.resources import files
from pathlib import Path

import hypothesis
import pytest
import schemathesis
from areacalc_cli.page.routes import application
from schemathesis.core.parameters import ParameterLocation
from schemathesis.specs.openapi.checks import positive_data_acceptance
from starlette.routing import Route

TEXT = (files("areacalc_cli.page") / "openapi.json").read_text("utf-8")
DOCUMENT = json.loads(TEXT)
RUNS = int(os.environ.get("AREACALC_FUZZ", "25"))


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


def free_port():
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return held.getsockname()[1]


PORT = free_port()  # the cookie and the Origin in the document are those of a port
SCHEMA = schemathesis.openapi.from_dict(json.loads(TEXT.replace("PORT", str(PORT))))


@pytest.fixture(scope="module")
def started(start_page, tmp_path_factory):
    made = start_page(tmp_path_factory.mktemp("page"), "--port", str(PORT))
    yield made
    made.stop()


@pytest.fixture
def let_in(started):
    with started.client() as client:
        yield {"base_url": str(client.base_url), "cookies": dict(client.cookies)}


def test_the_page_tells_the_document_with_its_own_port(started):
    with started.client() as client:
        assert client.get("/api/openapi.json").json() == SCHEMA.raw_schema


@pytest.mark.slow
@SCHEMA.parametrize()
@hypothesis.settings(
    max_examples=RUNS, deadline=None, derandomize=True, database=None,
    suppress_health_check=list(hypothesis.HealthCheck),
)  # fmt: skip
def test_whatever_is_sent_the_answer_is_one_that_is_documented(case, let_in):
    """What a body may say is narrower than a schema can tell (a sketch in words, a part's id): 422, 404 and 409 are
    answers to sound data too, so that one check is left out."""
    if case.query and isinstance(case.query.get("wait"), int | float):  # what is no number stays, to be refused
        case.query["wait"] = 0.05
    about = getattr(case.meta.phase.data, "parameter_location", None)
    cookies = {} if about == ParameterLocation.COOKIE else let_in["cookies"]  # those cases try without, or with another
    answer = case.call_and_validate(
        base_url=let_in["base_url"], cookies=cookies, timeout=60, excluded_checks=[positive_data_acceptance]
    )
    assert answer.status_code < 500
