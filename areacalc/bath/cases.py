"""The cases that a run is followed for: everything that is known only between ends, a column each.

The first column has every unknown at its value. Then come the corners, every way in which each unknown can lie at one
of its ends: least and most of a figure are those of the corners. The last columns are likely cases, spread evenly over
all that the unknowns may be, values near the middle oftener than those at the ends: they tell what comes out in so many
runs of a hundred.
"""

import itertools
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np

from areacalc.arrays import Floats
from areacalc.bath.electrolyte import BATH_TEMPERATURE
from areacalc.bath.heat import Agitation, surface_rise_k
from areacalc.bath.voltage import Polarisation
from areacalc.estimate import Estimate

T = TypeVar("T")
LIKELY = 400
"""How many likely cases: a share of them is known to about half a per cent."""


@dataclass(frozen=True, slots=True)
class BathState:
    """The bath of a run as measured, and the law of its volts.

    held_kj_per_k is the heat that warms it by a degree.
    """

    law: Polarisation
    acid_g_per_l: float
    bath_c: float
    agitation: Agitation
    held_kj_per_k: float


@dataclass(frozen=True, slots=True)
class Unknowns(Generic[T]):
    """What a run depends on and is known only between ends, each an estimate or its cases, in the columns' order.

    area_dm2 takes the current; um_per_a_min_per_dm2 is film for a charge; reference_v, energy_kj_per_mol, order and
    e_fold_v are constants of the law; rise_v_per_um how the volts climb with the film; transfer_w_per_m2_k and
    chemical_v as in agitation and heat; cooling_w what takes heat out of the bath.
    """

    area_dm2: T
    um_per_a_min_per_dm2: T
    reference_v: T
    energy_kj_per_mol: T
    order: T
    e_fold_v: T
    rise_v_per_um: T
    transfer_w_per_m2_k: T
    chemical_v: T
    cooling_w: T


_LEVEL = slice(2, 5)  # together they move the law up or down, and nothing else: their corners are two, not eight


@dataclass(frozen=True, slots=True)
class Cases(Unknowns[Floats]):
    """The unknowns as arrays (n,) in a bath; the first `corners` columns are the value and the corners."""

    bath: BathState
    corners: int

    def offset_v(self, bath_c: Floats, heat_w: Floats, rise_k: Floats) -> Floats:
        """Volts at the tank less V0 ln i: the law at the bath, moved by what this bath is stirred worse or better."""
        law, shift = self.bath.law, np.zeros_like(bath_c)
        if self.bath.agitation is not law.agitation:
            shift = rise_k - surface_rise_k(heat_w / self.area_dm2, bath_c, law.agitation)
        law_c = np.minimum(bath_c + shift, BATH_TEMPERATURE.high)  # past what it is known for it is left as it stands
        return law.offset_v(law_c, self.bath.acid_g_per_l, self.reference_v, self.e_fold_v,
                            self.energy_kj_per_mol, self.order)  # fmt: skip

    def base_v(self, charge_c: Floats, bath_c: Floats, heat_w: Floats) -> tuple[Floats, Floats]:
        """Volts at the tank less V0 ln i after a charge [C], film and all; how far the surface stands above the bath.

        heat_w is that of the moment before.
        """
        rise_k = surface_rise_k(heat_w / self.area_dm2, bath_c, self.bath.agitation, self.transfer_w_per_m2_k)
        return self.offset_v(bath_c, heat_w, rise_k) + self.rise_v_per_um * self.film_um(charge_c), rise_k

    def film_um(self, charge_c: Floats) -> Floats:
        """Film for a charge [C]."""
        return charge_c / (60.0 * self.area_dm2) * self.um_per_a_min_per_dm2

    def charge_c(self, film_um: float) -> Floats:
        """Charge [C] for a film."""
        return film_um * 60.0 * self.area_dm2 / self.um_per_a_min_per_dm2

    def bounds(self, values: Floats) -> Estimate:
        """A figure from its values (n,): that of the first column, least and most of the corners."""
        ends = values[: self.corners]
        return Estimate(float(values[0]), float(ends.min()), float(ends.max()))

    def likely(self, values: Floats) -> Floats:
        """The likely cases among values (n,); the one case there is where nothing is unknown."""
        return values[self.corners :] if len(values) > self.corners else values


def cases_of(unknowns: Unknowns[Estimate], bath: BathState, likely: int = LIKELY) -> Cases:
    """The cases of a run: its value, its corners, and likely ones."""
    ends = [getattr(unknowns, name) for name in Unknowns.__slots__]
    groups: list[tuple[tuple[float, ...], ...]] = [((e.low,), (e.high,)) if e.low < e.high else ((e.value,),)
                                                   for e in (*ends[: _LEVEL.start], *ends[_LEVEL.stop :])]  # fmt: skip
    groups.insert(_LEVEL.start, _level(ends[_LEVEL], unknowns.e_fold_v.value, bath))
    corners = [tuple(itertools.chain(*corner)) for corner in itertools.product(*groups)]
    value = [e.value for e in ends]
    rows = np.array([value, *corners] if len(corners) > 1 else [value])
    cases = np.vstack([rows, _spread(ends, likely)]) if len(corners) > 1 else rows
    return Cases(**dict(zip(Unknowns.__slots__, cases.T.copy(), strict=True)), bath=bath, corners=len(rows))


def _level(ends: list[Estimate], e_fold_v: float, bath: BathState) -> tuple[tuple[float, ...], ...]:
    """The constants at which the law stands lowest and highest at the bath's start, or the one way there is."""
    ways = sorted(
        set(itertools.product(*((e.low, e.high) for e in ends))),
        key=lambda way: bath.law.offset_v(bath.bath_c, bath.acid_g_per_l, way[0], e_fold_v, way[1], way[2]),
    )
    return (ways[0], ways[-1]) if len(ways) > 1 else (ways[0],)


def _spread(ends: list[Estimate], count: int) -> Floats:
    """Cases (count, unknowns) spread evenly over what the unknowns may be, by a triangle from least over value to most.

    The points are multiples of powers of the root of x^(d+1) = x + 1, less their whole part: they fill a cube evenly
    and are the same each time. An exact cooling, which is the last, takes no part in it.
    """
    root, width = 2.0, len(ends) if ends[-1].width else len(ends) - 1
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (width + 1))
    shares = np.outer(np.arange(1, count + 1), root ** -np.arange(1.0, len(ends) + 1)) % 1.0
    columns = []
    for share, e in zip(shares.T, ends, strict=True):
        below = (e.value - e.low) / e.width if e.width else 1.0
        rising = e.low + np.sqrt(share * e.width * (e.value - e.low))
        falling = e.high - np.sqrt((1.0 - share) * e.width * (e.high - e.value))
        columns.append(np.where(share < below, rising, falling))
    return np.column_stack(columns)
