"""air: what hanging does: trapped air, carried liquid, the liquid line, the best direction.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "bath_skin", "best_hanging", "compressed", "direction", "drag_out", "fills", "going_under", "hanging",
    "liquid_line", "narrow", "narrow_mouths", "trapped_air", "vent",
]  # fmt: skip
