"""The bath and what it does: electrolyte, coating, voltage, heat, gas, etch, dye, seal, cautions. Knows no geometry.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "alloy",
    "burn",
    "cautions",
    "ceiling",
    "conductivity",
    "current",
    "dissolved",
    "dye",
    "electrolyte",
    "etch",
    "film",
    "fits",
    "gas",
    "growth",
    "heat",
    "heat_capacity",
    "limits",
    "mixing",
    "seal",
    "strength",
    "voltage",
    "window",
]
