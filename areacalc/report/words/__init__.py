"""Sentences: one catalogue from kinds of facts to words, in metric or US units.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "at_the_tank", "bores", "cautions", "course", "covered", "equipment", "faults", "hung", "materials", "notes",
    "places", "rack", "steps", "tank", "tell", "telling",
]  # fmt: skip
