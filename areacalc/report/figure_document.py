"""Figures as JSON: value, bounds, formula, source, and the chain they were worked out by."""

from collections.abc import Mapping
from typing import Literal, TypedDict

from areacalc.figure import Figure


class FigureDocument(TypedDict):
    """One figure: value, least, most, unit, formula, source, and what makes it uncertain."""

    value: float
    low: float
    high: float
    unit: str
    name: str
    formula: str
    source: str
    because: str


class LinkDocument(FigureDocument):
    """A figure in a chain, with how deep it stands."""

    depth: int


class NamedFigureDocument(FigureDocument):
    """A figure with the name that `explain` takes."""

    figure: str


class ExplainDocument(TypedDict):
    """How one figure was worked out: the figure first, then what it rests on."""

    schema: Literal["areacalc/explain/1"]
    figure: str
    chain: list[LinkDocument]


class FiguresDocument(TypedDict):
    """Every figure of a plan."""

    schema: Literal["areacalc/figures/1"]
    name: str
    figures: list[NamedFigureDocument]


def figure_document(figure: Figure) -> FigureDocument:
    """One figure."""
    e = figure.estimate
    return {"value": e.value, "low": e.low, "high": e.high, "unit": figure.unit, "name": figure.name,
            "formula": figure.formula, "source": str(figure.source), "because": "; ".join(e.because)}  # fmt: skip


def explain_document(key: str, figure: Figure) -> ExplainDocument:
    """The chain of one figure."""
    chain: list[LinkDocument] = [{"depth": depth, **figure_document(each)} for depth, each in figure.chain()]
    return {"schema": "areacalc/explain/1", "figure": key, "chain": chain}


def figures_document(name: str, figures: Mapping[str, Figure]) -> FiguresDocument:
    """All figures of a plan, in their order."""
    named: list[NamedFigureDocument] = [{"figure": key, **figure_document(each)} for key, each in figures.items()]
    return {"schema": "areacalc/figures/1", "name": name, "figures": named}
