"""Equipment: cathodes, power supply, tank, bars and wire, air, rack. Takes areas and currents as numbers.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "air", "bus", "cathode", "cathode_set", "drawing", "hung", "largest", "layout", "made_rack", "materials", "metal",
    "meters", "moved", "new_tank", "paper", "rack", "rule", "runs", "smallest", "spacing", "stock", "strands", "supply",
    "tank", "too_small",
]  # fmt: skip
