"""Where every constant and formula comes from: a kind of source, a constant with its own, the range it holds in."""

import math
from dataclasses import dataclass
from enum import StrEnum

from areacalc.errors import OutOfRange


class Kind(StrEnum):
    """How far a value may be trusted; always shown beside it.

    PUBLISHED was read in the paper, book, standard or open data itself. REPORTED is what a blog, a forum, a vendor
    or an abstract says, of itself or of a standard.
    """

    PUBLISHED = "published"
    REPORTED = "as reported"
    COMMON_PRACTICE = "common practice"
    DERIVED = "derived"
    FROM_MEMORY = "from memory"
    ENTERED = "entered by you"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True)
class Source:
    """A kind and the words that let a person find it: author, title, edition, page, or the derivation.

    >>> str(Source(Kind.COMMON_PRACTICE, "small-tank rule"))
    'common practice: small-tank rule'
    """

    kind: Kind
    text: str

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise ValueError("a source needs words")

    def __str__(self) -> str:
        return f"{self.kind}: {self.text}"


@dataclass(frozen=True, slots=True)
class Constant:
    """One value with its unit and its source; `low` and `high` where sources disagree, else the value itself."""

    value: float
    unit: str
    source: Source
    low: float = math.nan
    high: float = math.nan

    def __post_init__(self) -> None:
        for end in ("low", "high"):
            if math.isnan(getattr(self, end)):
                object.__setattr__(self, end, self.value)


@dataclass(frozen=True, slots=True)
class Valid:
    """The range a source covers, written once: the check and its message both read it."""

    low: float
    high: float
    unit: str
    source: Source

    def check(self, what: str, value: float) -> float:
        """The value, if it is inside. Raises OutOfRange with the range.

        >>> Valid(5.0, 40.0, "wt%", Source(Kind.PUBLISHED, "grid")).check("acid", 50.0)
        Traceback (most recent call last):
        areacalc.errors.OutOfRange: acid: 50 wt% is outside 5 to 40 wt%; give a value inside
        """
        if not self.low <= value <= self.high:
            raise OutOfRange(
                what,
                f"{value:g} {self.unit} is outside {self.low:g} to {self.high:g} {self.unit}",
                "give a value inside",
            )
        return value
