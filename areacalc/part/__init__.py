"""One part as a person handles it: a file with its choices and its hanging.

Other rooms import the modules named here, and no others.
"""

__all__ = ["part"]
