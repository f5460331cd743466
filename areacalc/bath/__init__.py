"""The bath and what it does: electrolyte, coating, voltage, heat, gas, etch, dye, seal, cautions. Knows no geometry.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "agitation", "alloy", "burn", "cases", "cautions", "ceiling", "conductivity", "course", "current", "dissolved",
    "dye", "electrolyte", "etch", "faraday", "film", "fits", "gas", "growth", "heat", "heat_capacity", "limits",
    "mixing", "replay", "seal", "strength", "voltage", "window",
]  # fmt: skip
