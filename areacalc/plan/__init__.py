"""One load through the tank, a stage a file: facts and figures, no sentences.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "alloy", "area", "course", "entry", "fault", "faults", "film", "idle_keys", "load_book", "mends", "plan",
    "rack_drawing", "room", "steps", "tank_duty", "throw",
]  # fmt: skip
