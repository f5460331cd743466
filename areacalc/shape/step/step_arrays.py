"""What the CAD kernel's process hands over: arrays by name, listed at `step_collect.collect`."""

from typing import Any

from numpy.typing import NDArray

Arrays = dict[str, NDArray[Any]]
