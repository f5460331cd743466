"""How each state of skin looks in pictures: colours that stay apart for every kind of colour sight."""

from dataclasses import dataclass

from areacalc.surface.skin import State


@dataclass(frozen=True, slots=True)
class StateStyle:
    """sRGB colour, and the words beside it."""

    colour: str
    words: str


STATE_STYLES: dict[State, StateStyle] = {
    State.WET: StateStyle("#2f86a6", "wet: the acid touches it"),
    State.MASKED: StateStyle("#ead9b0", "masked"),
    State.PLUGGED: StateStyle("#c2571a", "plugged"),
    State.CLAMPED: StateStyle("#5b2a6e", "under a contact"),
    State.AIRLOCKED: StateStyle("#f3c613", "dry under trapped air"),
    State.AIR_HELD: StateStyle("#c14fe0", "dry under air that narrow bores hold"),
    State.SEALED: StateStyle("#6d6f73", "sealed off"),
    State.ABOVE_LINE: StateStyle("#c9cdd2", "above the liquid"),
    State.HIDDEN: StateStyle("#1e2328", "against another body"),
}
