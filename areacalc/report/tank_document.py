"""The JSON document of a new tank."""

from typing import Literal, TypedDict

from areacalc.bath.cautions import Caution, Hazard, Work, cautions_at, gathered, shock
from areacalc.figure import Figure, given
from areacalc.plant.materials import materials
from areacalc.plant.new_tank import TankDesign
from areacalc.plant.rule import judged_fact
from areacalc.report.documents import Interval, interval
from areacalc.report.figure_document import FigureDocument, figure_document
from areacalc.report.plan_document import JudgedDocument
from areacalc.report.rack_document import RackDocument, WiresDocument, rack_document, wires_document
from areacalc.report.words.cautions import CautionDocument, caution_document
from areacalc.report.words.materials import item_words
from areacalc.report.words.tell import tell


class LargestLoad(TypedDict):
    """The largest load, as it hangs."""

    words: str
    count: int
    length_mm: float
    height_mm: float
    thickness_mm: float
    area_mm2: Interval


class TankSizes(TypedDict):
    """Inside sizes and what they hold."""

    length_mm: float | None
    width_mm: float | None
    depth_mm: float | None
    freeboard_mm: float | None
    liquid_l: float
    brimful_l: float | None


class TubSizes(TypedDict):
    """The spill tray round and under the tank."""

    length_mm: float
    width_mm: float
    height_mm: float
    holds_l: float


class CathodesDocument(TypedDict):
    """The cathodes of a tank, in two equal rows."""

    metal: str
    count: int
    width_mm: float
    immersed_mm: float
    thickness_mm: float
    length_mm: float
    pitch_mm: float
    distance_mm: float | None
    life: str


class ConductorDocument(TypedDict):
    """A bar or a cable, with its drop and its warming at full current."""

    words: str
    drop_v: Interval
    rise_k: Interval


class SupplyDocument(TypedDict):
    """The least ratings of the power supply."""

    least_a: float
    least_v: float
    fuse_a: float


class MaterialDocument(TypedDict):
    """One thing to buy or make."""

    what: str
    number: float
    size: str
    mass_g: float | None
    note: str


class TankDocument(TypedDict):
    """A new tank and all that hangs on it; sizes in mm, volumes in L."""

    schema: Literal["areacalc/tank/1"]
    load: LargestLoad
    rack: RackDocument
    tank: TankSizes
    tub: TubSizes
    cathodes: CathodesDocument
    figures: dict[str, FigureDocument]
    bar: ConductorDocument
    leads: ConductorDocument
    wires: list[WiresDocument]
    supply: SupplyDocument
    judged: list[JudgedDocument]
    notes: list[str]
    cautions: list[CautionDocument]
    materials: list[MaterialDocument]


def tank_figures(design: TankDesign, duty: tuple[Figure, ...] = ()) -> dict[str, Figure]:
    """The figures of a design by short names."""
    named = dict(zip(("current", "voltage", "heat", "time"), duty, strict=False))
    check = design.cathode_check
    return {
        **named, "liquid": design.liquid, "liquid-by-heat": design.by_heat, "cooling": design.cooling,
        "steady-cooling": design.steady_cooling, "cathode-face-wanted": check.wanted, "cathode-face": check.face,
        "cathode-over-part": check.over_part, "current-a-strip": check.a_strip, "cathode-mass": check.mass,
        "exhaust": design.exhaust, "air": design.air.for_hydrogen, "air-opening": design.air.opening,
    }  # fmt: skip


def tank_cautions(design: TankDesign) -> tuple[Caution, ...]:
    """What can hurt when the tank is built, filled and run."""
    lead = cautions_at(Work.CATHODES, Hazard.LEAD) if design.cathodes.metal == "lead" else ()
    works = (Work.MIX, Work.TANK, Work.ANODISE, Work.WASTE)
    most = given("volts of the power supply", design.supply_v, "V")
    return gathered((*shock(most), *(c for work in works for c in cautions_at(work)), *lead))


def tank_document(design: TankDesign, duty: tuple[Figure, ...] = ()) -> TankDocument:
    """Everything of a design that a program may want; sizes in mm, volumes in L."""
    tank, tub, strips, load = design.tank, design.tub, design.cathodes, design.load
    long, wide, high = design.rack.size_mm
    return {
        "schema": "areacalc/tank/1",
        "load": {"words": load.words, "count": load.count, "length_mm": long, "height_mm": high,
                 "thickness_mm": wide, "area_mm2": interval(load.area_mm2)},
        "rack": rack_document(design.rack),
        "tank": {"length_mm": tank.length_mm, "width_mm": tank.width_mm, "depth_mm": tank.depth_mm,
                 "freeboard_mm": tank.freeboard_mm, "liquid_l": tank.liquid_l, "brimful_l": tank.brimful_l},
        "tub": {"length_mm": tub.length_mm, "width_mm": tub.width_mm, "height_mm": tub.height_mm,
                "holds_l": tub.holds_l},
        "cathodes": {"metal": strips.metal, "count": strips.count, "width_mm": strips.width_mm,
                     "immersed_mm": strips.immersed_mm, "thickness_mm": strips.thickness_mm,
                     "length_mm": strips.whole_length_mm, "pitch_mm": design.pitch_mm,
                     "distance_mm": strips.distance_mm, "life": tell(design.cathode_check.life)},
        "figures": {name: figure_document(figure) for name, figure in tank_figures(design, duty).items()},
        "bar": {"words": tell(design.bar.stock), "drop_v": interval(design.bar.drop_v),
                "rise_k": interval(design.bar.rise_k)},
        "leads": {"words": tell(design.leads.stock), "drop_v": interval(design.leads.drop_v),
                  "rise_k": interval(design.leads.rise_k)},
        "wires": [wires_document(each) for each in design.wires],
        "supply": {"least_a": design.supply_a, "least_v": design.supply_v, "fuse_a": design.fuse_a},
        "judged": [{"text": tell(judged_fact(j)), "kept": j.kept} for j in design.judged],
        "notes": [*(tell(fact) for fact in design.facts)],
        "cautions": [caution_document(c) for c in tank_cautions(design)],
        "materials": [
            {"what": said.what, "number": item.number, "size": said.size, "note": said.note,
             "mass_g": item.mass.estimate.value * 1e3 if item.mass else None}
            for item, said in ((item, item_words(item)) for item in materials(design))
        ],
    }  # fmt: skip
