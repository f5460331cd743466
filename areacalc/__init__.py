"""areacalc: the wetted area of a part, and from it everything to set for a sulphuric-acid anodising run."""

__version__ = "0.1.0"
