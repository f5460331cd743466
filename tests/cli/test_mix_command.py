"""A bath mixed and topped up from the command line: what to measure out, in which order, and what is refused."""

from pathlib import Path

import pytest
from typed import document as typed_document
from typed import typed

from areacalc.bath.strength import acid_in_words, stock_in_words
from areacalc.errors import BadInput, OutOfRange, UnknownName

DESK_SET = Path(__file__).parents[2] / "sample_models" / "desk-set.toml"


def run(*words):
    return typed("mix", *words)


def document(*words):
    return typed_document("mix", "mix", *words)


def test_ten_litres_from_battery_acid_by_hand():
    made = document("--volume", "10 L", "--acid", "180 g/L")
    value = {name: figure["value"] for name, figure in made["figures"].items()}
    # 1.265 over water at 25 C is 1.2613 g/cm3, 35.57 wt%: 1800 g of acid are 5.06 kg, over 1.265 kg/L (20 C) 4.00 L;
    # 10 L at 16.20 wt% weigh 11.11 kg: 6.05 kg of water
    assert value["acid-mass"] == pytest.approx(1.8 / 0.3557, rel=2e-3)
    assert value["acid"] == pytest.approx(5.06 / 1.265, rel=2e-3)
    assert value["water"] == pytest.approx((11.113 - 5.06) / 0.9982, rel=2e-3)
    assert (value["by-weight"], value["molar"]) == pytest.approx((16.20, 1.835), rel=1e-3)


def test_water_goes_in_before_acid():
    said = run("--volume", "10 L", "--from", "96 % acid").stdout
    assert said.index("deionised water into the tank") < said.index("of acid into the tank in a thin stream")
    assert "from memory" in said


def test_the_order_of_mixing_strong_acid_is_told_before_the_steps():
    said = run("--volume", "10 L", "--from", "96 % acid").stdout.split("\n1. ")[0]
    assert "Acid into water, never water into acid." in " ".join(said.split())


def test_the_bath_of_a_load_is_brought_to_strength():
    # 9 L at 180 g/L hold 1620 g; 10 L at 180 want 1800: 180 g more, 0.506 kg of 35.57 % acid
    made = document(DESK_SET, "--have", "9 L", "--acid", "180 g/L")
    assert made["figures"]["acid-mass"]["value"] == pytest.approx(0.506, rel=2e-3)
    assert made["keep_l"] == 9.0
    weaker = document(DESK_SET, "--acid", "150 g/L")  # full and too strong: some is drawn off, water is added
    assert weaker["figures"]["draw-off"]["value"] == pytest.approx(10.0 * 30.0 / 180.0, rel=0.02)


@pytest.mark.parametrize("words", [
    "180 g/L", "16.197 wt%", "16.197 % by weight", "1.8354 mol/L", "24.0377 oz/gal", "sg 1.1151", "14.97 Be",
    "14.97 degrees Baume at 60 F", "1.1114 g/cm3", "sg 1.1125 at 20 C",
])  # fmt: skip
def test_one_strength_in_many_words(words):
    assert acid_in_words(words) == pytest.approx(180.0, rel=1e-3)


@pytest.mark.parametrize(("words", "error", "says"), [
    ("15 %", BadInput, "by weight or by volume"), ("15", BadInput, "has no unit"), ("45 wt%", OutOfRange, "outside 5"),
    ("strong", BadInput, "does not start with a number"), ("15 % acid", BadInput, "by weight or by volume"),
    ("10 % by volume", BadInput, "write it by weight"), ("10 % v/v", BadInput, "write it by weight"),
])  # fmt: skip
def test_a_strength_that_says_too_little_is_refused(words, error, says):
    with pytest.raises(error, match=says):
        acid_in_words(words)


def test_what_is_on_the_bottle():
    # relative density at 25 C, not g/cm3: 1.265 is 35.6 wt%, 0.4 less than 36.0
    assert stock_in_words("battery acid 1.265").wt_pct == pytest.approx(35.57, abs=0.02)
    assert stock_in_words("battery acid 1.28").wt_pct == pytest.approx(37.4, abs=0.1)
    assert stock_in_words("66 Be").wt_pct == 93.0
    assert stock_in_words("70 %", density_kg_per_l=1.61).density.value == 1.61
    for words in ("37 % battery acid", "battery acid 37 %", "battery acid 37 wt%", "37 wt% battery acid"):
        assert stock_in_words(words) == stock_in_words("37 % acid"), words
    for words in ("vinegar", "battery acid 37 % acid"):
        with pytest.raises(UnknownName, match=r"any other strength, such as '37 %' or 'sg 1\.28'"):
            stock_in_words(words)


@pytest.mark.parametrize(("words", "says"), [
    ((), "--volume is missing"), (("--volume", "10 L", "--have", "9 L"), "--have-acid is missing"),
    (("--volume", "10 L", "--have-acid", "160 g/L"), "--have is missing"),
    (("--volume", "-3 L"), "must be above zero"),
    (("--volume", "10 L", "--acid", "45 wt%"), "outside 5 to 40 wt%"),
    (("--volume", "10 L", "--from", "70 % acid"), "give the density on the bottle"),
    (("--volume", "10 L", "--from", "96 % acid", "--bottle-density", "1.1 kg/L"),
     "--bottle-density: 1.1 kg/L is not the density of 96 wt% acid"),
    (("--volume", "10 L", "--from", "battery acid 1.265", "--bottle-density", "1.28 kg/L"),
     "--bottle-density: 'battery acid 1.265' has a density already"),
    (("--volume", "10 L", "--bottle-density", "1.84 kg/L"), "outside 1.031 to 1.303"),
    (("--volume", "10 L", "--acid", "150 Be"), "--acid: 150 degrees Baume are past the scale's end"),
    (("--volume", "10 L", "--acid", "sg 1.9"), "is outside 1.034"),
    (("--volume", "10 L", "--bottle-density", ""), "--bottle-density: '' does not start with a number"),
    ((DESK_SET, "--volume", "0 L"), "--volume: '0 L' must be above zero"),
    ((DESK_SET, "--have", ""), "--have: '' does not start with a number"),
    (("--volume", "1e30 L"), "--volume: '1e30 L' is more than the largest bath volume"),
])  # fmt: skip
def test_what_cannot_be_mixed_gets_one_line(words, says):
    done = run(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert says in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_battery_acid_is_as_strong_as_the_density_on_its_bottle_says():
    by_option = document("--volume", "10 L", "--bottle-density", "1.28 kg/L")
    # 1.28 kg/L at 20 C is 1.2765 at 25 C, which is 1.2803 over water at 25 C (0.99705)
    by_words = document("--volume", "10 L", "--from", "battery acid 1.2803")
    for name, figure in by_option["figures"].items():
        assert figure["value"] == pytest.approx(by_words["figures"][name]["value"], rel=2e-3)


def test_steps_and_table_speak_one_unit_and_one_figure():
    said = " ".join(run("--volume", "10 L", "--show", "in", "--full").stdout.split())
    steps = said[said.index("1. Read") :]
    assert "Put 1.6 gal of" in steps  # 6.06 / 3.7854
    assert "1.06 gal (11.2 lb) of acid" in steps
    assert " L " not in steps
    assert "Bring the bath to 68 F" in steps
    assert said.count("1.113") == 2
