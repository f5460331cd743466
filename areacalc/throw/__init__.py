"""What a bore takes of the current.

Other rooms import the modules named here, and no others.
"""

__all__ = ["bore", "bore_line", "outside", "split_tube", "thrown"]
