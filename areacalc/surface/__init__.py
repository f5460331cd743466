"""surface: what the part's skin is (patches, bores, pockets, voids), what is covered, and the wetted area."""
