"""Files changed at random: every reader ends in a body or one clear line, whatever was changed.

`AREACALC_FUZZ=20000` in the environment tries so many of each.
"""

import os

import numpy as np
import pytest
from fuzzed_files import ODD, outcome, sound, write
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from areacalc.shape.fence import one_fence
from areacalc.shape.read import FORMATS

pytestmark = pytest.mark.slow
change = st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 40), st.sampled_from(ODD) | st.binary(max_size=8))


def changed(content: bytes, changes: list[tuple[float, int, bytes]]) -> bytes:
    for share, length, put in changes:
        at = int(share * len(content))
        content = content[:at] + put + content[at + length :]
    return content


def tried(times: int) -> settings:
    more = int(os.environ.get("AREACALC_FUZZ", times))
    return settings(max_examples=more, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@tried(200)
@given(st.data())
def test_a_changed_file_is_a_body_or_one_line(tmp_path, data):
    kind = data.draw(st.sampled_from(sorted(sound())), "kind")
    whole = data.draw(st.sampled_from(sound()[kind]), "file")
    path = tmp_path / f"part.{kind}"
    write(path, changed(whole, data.draw(st.lists(change, min_size=1, max_size=4), "changes")))
    with one_fence():
        outcome(path)


@tried(40)
@given(st.lists(change, min_size=1, max_size=3))
def test_a_changed_step_file(step_files, changes):
    whole = step_files.write("fuzzed-whole.step", step_files.cut(step_files.box(), step_files.rod(2, 30, (5, 5, 0))))
    path = whole.with_name("fuzzed.step")
    path.write_bytes(changed(whole.read_bytes(), changes))
    with one_fence():
        outcome(path)


@pytest.mark.parametrize("suffix", sorted(FORMATS))
def test_noise_alone_is_one_line(tmp_path, suffix):
    path = tmp_path / f"part{suffix}"
    for seed in range(20):
        path.write_bytes(np.random.default_rng(seed).bytes(2000))
        outcome(path)
