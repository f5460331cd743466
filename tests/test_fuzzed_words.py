"""Words changed at random: a sketch, a quantity, a choice, a load file, a meter's line, an exported logbook end in an
answer or one clear line.

`AREACALC_FUZZ=20000` in the environment tries so many for each kind of words.
"""

import os

import pytest
from fuzzed_words import ODD, WORDS, outcome
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from areacalc.logbook.exchange import take_in, to_csv, to_json
from areacalc.logbook.logbook import Logbook

pytestmark = pytest.mark.slow
TIMES = int(os.environ.get("AREACALC_FUZZ", "0"))
RUN = {
    "when": "2026-03-03T10:00", "load": "pens", "area_mm2": 1e4, "current_a": 2.5, "density_a_per_dm2": 2.5,
    "run_s": 1800.0, "film_um": 14.0, "acid_g_per_l": 180.0, "aluminium_g_per_l": 3.0, "temperature_c": 20.0,
    "surface": "matte", "dye": "blue", "dye_s": 720.0, "start_v": 16.0, "remark": "none",
}  # fmt: skip


def said(*seeds):
    """One of the seeds with parts taken out, put in from elsewhere, doubled or moved."""

    def made(base, changes):
        for share, length, put in changes:
            at = int(share * (len(base) + 1))
            base = base[:at] + put + base[at + length :]
        return base

    words = [word for seed in seeds for word in seed.split()]
    put = st.sampled_from([*ODD, *words]) | st.text(max_size=6) | st.floats().map(repr)
    change = st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 12), put)
    return st.builds(made, st.sampled_from(seeds), st.lists(change, max_size=4)) | st.text(max_size=40)


def tried(times):
    return settings(max_examples=TIMES or times, deadline=None, suppress_health_check=list(HealthCheck))


@pytest.mark.parametrize("kind", WORDS)
def test_changed_words_are_an_answer_or_one_line(kind):
    words = WORDS[kind]

    @tried(words.times)
    @given(said(*words.seeds))
    def holds(changed):
        words.holds(changed)

    holds()


@pytest.fixture(scope="module")
def exported(tmp_path_factory):
    """A logbook in each way that it goes out, by the ending of the file."""
    folder = tmp_path_factory.mktemp("exported")
    (folder / "run.csv").write_text(f"{','.join(RUN)}\n{','.join(map(str, RUN.values()))}\n")
    with Logbook(folder / "book") as book:
        take_in(book, folder / "run.csv")
        return {".json": to_json(book).decode(), ".csv": to_csv(book)}


@tried(100)
@given(st.data())
def test_an_exported_logbook(exported, tmp_path, data):
    ending = data.draw(st.sampled_from(sorted(exported)))
    file = tmp_path / f"changed{ending}"
    file.write_text(data.draw(said(exported[ending])), "utf-8", "replace")
    with Logbook(tmp_path / "book") as book:
        before = len(book.runs())
        taken = outcome(take_in, book, file)
        assert len(book.runs()) == before or taken
