"""Times of a run that is repeated take the place of those that a rule gives."""

from __future__ import annotations

from areacalc.figure import Figure, given
from areacalc.sources import Kind, Source


def as_then(figure: Figure, logged_s: float | None) -> Figure:
    """A time in minutes, or that of the run that is repeated [s] where it was logged.

    >>> as_then(given("time to dye", 18.0, "min"), 900.0).estimate.value
    15.0
    """
    if not logged_s:
        return figure
    return given(figure.name, logged_s / 60.0, "min", Source(Kind.ENTERED, "as in the run that is repeated"))
