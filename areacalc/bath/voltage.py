"""Volts for a current density: the polarisation law of the anode, set right by a person's own volts and amperes.

    i = i0 exp(V / V0) exp(-E/R (1/T - 1/T0)) (c / c0)^n

The activation energy E is published. V0 and the volts at the reference point are from memory, save their upper bound,
which holds the one published reading; so the law is a guide until a run has been seen: `calibrated` then puts it
through what the person read.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from areacalc.arrays import Number
from areacalc.bath.ceiling import GAS_CONSTANT, STRENGTH_ORDER
from areacalc.bath.electrolyte import kelvin
from areacalc.bath.heat import DEFAULT_AGITATION, Agitation
from areacalc.errors import BadInput
from areacalc.sources import Constant, Kind, Source

_RUSSIAN = "current at fixed volts in 2 mol/L acid, 0 to 30 C, 53.2 +/- 1.8 kJ/mol: Russ. J. Inorg. Chem. 66 (2021) 258"
GROWTH_ENERGY = Constant(53.2, "kJ/mol", Source(Kind.PUBLISHED, _RUSSIAN), low=51.4, high=55.0)
_CURVES = "curves after Wernick & Pinner, 165 to 180 g/L, 20 C: 12-13, 14-16, 17-18 V at 1.0, 1.5, 2.0 A/dm2"
VOLTS_PER_E_FOLD = Constant(6.5, "V", Source(Kind.FROM_MEMORY, _CURVES), low=6.0, high=7.0)
EVENING = Constant(
    6.5, "V",
    Source(Kind.FROM_MEMORY, f"{_CURVES}; the most that these allow from 1.0 to 2.0 A/dm2 is 6 V / ln 2; the least is "
           "where hard coating starts, 26.5 V at 0 C and 3.23 A/dm2, with the law's own term for the cold"),
    low=4.9, high=8.7,
)  # fmt: skip
"""V0 where the current shares itself out by it, as down a bore; there its width is what counts."""
_SHOP_VOLTS = "dianasattic.com archive: architectural work at 150 A/m2, about 20 V"
REFERENCE_VOLTS = Constant(
    15.0, "V", Source(Kind.FROM_MEMORY, f"{_CURVES}; most as reported: {_SHOP_VOLTS}"), low=14.0, high=20.0
)
ORDER = Constant(
    0.81, "", Source(Kind.DERIVED, f"taken to follow dissolution, or not at all; {STRENGTH_ORDER.source.text}"),
    low=0.0, high=0.81,
)  # fmt: skip
_RISE = "from start to 50 um at steady current: hard coating from 23-30 to 40-60 V"
RISE_COLD = Constant(0.47, "V/um", Source(Kind.FROM_MEMORY, _RISE), low=0.2, high=0.74)
RISE_WARM = Constant(
    0.05, "V/um", Source(Kind.FROM_MEMORY, "Type II near 20 C: one or two volts over 20 um"), low=0.0, high=0.1
)
METER_V = Constant(0.1, "V", Source(Kind.COMMON_PRACTICE, "a panel meter shows tenths of a volt"))
COLD_C, WARM_C = 0.0, 20.0
LAW = Source(
    Kind.FROM_MEMORY, "V = Vref + V0 (ln(i/iref) + E/R (1/T - 1/Tref) - n ln(c/cref)); V0 and Vref from memory"
)


@dataclass(frozen=True, slots=True)
class Polarisation:
    """The law's reference point (density, acid, temperature, volts), its slope V0, and where they come from.

    temperature_c is that of the bath, and agitation what stirred it: the curves hold the warmth of the surface in such
    a bath, so only what another one makes warmer or colder is added. Of published curves, taken in shops, air is
    assumed. split is the slope that a split tube told.
    """

    volts: Constant = REFERENCE_VOLTS
    volts_per_e_fold: Constant = VOLTS_PER_E_FOLD
    density_a_per_dm2: float = 1.5
    acid_g_per_l: float = 172.5
    temperature_c: float = 20.0
    source: Source = LAW
    agitation: Agitation = DEFAULT_AGITATION
    split: Constant | None = None

    def volts_v(self, density_a_per_dm2: float, temperature_c: float, acid_g_per_l: float) -> float:
        """Volts at the tank; not below zero.

        >>> round(Polarisation().volts_v(1.5, 20.0, 172.5), 2), round(Polarisation().volts_v(1.5, 0.0, 172.5), 1)
        (15.0, 25.4)
        """
        return max(self._law_v(density_a_per_dm2, temperature_c, acid_g_per_l), 0.0)

    @property
    def evening(self) -> Constant:
        """V0 with the width that sharing out the current needs; the person's own where a tube or readings gave it."""
        if self.split is not None:
            return self.split
        return EVENING if self.volts_per_e_fold is VOLTS_PER_E_FOLD else self.volts_per_e_fold

    def _law_v(self, density_a_per_dm2: float, temperature_c: float, acid_g_per_l: float) -> float:
        """The law as it stands, below zero where the density is very low."""
        v0 = self.volts_per_e_fold.value
        start_v = self.offset_v(temperature_c, acid_g_per_l, self.volts.value, v0, GROWTH_ENERGY.value, ORDER.value)
        return start_v + v0 * math.log(density_a_per_dm2)

    def offset_v(
        self, bath_c: Number, acid_g_per_l: float, reference_v: Number, e_fold_v: Number, energy_kj_per_mol: Number,
        order: Number,
    ) -> Number:  # fmt: skip
        """Volts at the tank at 1 A/dm2, which the law adds V0 ln i to, with constants of its own; arrays as well."""
        cold = 1e3 * energy_kj_per_mol / GAS_CONSTANT.value * (1.0 / kelvin(bath_c) - 1.0 / kelvin(self.temperature_c))
        weak = order * math.log(acid_g_per_l / self.acid_g_per_l) + math.log(self.density_a_per_dm2)
        return reference_v + e_fold_v * (cold - weak)


@dataclass(frozen=True, slots=True)
class Seen:
    """What a person read in a run: volts at the tank, density [A/dm2], temperature [C], acid [g/L]."""

    volts_v: float
    density_a_per_dm2: float
    temperature_c: float
    acid_g_per_l: float

    def __post_init__(self) -> None:
        if not (self.volts_v > 0.0 and self.density_a_per_dm2 > 0.0 and self.acid_g_per_l > 0.0):
            raise BadInput("volts and amperes seen", "one of them is not above zero", "give what the meters showed")


def calibrated(
    seen: Sequence[Seen], law: Polarisation | None = None, within_v: float = 0.0, step_v: float = 2.0 * METER_V.value
) -> Polarisation:
    """The law through what was seen: one reading sets the volts, readings at different densities set V0 as well.

    Its reference point moves to the middle of the readings, where the slope does not count. The volts are right to
    within_v, and the step between two of them to step_v, which bounds a slope that readings set. Raises BadInput
    without a reading.

    >>> own = calibrated([Seen(17.0, 1.5, 20.0, 180.0)])
    >>> round(own.volts_v(1.5, 20.0, 180.0), 9), own.volts.source.kind.value
    (17.0, 'entered by you')
    """
    if not seen:
        raise BadInput("volts and amperes seen", "there are none", "give one reading of volts and amperes at least")
    base = law or Polarisation()
    source = Source(Kind.ENTERED, "volts and amperes you read: " + ", ".join(
        f"{s.volts_v:g} V at {s.density_a_per_dm2:.3g} A/dm2, {s.temperature_c:g} C" for s in seen))  # fmt: skip
    base = replace(
        base,
        density_a_per_dm2=_middle(s.density_a_per_dm2 for s in seen),
        acid_g_per_l=_middle(s.acid_g_per_l for s in seen),
        temperature_c=math.fsum(s.temperature_c for s in seen) / len(seen),
    )
    if len({round(math.log(s.density_a_per_dm2), 2) for s in seen}) > 1:
        base = replace(base, volts_per_e_fold=_slope(base, seen, source, 0.5 * step_v))
    off = [s.volts_v - base._law_v(s.density_a_per_dm2, s.temperature_c, s.acid_g_per_l) for s in seen]
    mean = math.fsum(off) / len(off)
    volts = base.volts.value + mean
    ends = volts + (min(off) - mean - within_v), volts + (max(off) - mean + within_v)
    told = Source(Kind.DERIVED, f"the law put through your readings; {LAW.text}")
    return replace(base, volts=Constant(volts, "V", source, low=ends[0], high=ends[1]), source=told)


def _middle(values: Iterable[float]) -> float:
    logs = [math.log(value) for value in values]
    return math.exp(math.fsum(logs) / len(logs))


def _slope(base: Polarisation, seen: Sequence[Seen], source: Source, off_v: float) -> Constant:
    """V0 by least squares of volts against what it multiplies in the law, each reading off by as much as it may be.

    Raises BadInput unless it is surely above zero.
    """
    xs = [
        base.offset_v(s.temperature_c, s.acid_g_per_l, 0.0, 1.0, GROWTH_ENERGY.value, ORDER.value)
        + math.log(s.density_a_per_dm2)
        for s in seen
    ]
    x_mean, v_mean = math.fsum(xs) / len(xs), math.fsum(s.volts_v for s in seen) / len(seen)
    top = math.fsum((x - x_mean) * (s.volts_v - v_mean) for x, s in zip(xs, seen, strict=True))
    bottom = math.fsum((x - x_mean) ** 2 for x in xs)
    if bottom <= 0.0 or top <= 0.0:
        what = "more current went with no more volts"
        raise BadInput("volts and amperes seen", what, "check the readings and the contacts")
    v0, off = top / bottom, off_v * math.fsum(abs(x - x_mean) for x in xs) / bottom
    if v0 <= off:
        what = f"the readings lie too near each other to tell a slope ({v0:.3g} V, give or take {off:.3g})"
        raise BadInput("volts and amperes seen", what, "take one at about half the density of the other")
    return Constant(v0, "V", source, low=v0 - off, high=v0 + off)


def rise_per_um(temperature_c: float) -> Constant:
    """How the volts climb with the film at steady current [V/um], straight from 0 to 20 C, level outside. From memory.

    >>> round(rise_per_um(20.0).value, 6), rise_per_um(-2.0).value
    (0.05, 0.47)
    """
    warm = min(max((temperature_c - COLD_C) / (WARM_C - COLD_C), 0.0), 1.0)

    def mix(cold: float, hot: float) -> float:
        return cold + warm * (hot - cold)

    source = Source(Kind.FROM_MEMORY, f"{RISE_COLD.source.text}; {RISE_WARM.source.text}; straight between 0 and 20 C")
    return Constant(mix(RISE_COLD.value, RISE_WARM.value), "V/um", source, mix(RISE_COLD.low, RISE_WARM.low),
                    mix(RISE_COLD.high, RISE_WARM.high))  # fmt: skip
