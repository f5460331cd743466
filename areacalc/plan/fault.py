"""A fault of a run: what kinds there are, how bad each is, and which keys of the load mend it or change nothing."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, IntEnum
from typing import cast

from areacalc.bath.alloy import AlloyFault
from areacalc.bath.burn import Burning
from areacalc.bath.ceiling import Ceiling
from areacalc.bath.dissolved import Aluminium
from areacalc.bath.film import Stated
from areacalc.bath.seal import SealFault
from areacalc.bath.table import by_kind
from areacalc.digits import three
from areacalc.fact import Fact, Quantity, fact
from areacalc.load.load import Load, SurfaceFinish
from areacalc.plan.room import NoPlace
from areacalc.plant.layout import Layout
from areacalc.plant.too_small import BuySupply, InRuns, LowerDensity


class Weight(IntEnum):
    """How bad it is; the largest comes first."""

    WATCH = 1
    SPOILS = 2
    STOPS = 3

    @property
    def word(self) -> str:
        """Its name in documents."""
        return self.name.lower()


class FaultKind(Enum):
    """What can be wrong with a run, beyond what bath, equipment and surface find by themselves."""

    SUPPLY_BELOW_WINDOW = "supply below the window"
    SUPPLY_IN_OTHER_WINDOW = "supply gives another window's density"
    SUPPLY_SETS_CURRENT = "supply sets the current"
    FILM_OF_OTHER_ALLOY = "coating measured on another alloy"
    BORES_NOT_KNOWN = "bores not known well enough"
    AREA_NOT_KNOWN = "area not known well enough"
    AREA_IN_NARROW_BORES = "narrow bores may fill or not"
    DENSITY_MAY_BE_LOW = "density may be low"
    NO_SUPPLY = "no power supply given"
    VOLTS_HOLD_DOWN = "volts hold the current down"
    CURRENT_LIMIT = "power supply at its current limit"
    VOLTS_TOO_LOW = "set volts drive too little"
    NO_RAMP = "no ramp"
    RAMP_TOO_LONG = "ramp longer than the run"
    AGITATION_NOT_GIVEN = "agitation not given"
    BATH_BOILS = "bath boils"
    BATH_TOO_HOT = "bath too hot"
    BATH_WARMS = "bath warms past its limit"
    HARD_BATH_WARMS = "bath of a hard coating warms past its limit"
    BATH_MAY_WARM = "bath may warm past its limit"
    TOO_WARM_FOR_DYE = "bath too warm for dyed work"
    MAY_BE_TOO_WARM_FOR_DYE = "bath may get too warm for dyed work"
    TOO_WARM_FOR_HARD = "bath too warm for a hard coating"
    ODD_STRIPS = "odd number of cathodes"
    DISTANCE_NOT_KNOWN = "cathode distance not known"
    TANK_NARROW = "tank too narrow for the usual distance"
    DISTANCE_DOES_NOT_FIT = "cathode distance does not fit"
    UNEVEN = "outside uneven"
    NO_TRIAL_ETCH = "etch rate from memory"
    KEYS_WITHOUT_FILE = "keys that need a part file"
    AIR_TRAPPED = "air trapped"
    AIR_IF_TILTED = "air trapped if tilted"
    AIR_HELD = "air held in narrow bores"
    PART_NOTE = "note on a part"
    UNIT_DOUBTED = "unit that makes a part too large"
    UNIT_ASSUMED = "unit that no one told"
    HANGING_NOT_GIVEN = "hanging not given"
    NOT_ON_RACK = "not on the rack"
    BARE_WIRES = "bare wires not counted"
    WIRES_ASSUMED = "bare wires assumed"
    RACK_NOT_MADE = "rack not worked out"
    TURNS = "askew on one contact"
    MOVED_NOTHING = "moved nothing"
    SEALED_HARD_COAT = "sealed hard coat"
    THIN_FOR_DYE = "coating too thin for the dye"
    DYE_NOT_KNOWN = "dye whose shade is not known"
    BORE_THIN = "thin coating in a bore"
    BORE_THIN_DYED = "thin coating in a bore, dyed"
    BORE_TAKES_NO_DYE = "bore takes no dye"


@dataclass(frozen=True, slots=True)
class Fault:
    """A fact that stops the run, spoils the part or wants watching."""

    weight: Weight
    fact: Fact

    @property
    def kind(self) -> Enum:
        return self.fact.kind


_ETCH = ("etch", "etch_caustic", "etch_temperature", "etch_bath", "etch_trial_loss", "etch_trial_area")
_SEAL = ("seal_temperature", "seal_ph")


class Idle(Enum):
    NO_ETCH = "etch of a gloss surface"
    NO_SEAL = "seal bath of a coating left unsealed"


def idle_keys(load: Load, is_sealed: bool) -> Iterator[Fact]:
    """The keys told under [finish] for an etch or a seal that this load does not get."""
    idle = ((Idle.NO_ETCH, _ETCH, load.finish.surface is SurfaceFinish.GLOSS), (Idle.NO_SEAL, _SEAL, not is_sealed))
    for kind, keys, is_idle in idle:
        told = tuple(key for key in keys if key in load.finish.told)
        if is_idle and told:
            yield fact(kind, keys=told)


Changes = dict[str, str]
"""Values by key, such as {"supply.current": "3 A"}; one that is empty is left out of the load."""
WayOut = LowerDensity | InRuns | BuySupply | Layout
_TANK = ("tank.length", "tank.width", "tank.depth")
KINDS: tuple[type[Enum], ...] = (
    FaultKind, Idle, NoPlace, Ceiling, Aluminium, SealFault, AlloyFault, Stated, Burning,
)  # fmt: skip
"""Whatever can be wrong with a run, but for fits and broken rules of the equipment."""
_MENDED = {kind: tuple(row["keys"].split()) for kind, row in by_kind("mends", "areacalc.plan", KINDS).items()}
"""The keys that mend each kind of fault."""
_RULES = {
    "freeboard": "tank.freeboard", "outer containment over the tank's own volume": "tank.containment",
    "current by volume": "tank.length", "spacing between parts": "rack.spacing", "room at the ends": "tank.length",
    "room below": "tank.depth", "liquid above the part": "tank.depth", "drop along the rack": "rack.wire",
    "warmth of a dry conductor": "rack.wire", "contact face over part area": "rack.contact_area",
    "contacts a part": "rack.contacts", "rack wire": "rack.wire", "part-to-cathode distance": "tank.width",
    "cathode area over part area, at most": "cathodes.count", "cathode area over part area": "cathodes.count",
}  # fmt: skip


def keys_of(fault: Fault) -> tuple[str, ...]:
    """The keys of the load that mend a fault; none where no key does."""
    if "rule" in fault.fact and (key := _RULES.get(str(fault.fact["rule"]))):
        return (key,)
    if fault.kind is FaultKind.WIRES_ASSUMED:
        return tuple(f"rack.{key}" for key in cast("tuple[str, ...]", fault.fact["unsaid"]))
    return _MENDED.get(fault.kind, ())


def changes_of(fault: Fault) -> Changes:
    """The values that mend a fault; none where they are the person's to choose."""
    if fault.kind is FaultKind.THIN_FOR_DYE:
        wants = fault.fact["wants"]
        assert isinstance(wants, Quantity)
        return {"finish.thickness": f"{three(wants.estimate.value)} um", "finish.shade": ""}
    if "fill" in fault.fact:
        return {"part.fill": ", ".join(cast("tuple[str, ...]", fault.fact["fill"]))}
    if "up" in fault.fact:
        return {"part.up": str(fault.fact["up"])}
    return {"finish.seal": "none"} if fault.kind is FaultKind.SEALED_HARD_COAT else {}


def changes_for(way: WayOut) -> Changes:
    """The values that take a way out; none for runs, whose counts are the person's."""
    match way:
        case LowerDensity() if not way.in_window:
            return {"finish.density": way.key}
        case BuySupply():
            return {"supply.current": f"{three(way.rating_a)} A", "supply.voltage": f"{three(way.rating_v)} V"}
        case Layout():
            return {key: f"{three(side)} mm" for key, side in zip(_TANK, way.room.sides_mm, strict=True)}
    return {}
