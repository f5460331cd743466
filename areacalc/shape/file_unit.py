"""The unit of a file: given by the person, else declared by the file, else taken as mm. Never from the size."""

from collections.abc import Iterable

from areacalc.fact import Fact, Quantity, fact, quantity
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.kinds import FileNote, Note, UnitBasis, UnitHow
from areacalc.sources import Kind, Source, Valid

PLAUSIBLE_SIZE = Valid(3.0, 1000.0, "mm", Source(Kind.COMMON_PRACTICE, "parts that fit a home or small-shop tank"))
PLAUSIBLE_AREA = Valid(
    18.0, 2e6, "mm2", Source(Kind.COMMON_PRACTICE, "both sides of a plate of 3 mm to 1 m, what a small-shop tank takes")
)
_ASKED = ("mm", "in", "m", "um")  # the units a file that looks wrong is most often in


def units_that_fit(longest_number: float, area_number: float = 0.0) -> list[str]:
    """The units in which a part would fit a tank, whose longest side and area are those numbers in the file.

    >>> units_that_fit(0.732), units_that_fit(0.732, 6.0)
    (['in', 'm'], ['in'])
    """
    return [u for u in _ASKED if PLAUSIBLE_SIZE.low <= longest_number * LENGTH_UNITS[u].mm <= PLAUSIBLE_SIZE.high
            and area_number * LENGTH_UNITS[u].mm ** 2 <= PLAUSIBLE_AREA.high]  # fmt: skip


def decide_unit(given: Unit | None, declared: Unit | None = None) -> tuple[UnitBasis, tuple[Note, ...]]:
    """What the file's numbers are in, how that was decided, and a Note where the person overrules the file.

    >>> decide_unit(None, LENGTH_UNITS["in"])[0]
    UnitBasis(name='in', how=<UnitHow.DECLARED: 'declared'>, mm=25.4)
    """
    if given is not None:
        notes: tuple[Note, ...] = ()
        if declared is not None and declared.mm != given.mm:
            times = quantity(given.mm / declared.mm, "")
            told = fact(FileNote.UNIT_OVERRULED, file=declared.name, taken=given.name, times=times)
            notes = (Note(told, warns=not given.checked),)
        return UnitBasis(given.name, UnitHow.CHECKED if given.checked else UnitHow.GIVEN, given.mm), notes
    if declared is not None:
        return UnitBasis(declared.name, UnitHow.DECLARED, declared.mm), ()
    return UnitBasis("mm", UnitHow.ASSUMED, 1.0), ()


def unit_notes(longest_mm: float, area_mm2: float, unit: UnitBasis) -> tuple[Note, ...]:
    """Notes where nobody states the unit, and where no tank here takes a part so large in it, with units that fit.

    >>> unit_notes(3048.0, 5e6, UnitBasis("in", UnitHow.CHECKED))
    ()
    >>> [note.code for note in unit_notes(1.5, 9.0, UnitBasis("mm", UnitHow.ASSUMED))]
    ['unit-assumed', 'unit-implausible']
    >>> unit_notes(762.0, 5e6, UnitBasis("in", UnitHow.GIVEN, 25.4))[0].fact["fits"]
    ('mm (30 mm long)',)
    """
    assumed = (Note(fact(FileNote.UNIT_ASSUMED)),) if unit.how is UnitHow.ASSUMED else ()
    too_wide = area_mm2 > PLAUSIBLE_AREA.high
    if unit.how is UnitHow.CHECKED or (PLAUSIBLE_SIZE.low <= longest_mm <= PLAUSIBLE_SIZE.high and not too_wide):
        return assumed
    longest = longest_mm / unit.mm
    units = units_that_fit(longest, area_mm2 / unit.mm**2)
    fits = tuple(f"{u} ({longest * LENGTH_UNITS[u].mm:.4g} mm long)" for u in units)  # told in mm
    odd = fact(FileNote.UNIT_IMPLAUSIBLE, unit=unit.name, length=quantity(longest_mm, "mm"),
               area=quantity(area_mm2, "mm2") if too_wide else None, fits=fits or None)  # fmt: skip
    return *assumed, Note(odd, warns=True)


def makes_too_large(notes: Iterable[Note]) -> Fact | None:
    """What speaks against a unit that makes a part larger than it should be: the current for it would burn the part."""
    most = {"times": 1.0, "length": PLAUSIBLE_SIZE.high, "area": PLAUSIBLE_AREA.high}
    for told in (note.fact for note in notes if note.warns):
        if told.kind in (FileNote.UNIT_OVERRULED, FileNote.UNIT_IMPLAUSIBLE):
            sizes = {name: told[name] for name in most if name in told}
            if any(isinstance(size, Quantity) and size.estimate.value > most[name] for name, size in sizes.items()):
                return told
    return None
