"""Words changed at random: a sketch, a quantity, a choice, a load file, a meter's line, an exported logbook end in an
answer or one clear line.

`AREACALC_FUZZ=20000` in the environment tries so many for each kind of words.
"""

import json
import os
import tomllib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import areacalc
from areacalc.bath.strength import acid_in_words, stock_in_words
from areacalc.bath.window import window
from areacalc.errors import AreacalcError
from areacalc.load.changes import changed, sweep
from areacalc.load.read_load import BadLoad, load_of
from areacalc.logbook.exchange import take_in, to_csv, to_json
from areacalc.logbook.logbook import Logbook
from areacalc.plant.cathode import ratio
from areacalc.quantity import Dimension, length_unit, parse
from areacalc.run.typed import typed
from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.turn import profile_of
from areacalc.surface.air.direction import direction
from areacalc.surface.air.liquid_line import line

pytestmark = pytest.mark.slow
SAMPLES = Path(__file__).parents[1] / "sample_models"
LOAD = (SAMPLES / "desk-set.toml").read_text("utf-8")
DATA = tomllib.loads(LOAD)
TIMES = int(os.environ.get("AREACALC_FUZZ", "0"))

SKETCHES = ["0 12, 100 12, 110 8; bore left 8 x 90 drill 118; unit mm", "0 10, 10 10 thread M10x1, 10 12, 110 12 r1",
            "0 1/2in c1, 3in 1/2in arc r20; bore through 3 x 20 chamfer 0.5 thread M6; unit in",
            "0 20 knurl 0.8, 30 20, 30 12 arc r3 in long; bore right 5 x 10 flat, 3 x 20"]  # fmt: skip
QUANTITIES = ["18 C", "9 in2", "12 to 15 A/ft2", "1/2 in", "1 1/4 in", "5,5 mm", "175 g/L", "1.5 A/dm2", "64 F",
              "3 h 20 min", "1e3 mm", "-4 C", "0.35 um", "10 gal", "1.835 kg/L", "15 %", "50 %"]  # fmt: skip
CHOICES = ["bore-1", "bores under 5 mm", "bores over 1/4 in", "colour #c03020", "x from 10 to 25 mm", "z below 2 mm",
           "blind-bore-1 5 mm deep from mouth 2", "2 x 3 mm on outside", "6 mm2 at 1,2,3 mm", "blind-bore-1 thread M6",
           "outside knurl 0.8 mm", "outside texture 1.3", "outside and z above 3 mm and not bore-1", "face 4",
           "box from 0,0,0 to 5,5,5 mm", "plane at 0,0,5 mm facing 0,0,1", "outside thread 3/8-16"]  # fmt: skip
WAYS = ["x+", "0,0,1", "blind-bore-1", "blind-bore-1 down", "blind-bore-1 tilted 84", "-1, 2.5, 0"]
LINES = ["40 mm", "5 mm below the top", "1/2 in above the bottom"]
CHANGES = ["pen body.count = 2", "temperature = 18 C", "density = 1.2 to 1.8 A/dm2", "supply.current = 6 A",
           "rack.wire_surface = bare", "temperature = 16 C to 22 C in 4", "count = 1 to 6 in 6"]  # fmt: skip
METERS = ["17.2 3 20.5", "17,2 3,0", "12:30 68 F", "3 A 17.2 V", "17.2;3.01", "note a bubble", "next"]
OLD_RUN = json.dumps({
    "schema": "areacalc/log/1", "when": "2026-03-03T10:00", "load": "pens", "area_mm2": 1e4, "current_a": 2.5,
    "density_a_per_dm2": 2.5, "run_s": 1800.0, "film_um": 14.0, "acid_g_per_l": 180.0, "aluminium_g_per_l": 3.0,
    "temperature_c": 20.0, "look": "matte", "dye": "blue", "dye_s": 720.0, "start_v": 16.0, "remark": "none",
})  # fmt: skip
ODD = ["", " ", ",", ";", ".", "-", "+", "/", "0", "-1", "1e400", "nan", "inf", "9" * 40, "9" * 5000, "\n", "\x00",
       "\t", "=", "#", "[", "]", "{", "}", '"', "'", "\\", "×", "²", "µ", "°", "½", "٣", "\u202e", "\ud800", "mm", "in",
       " to ", " and ", " x ", "**", "()", "%", "to the power of", "_", "__class__", "1" + "0" * 400,
       "1/0", "0/0", "1//2"]  # fmt: skip


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


def outcome(call, *words):
    """Whatever comes is an answer or one line; for a load file, a line for each mistake."""
    try:
        return call(*words)
    except BadLoad as trouble:
        lines = str(trouble).split("\n")
        count = len(trouble.mistakes)
    except AreacalcError as trouble:
        lines, count = str(trouble).split("\n"), 1
    assert len(lines) == count
    assert max(map(len, lines)) < 2000
    return None


@pytest.fixture(scope="module")
def knob():
    return areacalc.open(SAMPLES / "lamp-knob.toml")


@tried(300)
@given(said(*SKETCHES))
def test_a_sketch(words):
    profile = outcome(profile_of, words)
    if profile is not None and profile.area_mm2.value < 1e5:
        outcome(lambda: revolve(profile, 0.5).facet_area_mm2)


@tried(1000)
@given(said(*QUANTITIES), st.sampled_from(Dimension), st.sampled_from([None, "mm", "C", "furlong"]))
def test_a_quantity(words, dimension, unit):
    value = outcome(parse, words, dimension, "value", unit)
    assert value is None or abs(value) < float("inf")


@tried(300)
@given(said(*QUANTITIES))
def test_other_figures_in_words(words):
    for read in (length_unit, acid_in_words, stock_in_words, window, ratio, line):
        outcome(read, words)


@tried(150)
@given(said(*CHOICES), st.sampled_from(["plug", "mask", "wet_only", "contact", "add"]))
def test_a_choice(knob, words, kind):
    found = outcome(lambda: knob.with_choices(**{kind: words}).wetted())
    assert found is None or 0.0 <= found.value.low <= found.value.high < 1e7


@tried(300)
@given(said(*WAYS), said(*LINES))
def test_a_way_to_hang(knob, way, level):
    outcome(direction, way, knob.skin)
    outcome(line, level)


@tried(60)
@given(said(LOAD))
def test_a_load_file(text):
    outcome(load_of, text, "load.toml", str(SAMPLES))


@tried(300)
@given(said(*CHANGES))
def test_a_change_and_a_sweep(words):
    outcome(changed, DATA, words)
    outcome(sweep, DATA, words)


@tried(300)
@given(said(*METERS))
def test_a_line_at_the_tank(words):
    read = outcome(typed, words)
    if read is not None:
        figures = (read.at_s, read.volts_v, read.current_a, read.temperature_c)
        assert all(each is None or abs(each) < float("inf") for each in figures)


@pytest.fixture(scope="module")
def exported(tmp_path_factory):
    """A logbook in each way that it goes out, by the ending of the file."""
    folder = tmp_path_factory.mktemp("exported")
    (folder / "old.jsonl").write_text(OLD_RUN)
    with Logbook(folder / "book") as book:
        take_in(book, folder / "old.jsonl")
        return {".jsonl": OLD_RUN, ".json": to_json(book).decode(), ".csv": to_csv(book)}


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
