"""Every kind of fact has its sentence."""

import importlib
import pkgutil
from enum import Enum

import areacalc
from areacalc.report.words.materials import MATERIALS
from areacalc.report.words.steps import STEPS
from areacalc.report.words.tell import CATALOGUE

NOT_TOLD = {"Mode", "LimitedBy", "Reason", "Side"}
"""Enums that are values inside facts."""


def is_told(kind):
    return (
        isinstance(kind, type) and issubclass(kind, Enum) and not issubclass(kind, (str, int)) and kind is not Enum
        and kind.__name__ not in NOT_TOLD
    )  # fmt: skip


def told_kinds():
    """Members of the plain enums (no StrEnum) that the rooms below `report` define."""
    for module in pkgutil.walk_packages(areacalc.__path__, "areacalc."):
        if module.name.startswith(("areacalc.bath", "areacalc.plant", "areacalc.plan", "areacalc.throw")):
            for kind in vars(importlib.import_module(module.name)).values():
                if is_told(kind):
                    yield from kind


def test_every_kind_of_fact_has_its_sentence():
    kinds = set(told_kinds())
    assert len(kinds) > 60
    assert [str(kind) for kind in kinds if kind not in {**CATALOGUE, **STEPS, **MATERIALS}] == []


def test_no_sentence_stands_twice():
    sentences = [words for words in CATALOGUE.values() if isinstance(words, str)]
    assert len(sentences) == len(set(sentences))
