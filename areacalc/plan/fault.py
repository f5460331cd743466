"""A fault of a run: what kinds there are, and how bad each is."""

from dataclasses import dataclass
from enum import Enum, IntEnum

from areacalc.fact import Fact


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
    ODD_STRIPS = "odd number of cathodes"
    DISTANCE_NOT_KNOWN = "cathode distance not known"
    TANK_NARROW = "tank too narrow for the usual distance"
    DISTANCE_DOES_NOT_FIT = "cathode distance does not fit"
    UNEVEN = "outside uneven"
    NO_TRIAL_ETCH = "etch rate from memory"
    FIT_LOST = "size out of tolerance"
    FIT_AT_RISK = "size may be out of tolerance"
    FIT_NO_ROOM = "no size to turn keeps the tolerance"
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
