"""mesh: triangles as a whole: welded, joined, oriented, judged for soundness."""
