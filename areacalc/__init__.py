"""areacalc: the wetted area of a part, and from it everything to set for a sulphuric-acid anodising run.

::

    import areacalc
    part = areacalc.open("knob.stl", unit="mm").with_choices(plug="bore-1")
    part.wetted().value                      # Estimate(value=..., low=..., high=...) in mm2
    areacalc.current(part).set_a             # A
    areacalc.cathode(part).area_mm2          # Estimate in mm2
    areacalc.current(part, count=6).set_a    # A
    areacalc.table("parts/**/*.step").frame()                # a pandas data frame, a row a part
    areacalc.plan_of("desk-set.toml").figure("time").estimate  # s, with bounds

Nothing heavy is imported until it is used.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from os import PathLike

    from areacalc.bath.window import Current
    from areacalc.estimate import Estimate
    from areacalc.many.rows import Rows
    from areacalc.part.part import Part, Words
    from areacalc.plan.plan import Plan
    from areacalc.plant.cathode import Cathode

    Areas = Part | str | float | Iterable[Part | str | float]

__version__ = "0.1.0"
__all__ = ["cathode", "current", "open", "plan_of", "table", "wetted_area_mm2"]


def open(path: str | PathLike[str], unit: str | None = None, as_drawn: bool = False) -> Part:
    """The part in a file (STL, STEP, 3MF, OBJ, PLY, OFF, GLB, or a profile in TOML, CSV, DXF).

    unit: what the numbers are in where the file does not say: mm, cm, m, in, ft, um.
    Raises areacalc.errors.BadInput: file, place, cause, remedy.
    """
    from areacalc.part.part import open_part

    return open_part(path, unit, as_drawn=as_drawn)


def wetted_area_mm2(*parts: Areas, count: int | Iterable[int] = 1) -> Estimate:
    """The wetted area of parts, of areas in people's words ("9 in2"), or of plain numbers in mm2, summed.

    Parts stand one by one or in lists; count is how many of each, one number for all or one for each.
    Raises areacalc.errors.BadInput.

    >>> round(wetted_area_mm2("9 in2", 129.04).value, 6)
    5935.48
    >>> round(wetted_area_mm2(["9 in2", 100.0], count=(1, 3)).value, 6)
    6106.44
    """
    from numbers import Real

    from areacalc.errors import BadInput
    from areacalc.estimate import Estimate, total
    from areacalc.quantity import counts_of
    from areacalc.surface.area_in_words import area_in_words

    def one(part: Part | str | float) -> Estimate:
        if isinstance(part, Real):
            part = float(part)
        if not isinstance(part, (str, float)):
            if not hasattr(part, "wetted"):
                raise BadInput("area", f"{part!r} is neither a part nor an area", "give a part, '9 in2', or mm2")
            return part.wetted().value
        area_mm2 = area_in_words(part)
        if area_mm2 < 0.0:
            raise BadInput("area", f"'{part}' is below zero", "give the wetted area")
        return Estimate.exact(area_mm2)

    each = [one(part) for given in parts for part in _each(given)]
    return total(area.scaled(number) for area, number in zip(each, counts_of(count, len(each)), strict=True))


def _each(given: Any) -> tuple[Any, ...]:
    return tuple(given) if isinstance(given, Iterable) and not isinstance(given, str | bytes) else (given,)


def current(*parts: Areas, density: str = "small-tank", count: int | Iterable[int] = 1) -> Current:
    """The current for parts or areas, in a window by name or in words ("12 to 15 A/ft2"); count as for wetted_area_mm2.

    >>> six = current("1 in2", count=6)
    >>> round(six.low_a, 6), round(six.set_a, 6), round(six.high_a, 6)
    (0.87, 0.96, 1.05)
    """
    from areacalc.bath.window import current_a, window

    return current_a(_unburnt_mm2(parts, count), window(density))


def cathode(*parts: Areas, ratio: str = "small-tank", count: int | Iterable[int] = 1) -> Cathode:
    """The cathode face for parts or areas, at a ratio by name or number; count as for wetted_area_mm2.

    >>> round(cathode("9 in2").area_mm2.value, 3)
    11612.88
    """
    from areacalc.plant.cathode import cathode_for
    from areacalc.plant.cathode import ratio as ratio_of

    return cathode_for(_unburnt_mm2(parts, count), ratio_of(ratio))


def _unburnt_mm2(given: Iterable[Any], count: int | Iterable[int]) -> Estimate:
    """The wetted area [mm2] of parts or areas. Raises BadInput where a unit makes one larger than it should be."""
    from areacalc.report.challenge import refuse_too_large

    each = [one for some in given for one in _each(some)]
    refuse_too_large(one for one in each if hasattr(one, "body"))
    return wetted_area_mm2(*each, count=count)


def table(
    paths: str | PathLike[str] | Iterable[str | PathLike[str]], unit: str | None = None, *, plug: Words = (),
    mask: Words = (), wet_only: Words = (), contact: Words = (), add: Words = (), fill: Words = (),
    as_drawn: bool = False, up: str | None = None, jobs: int | None = None, keep: str | PathLike[str] | None = None,
) -> Rows:  # fmt: skip
    """A row for each part file: a list of records, of which `.frame()` makes a pandas data frame.

    paths: files, patterns such as ``parts/**/*.step``, folders.
    jobs: how many files at once (default: one a processor).
    keep: a file in which rows are kept, so that the same call again reads only what has changed.
    A file that cannot be measured is a row whose "problem" says why.
    Raises areacalc.errors.BadInput.
    """
    from areacalc.many.asked import Asked
    from areacalc.many.rows import rows_of
    from areacalc.surface.choice import Choices

    said = Choices().with_words(plug, mask, wet_only, contact, add, fill)
    return rows_of(_each(paths), Asked(unit, as_drawn, said, up=up), jobs, keep)


def plan_of(load_file: str | PathLike[str], *changes: str | Iterable[str]) -> Plan:
    """The plan of a load file, with settings changed in words: plan_of("desk-set.toml", "count=6").

    Raises areacalc.errors.BadInput: every mistake with its line; CannotRun where it cannot be run as asked.
    """
    from pathlib import Path

    from areacalc.plan.load_book import LoadBook

    return LoadBook(Path(load_file)).plan([words for given in changes for words in _each(given)])
