"""One part as a person handles it: a file with its choices and its hanging."""

__all__ = ["part"]
