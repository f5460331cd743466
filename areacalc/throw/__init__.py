"""What a bore takes of the current."""

__all__ = ["bore_line", "outside", "split_tube", "thrown"]
