"""files: the mesh formats, a reader each."""
