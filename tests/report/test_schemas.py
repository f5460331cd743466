"""The schema files say what the types of the documents say."""

import importlib.util
from pathlib import Path

import pytest

MAKER = Path(__file__).with_name("make_schemas.py")


def maker():
    spec = importlib.util.spec_from_file_location("make_schemas", MAKER)
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


@pytest.mark.parametrize("name", sorted(maker().DOCUMENTS))
def test_a_schema_is_that_of_its_type(name):
    made = maker()
    stale = "python tests/report/make_schemas.py writes them anew"
    assert (made.FOLDER / f"{name}.json").read_text() == made.schema_text(made.DOCUMENTS[name]), stale


def test_every_schema_has_a_type():
    assert {path.stem for path in maker().FOLDER.glob("*.json")} == set(maker().DOCUMENTS)
