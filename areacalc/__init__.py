"""areacalc: the wetted area of a part, and from it everything to set for a sulphuric-acid anodising run.

    import areacalc
    part = areacalc.open("knob.stl", unit="mm").with_choices(plug="bore-1")
    part.wetted().value                      # Estimate(value=..., low=..., high=...) in mm2
    areacalc.current(part).set_a             # A
    areacalc.cathode(part).area_mm2          # Estimate in mm2
    areacalc.plan_of("desk-set.toml").figure("time").estimate  # s, with bounds

Nothing heavy is imported until it is used.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from os import PathLike

    from areacalc.bath.current import Current
    from areacalc.estimate import Estimate
    from areacalc.part.part import Part
    from areacalc.plan.plan import Plan
    from areacalc.plant.cathode import Cathode

__version__ = "0.1.0"
__all__ = ["cathode", "current", "open", "plan_of", "wetted_area_mm2"]


def open(path: str | PathLike[str], unit: str | None = None, as_drawn: bool = False) -> Part:
    """The part in a file (STL, STEP, 3MF, OBJ, PLY, OFF, GLB, or a profile in TOML, CSV, DXF).

    unit: what the numbers are in where the file does not say: mm, cm, m, in, ft, um.
    Raises areacalc.errors.BadInput: file, place, cause, remedy.
    """
    from areacalc.part.part import open_part

    return open_part(path, unit, as_drawn=as_drawn)


def wetted_area_mm2(*parts: Part | str | float) -> Estimate:
    """The wetted area of parts, of areas in people's words ("6 in2"), or of plain numbers in mm2, summed.

    >>> round(wetted_area_mm2("6 in2", 129.04).value, 6)
    4000.0
    """
    from areacalc.errors import BadInput
    from areacalc.estimate import Estimate, total
    from areacalc.quantity import Dimension, parse

    def one(part: Part | str | float) -> Estimate:
        if not isinstance(part, (str, int, float)):
            return part.wetted().value
        area_mm2 = parse(part, Dimension.AREA, "area", default_unit="mm2")
        if area_mm2 < 0.0:
            raise BadInput("area", f"'{part}' is less than nothing", "give the wetted area")
        return Estimate.exact(area_mm2)

    return total(one(part) for part in parts)


def current(*parts: Part | str | float, density: str = "small-tank") -> Current:
    """The current for parts or areas, in a window by name or in words ("12 to 15 A/ft2").

    >>> six = current("6 in2")
    >>> round(six.low_a, 6), round(six.set_a, 6), round(six.high_a, 6)
    (0.87, 0.96, 1.05)
    """
    from areacalc.bath.current import current_a
    from areacalc.bath.window import window

    return current_a(wetted_area_mm2(*parts), window(density))


def cathode(*parts: Part | str | float, ratio: str = "small-tank") -> Cathode:
    """The cathode face for parts or areas, at a ratio by name or number.

    >>> round(cathode("6 in2").area_mm2.value, 3)
    7741.92
    """
    from areacalc.plant.cathode import cathode_for
    from areacalc.plant.cathode import ratio as ratio_of

    return cathode_for(wetted_area_mm2(*parts), ratio_of(ratio))


def plan_of(load_file: str | PathLike[str], *changes: str) -> Plan:
    """The plan of a load file, with settings changed in words: plan_of("desk-set.toml", "count=6").

    Raises areacalc.errors.BadInput: every mistake with its line; CannotRun where it cannot be run as asked.
    """
    from pathlib import Path

    from areacalc.plan.load_book import LoadBook

    return LoadBook(Path(load_file)).plan(changes)
