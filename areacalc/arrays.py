"""Names for arrays of numbers, and for a formula's number that may be one of them."""

from typing import TypeVar

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Number = TypeVar("Number", float, Floats)
"""A float or an array: what a formula is given, it gives back."""
