"""The unit of a file: given by the person, else declared by the file, else taken as mm. Never from the size."""

from __future__ import annotations

from areacalc.fact import fact, quantity
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.kinds import FileNote, Note, UnitBasis, UnitHow
from areacalc.sources import Kind, Source, Valid

PLAUSIBLE_SIZE = Valid(3.0, 1000.0, "mm", Source(Kind.COMMON_PRACTICE, "parts that fit a home or small-shop tank"))
_ASKED = ("mm", "in", "m", "um")  # the units a file that looks wrong is most often in


def units_that_fit(longest_number: float) -> list[str]:
    """The units in which a part would fit a tank, whose longest side is that number in the file.

    >>> units_that_fit(0.732)
    ['in', 'm']
    """
    return [u for u in _ASKED if PLAUSIBLE_SIZE.low <= longest_number * LENGTH_UNITS[u].mm <= PLAUSIBLE_SIZE.high]


def decide_unit(given: Unit | None, declared: Unit | None = None) -> tuple[UnitBasis, tuple[Note, ...]]:
    """What the file's numbers are in, how that was decided, and a Note where the person overrules the file.

    >>> decide_unit(None, LENGTH_UNITS["in"])[0]
    UnitBasis(name='in', how=<UnitHow.DECLARED: 'declared'>, mm=25.4)
    """
    if given is not None:
        notes: tuple[Note, ...] = ()
        if declared is not None and declared.mm != given.mm:
            told = fact(
                FileNote.UNIT_OVERRULED, file=declared.name, taken=given.name, times=f"{given.mm / declared.mm:g}"
            )
            notes = (Note(told, warns=True),)
        return UnitBasis(given.name, UnitHow.GIVEN, given.mm), notes
    if declared is not None:
        return UnitBasis(declared.name, UnitHow.DECLARED, declared.mm), ()
    return UnitBasis("mm", UnitHow.ASSUMED, 1.0), ()


def assumed_unit_notes(longest_mm: float) -> tuple[Note, ...]:
    """The Notes for a file whose unit nobody states; longest_mm: the part's longest side if the unit is mm.

    >>> [n.code for n in assumed_unit_notes(40.0)], [n.code for n in assumed_unit_notes(1.5)]
    (['unit-assumed'], ['unit-assumed', 'unit-implausible'])
    """
    return Note(fact(FileNote.UNIT_ASSUMED)), *odd_size_notes(longest_mm, UnitBasis("mm", UnitHow.ASSUMED, 1.0))


def odd_size_notes(longest_mm: float, unit: UnitBasis) -> tuple[Note, ...]:
    """A Note where no tank here takes a part so long in the unit taken, with the units that would make sense.

    >>> odd_size_notes(40.0, UnitBasis("in", UnitHow.GIVEN, 25.4))
    ()
    >>> odd_size_notes(3048.0, UnitBasis("in", UnitHow.GIVEN, 25.4))[0].fact["fits"]
    ('mm (120 mm long)',)
    """
    if PLAUSIBLE_SIZE.low <= longest_mm <= PLAUSIBLE_SIZE.high:
        return ()
    longest = longest_mm / unit.mm
    fits = tuple(f"{u} ({longest * LENGTH_UNITS[u].mm:.4g} mm long)" for u in units_that_fit(longest))  # told in mm
    odd = fact(FileNote.UNIT_IMPLAUSIBLE, unit=unit.name, length=quantity(longest_mm, "mm"), fits=fits or None)
    return (Note(odd, warns=True),)
