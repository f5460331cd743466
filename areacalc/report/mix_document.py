"""A bath to mix or to top up: its figures by short names, and the JSON document of them."""

from __future__ import annotations

from areacalc.bath.conductivity import conductivity
from areacalc.bath.electrolyte import ICT_1928, OD_1002, ROOM_C, Electrolyte, freezing_c
from areacalc.bath.heat_capacity import LALIBERTE_2009, heat_capacity_kj_per_l_k
from areacalc.bath.mixing import Recipe
from areacalc.figure import Figure, given, worked
from areacalc.plan.figure_text import value_text
from areacalc.report.documents import Document, schema_id
from areacalc.report.plan_document import figure_document
from areacalc.sources import Kind, Source

_SHARES = Source(Kind.DERIVED, f"mass of acid over that of the bath; {ICT_1928.text}")
_MOLAR = Source(Kind.DERIVED, "grams over 98.07 g/mol")


def mix_figures(made: Recipe) -> dict[str, Figure]:
    """What to measure out, and the bath that comes of it at 20 C."""
    bath = made.wanted
    out = {"draw-off": given("old bath to draw off first", made.draw_off_l, "L")} if made.draw_off_l > 5e-3 else {}
    return {
        **out, "water": made.water_l, "acid": made.acid_l, "acid-mass": made.acid_kg, "warms": made.warms_k,
        **bath_figures(bath.acid_g_per_l),
    }  # fmt: skip


def bath_figures(acid_g_per_l: float) -> dict[str, Figure]:
    """A strength [g/L] in every unit that it is told in, and what a bath of it does at 20 C. Raises OutOfRange."""
    bath = Electrolyte(acid_g_per_l)
    acid, room = given("strength", acid_g_per_l, "g/L"), given("bath", ROOM_C, "C")
    return {
        "strength": acid,
        "by-weight": worked("strength by weight", "wt%", "acid / bath", _SHARES, lambda c: Electrolyte(c).wt_pct, acid),
        "molar": worked("strength in mol", "mol/L", "acid / 98.07", _MOLAR, lambda c: Electrolyte(c).mol_per_l, acid),
        "density": worked("density at 20 C (hydrometer)", "kg/L", "table of densities", ICT_1928,
                          lambda c: Electrolyte(c).density_kg_per_m3 * 1e-3, acid),
        "conductivity": conductivity(acid, room),
        "heat-capacity": worked("heat that warms a litre by a degree", "kJ/(L K)", "heat capacity x density",
                                LALIBERTE_2009, _per_litre, acid),
        "freezes": given("ice forms at", freezing_c(bath.wt_pct), "C", OD_1002),
    }  # fmt: skip


def _per_litre(acid_g_per_l: float) -> float:
    return heat_capacity_kj_per_l_k(Electrolyte(acid_g_per_l).wt_pct, ROOM_C)


def mix_document(made: Recipe, cautions: tuple[str, ...]) -> Document:
    """The recipe; report/schemas/mix.json describes it."""
    return {
        "schema": schema_id("mix"),
        "volume_l": made.volume_l,
        "keep_l": made.keep_l,
        "stock": {"name": made.stock.name, "wt_pct": made.stock.wt_pct, "density_kg_per_l": made.stock.density.value,
                  "source": str(made.stock.density.source)},
        "figures": {name: figure_document(figure) for name, figure in mix_figures(made).items()},
        "steps": list(made.steps(value_text)),
        "cautions": list(cautions),
    }  # fmt: skip
