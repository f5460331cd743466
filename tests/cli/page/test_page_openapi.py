"""The HTTP interface against its own OpenAPI document: no fault, and no answer that the document does not tell of."""

import json
from importlib.resources import files

import hypothesis
import pytest
import schemathesis
from areacalc_cli.page.routes import application
from schemathesis.specs.openapi import checks
from starlette.routing import Route

DOCUMENT = json.loads((files("areacalc_cli.page") / "openapi.json").read_text("utf-8"))
SCHEMA = schemathesis.openapi.from_dict(DOCUMENT)
RUNS = 25
# Every request here carries the cookie, so checks that leave it out prove nothing: the door's own tests hold that.
# What a body may say is narrower than a schema can tell (a sketch in words, a sample's name), so 422 is an answer too.
TOLD = [
    checks.status_code_conformance, checks.content_type_conformance, checks.response_schema_conformance,
    checks.response_headers_conformance,
]  # fmt: skip


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


@pytest.fixture
def door(page, client):
    cookies = dict(client.cookies)
    return {"base_url": page.origin, "headers": {"Origin": page.origin}, "cookies": cookies}


@SCHEMA.parametrize()
@hypothesis.settings(
    max_examples=RUNS, deadline=None, derandomize=True, database=None,
    suppress_health_check=list(hypothesis.HealthCheck),
)  # fmt: skip
def test_whatever_is_sent_the_answer_is_one_that_is_documented(case, door):
    if case.query and "wait" in case.query:
        case.query["wait"] = 0.05
    case.headers = {**(case.headers or {}), **door["headers"]}
    answer = case.call(base_url=door["base_url"], cookies=door["cookies"])
    assert answer.status_code < 500
    case.validate_response(answer, checks=TOLD)
