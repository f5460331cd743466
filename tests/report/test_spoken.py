"""The words of catalogue, help, page and documentation: no sentence that a person must read twice."""

import ast
import csv
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
READ_TWICE = (
    "round nothing", "Not wholly under", "it may hang off", "the bounds lean it", "slits let no air by",
    "Press trapped air together", "stands beside --quiet", "must look at the part", "hangs was not considered",
    "air is taken off", "were read as round surfaces", "integrated two ways", "the mesh beside them", "In steps:",
    "the diameter is the narrowest", "by trying every corner", "drawn at random", "does not even it out",
    "same current at the outside's density; at most all", "down its middle that nowhere", "counts whole",
    "plan of the load counts", "were looked at", "look again at", "wants less", "Made larger for its heat",
    "rule of battery rooms", "speak against the planned", "what is all of several", "holds for each that has",
    "is not decided here", "wide mouth", "of before", "being worked out", "was no file", "is none", "more than nothing",
    "not to be told", "Which things hang together", "a place for passing things", "more than the supply gives",
    "outer tub", "kept dry", "spoilers", "seen_voltage", "second_voltage", "time in the band", "middle of the window",
    "by share of the area", "patch 4", "than it ever can", "may have to come off", "may come on", "whole load skin",
    "of its own accord", "wholly under", "less than nothing",
)  # fmt: skip
"""Sentences and words that stopped a reader, or the words of them by which they are found."""
MOST_WORDS = 22
CLAUSE = re.compile(r"\[\w+\|([^][|]*)(?:\|([^][|]*))?\]")


def strings(path):
    """Every text in a module, docstrings too."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def cells(path):
    """Every text in a table."""
    for row in csv.reader(path.read_text("utf-8").splitlines()):
        yield from row


def told():
    for folder in ("areacalc", "cli"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            yield path, "\n".join(strings(path))
    for pattern in ("README.md", "DEVELOPERS.md", "areacalc/**/*.md", "areacalc/**/*.toml", "areacalc/**/*.html",
                    "areacalc/report/words/data/*.csv", "cli/**/*.html",
                    "cli/page/static/*.js", "cli/page/static/picture/*.js"):  # fmt: skip
        for path in sorted(ROOT.glob(pattern)):
            yield path, path.read_text("utf-8")


def test_no_sentence_that_stopped_a_reader_is_left():
    texts = [(path, " ".join(text.split())) for path, text in told()]
    assert len(texts) > 300
    found = [(str(path), said) for path, text in texts for said in READ_TWICE if said in text]
    assert found == []


def sentences(text):
    """The sentences of a text; a clause behind a colon or a semicolon is one of its own."""
    return [each for each in re.split(r"(?<=[.!?;:])\s+", " ".join(text.split())) if each]


def chosen(text, which):
    """A text with its clauses, or with what stands in their place."""
    while (made := CLAUSE.sub(lambda found: found[which] or "", text)) != text:
        text = made
    return text


def test_sentences_of_the_catalogue_are_short():
    long, folder = [], ROOT / "areacalc/report/words"
    for path in sorted([*folder.glob("*.py"), *folder.glob("data/*.csv")]):
        for text in strings(path) if path.suffix == ".py" else cells(path):
            read = [*sentences(chosen(text, 1)), *sentences(chosen(text, 2))]
            long += [f"{path.name}: {each}" for each in read if len(each.split()) > MOST_WORDS]
    assert long == []
