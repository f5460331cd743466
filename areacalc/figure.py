"""A figure that can say how it was worked out."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.estimate import Estimate
from areacalc.sources import Source


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
