"""The load file: its keys, the reader with every mistake at once, changes in words, a new one."""

__all__ = ["changes", "keys", "lines", "load", "read_load"]
