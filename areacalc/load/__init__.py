"""The load file: its keys, the reader with every mistake at once, changes in words, a new one.

Other rooms import the modules named here, and no others.
"""

__all__ = ["changes", "keys", "lines", "load", "read_load"]
