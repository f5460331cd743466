"""Equipment: cathodes, power supply, tank, bars and wire, air, rack. Takes areas and currents as numbers."""

__all__ = [
    "air", "bus", "cathode", "drawing", "hung", "largest", "layout", "made_rack", "materials", "metal",
    "moved", "new_tank", "paper", "rack", "rule", "spacing", "stock", "strands", "supply",
    "tank", "too_small",
]  # fmt: skip
