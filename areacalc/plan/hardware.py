"""The rack that a load hangs by: made for its layout where its kind is told, offered where none is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from areacalc.estimate import Estimate
from areacalc.load.load import Load
from areacalc.plan.area import PartArea
from areacalc.plant.layout import Layout
from areacalc.plant.made_rack import WIRE_METALS, made_rack
from areacalc.plant.rack import Rack, RackCheck, check_rack

_ROUNDS = 2  # bare metal of the rack takes current too, which makes it no thicker after that


def with_rack(load: Load, parts: Sequence[PartArea], layout: Layout | None, a_per_dm2: float) -> Load:
    """The load with the rods of its kind of rack, sized for a density [A/dm2] as far as the power supply goes."""
    rack = load.rack
    if rack is None or rack.kind is None or layout is None:
        return load
    for _ in range(_ROUNDS):
        bare_mm2, most_a = rack.bare_mm2, load.supply.limit_a if load.supply else float("inf")
        current_a = min(a_per_dm2 * 1e-4 * (_all_mm2(parts) + bare_mm2), most_a)
        rack = made_rack(rack, layout, _shares(parts), current_a, load.tank.freeboard_mm or 0.0)
    return replace(load, rack=rack)


def rack_made(load: Load) -> Rack | None:
    """The rack of a load; None where none is told, and where nothing is laid out for its kind."""
    return load.rack if load.rack is not None and load.rack.members else None


def offered(load: Load, parts: Sequence[PartArea], layout: Layout | None, current_a: float) -> tuple[RackCheck, ...]:
    """Wires of either metal, where no rack is told and the load is laid out."""
    if layout is None or load.rack is not None:
        return ()
    shares, board_mm = _shares(parts), load.tank.freeboard_mm or 0.0
    racks = (made_rack(Rack(name), layout, shares, current_a, board_mm) for name in WIRE_METALS)
    return tuple(check_rack(rack, Estimate.exact(current_a)) for rack in racks)


def _all_mm2(parts: Sequence[PartArea]) -> float:
    return sum(part.all.estimate.value for part in parts)


def _shares(parts: Sequence[PartArea]) -> list[float]:
    """Of the load's current, in one part of each kind that is laid out."""
    return [part.each.estimate.value / _all_mm2(parts) for part in parts if part.part is not None]
