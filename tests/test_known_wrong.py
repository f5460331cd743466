"""A library of a version known to give wrong answers is refused before its answer is used."""

import importlib.metadata
import tomllib
from pathlib import Path

import numpy as np
import pytest

from areacalc import known_wrong
from areacalc.errors import BadInput
from areacalc.known_wrong import refuse_wrong
from areacalc.surface.exposed import Solid, unite

ROOT = Path(__file__).parent.parent


def test_a_union_by_a_version_that_leaves_faces_out_is_refused(monkeypatch):
    """manifold3d 3.0.1, installed and run: 600 mm2 for a cube of 10 mm with a bar of 4 x 4 x 20 through it, of 760."""
    none = Solid(np.zeros((0, 3)), np.zeros((0, 3), np.int32), np.zeros(0, np.int64))
    refuse_wrong.cache_clear()
    monkeypatch.setattr(importlib.metadata, "version", lambda _: "3.0.1")
    with pytest.raises(BadInput, match=r"manifold3d 3\.0\.1: .*; pip install"):
        unite([none])
    monkeypatch.setattr(importlib.metadata, "version", lambda _: "3.0.2")
    refuse_wrong("manifold3d")


def test_the_project_asks_for_no_version_that_it_refuses():
    needs = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["dependencies"]
    floors = {name: floor for name, _, floor in (each.partition(",")[0].partition(">=") for each in needs)}
    for library, (right, _) in known_wrong._FIRST_RIGHT.items():
        assert known_wrong._numbers(floors[library]) >= known_wrong._numbers(right)
