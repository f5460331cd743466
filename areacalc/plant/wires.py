"""The wires that a layout hangs by: how many, how thick for hand and current, and what their contacts need."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from areacalc.estimate import Estimate
from areacalc.plant.conductor import round_section_mm2
from areacalc.plant.layout import Layout
from areacalc.plant.metal import RACK_METALS, Metal, metal
from areacalc.plant.rack import BUS_AL, Rack, RackCheck, check_rack, wire_by_current, wire_for
from areacalc.plant.stock import METRIC, Sold
from areacalc.sources import Constant, Kind, Source

TITANIUM_SHARE = Constant(
    0.1, "", Source(
        Kind.COMMON_PRACTICE, "titanium carries a tenth or less of what aluminium does for the same section"),
)  # fmt: skip
PRESSURE = Constant(
    6.9, "MPa", Source(Kind.SECOND_HAND, "platers' forum 395/57: joints of bus bars want 1000 psi, clean"),
)  # fmt: skip
WIRE_METALS = ("aluminium 6063", "titanium grade 2")
"""What wires are bent of, where a person has not told a metal."""
_SAME_MM = 1.0  # parts whose middles stand so near each other hang by one wire
_OVER_WALL_MM = 100.0  # from the liquid's edge over the wall to the bar


@dataclass(frozen=True, slots=True)
class Wires:
    """One wire down each column of each row, of one metal, as thin as hand and current let it be.

    diameter_mm: None where no usual wire will do; by_current_mm: what the current alone asks for. The fullest carries
    fullest_a. each_wet_mm: what of each is under the liquid; dry_mm: above it; wet_mm2: what of all takes current as a
    part does.
    """

    metal: str
    each_wet_mm: tuple[float, ...]
    dry_mm: float
    diameter_mm: float | None
    by_current_mm: float | None
    fullest_a: float
    wet_mm2: float
    mass_g: float
    check: RackCheck | None
    contact: Contact

    @property
    def number(self) -> int:
        return len(self.each_wet_mm)

    @property
    def wet_mm(self) -> float:
        """The longest piece under the liquid."""
        return max(self.each_wet_mm)

    @property
    def for_the_hand(self) -> bool:
        """Whether the hand, not the current, sets the thickness."""
        return self.diameter_mm is not None and self.diameter_mm != self.by_current_mm


@dataclass(frozen=True, slots=True)
class Contact:
    """One contact of the part that takes most: its current [A], face [mm2], force [N] and its mark if it is round."""

    current_a: float
    face_mm2: float

    @property
    def force_n(self) -> float:
        """What presses the face as a joint of a bus bar is pressed."""
        return PRESSURE.value * self.face_mm2

    @property
    def mark_mm(self) -> float:
        """The diameter of the bare mark that a round contact leaves.

        >>> round(Contact(1.0, BUS_AL.value).mark_mm, 2)
        1.18
        """
        return 2.0 * math.sqrt(self.face_mm2 / math.pi)


def contact_for(current_a: float, metal_name: str) -> Contact:
    """The contact for a current [A]: as much section as a bare aluminium bar has; of titanium ten times that.

    >>> round(contact_for(1.0, "aluminium 6063").face_mm2, 2), round(contact_for(1.0, "titanium grade 2").face_mm2, 1)
    (0.92, 9.2)
    """
    face_mm2 = current_a / BUS_AL.value
    made = metal(metal_name, RACK_METALS, "rack")
    return Contact(current_a, face_mm2 if made.stripped else face_mm2 / TITANIUM_SHARE.value)


def wires_for(
    rack: Layout, each_mm2: Sequence[float], a_per_mm2: float, metal_name: str, freeboard_mm: float = 0.0,
    stock: Sold = METRIC,
) -> Wires:  # fmt: skip
    """The wires for a layout at the load's current over its whole area; each_mm2 is that of one part of each kind.

    >>> from areacalc.plant.hung import box_part
    >>> from areacalc.plant.layout import Room, lay_out
    >>> made = lay_out([box_part("knob", (25.0, 25.0, 25.0), 20)], Room(400.0, 300.0, 300.0, 13.0))
    >>> found = wires_for(made, [2945.0], 14.6 / (20 * 2945.0), "aluminium 6063")
    >>> found.number, found.diameter_mm, round(found.fullest_a, 2), found.for_the_hand
    (5, 2.0, 2.92, True)
    """
    hung = _hung(rack)
    fullest_a = a_per_mm2 * max(sum(each_mm2[kind] for kind, _ in wire) for wire in hung)
    wet = tuple(max(depth for _, depth in wire) for wire in hung)
    contact = contact_for(a_per_mm2 * max(each_mm2), metal_name)
    return _sized(metal(metal_name, RACK_METALS, "rack"), fullest_a, wet, freeboard_mm + _OVER_WALL_MM, contact, stock)


def in_stock(wires: Wires, stock: Sold) -> Wires:
    """The same wires of what is sold in another system."""
    made = metal(wires.metal, RACK_METALS, "rack")
    return _sized(made, wires.fullest_a, wires.each_wet_mm, wires.dry_mm, wires.contact, stock)


def _sized(
    made: Metal, fullest_a: float, wet: tuple[float, ...], dry_mm: float, contact: Contact, stock: Sold
) -> Wires:  # fmt: skip
    """Wires of so much under the liquid each [mm], as thin as hand and current let them be."""
    long_mm = dry_mm + max(wet)
    chosen = wire_for(fullest_a, made.name, long_mm, stock)
    thick_mm = chosen or stock.wires_mm[-1]
    mm3 = round_section_mm2(thick_mm) * (sum(wet) + len(wet) * dry_mm)
    one = Rack(made.name, thick_mm, 1, dry_mm, max(wet))
    return Wires(
        made.name, wet, dry_mm, chosen, wire_by_current(fullest_a, made.name, long_mm, stock), fullest_a,
        math.pi * thick_mm * sum(wet) if made.stripped else 0.0, mm3 * made.density.value * 1e-3,
        check_rack(one, Estimate.exact(fullest_a)) if chosen else None, contact,
    )  # fmt: skip


def _hung(rack: Layout) -> list[list[tuple[int, float]]]:
    """What hangs by each wire: the kind of each part, and how deep its contact is [mm]."""
    wires: list[tuple[int, float, list[tuple[int, float]]]] = []
    for place in rack.places:
        middle_mm = place.x_mm + 0.5 * rack.ways[place.part].along_mm
        held = next((w for w in wires if w[0] == place.row and abs(w[1] - middle_mm) <= _SAME_MM), None)
        if held is None:
            held = (place.row, middle_mm, [])
            wires.append(held)
        held[2].append((place.part, place.z_mm))
    return [parts for _, _, parts in wires]
