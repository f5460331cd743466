"""A part's surface: its features, the choices laid on it, trapped air, the wetted area. Knows no chemistry.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "air", "area_in_words", "choice", "covering", "features", "notes", "picture", "picture_loops", "region", "sides",
    "skin", "split", "turned", "wetted",
]  # fmt: skip
