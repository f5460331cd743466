"""files: the mesh formats, a reader each.

Other rooms import the modules named here, and no others.
"""

__all__ = ["package"]
