"""Which keys of the load mend a fault or take a way out, and to which values where those are known."""

from __future__ import annotations

from enum import Enum
from typing import cast

from areacalc.bath.alloy import AlloyFault
from areacalc.bath.burn import Burning
from areacalc.bath.ceiling import Ceiling
from areacalc.bath.dissolved import Aluminium
from areacalc.bath.film import Stated
from areacalc.bath.seal import SealFault
from areacalc.digits import three
from areacalc.fact import Fact, Quantity
from areacalc.plan.faults import Fault, FaultKind
from areacalc.plan.room import NoPlace
from areacalc.plant.smallest import Smallest
from areacalc.plant.too_small import BuySupply, InRuns, LowerDensity
from areacalc.surface.air.narrow_mouths import Help

Changes = dict[str, str]
"""Values by key, such as {"supply.current": "3 A"}; one that is empty is left out of the load."""
WayOut = LowerDensity | InRuns | BuySupply | Smallest
_TANK = ("tank.length", "tank.width", "tank.depth")
_KEYS: dict[Enum, tuple[str, ...]] = {
    FaultKind.SUPPLY_BELOW_WINDOW: ("supply.current", "finish.density"),
    FaultKind.SUPPLY_SETS_CURRENT: ("supply.current",),
    FaultKind.FILM_OF_OTHER_ALLOY: ("bath.measured_coating",),
    FaultKind.AREA_NOT_KNOWN: ("part.up",),
    FaultKind.AREA_IN_NARROW_BORES: ("part.fill",),
    FaultKind.DENSITY_MAY_BE_LOW: ("finish.density",),
    FaultKind.NO_SUPPLY: ("supply.current",),
    FaultKind.VOLTS_HOLD_DOWN: ("supply.voltage",),
    FaultKind.CURRENT_LIMIT: ("supply.current",),
    FaultKind.VOLTS_TOO_LOW: ("supply.voltage", "finish.density"),
    FaultKind.NO_RAMP: ("supply.ramp",),
    FaultKind.RAMP_TOO_LONG: ("supply.ramp",),
    FaultKind.AGITATION_NOT_GIVEN: ("bath.agitation",),
    FaultKind.BATH_BOILS: ("bath.cooling",),
    FaultKind.BATH_TOO_HOT: ("bath.cooling",),
    FaultKind.BATH_WARMS: ("bath.cooling",),
    FaultKind.HARD_BATH_WARMS: ("bath.cooling",),
    FaultKind.BATH_MAY_WARM: ("bath.cooling",),
    FaultKind.TOO_WARM_FOR_DYE: ("bath.temperature",),
    FaultKind.ODD_STRIPS: ("cathodes.count",),
    FaultKind.UNEVEN: ("cathodes.count",),
    FaultKind.DISTANCE_NOT_KNOWN: ("cathodes.distance",),
    FaultKind.DISTANCE_DOES_NOT_FIT: ("cathodes.distance",),
    FaultKind.NO_TRIAL_ETCH: ("finish.etch_trial_loss",),
    FaultKind.AIR_TRAPPED: ("part.up", "part.plug"),
    FaultKind.AIR_IF_TILTED: ("part.up",),
    FaultKind.AIR_HELD: ("part.fill",),
    FaultKind.UNIT_DOUBTED: ("part.unit",),
    FaultKind.HANGING_NOT_GIVEN: ("part.up",),
    FaultKind.BARE_WIRES: ("rack.kind",),
    FaultKind.RACK_NOT_MADE: _TANK,
    FaultKind.TURNS: ("rack.contacts", "part.up"),
    FaultKind.MOVED_NOTHING: ("rack.moved",),
    FaultKind.SEALED_HARD_COAT: ("finish.seal",),
    FaultKind.THIN_FOR_DYE: ("finish.dye",),
    FaultKind.BORE_THIN: ("part.plug",),
    FaultKind.BORE_THIN_DYED: ("part.plug",),
    FaultKind.BORE_TAKES_NO_DYE: ("part.plug",),
    NoPlace.PART_TOO_LARGE: _TANK,
    NoPlace.PART_STANDS_OUT: ("part.up", "part.liquid_line", "tank.depth"),
    NoPlace.TOO_MANY_PARTS: ("part.count", "tank.length"),
    NoPlace.PARTS_OVERLAP: ("rack.moved",),
    NoPlace.PART_OUTSIDE: ("rack.moved",),
    NoPlace.CATHODES_TOO_LONG: ("cathodes.count", "cathodes.width"),
    NoPlace.CATHODES_TOO_DEEP: ("cathodes.immersed",),
    Ceiling.PAST: ("finish.thickness", "bath.temperature"),
    Ceiling.NEAR: ("finish.thickness", "bath.temperature"),
    **dict.fromkeys(Aluminium, ("bath.aluminium",)),
    **dict.fromkeys(SealFault, ("finish.seal_temperature", "finish.seal_ph")),
    **dict.fromkeys(AlloyFault, ("part.alloy",)),
    Stated.ACID: ("bath.acid",),
    Stated.TEMPERATURE: ("bath.temperature",),
    Stated.ALUMINIUM: ("bath.aluminium",),
    Burning.ABOVE_WINDOW: ("finish.density",),
    Burning.MAY_BE_ABOVE_WINDOW: ("finish.density",),
    Burning.HOT_SURFACE: ("bath.agitation", "finish.density"),
    Burning.UNSTABLE: ("bath.agitation", "finish.density"),
    Burning.MAY_BE_UNSTABLE: ("bath.agitation",),
}  # fmt: skip
_RULES = {
    "freeboard": "tank.freeboard", "outer containment over the tank's own volume": "tank.containment",
    "current by volume": "tank.length", "spacing between parts": "rack.spacing", "room at the ends": "tank.length",
    "room below": "tank.depth", "liquid above the part": "tank.depth", "drop along the rack": "rack.wire",
    "warmth of a dry conductor": "rack.wire", "contact face over part area": "rack.contact_area",
    "contacts a part": "rack.contacts", "rack wire": "rack.wire", "part-to-cathode distance": "tank.width",
    "cathode area over part area, at most": "cathodes.count", "cathode area over part area": "cathodes.count",
}  # fmt: skip


def keys_of(fault: Fault) -> tuple[str, ...]:
    """The keys of the load that mend a fault, the nearest first; none where no key does."""
    if "rule" in fault.fact and (key := _RULES.get(str(fault.fact["rule"]))):
        return (key,)
    return _KEYS.get(fault.kind, ())


def changes_of(fault: Fault) -> Changes:
    """The values that mend a fault; none where they are the person's to choose."""
    if fault.kind is FaultKind.THIN_FOR_DYE:
        wants = fault.fact["wants"]
        assert isinstance(wants, Quantity)
        return {"finish.thickness": f"{three(wants.estimate.value)} um", "finish.shade": ""}
    if fault.kind is FaultKind.AIR_HELD:
        note = fault.fact["note"]
        assert isinstance(note, Fact)
        names, helps = cast("tuple[str, ...]", note["features"]), cast("tuple[Help, ...]", note["helps"])
        return {"part.fill": ", ".join(names)} if Help.SYRINGE in helps else {}
    return {"finish.seal": "none"} if fault.kind is FaultKind.SEALED_HARD_COAT else {}


def changes_for(way: WayOut) -> Changes:
    """The values that take a way out; none for runs, whose counts are the person's."""
    match way:
        case LowerDensity() if way.other_windows and not way.in_window:
            return {"finish.density": way.other_windows[0]}
        case BuySupply():
            return {"supply.current": f"{three(way.rating_a)} A", "supply.voltage": f"{three(way.rating_v)} V"}
        case Smallest():
            sides = zip(_TANK, (way.room.length_mm, way.room.width_mm, way.room.depth_mm), strict=True)
            return {key: f"{three(side)} mm" for key, side in sides}
    return {}
