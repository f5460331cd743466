"""A run while it happens: what to do now, what to expect, what the readings say; and what logged runs teach."""

__all__ = ["alarms", "follow_up", "held", "judged", "learn", "lesson", "typed"]
