"""How a figure was worked out: the chain of formulas, inputs, sources and ranges that made it."""

from dataclasses import dataclass

from areacalc.figure import Figure
from areacalc.report.figures import bounds_text, whole_text

PLAIN = ("as given", "constant")
"""Formulas that say nothing more than the source."""


@dataclass(frozen=True, slots=True)
class Link:
    """One figure of a chain: how deep it stands, what it is called, its value with bounds, formula and source."""

    depth: int
    name: str
    value: str
    formula: str
    source: str
    because: tuple[str, ...]

    @property
    def how(self) -> str:
        """Formula and source; of what was entered or is a constant the source alone."""
        source = self.source.removesuffix(": as given")
        return source if self.formula in PLAIN else f"{self.formula}; {source}"


def links(figure: Figure, inch: bool = False) -> tuple[Link, ...]:
    """A figure and all it rests on, the figure first, each with its depth; each figure once.

    >>> from areacalc.figure import given
    >>> [(each.depth, each.value) for each in links(given("bath", 20.0, "C"))]
    [(0, '20 C')]
    """
    out: list[Link] = []
    seen: set[tuple[str, str, str]] = set()
    for depth, each in figure.chain():
        because = each.estimate.because if bounds_text(each, inch) else ()
        link = Link(depth, each.name, whole_text(each, inch), each.formula, str(each.source), because)
        key = (link.name, link.value, link.formula)
        if key not in seen:  # the same constant may stand in two formulas
            seen.add(key)
            out.append(link)
    return tuple(out)


def rows_of(figure: Figure, inch: bool = False) -> list[tuple[int, str, str, str, str]]:
    """A chain for the page: depth, name, value, how, and why least and most differ, each reason once."""
    rows, told = [], set[tuple[str, ...]]()
    for each in links(figure, inch):
        why = "" if each.because in told else "; ".join(each.because)
        rows.append((each.depth, each.name, each.value, each.how, why))
        told.add(each.because)
    return rows
