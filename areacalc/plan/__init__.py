"""One load through the tank, a stage a file: facts and figures, no sentences."""

__all__ = [
    "alloy", "area", "course", "entry", "fault", "faults", "film", "load_book", "plan",
    "rack_drawing", "room", "steps", "tank_duty", "throw",
]  # fmt: skip
