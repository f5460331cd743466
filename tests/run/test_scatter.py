"""The interval of what runs teach: the next run lies in it about as often as it says."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.run.lesson import TWO, scatter, scattered

DRAWS = 1000
GAUGE = 1.0 / np.sqrt(3.0)


def held(runs, scatter_um, seed):
    """The share of next runs, as a gauge reads them, that lie in the interval of the runs before them."""
    random = np.random.default_rng(seed)
    read = 13.0 + random.normal(0.0, scatter_um, (DRAWS, runs + 1)) + random.uniform(-1.0, 1.0, (DRAWS, runs + 1))
    inside = 0
    for *before, then in read.tolist():
        mean = float(np.mean(before))
        apart = scatter(dict(enumerate(each - mean for each in before)), GAUGE)
        found = scattered(mean, GAUGE / np.sqrt(runs), apart)
        inside += found.low <= then <= found.high
    return inside / DRAWS


@settings(max_examples=12, deadline=None)
@given(st.integers(2, 7), st.floats(0.0, 6.0), st.integers(0, 1000))
def test_the_next_run_lies_in_the_interval_as_often_as_it_says(runs, scatter_um, seed):
    share = held(runs, scatter_um, seed)
    assert share > (0.76 if runs == 2 else 0.84)
    if scatter_um > 3.0 and runs > 3:
        assert share == pytest.approx(TWO, abs=0.04)


def test_the_interval_of_two_runs_far_apart_is_that_of_the_handbook():
    """NIST/SEMATECH e-Handbook 4.5.1.2 for a mean: t s sqrt(1 + 1 / n); t of 95.45 % and one degree is 13.97 (JCGM
    100:2008, table G.2)."""
    found = scattered(13.0, 0.0, scatter({1: -7.0, 2: 7.0}, 0.0))
    assert found.width == pytest.approx(2.0 * 13.97 * np.sqrt(98.0) * np.sqrt(1.5), rel=1e-3)
