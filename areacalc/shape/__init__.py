"""Files and lathe profiles in, one Body out. Knows nothing of masks or chemistry.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "body", "export", "fence", "file_kind", "file_unit", "files", "kinds", "mesh", "profile", "read", "small_text",
    
]  # fmt: skip
