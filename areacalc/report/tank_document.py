"""The JSON document of a new tank; report/schemas/tank.json describes it."""

from __future__ import annotations

from areacalc.figure import Figure
from areacalc.plant.materials import materials
from areacalc.plant.new_tank import TankDesign
from areacalc.plant.rule import judged_fact
from areacalc.report.documents import Document, interval, schema_id
from areacalc.report.plan_document import figure_document
from areacalc.report.words.tell import tell


def tank_figures(design: TankDesign, duty: tuple[Figure, ...] = ()) -> dict[str, Figure]:
    """The figures of a design by short names."""
    named = dict(zip(("current", "voltage", "heat", "time"), duty, strict=False))
    check = design.cathode_check
    return {
        **named, "liquid": design.liquid, "liquid-by-heat": design.by_heat, "cooling": design.cooling,
        "steady-cooling": design.steady_cooling, "cathode-face-wanted": check.wanted, "cathode-face": check.face,
        "cathode-over-part": check.over_part, "current-a-strip": check.a_strip, "cathode-mass": check.mass,
        "air": design.air.wanted, "air-opening": design.air.opening,
    }  # fmt: skip


def tank_document(design: TankDesign, duty: tuple[Figure, ...] = ()) -> Document:
    """Everything of a design that a program may want; sizes in mm, volumes in L."""
    tank, tub, strips, load = design.tank, design.tub, design.cathodes, design.load
    return {
        "schema": schema_id("tank"),
        "load": {"words": load.words, "count": load.count, "length_mm": load.length_mm, "height_mm": load.height_mm,
                 "thickness_mm": load.thickness_mm, "area_mm2": interval(load.area_mm2)},
        "tank": {"length_mm": tank.length_mm, "width_mm": tank.width_mm, "depth_mm": tank.depth_mm,
                 "freeboard_mm": tank.freeboard_mm, "liquid_l": tank.liquid_l, "brimful_l": tank.brimful_l},
        "tub": {"length_mm": tub.length_mm, "width_mm": tub.width_mm, "height_mm": tub.height_mm,
                "holds_l": tub.holds_l},
        "cathodes": {"metal": strips.metal, "count": strips.count, "width_mm": strips.width_mm,
                     "immersed_mm": strips.immersed_mm, "thickness_mm": strips.thickness_mm,
                     "length_mm": strips.whole_length_mm, "pitch_mm": design.pitch_mm,
                     "distance_mm": strips.distance_mm, "life": design.cathode_check.life},
        "figures": {name: figure_document(figure) for name, figure in tank_figures(design, duty).items()},
        "bar": {"words": design.bar.words, "drop_v": interval(design.bar.drop_v),
                "rise_k": interval(design.bar.rise_k)},
        "leads": {"words": design.leads.words, "drop_v": interval(design.leads.drop_v),
                  "rise_k": interval(design.leads.rise_k)},
        "contacts_mm2": dict(design.contacts),
        "rack_wires_mm": dict(design.rack_wires_mm),
        "supply": {"least_a": design.supply_a, "least_v": design.supply_v},
        "judged": [{"text": tell(judged_fact(j)), "kept": j.kept} for j in design.judged],
        "notes": [*(tell(fact) for fact in design.facts), *design.air.notes],
        "materials": [
            {"what": i.what, "number": i.number, "size": i.size, "mass_g": i.mass_g, "note": i.note}
            for i in materials(design)
        ],
    }  # fmt: skip
