"""Dye: the film a shade wants, the dye bath, and how long a part stays in it."""

import re

from areacalc.bath.table import between
from areacalc.errors import UnknownName
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant
from areacalc.sources import Constant, Kind, Source

_GUIDE = "Metal Finishing Guidebook 2011-12, p. 412"
_DECORATIVE = "Metal Finishing Guide Book 2013, p. 425"
_FILMS = f"{_GUIDE}: pastel shades from 0.1 mil, dark shades and black up to 1.0 mil"
MOST_DYED = Constant(25.4, "um", Source(Kind.PUBLISHED, _FILMS))
SHADES: dict[str, Constant] = {
    "pale": Constant(2.54, "um", Source(Kind.PUBLISHED, _FILMS)),
    "strong": Constant(7.25, "um", Source(Kind.DERIVED, f"the middle of {_DECORATIVE}: decorative, 2.5 to 12 um")),
    "dark": Constant(12.0, "um", Source(Kind.PUBLISHED, f"the most of {_DECORATIVE}: decorative, 2.5 to 12 um")),
    "black": Constant(18.7, "um", Source(Kind.DERIVED, f"half way from dark, 12 um, to the most of {_FILMS}")),
}
"""The film that a shade wants [um]."""
_DYE_BATH = Source(Kind.PUBLISHED, f"{_GUIDE}: 0.25 to 10 g/L, 140 F, 10 to 30 min")
DYE_G_PER_L = Constant(5.0, "g/L", _DYE_BATH, low=0.25, high=10.0)
DYE_C = Constant(60.0, "C", _DYE_BATH)
SHOP_DYE_C = Constant(
    55.0, "C", Source(Kind.COMMON_PRACTICE, "small shops: 50 to 60 C, pH 5 to 6"), low=50.0, high=60.0
)
DYE_PH = Constant(5.5, "", Source(Kind.COMMON_PRACTICE, "small shops: pH 5 to 6"), low=5.0, high=6.0)
LEAST_MIN = Constant(10.0, "min", _DYE_BATH)
MOST_MIN = Constant(30.0, "min", _DYE_BATH)
DYED_BATH_C = Constant(
    21.0, "C", Source(Kind.PUBLISHED, f"{_DECORATIVE}: 68 to 72 F for dyed work; warmer coatings bleed and seal worse"),
    low=20.0, high=(72.0 - 32.0) / 1.8,
)  # fmt: skip
_BETWEEN = Source(
    Kind.DERIVED, f"straight from the thinnest coating and shortest time to the thickest and longest of {_GUIDE}; the "
    "least and most are the published range"
)  # fmt: skip


def least_film(shade: str) -> Figure:
    """The film [um] that a pale, strong, dark or black shade wants. Raises UnknownName."""
    return constant(f"coating for a {shade} shade", UnknownName.pick("shade", shade, SHADES))


def shades_within(film_um: float) -> tuple[str, ...]:
    """The shades that a film is thick enough for, palest first.

    >>> shades_within(12.0)
    ('pale', 'strong', 'dark')
    """
    return tuple(name for name, film in SHADES.items() if film.value <= film_um)


def shade_in(dye: str) -> str | None:
    """The deepest shade that the name of a dye holds.

    >>> shade_in("Deep Black"), shade_in("jet-black, new"), shade_in("moss green")
    ('black', 'black', None)
    """
    words = re.findall(r"[a-z]+", dye.lower())
    return next((name for name in reversed(SHADES) if name in words), None)


def dye_time(film: Figure) -> Figure:
    """Minutes in the dye bath for a film [um]: 10 for the thinnest to 30 for the thickest; take it out by eye.

    >>> from areacalc.figure import given
    >>> made = dye_time(given("coating", 12.0, "um")).estimate
    >>> round(made.value), made.low, made.high
    (18, 10.0, 30.0)
    """
    films, minutes = (SHADES["pale"].value, MOST_DYED.value), (LEAST_MIN.value, MOST_MIN.value)
    value = between(min(max(film.estimate.value, films[0]), films[1]), films, minutes)
    whole = Estimate(value, *minutes, ("published range of dye times",))
    return Figure(
        "time to dye", whole, "min", "10 + 20 x (coating - 2.54) / 22.86, from 10 to 30", _BETWEEN,
        (film, constant("shortest", LEAST_MIN), constant("longest", MOST_MIN)),
    )  # fmt: skip
