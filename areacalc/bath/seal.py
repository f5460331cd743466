"""Seal: the ways, their baths, and the time a film takes."""

from dataclasses import dataclass
from enum import Enum

from areacalc.bath.cautions import Hazard
from areacalc.estimate import Estimate
from areacalc.fact import Fact, Value, fact, quantity
from areacalc.figure import Figure, constant, worked
from areacalc.sources import Constant, Kind, Source

_GUIDE = Source(Kind.PUBLISHED, "Metal Finishing Guide Book 2012-13, p. 484")
_BOEHMITE = Source(
    Kind.REPORTED, "aluminumsurface.blogspot.com, 2010/03: boehmite forms from 80 C up and not below pH 4.5"
)
BOEHMITE_C = Constant(80.0, "C", _BOEHMITE)
BOEHMITE_PH = Constant(4.5, "", _BOEHMITE)
_MEMORY = Source(Kind.FROM_MEMORY, "Qualanod and EN 12373 practice")
_SHOPS = Source(Kind.COMMON_PRACTICE, "2 to 3 min a micrometre, 15 min at least")


@dataclass(frozen=True, slots=True)
class Seal:
    """One way to seal: temperature [C], minutes a micrometre, least minutes, pH where it matters, cares, hazards."""

    name: str
    temperature_c: Constant
    minutes_per_um: Constant
    least_min: float
    ph: Constant | None
    note: str
    hazards: tuple[Hazard, ...]


_HOT_TIME = Constant(2.5, "min/um", _SHOPS, low=2.0, high=3.0)
SEALS: dict[str, Seal] = {s.name: s for s in (
    Seal("hot water", Constant(98.0, "C", _MEMORY, low=96.0, high=100.0), _HOT_TIME, 15.0,
         Constant(6.0, "", _MEMORY, low=5.5, high=6.5), "Deionised water; tap water leaves spots.", (Hazard.SCALD,)),
    Seal("nickel acetate", Constant(93.0, "C", _GUIDE), _HOT_TIME, 15.0, Constant(5.4, "", _GUIDE, low=5.3, high=5.5),
         "Too low a pH leaches dye; 0.5 % boric acid against smut.", (Hazard.SCALD, Hazard.NICKEL)),
    Seal("mid-temperature salts", Constant(80.0, "C", _GUIDE, low=71.0, high=88.0), _HOT_TIME, 15.0, None,
         "By the maker's sheet, which also says whether they hold nickel; the upper end for dyed parts.",
         (Hazard.SCALD,)),
    Seal("cold", Constant(27.5, "C", _MEMORY, low=25.0, high=30.0),
         Constant(1.0, "min/um", _MEMORY, low=0.8, high=1.2), 0.0, None,
         "By the maker's sheet; age in warm water after.", (Hazard.NICKEL, Hazard.FLUORIDE_SEAL)),
)}  # fmt: skip
_NEAR = 5.0  # chosen: how far from a temperature that is published alone a seal bath may be
DEFAULT_SEAL = SEALS["hot water"]
UNSEALED = "none"
SOFTENS = Constant(
    0.3, "", Source(Kind.PUBLISHED, "Products Finishing (pfonline.com), 'Hardness of hardcoat anodize': a seal costs "
                    "up to 30 % of the hardness; ASTM B580 type A is unsealed unless asked"),
)  # fmt: skip


def seal_time(film: Figure, seal: Seal = DEFAULT_SEAL) -> Figure:
    """Minutes in the seal for a film [um].

    >>> from areacalc.figure import given
    >>> [seal_time(given("coating", um, "um")).estimate.value for um in (4.0, 12.0)]
    [15.0, 30.0]
    """
    return worked(
        "time to seal", "min", f"coating x minutes a micrometre, {seal.least_min:g} at least",
        seal.minutes_per_um.source,
        lambda h, k: max(seal.least_min, h * k), film, constant("minutes a micrometre", seal.minutes_per_um),
    )  # fmt: skip


class SealFault(Enum):
    DOES_NOT_SEAL = "below what seals at all"
    FAR_OFF = "far from the published value"
    OUTSIDE = "outside the published range"


def seal_bath_faults(seal: Seal, temperature_c: float | None = None, ph: float | None = None) -> tuple[Fact, ...]:
    """Each reason why a seal bath as measured, temperature [C] and pH, will not seal.

    >>> [each.kind.name for each in seal_bath_faults(DEFAULT_SEAL, 70.0)]
    ['DOES_NOT_SEAL']
    """
    found = []
    for measured, value, held, least, unit in (
        ("temperature", temperature_c, seal.temperature_c, BOEHMITE_C.value, "C"),
        ("pH", ph, seal.ph, BOEHMITE_PH.value, ""),
    ):
        if value is None or held is None:
            continue
        said: dict[str, Value] = {"seal": seal.name, "measured": measured, "value": quantity(value, unit)}
        wanted = quantity(Estimate(held.value, held.low, held.high), unit)
        if seal is DEFAULT_SEAL and value < least:
            found.append(fact(SealFault.DOES_NOT_SEAL, **said, wanted=quantity(least, unit), source=_BOEHMITE))
        elif held.low == held.high and abs(value - held.value) > _NEAR:
            found.append(fact(SealFault.FAR_OFF, **said, wanted=wanted, source=held.source))
        elif held.low < held.high and not held.low <= value <= held.high:
            found.append(fact(SealFault.OUTSIDE, **said, wanted=wanted, source=held.source))
    return tuple(found)
