"""A bath to mix or to top up: its figures by short names, its cautions, and the JSON document of both."""

from typing import Literal, TypedDict

from areacalc.bath.cautions import Caution, Hazard, Work, cautions_at, gathered, of_mixing
from areacalc.bath.electrolyte import (
    HEAVY_SCALE,
    ICT_1928,
    IN_A_ROOM,
    OD_1002,
    ROOM_C,
    Electrolyte,
    acid_mol_per_l,
    conductivity,
    degrees_baume,
    freezing_c,
    relative_density,
)
from areacalc.bath.heat import LALIBERTE_2009, heat_capacity_kj_per_l_k
from areacalc.bath.mixing import LEAST_DRAWN_L, Recipe
from areacalc.figure import Figure, given, worked
from areacalc.report.figure_document import FigureDocument, figure_document
from areacalc.report.words.cautions import CautionDocument, caution_document
from areacalc.report.words.tell import tell
from areacalc.sources import Kind, Source

_SHARES = Source(Kind.DERIVED, f"mass of acid over that of the bath; {ICT_1928.text}")
_MOLAR = Source(Kind.DERIVED, "grams over 98.07 g/mol")


class StockDocument(TypedDict):
    """The acid that is bought."""

    name: str
    wt_pct: float
    density_kg_per_l: float
    source: str


class MixDocument(TypedDict):
    """A bath to mix or to top up."""

    schema: Literal["areacalc/mix/1"]
    volume_l: float
    keep_l: float
    stock: StockDocument
    figures: dict[str, FigureDocument]
    steps: list[str]
    cautions: list[CautionDocument]


def mix_figures(made: Recipe) -> dict[str, Figure]:
    """What to measure out, and the bath that comes of it at 20 C."""
    bath, drawn_l = made.wanted, made.draw_off_l
    out = {"draw-off": given("old bath to draw off first", drawn_l, "L")} if drawn_l > LEAST_DRAWN_L else {}
    return {
        **out, "water": made.water_l, "acid": made.acid_l, "acid-mass": made.acid_kg, "warms": made.warms_k,
        **bath_figures(bath.acid_g_per_l),
    }  # fmt: skip


def bath_figures(acid_g_per_l: float) -> dict[str, Figure]:
    """A strength [g/L] in every unit that it is told in, and what a bath of it does at 20 C. Raises OutOfRange."""
    bath = Electrolyte(acid_g_per_l)
    acid, room = given("strength", acid_g_per_l, "g/L"), given("bath", ROOM_C, "C", IN_A_ROOM)
    return {
        "strength": acid,
        "by-weight": worked("strength by weight", "wt%", "acid / bath", _SHARES, lambda c: Electrolyte(c).wt_pct, acid),
        "molar": worked("strength in mol", "mol/L", "acid / 98.07", _MOLAR, lambda c: acid_mol_per_l(c), acid),
        "density": worked("density", "kg/L", "table of densities", ICT_1928,
                          lambda c: Electrolyte(c).density_kg_per_m3 * 1e-3, acid),
        "relative-density": worked("hydrometer marked for 60 F, at room temperature", "sg",
                                   "density / density of water", ICT_1928, _sg, acid),
        "baume": worked("the same in degrees Baume", "Be", "145 - 145 / relative density", HEAVY_SCALE.source,
                        lambda c: degrees_baume(_sg(c)), acid),
        "conductivity": conductivity(acid, room, name="conductivity, no aluminium in it yet"),
        "heat-capacity": worked("heat capacity", "kJ/(L K)", "heat capacity x density", LALIBERTE_2009,
                                lambda c: heat_capacity_kj_per_l_k(Electrolyte(c).wt_pct, ROOM_C), acid),
        "freezes": given("ice forms at", freezing_c(bath.wt_pct), "C", OD_1002),
    }  # fmt: skip


def _sg(acid_g_per_l: float) -> float:
    return relative_density(Electrolyte(acid_g_per_l).wt_pct, ROOM_C)


def mix_cautions(made: Recipe) -> tuple[Caution, ...]:
    """What can hurt when a recipe is followed, the order of mixing before all."""
    found = gathered((*of_mixing(made), *cautions_at(Work.TANK), *cautions_at(Work.WASTE)))
    return tuple(sorted(found, key=lambda each: each.hazard not in (Hazard.DATA_SHEETS, Hazard.ACID_INTO_WATER)))


def mix_document(made: Recipe) -> MixDocument:
    """The recipe."""
    return {
        "schema": "areacalc/mix/1",
        "volume_l": made.volume_l,
        "keep_l": made.keep_l,
        "stock": {"name": made.stock.name, "wt_pct": made.stock.wt_pct, "density_kg_per_l": made.stock.density.value,
                  "source": str(made.stock.density.source)},
        "figures": {name: figure_document(figure) for name, figure in mix_figures(made).items()},
        "steps": [tell(step) for step in made.steps],
        "cautions": [caution_document(c) for c in mix_cautions(made)],
    }  # fmt: skip
