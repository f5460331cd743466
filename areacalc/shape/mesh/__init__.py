"""mesh: triangles as a whole: welded, joined, oriented, judged for soundness.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "boxes", "boxes_loops", "measure_loops", "mend", "openings", "polygons", "rounding", "soundness",
    "topology", "topology_loops",
]  # fmt: skip
