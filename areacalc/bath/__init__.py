"""The bath and what it does: electrolyte, coating, voltage, heat, gas, etch, dye, seal, cautions. Knows no geometry."""

__all__ = [
    "alloy", "burn", "cases", "cautions", "ceiling", "course", "dissolved", "dye", "electrolyte",
    "etch", "film", "fits", "flowed", "gas", "heat", "mixing", "seal", "strength", "table", "voltage", "window",
]  # fmt: skip
