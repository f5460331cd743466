"""The matte etch in caustic soda: metal lost on each face, hydrogen, heat and caustic used.

How the rate rises with temperature is published. How fast it is at one point, and how it follows the strength, is from
memory: weigh a trial piece before and after (`lost_by_weight`) where a fit depends on it.
"""

import math
from dataclasses import dataclass

from areacalc.bath.ceiling import GAS_CONSTANT
from areacalc.bath.electrolyte import IN_A_ROOM, ROOM_C, kelvin
from areacalc.bath.film import ALUMINIUM_DENSITY, MOLAR_MASS_ALUMINIUM
from areacalc.bath.gas import hydrogen_l_per_g_aluminium
from areacalc.bath.heat import WATER_HEAT_CAPACITY
from areacalc.bath.mixing import WATER_DENSITY
from areacalc.errors import BadInput
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source, Valid

REACTION = Source(Kind.DERIVED, "2 Al + 2 NaOH + 6 H2O -> 2 Na[Al(OH)4] + 3 H2")
MOLAR_MASS_CAUSTIC = Constant(39.997, "g/mol", Source(Kind.PUBLISHED, "IUPAC atomic masses 2021: Na + O + H"))
CAUSTIC_PER_ALUMINIUM = Constant(MOLAR_MASS_CAUSTIC.value / MOLAR_MASS_ALUMINIUM.value, "g/g", REACTION)
_FORMATION_KJ = (-1502.5, -230.0, -285.8)  # Al(OH)4-(aq), OH-(aq), H2O(l)
HEAT_PER_ALUMINIUM = Constant(
    -(2.0 * _FORMATION_KJ[0] - 2.0 * _FORMATION_KJ[1] - 6.0 * _FORMATION_KJ[2]) / (2.0 * MOLAR_MASS_ALUMINIUM.value),
    "kJ/g", Source(Kind.DERIVED, "enthalpies of formation of Al(OH)4- -1502.5, OH- -230.0, H2O -285.8 kJ/mol (CRC, in "
                   "chemicals 1.5.2)"),
)  # fmt: skip
ENERGY = Constant(
    46.0, "kJ/mol", Source(Kind.PUBLISHED, "46 kJ/mol for every alkaline etch tried: Trans. Inst. Met. Finish. 54 "
                           "(1976), doi 10.1080/00202967.1976.11870366"),
)  # fmt: skip
RATE = Constant(
    3.0, "um/min", Source(Kind.FROM_MEMORY, "2 to 4 um a minute on each face at 50 to 60 g/L, 55 to 60 C"), 2.0, 4.0
)
ORDER = Constant(
    0.75, "", Source(Kind.FROM_MEMORY, "rate with strength to the half to the first power; used baths etch faster"),
    0.5, 1.0,
)  # fmt: skip
RATE_CAUSTIC_G_PER_L, RATE_C = 55.0, 57.5
_LAW_RANGE = Source(Kind.DERIVED, "the law of the etch is carried this far from where its rate is recalled")
CAUSTIC = Valid(5.0, 120.0, "g/L", _LAW_RANGE)
TEMPERATURE = Valid(10.0, 80.0, "C", _LAW_RANGE)
_MILD = Source(
    Kind.DERIVED, "chosen for a fine matte: over the 20 g/L at 20 C that bares 6061 in 2 min and under the 40 C from "
    "which it pits, by the abstract of a study of 2024"
)  # fmt: skip
MILD_CAUSTIC = Constant(30.0, "g/L", _MILD)
MILD_C = Constant(35.0, "C", _MILD)
MILD_MINUTES = Constant(4.0, "min", _MILD)
HOT_FROM_C = Constant(45.0, "C", Source(Kind.COMMON_PRACTICE, "liquids from about here up scald"))
_MATTE = Source(
    Kind.REPORTED, "Aluminum Association finishes as listed by saf.com: NaOH 4 to 6 oz/gal, 140 to 160 F, 5 min"
)
MATTE_CAUSTIC = Constant(37.5, "g/L", _MATTE, low=30.0, high=45.0)
MATTE_C = Constant(65.6, "C", _MATTE, low=60.0, high=71.1)
MATTE_MINUTES = Constant(5.0, "min", _MATTE)
_KINETICS = Source(
    Kind.FROM_MEMORY, "rate at 55 g/L and 57.5 C and its order from memory; activation energy published: "
    f"{ENERGY.source.text}"
)  # fmt: skip
_WEIGHED = Source(Kind.DERIVED, "weight lost / (density x area)")


@dataclass(frozen=True, slots=True)
class Etch:
    """What an etch takes and gives off: depth lost on each face [um], masses [g], hydrogen [L], heat [kJ]."""

    lost: Figure
    aluminium: Figure
    caustic_used: Figure
    hydrogen: Figure
    heat: Figure


def rate(caustic: Figure, temperature: Figure) -> Figure:
    """Metal lost on each face [um/min] from caustic soda [g/L] and temperature [C]. Raises OutOfRange."""
    for end in (caustic.estimate.low, caustic.estimate.high):
        CAUSTIC.check("caustic soda", end)
    for end in (temperature.estimate.low, temperature.estimate.high):
        TEMPERATURE.check("etch temperature", end)
    return worked(
        "etch rate", "um/min", "rate at 55 g/L, 57.5 C x (caustic / 55)^order x exp(-E/R (1/T - 1/T57.5))", _KINETICS,
        _rate, caustic, temperature, constant("rate at 55 g/L, 57.5 C", RATE),
        constant("warmth speeds etching (activation energy)", ENERGY), constant("caustic counts to the power", ORDER),
    )  # fmt: skip


def lost_in(etch_rate: Figure, time: Figure) -> Figure:
    """Metal lost on each face [um] at a rate [um/min] in a time [s].

    >>> twenty = rate(given("caustic", 20.0, "g/L"), given("etch", 20.0, "C"))
    >>> round(lost_in(twenty, given("time", 180.0, "s")).estimate.value, 2)
    0.5
    """
    if time.estimate.low < 0.0:
        raise BadInput("etch", f"{time.estimate.low:g} s is too short", "give minutes of zero or more")
    return worked("metal lost on each face", "um", "rate x time / 60", _KINETICS, lambda r, t: r * t / 60.0, etch_rate,
                  time)  # fmt: skip


def lost_in_matte_etch() -> Figure:
    """Metal lost on each face [um] in the trade's hotter matte etch, 37.5 g/L at 65.6 C for 5 min.

    >>> round(lost_in_matte_etch().estimate.value)
    17
    """
    speed = rate(constant("caustic soda", MATTE_CAUSTIC), constant("etch", MATTE_C))
    return lost_in(speed, given("time in the etch", MATTE_MINUTES.value * 60.0, "s", _MATTE))


def lost_by_weight(mass_g: float, area_mm2: float) -> Figure:
    """Metal lost on each face [um] of a trial piece, from the weight it lost [g] and its wet area [mm2].

    >>> round(lost_by_weight(2.7, 1e6).estimate.value, 2)
    1.0
    """
    if mass_g < 0.0 or area_mm2 <= 0.0:
        raise BadInput(
            "trial piece", f"{mass_g:g} g over {area_mm2:g} mm2 cannot be a weighing", "give grams lost and area"
        )
    return worked(
        "metal lost on each face", "um", "weight lost / (density x area)", _WEIGHED,
        lambda m, a, d: m / d / a * 1e6, given("weight lost", mass_g, "g"), given("wet area", area_mm2, "mm2"),
        constant("density of aluminium", ALUMINIUM_DENSITY),
    )  # fmt: skip


def etched(lost: Figure, area: Figure) -> Etch:
    """What the metal lost on each face [um] of a wet area [mm2] comes to.

    >>> square_metre = etched(given("lost", 1.0, "um"), given("area", 1e6, "mm2"))
    >>> [round(f.estimate.value, 1) for f in (square_metre.aluminium, square_metre.caustic_used,
    ...     square_metre.hydrogen, square_metre.heat)]
    [2.7, 4.0, 3.6, 41.5]
    """
    aluminium = worked("aluminium etched away", "g", "depth x area x density", REACTION,
                       lambda h, a, d: h * a * d * 1e-6, lost, area,
                       constant("density of aluminium", ALUMINIUM_DENSITY))  # fmt: skip
    caustic = worked("caustic soda used", "g", "aluminium x 1.482", REACTION, lambda m, k: m * k, aluminium,
                     constant("caustic per aluminium", CAUSTIC_PER_ALUMINIUM))  # fmt: skip
    gas = worked("hydrogen of the etch", "L", "aluminium x 1.5 R T / (M p)", REACTION,
                 lambda m, t: m * hydrogen_l_per_g_aluminium(t), aluminium,
                 given("air temperature", ROOM_C, "C", IN_A_ROOM))  # fmt: skip
    warm = worked("heat of the etch", "kJ", "aluminium x heat of reaction", HEAT_PER_ALUMINIUM.source,
                  lambda m, k: m * k, aluminium,
                  constant("heat per aluminium", HEAT_PER_ALUMINIUM))  # fmt: skip
    return Etch(lost, aluminium, caustic, gas, warm)


def etch_warms(heat: Figure, volume: Figure) -> Figure:
    """How much an etch bath of a volume [L] warms from the heat given off [kJ], taken as water [K]."""
    if volume.estimate.low <= 0.0:
        raise BadInput("etch bath", f"{volume.estimate.low:g} L must be above zero", "give a volume above zero")
    return worked(
        "etch bath warms by", "K", "heat / (volume x density x heat capacity)", WATER_HEAT_CAPACITY.source,
        lambda q, v, d, c: q / (v * d * c), heat, volume, constant("density of water", WATER_DENSITY),
        constant("heat capacity of water", WATER_HEAT_CAPACITY),
    )  # fmt: skip


def _rate(caustic_g_per_l: float, t_c: float, rate: float, energy: float, order: float) -> float:
    warm = 1.0 / kelvin(t_c) - 1.0 / kelvin(RATE_C)
    strong = math.pow(caustic_g_per_l / RATE_CAUSTIC_G_PER_L, order)
    return rate * strong * math.exp(-1e3 * energy / GAS_CONSTANT.value * warm)
