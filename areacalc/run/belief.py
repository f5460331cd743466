"""What is still unknown of a run, narrowed by each reading: a normal distribution over the plan's likely cases.

The likely cases of the plan say how every volt and degree of a run hang together. A reading that was higher than its
expected value makes the readings to come as much higher as the cases have it: the linear estimate of least variance,
one reading after the other (the Kalman filter's update).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from areacalc.arrays import Floats

WIDENED = 1.5
"""Chosen: the cases are taken for this much wider than they are, so that the ends of what is unknown are in reach."""


@dataclass(frozen=True, slots=True)
class Belief:
    """Weights of the cases: their mean (n,) and covariance (n, n)."""

    weights: Floats
    covariance: Floats

    @classmethod
    def before(cls, cases: int) -> Belief:
        """Before any reading."""
        return cls(np.zeros(cases), np.eye(cases))

    def expected(self, row: Floats) -> tuple[float, float]:
        """How far something stands from its mean over the cases, and its variance; row is what `anomalies` made."""
        return float(row @ self.weights), float(row @ self.covariance @ row)

    def told(self, row: Floats, value: float, tolerance: float) -> Belief:
        """What is known once something was read to stand so far from its mean, with a standard uncertainty."""
        along = self.covariance @ row
        gain = along / (float(row @ along) + tolerance**2)
        off = value - float(row @ self.weights)
        return Belief(self.weights + gain * off, self.covariance - np.outer(gain, along))


def anomalies(rows: Floats) -> Floats:
    """Rows (m, n) of the likely cases as differences from their mean, whose squares add up to the variance."""
    off: Floats = WIDENED * (rows - rows.mean(axis=1, keepdims=True)) / np.sqrt(max(rows.shape[1] - 1, 1))
    return off
