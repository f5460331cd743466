"""throw: where the current goes: its distribution over the part and down the bores."""
