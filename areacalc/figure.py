"""A figure that can say how it was worked out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from areacalc.cell import html_table
from areacalc.digits import three
from areacalc.estimate import Estimate, through
from areacalc.sources import Constant, Kind, Source


@dataclass(frozen=True, slots=True)
class Figure:
    """An estimate in a canonical unit with its formula, its source and the figures it was made from.

    The chain of `inputs` is what "how this was worked out" prints.
    """

    name: str
    estimate: Estimate
    unit: str
    formula: str
    source: Source
    inputs: tuple[Figure, ...] = ()

    def __repr__(self) -> str:
        """Name, value and bounds; the chain behind them is left out.

        >>> given("area", Estimate(2.0, 1.0, 3.0), "dm2")
        <Figure area: 2 dm2, 1 to 3>
        """
        return f"<Figure {self.name}: {', '.join(filter(None, self.cells()))}>"

    def _repr_html_(self) -> str:
        rows = [("\u00a0" * 2 * depth + each.name, *each.cells(), each.formula) for depth, each in self.chain()]
        return html_table(self.name, ("figure", "value", "least to most", "how"), rows)

    def cells(self) -> tuple[str, str]:
        """The value with its unit, and least to most, empty where they do not differ."""
        e = self.estimate
        return f"{three(e.value)} {self.unit}".strip(), f"{three(e.low)} to {three(e.high)}" if e.width else ""

    def chain(self) -> list[tuple[int, Figure]]:
        """This figure and all it rests on, each with its depth, parents before inputs, each figure once."""
        seen: set[int] = set()
        lines: list[tuple[int, Figure]] = []

        def visit(figure: Figure, depth: int) -> None:
            if id(figure) in seen:
                return
            seen.add(id(figure))
            lines.append((depth, figure))
            for each in figure.inputs:
                visit(each, depth + 1)

        visit(self, 0)
        return lines


NOT_GIVEN = Source(Kind.ASSUMED, "none was given")
MEASURED = Source(Kind.DERIVED, "measured on the part")


def given(name: str, value: Estimate | float, unit: str, source: Source | None = None) -> Figure:
    """A figure that is taken as it is: entered by the person unless another source is named."""
    estimate = value if isinstance(value, Estimate) else Estimate.exact(value)
    return Figure(name, estimate, unit, "as given", source or Source(Kind.ENTERED, "as given"))


def given_or_none(name: str, value: float, unit: str) -> Figure:
    """A figure that a person may leave out; at nothing it is not said to be theirs.

    >>> str(given_or_none("cooling", 0.0, "W").source)
    'assumed: none was given'
    """
    return given(name, value, unit, None if value else NOT_GIVEN)


def constant(name: str, value: Constant) -> Figure:
    """A constant as a figure; its bounds are those its sources disagree by."""
    because = ("sources disagree",) if value.low < value.high else ()
    return Figure(name, Estimate(value.value, value.low, value.high, because), value.unit, "constant", value.source)


def worked(
    name: str, unit: str, formula: str, source: Source, arithmetic: Callable[..., float], *inputs: Figure
) -> Figure:
    """The figure that `arithmetic` makes of the inputs, in their order, with their intervals carried through.

    The interval is exact where the arithmetic is monotone in each input (see estimate.through).

    >>> area, density = given("area", Estimate(2.0, 1.0, 3.0), "dm2"), given("density", 1.5, "A/dm2")
    >>> product = Source(Kind.DERIVED, "product")
    >>> worked("current", "A", "area x density", product, lambda a, d: a * d, area, density).estimate
    Estimate(value=3.0, low=1.5, high=4.5, because=())
    """
    estimate = through(arithmetic, *(each.estimate for each in inputs))
    return Figure(name, estimate, unit, formula, source, inputs)
