"""One load: every part on the rack and how many, the bath as it is today, the plant, the finish wanted."""

from dataclasses import dataclass, field
from enum import StrEnum

from areacalc.bath.alloy import alloy_named
from areacalc.bath.electrolyte import BOILING
from areacalc.bath.etch import MILD_C, MILD_CAUSTIC, MILD_MINUTES
from areacalc.bath.film import DEFAULT_RULE, GAUGE_UM, ThicknessRule, measured_rule
from areacalc.bath.fits import FLANKS_DEG, Limits
from areacalc.bath.heat import DEFAULT_AGITATION, Agitation
from areacalc.bath.voltage import METER_V, Polarisation, Seen, calibrated
from areacalc.bath.window import DEFAULT_WINDOW, Window
from areacalc.plant.cathode import RATIOS, CathodeSet, Ratio
from areacalc.plant.moved import Moved
from areacalc.plant.rack import Rack
from areacalc.plant.spacing import USUAL, Spacing
from areacalc.plant.stock import METRIC, Sold
from areacalc.plant.supply import SHOP_METERS, Meters, Supply
from areacalc.plant.tank import Tank
from areacalc.sources import Constant
from areacalc.surface.choice import Choices
from areacalc.throw.split_tube import SplitTube

EVEN_CHANCE, MOST_CERTAIN = 0.5, 0.99
USUAL_BAND_K = 2.0
DEFAULT_CERTAINTY = 0.95
"""Chosen: of a hundred runs planned for a film, ninety-five have it."""


class SurfaceFinish(StrEnum):
    GLOSS = "gloss"
    MATTE = "matte"


@dataclass(frozen=True, slots=True)
class FitLine:
    """A size of a part that must end within two limits [mm], as it is after turning where that is known."""

    name: str
    kind: str  # one of fits.KINDS
    wanted: Limits
    turned_mm: float | None = None
    flank_deg: float = FLANKS_DEG


@dataclass(frozen=True, slots=True)
class PartLine:
    """One kind of part of the load: a file or an area, how many, and what is done to its skin.

    `up` is the direction of the part (its own axes, or words) that points up in the bath; None leaves trapped air out.
    liquid_line is how far it is under, in words; None: wholly.
    """

    name: str
    count: int
    file: str | None = None
    area_mm2: float | None = None
    unit: str | None = None
    choices: Choices = field(default_factory=Choices)
    up: str | None = None
    liquid_line: str | None = None
    alloy: str | None = None
    copper_pct: float | None = None
    silicon_pct: float | None = None
    fits: tuple[FitLine, ...] = ()
    line: int = 0


@dataclass(frozen=True, slots=True)
class BathToday:
    """The bath as measured before the run: free acid, dissolved aluminium, temperature, and what holds it there.

    band_k is the rise that is allowed in the run, cooling_w what takes heat out (0: nothing does), agitation what moves
    it past the parts. seen: volts and density of a run before, stirred alike, from which the voltage is set right;
    second: of one at another density, for the slope. measured_c: the bath in those runs (None: as now).
    measured_film_um after measured_time_s of that density, the ramp at half: the film for a charge. Those volts, the
    step between them and that film are off by at most measured_within_v, step_within_v and film_within_um, the cooling
    by cooling_within_w. bore_slope: V0 as coatings down bores told it [V]; drag_out: liquid on a surface lifted out
    [mL/m2]; measured_alloy: that of the film measured (None: of any).
    """

    acid_g_per_l: float
    temperature_c: float
    aluminium_g_per_l: float = 0.0
    band_k: float = USUAL_BAND_K
    cooling_w: float = 0.0
    measured_v: float | None = None
    measured_a_per_dm2: float | None = None
    half_density_v: float | None = None
    half_density_a_per_dm2: float | None = None
    measured_c: float | None = None
    agitation: Agitation = DEFAULT_AGITATION
    agitation_told: bool = True
    measured_film_um: float | None = None
    measured_time_s: float | None = None
    measured_within_v: float = METER_V.value
    step_within_v: float = 2.0 * METER_V.value
    film_within_um: float = GAUGE_UM.value
    cooling_within_w: float = 0.0
    bore_slope: Constant | None = None
    drag_out: Constant | None = None
    measured_alloy: str | None = None

    @property
    def warmest_c(self) -> float:
        """The warmest that the bath may become in the run: the top of its band, or where acid boils."""
        return min(self.temperature_c + self.band_k, BOILING.value)

    @property
    def law(self) -> Polarisation:
        """The law of volts and density: as published, or put through the runs that were measured.

        Raises BadInput for two runs that tell no slope.
        """
        runs = ((self.measured_v, self.measured_a_per_dm2), (self.half_density_v, self.half_density_a_per_dm2))
        seen_c = self.temperature_c if self.measured_c is None else self.measured_c
        seen = [Seen(v, i, seen_c, self.acid_g_per_l) for v, i in runs if v is not None and i is not None]
        if not seen:
            return Polarisation()
        return calibrated(seen, Polarisation(agitation=self.agitation), self.measured_within_v, self.step_within_v)

    @property
    def rule(self) -> ThicknessRule | None:
        """The film for a charge that was measured, where it was. Raises BadInput for a film that cannot be."""
        if self.measured_film_um is None or self.measured_a_per_dm2 is None or self.measured_time_s is None:
            return None
        return measured_rule(self.measured_film_um, self.measured_a_per_dm2, self.measured_time_s, self.film_within_um)

    def rule_for(self, alloy: str) -> ThicknessRule | None:
        """The film for a charge that was measured, where it holds for an alloy. Raises UnknownName for none of ours."""
        is_other = self.measured_alloy is not None and alloy_named(self.measured_alloy).name != alloy
        return None if is_other else self.rule


USUAL_BATH = BathToday(180.0, 20.0)
"""The bath where none is told."""


@dataclass(frozen=True, slots=True)
class Etching:
    """The etch of a matte load: minutes, caustic [g/L], temperature [C], its bath [L], and a trial piece weighed.

    The trial is of the same minutes in the same bath: grams lost over a wet area [mm2].
    """

    minutes: float = MILD_MINUTES.value
    caustic_g_per_l: float = MILD_CAUSTIC.value
    temperature_c: float = MILD_C.value
    bath_l: float | None = None
    trial_loss_g: float | None = None
    trial_area_mm2: float | None = None


@dataclass(frozen=True, slots=True)
class Finish:
    """What is wanted: the density window, a thickness or a shade, gloss or matte, the colour's name.

    rule is what the film is reckoned by from the charge, certainty the share of runs that are to have it at least;
    seal_bath_c and seal_bath_ph the seal bath as measured; growth how much of it sizes grow by (None: by the charge,
    and of a hard coat half); told the keys that were given.
    """

    window: Window = DEFAULT_WINDOW
    density_a_per_dm2: float | None = None
    thickness_um: float | None = None
    certainty: float = DEFAULT_CERTAINTY
    shade: str | None = None
    surface: SurfaceFinish = SurfaceFinish.GLOSS
    dye: str | None = None
    seal: str | None = None
    repeat: str | None = None
    rule: ThicknessRule = DEFAULT_RULE
    etching: Etching = Etching()
    seal_bath_c: float | None = None
    seal_bath_ph: float | None = None
    growth: str | None = None
    told: frozenset[str] = field(default=frozenset(), compare=False)

    @property
    def asks_coating(self) -> bool:
        """Whether it says itself how thick the coating is to be, which wins over a run repeated."""
        return self.thickness_um is not None or "shade" in self.told

    @property
    def is_dyed(self) -> bool:
        return self.dye is not None or self.shade is not None


@dataclass(frozen=True, slots=True)
class Load:
    """All of one load; `source` is the file it came from, `lines` where each table and key of it stands.

    rack is the rack's metal, spacing the rules that the parts hang by, moved those that hang elsewhere than they are
    laid out, room_m3 the air of the room, where it is told; stock the sizes that rods and tanks are sold in.
    """

    name: str
    parts: tuple[PartLine, ...]
    bath: BathToday
    tank: Tank
    finish: Finish
    supply: Supply | None = None
    cathodes: CathodeSet | None = None
    ratio: Ratio = RATIOS["small-tank"]
    rack: Rack | None = None
    spacing: Spacing = USUAL
    moved: tuple[Moved, ...] = ()
    room_m3: float | None = None
    split_tube: SplitTube | None = None
    meters: Meters = SHOP_METERS
    source: str = ""
    folder: str = "."
    lines: dict[tuple[str | int, ...], int] = field(default_factory=dict, hash=False, compare=False)
    stock: Sold = METRIC

    @property
    def count(self) -> int:
        return sum(part.count for part in self.parts)
