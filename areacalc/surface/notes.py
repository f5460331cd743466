"""What there may be to say of a part's surface, its bodies and how it hangs."""

from enum import Enum

from areacalc.fact import Fact, Value


class SurfaceNote(Enum):
    """What was odd about a surface, or decided in measuring it."""

    THREAD_SURFACE = "thread-surface"
    ALL_DRY = "all-dry"
    FLIPPED = "flipped"
    NOT_A_BORE = "not-a-bore"
    READ_AS_FLATS = "read-as-flats"
    READ_AS_ROUND = "read-as-round"
    READ_AS_CURVE = "read-as-curve"
    READ_AS_CONES = "read-as-cones"
    THREAD_ADDED = "thread-added"
    KNURL_ADDED = "knurl-added"
    TEXTURE_ADDED = "texture-added"
    NOT_UNITED = "not-united"
    OPEN_NOT_UNITED = "open-not-united"
    UNITED = "united"
    GAP_CLOSED = "gap-closed"
    LOOSE_BODIES = "loose-bodies"
    SHUT_BY_CONTACT = "shut-by-contact"
    SMALL_POCKETS = "small-pockets"
    NARROW_VENTS = "narrow-vents"
    WATER_TRAP = "water-trap"
    AIR_HELD = "air-held"
    AIR_MAY_BE_HELD = "air-may-be-held"
    AIR_PRESSED = "air-pressed"
    LINE_BELOW_PART = "line-below-part"
    LINE_ABOVE_PART = "line-above-part"
    OPEN_MESH_AIR = "open-mesh-air"
    LEAKS_SHUT = "leaks-shut"


def advised_once(note: Fact, advised: set[Value]) -> Fact:
    """A note without what helps, where an earlier one has given the same advice; advised gathers what was given."""
    if "helps" not in note:
        return note
    if note["helps"] in advised:
        return Fact(note.kind, tuple((name, value) for name, value in note.values if name != "helps"))
    advised.add(note["helps"])
    return note
