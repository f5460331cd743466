"""What the CAD kernel's process hands over: arrays by name, listed at `step_collect.collect`."""

from __future__ import annotations

from typing import Any

from numpy.typing import NDArray

Arrays = dict[str, NDArray[Any]]
