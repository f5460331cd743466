"""A fact: what is so, as a kind and values with units. The words for it are found in `report`, last of all."""

from dataclasses import dataclass
from enum import Enum
from typing import Union

from areacalc.estimate import Estimate
from areacalc.figure import Figure
from areacalc.sources import Source


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value with its least and most, in a canonical unit."""

    estimate: Estimate
    unit: str


Value = Union[Quantity, Source, Enum, str, int, tuple[str, ...], tuple[Quantity | None, ...], "Fact"]
"""What a fact may hold: a quantity, a source, a kind, a name, a count, several names, sides of a box, another fact."""


@dataclass(frozen=True, slots=True)
class Fact:
    """What is so: a kind (a member of the enum of the room that found it) and its values by name.

    >>> class Heat(Enum):
    ...     TOO_WARM = "bath too warm"
    >>> hot = fact(Heat.TOO_WARM, rise=quantity(2.5, "K"), count=3)
    >>> hot["rise"], hot["count"]
    (Quantity(estimate=Estimate(value=2.5, low=2.5, high=2.5, because=()), unit='K'), 3)
    """

    kind: Enum
    values: tuple[tuple[str, Value], ...] = ()

    def __getitem__(self, name: str) -> Value:
        return dict(self.values)[name]

    @property
    def source(self) -> Source | None:
        """The source of the rule behind the fact, where it has one."""
        return next((value for _, value in self.values if isinstance(value, Source)), None)

    def __contains__(self, name: str) -> bool:
        return name in dict(self.values)


def fact(kind: Enum, **values: Value | Figure | None) -> Fact:
    """A fact of a kind; a figure stands for its quantity, and None for a value that is not known."""
    told = ((name, Quantity(value.estimate, value.unit) if isinstance(value, Figure) else value)
            for name, value in values.items() if value is not None)  # fmt: skip
    return Fact(kind, tuple(told))


def quantity(value: float | Estimate, unit: str) -> Quantity:
    return Quantity(value if isinstance(value, Estimate) else Estimate.exact(value), unit)
