"""Making up a bath and topping one up: masses and volumes of acid and water, and how warm the mixing makes it.

All balances are of mass, since volumes shrink on mixing. Acid goes into water or into a dilute bath; never the reverse.
"""

import math
from dataclasses import dataclass
from enum import Enum

from areacalc.bath.electrolyte import (
    ACID_WT_PCT,
    ICT_1928,
    MOLAR_MASS_ACID,
    ROOM_C,
    WATER_AT_25_C,
    Electrolyte,
    degrees_baume,
    relative_density,
    wt_pct_at_density,
)
from areacalc.bath.electrolyte import density_kg_per_m3 as acid_density
from areacalc.bath.heat import heat_capacity_j_per_kg_k
from areacalc.bath.table import between, columns
from areacalc.errors import BadInput, Field, UnknownName
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

MOLAR_MASS_WATER = Constant(18.015, "g/mol", Source(Kind.PUBLISHED, "IUPAC atomic masses 2021"))
WATER_DENSITY = Constant(0.9982, "kg/L", Source(Kind.PUBLISHED, "water at 20 C, handbooks, to 4 figures"))
MIXING_HEAT = Source(
    Kind.FROM_MEMORY,
    "heat of solution at 25 C, Felder & Rousseau table B.11; the other end by Thomsen's 74.7 r / (r + 1.798) kJ/mol",
)
MASS_BALANCE = Source(Kind.DERIVED, "mass of acid and of water, each kept")
PURE_ACID_DENSITY = Constant(
    1.830, "kg/L", Source(Kind.PUBLISHED, "CRC Handbook, constants of inorganic liquids, as held in chemicals 1.5")
)
_BETWEEN = Source(Kind.DERIVED, "heavier than its water and pure acid unmixed, no heavier than pure acid, CRC Handbook")
_BOTTLE_OFF = 0.02  # chosen: 10 C more or less moves it by 1 % at most, and strengths on bottles are rounded
PORTION_WARMS = Constant(5.0, "K", Source(Kind.COMMON_PRACTICE, "acid goes in in portions that warm it a little each"))
LEAST_DRAWN_L = 5e-3
_LEAST_WATER = 2e-3  # chosen, of the bath that is there: less dilutes it by no more than titration can tell
_THOMSEN_KJ, _THOMSEN_R = 74.7, 1.798
_STRONG = Source(Kind.FROM_MEMORY, "density of strong acid at 20 C, handbooks")


@dataclass(frozen=True, slots=True)
class Stock:
    """The acid one buys: its strength [wt%] and its density at 20 C [kg/L]. Raises BadInput unless 5 to 98.5 wt%."""

    name: str
    wt_pct: float
    density: Constant

    def __post_init__(self) -> None:
        _check_sold(self.wt_pct)


def _check_sold(wt_pct: float) -> None:
    if not 5.0 <= wt_pct <= 98.5:
        raise BadInput(Field.STOCK, f"{wt_pct:g} wt% is not sold", "give 5 to 98.5 wt%")


def stock(
    wt_pct: float, name: str = "", density_kg_per_l: float | None = None, where: str = "density on the bottle"
) -> Stock:
    """A stock acid of a strength; over 40 wt% its density [kg/L] must be on the bottle, or one of STOCKS is meant.

    Raises BadInput for a strength that is not sold, and for a density that acid of this strength has not.

    >>> round(stock(37.0).density.value, 3)
    1.277
    """
    _check_sold(wt_pct)
    if density_kg_per_l is not None:
        _check_bottle(wt_pct, density_kg_per_l, where)
        density = Constant(density_kg_per_l, "kg/L", Source(Kind.ENTERED, "density on the bottle"))
    elif wt_pct <= 40.0:
        density = Constant(acid_density(wt_pct) * 1e-3, "kg/L", ICT_1928)
    else:
        known = [s for s in STOCKS.values() if abs(s.wt_pct - wt_pct) <= 0.5]
        if not known:
            what = f"the density of {wt_pct:g} wt% acid is not known"
            raise BadInput(Field.STOCK, what, "give the density on the bottle")
        density = known[0].density
    return Stock(name or f"{wt_pct:g} wt% acid", wt_pct, density)


def _check_bottle(wt_pct: float, density_kg_per_l: float, where: str) -> None:
    """Refuse a density that acid of this strength has not; the warmth of the bottle moves it by 2 % at most."""
    if wt_pct <= ACID_WT_PCT.high:
        low = high = acid_density(wt_pct) * 1e-3
        held = f"{low:.3f} kg/L at 20 C ({ICT_1928})"
    else:  # volumes shrink on mixing, so acid is heavier than its water and pure acid side by side
        share = wt_pct * 1e-2
        side_by_side = 1.0 / (share / PURE_ACID_DENSITY.value + (1.0 - share) / WATER_DENSITY.value)
        low, high = max(side_by_side, acid_density(ACID_WT_PCT.high) * 1e-3), PURE_ACID_DENSITY.value
        held = f"{low:.2f} to {high:.2f} kg/L ({_BETWEEN})"
    if not low * (1.0 - _BOTTLE_OFF) <= density_kg_per_l <= high * (1.0 + _BOTTLE_OFF):
        raise BadInput(where, f"{density_kg_per_l:.4g} kg/L is not the density of {wt_pct:.3g} wt% acid, {held}",
                       "read strength and density off the bottle again")  # fmt: skip


def battery_acid(relative_density: float = 1.265) -> Stock:
    """Battery acid by the relative density it is sold by, acid and water both at 25 C; 1.265 unless told."""
    wt_pct = wt_pct_at_density(relative_density * WATER_AT_25_C.value, 25.0)
    return stock(wt_pct, f"battery acid {relative_density:g}")


STOCKS: dict[str, Stock] = {s.name: s for s in (
    Stock("93 % acid", 93.0, Constant(1.828, "kg/L", _STRONG)),
    Stock("96 % acid", 96.0, Constant(1.836, "kg/L", _STRONG)),
    Stock("98 % acid", 98.0, Constant(1.836, "kg/L", _STRONG)),
)}  # fmt: skip
BATTERY_ACID = "battery acid"


def stock_named(name: str) -> Stock:
    """'battery acid', '93 % acid', '96 % acid', '98 % acid'. Raises UnknownName."""
    if name == BATTERY_ACID:
        return battery_acid()
    if name not in STOCKS:
        known = (BATTERY_ACID, *STOCKS, "or any other strength, such as '37 %' or 'sg 1.28'")
        raise UnknownName.among(Field.STOCK, name, known)
    return STOCKS[name]


class MixStep(Enum):
    PROTECT = "protect yourself"
    NOTHING = "add nothing"
    DRAW_OFF = "draw off old bath"
    WATER = "water into the empty tank"
    THIN = "water into the bath that is there"
    ACID = "acid into water or bath"
    ACID_AT_ONCE = "acid that is all one portion"
    CHECK = "check it cold"


@dataclass(frozen=True, slots=True)
class Recipe:
    """What to weigh or measure out for a bath, in the order it goes in.

    `keep_l` is how much of the old bath stays (0 for a new one) and `draw_off_l` how much of it must come out first.
    """

    stock: Stock
    wanted: Electrolyte
    volume_l: float
    keep_l: float
    draw_off_l: float
    acid_kg: Figure
    acid_l: Figure
    water_l: Figure
    warms_k: Figure  # with no heat lost, all of it at once

    @property
    def is_concentrated(self) -> bool:
        """Whether the stock is stronger than battery acid, with hazards of its own."""
        return self.stock.wt_pct > ACID_WT_PCT.high

    @property
    def portion(self) -> Figure:
        """Acid to pour before the next wait [L], so that none warms the bath by more than PORTION_WARMS."""
        return worked("acid in one portion", "L", "acid / portions; each warms by at most 5 K", PORTION_WARMS.source,
                      lambda v, k, most: v / max(1, math.ceil(k / most - 1e-9)), self.acid_l,
                      given("warms at most by", self.warms_k.estimate.high, "K", MIXING_HEAT),
                      constant("warming by a portion", PORTION_WARMS))  # fmt: skip

    @property
    def steps(self) -> tuple[Fact, ...]:
        """What to do, in its order: concentrated acid always goes into what is dilute."""
        steps, volume = [fact(MixStep.PROTECT)], quantity(self.volume_l, "L")
        if self.draw_off_l > LEAST_DRAWN_L:
            steps.append(fact(MixStep.DRAW_OFF, old=quantity(self.draw_off_l, "L")))
        if self.water_l.estimate.value > _LEAST_WATER * self.keep_l:
            steps.append(fact(MixStep.THIN if self.keep_l > 0.0 else MixStep.WATER, water=self.water_l))
        if self.acid_l.estimate.value > 0.0:
            is_one = self.portion.estimate.value >= self.acid_l.estimate.value
            step = MixStep.ACID_AT_ONCE if is_one else MixStep.ACID
            steps.append(fact(step, acid=self.acid_l, mass=self.acid_kg, portion=self.portion, warms=self.warms_k))
        if len(steps) == 1:
            return (fact(MixStep.NOTHING, volume=volume, acid=quantity(self.wanted.acid_g_per_l, "g/L")),)
        sg = relative_density(self.wanted.wt_pct, ROOM_C)
        check = fact(MixStep.CHECK, volume=volume, room=quantity(ROOM_C, "C"), hydrometer=quantity(sg, "sg"),
                     baume=quantity(degrees_baume(sg), "Be"))  # fmt: skip
        return (*steps, check)


def heat_of_solution_kj_per_mol(mol_water_per_mol_acid: float, thomsen: bool = False) -> float:
    """Heat that a mol of acid gives off in r mol of water at 25 C [kJ/mol], straight in r / (r + 1.798) between rows.

    >>> round(heat_of_solution_kj_per_mol(10.0), 2), round(heat_of_solution_kj_per_mol(10.0, thomsen=True), 1)
    (67.03, 63.3)
    """
    at = mol_water_per_mol_acid / (mol_water_per_mol_acid + _THOMSEN_R)
    if thomsen:
        return _THOMSEN_KJ * at
    table = columns("felder_rousseau_b11_heat_of_solution")
    places = [r / (r + _THOMSEN_R) for r in table["mol_water_per_mol_acid"]]
    return between(at, places, table["kj_per_mol_acid"])


def mixing_rise_k(stock_wt_pct: float, bath_wt_pct: float) -> Estimate:
    """How much a new bath warms where stock and water start alike and no heat is lost [K]; both from memory.

    >>> round(mixing_rise_k(96.0, 18.0).value), round(mixing_rise_k(37.0, 18.0).value)
    (33, 3)
    """
    mol_per_kg = bath_wt_pct * 10.0 / MOLAR_MASS_ACID.value
    capacity = heat_capacity_j_per_kg_k(bath_wt_pct, 25.0) * 1e-3

    def rise(thomsen: bool) -> float:
        weak, strong = (
            heat_of_solution_kj_per_mol((100.0 - w) / MOLAR_MASS_WATER.value / (w / MOLAR_MASS_ACID.value), thomsen)
            for w in (bath_wt_pct, stock_wt_pct)
        )
        return mol_per_kg * (weak - strong) / capacity

    table, formula = rise(False), rise(True)
    return Estimate(
        table, min(table, formula), max(table, formula), ("two sources of the heat of solution, from memory",)
    )


def mix(volume_l: float, acid_g_per_l: float, acid: Stock) -> Recipe:
    """A new bath of a volume [L] and strength [g/L at 20 C] from a stock acid.

    Raises BadInput where the stock is not stronger than the bath, OutOfRange outside 5 to 40 wt%.

    >>> made = mix(10.0, 180.0, battery_acid())
    >>> [round(f.estimate.value, 2) for f in (made.acid_kg, made.acid_l, made.water_l)]
    [5.06, 4.0, 6.07]
    """
    return _fill(0.0, None, volume_l, Electrolyte(acid_g_per_l), acid)


def top_up(have_l: float, now: Electrolyte, volume_l: float, acid_g_per_l: float, acid: Stock) -> Recipe:
    """From a bath that is there to a volume [L] and strength [g/L]: acid and water to add, and what to draw off first.

    Raises BadInput for volumes that are not above zero and for a stock that is not stronger than the bath wanted.

    >>> weak = top_up(9.0, Electrolyte(165.0), 10.0, 180.0, battery_acid())
    >>> [round(x, 2) for x in (weak.draw_off_l, weak.acid_l.estimate.value, weak.water_l.estimate.value)]
    [0.0, 0.7, 0.31]
    """
    if have_l <= 0.0:
        raise BadInput("bath volume", f"{have_l:g} L must be above zero", "give a volume above zero")
    return _fill(have_l, now, volume_l, Electrolyte(acid_g_per_l, now.temperature_c), acid)


def _fill(have_l: float, now: Electrolyte | None, volume_l: float, wanted: Electrolyte, acid: Stock) -> Recipe:
    if volume_l <= 0.0:
        raise BadInput("bath volume", f"{volume_l:g} L must be above zero", "give a volume above zero")
    if acid.wt_pct <= wanted.wt_pct:
        what = f"{acid.wt_pct:.3g} wt% is not stronger than the bath, {wanted.wt_pct:.3g} wt%"
        raise BadInput(Field.STOCK, what, "take a stronger acid")
    total_kg = volume_l * acid_density(wanted.wt_pct) * 1e-3
    held_kg, held_wt_pct = (have_l * acid_density(now.wt_pct) * 1e-3, now.wt_pct) if now else (0.0, 0.0)
    acid_kg, water_kg, kept = _shares(total_kg, wanted.wt_pct, held_kg, held_wt_pct, acid.wt_pct)
    rise = mixing_rise_k(acid.wt_pct, wanted.wt_pct)
    share = acid_kg / (total_kg * wanted.wt_pct / acid.wt_pct)
    warms = rise.scaled(share) if now else rise
    acid_figure = Figure("acid to add", Estimate.exact(acid_kg), "kg", "mass balance of acid and water", MASS_BALANCE, (
        given("volume", volume_l, "L"), given("acid wanted", wanted.acid_g_per_l, "g/L"),
        given("strength of the stock", acid.wt_pct, "wt%"), given("bath that stays", have_l * kept, "L")))  # fmt: skip
    acid_l = worked("acid to add, by volume", "L", "mass / density", acid.density.source, lambda m, d: m / d,
                    acid_figure, constant("density of the stock", acid.density))  # fmt: skip
    water_mass = Figure("water to add, by mass", Estimate.exact(water_kg), "kg", "mass balance", MASS_BALANCE)
    water_l = worked("water to add", "L", "mass / density", WATER_DENSITY.source, lambda m, d: m / d,
                     water_mass, constant("density of water", WATER_DENSITY))  # fmt: skip
    warms_k = Figure("warms on mixing by", warms, "K", "heat of solution / heat capacity", MIXING_HEAT)
    return Recipe(acid, wanted, volume_l, have_l * kept, have_l * (1.0 - kept), acid_figure, acid_l, water_l, warms_k)


def _shares(
    total_kg: float, wt_pct: float, held_kg: float, held_wt_pct: float, stock_wt_pct: float
) -> tuple[float, float, float]:
    """kg of stock, kg of water, and the share of the old bath that stays, from the balances of acid and of all mass."""
    wanted, held = total_kg * wt_pct, held_kg * held_wt_pct
    acid_kg = (wanted - held) / stock_wt_pct
    water_kg = total_kg - held_kg - acid_kg
    if acid_kg >= 0.0 and water_kg >= 0.0:
        return acid_kg, water_kg, 1.0
    if held_wt_pct >= wt_pct:  # strong enough, and too much of it: keep what holds the acid wanted and fill with water
        kept = wanted / held
        return 0.0, total_kg - kept * held_kg, kept
    # weak, and no room for so much stock: draw off until stock alone fills it
    kept = max(0.0, (stock_wt_pct * total_kg - wanted) / (stock_wt_pct * held_kg - held))
    return total_kg - kept * held_kg, 0.0, kept
