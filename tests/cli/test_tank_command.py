"""The command that sizes a new tank: its document, its drawing, what it refuses."""

import functools
import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typed import document as typed_document
from typed import typed

SAMPLES = Path(__file__).parents[2] / "sample_models"
TUBE = ("--largest", "a tube of 400 x 30 x 26 mm")


def run(*words, cwd=None):
    return typed("tank", *words, cwd=cwd, COLUMNS="110")


@functools.cache
def document(*words):
    return typed_document("tank", "tank", *words)


def test_a_tank_for_a_plate_holds_to_its_schema_and_keeps_its_rules():
    made = document("--largest", "a plate of 300 x 200 x 6 mm")
    assert made["load"]["area_mm2"]["value"] == 126_000.0
    assert [j["text"].partition(":")[0] for j in made["judged"] if not j["kept"]] == []
    assert made["tub"]["holds_l"] >= made["tank"]["brimful_l"]


def test_the_exhaust_is_for_the_mist_of_the_whole_surface_never_for_hydrogen_alone():
    made = document(*TUBE)
    # 0.500 x 0.210 m = 1.13 ft2; width over length 0.42: 200 ft3/min a ft2 standing free, 150 against a wall
    surface_ft2 = 0.5 * 0.21 / 0.3048**2
    exhaust, hydrogen = made["figures"]["exhaust"], made["figures"]["air"]
    assert exhaust["value"] == pytest.approx(surface_ft2 * 200.0 * 60.0 * 0.3048**3, rel=1e-6)
    assert exhaust["low"] == pytest.approx(surface_ft2 * 150.0 * 60.0 * 0.3048**3, rel=1e-6)
    assert "from memory" in exhaust["source"]
    assert exhaust["low"] > 100.0 * hydrogen["high"]
    fans = [m for m in made["materials"] if "exhaust" in m["what"]]
    assert [m["size"] for m in fans] == ["about 384 m3/h"]


def test_the_list_holds_what_guards_against_shock_and_splash():
    made = document(*TUBE)
    listed = {m["what"]: m for m in made["materials"]}
    assert "isolated from the mains" in listed["power supply"]["note"]
    assert listed["fuse at the power supply"]["size"] == "25 A"  # the next over 1.25 x 19.2 A
    assert listed["residual-current device"]["size"] == "30 mA"
    assert "lid or splash screen, and an eye wash" in listed
    # the leads carry the fuse: 25 A in 4 mm2 copper, bare, warms by no more than a hand bears
    assert made["supply"]["fuse_a"] == 25.0
    assert made["cautions"][0]["hazard"] == "data sheets first"


def test_a_tank_passes_its_own_checks_and_says_between_what_one_chooses():
    made, whole = document(*TUBE), document(*TUBE, "--no-cooling")
    assert all(judged["kept"] for judged in made["judged"])
    (choice,) = (note for note in made["notes"] if note.startswith("Choose: "))
    cooling, litres = made["figures"]["cooling"]["high"], made["figures"]["liquid-by-heat"]["high"]
    assert f"24.1 L cooled by {cooling:.0f} W, or at least {litres:.1f} L without cooling (--no-cooling)" in choice
    # 17.53 A at 0.3 A/L
    assert "The rule of thumb of 0.3 A/L (common practice) asks for 58.5 L." in choice
    assert whole["tank"]["liquid_l"] >= litres
    assert not [note for note in whole["notes"] if note.startswith("Choose: ")]
    said = " ".join(run(*TUBE).stdout.split())
    likely = made["figures"]["cooling"]["value"]
    assert f"Cooling: {likely:.0f} W ({cooling:.0f} W to be sure) for one run; " in said
    assert f"{cooling:.0f} W for one run" in {m["what"]: m for m in made["materials"]}["cooling"]["size"]


def test_a_long_part_hangs_by_two_wires_and_titanium_by_contacts_that_a_spring_presses():
    made, said = document(*TUBE), " ".join(run(*TUBE, "--full").stdout.split())
    assert len(made["rack"]["strands"]) == 2
    (one, two), (part,) = (sorted(s["corners_mm"][0][0] for s in made["rack"]["strands"]), made["rack"]["places"])
    assert (one - part["at_mm"][0], two - one) == pytest.approx((100.0, 200.0))
    pressed = [float(kg) for kg in re.findall(r"pressed with ([0-9.]+) kg", said)]
    assert len(pressed) == 2
    assert max(pressed) <= 5.0
    assert "4 contacts a part, each for 4.8 A" in said  # titanium: 19.2 A over four


def test_a_tank_longer_than_a_job_shops_is_doubted_and_its_strips_are_few():
    said = " ".join(run("--largest", "a rod of 9000 x 10 mm").stdout.split())
    assert "warning: A tank 9100 mm long is more than a small shop's" in said
    assert "Cathodes: 24, each 400 mm wide" in said
    assert "warning" not in run(*TUBE).stdout


def test_acid_and_water_are_in_the_list():
    said = run(*TUBE, "--full").stdout
    assert re.search(r"battery acid 1.265 +1 +9.66 L +12.2 kg", said)
    assert re.search(r"distilled water +1 +14.6 L", said)


@pytest.mark.parametrize(("ratio", "says"), [
    ("0.5", "0.5 times the part's area is less than the 2 usual in small tanks, more than the 0.333"),
    ("0.2", "0.2 times the part's area is less than the smallest ratio published, 0.333"),
    ("2.5", ""), ("one-third", ""),
])  # fmt: skip
def test_a_small_ratio_of_your_own_does_not_pass_without_a_word(ratio, says):
    said = typed("cathode", "--area", "6 in2", "--ratio", ratio).stdout
    assert (says in " ".join(said.split())) if says else ("note:" not in said)


def test_a_rack_wire_is_never_thinner_than_holds_a_part():
    assert min(rod["diameter_mm"] for made in document("--area", "6 in2")["wires"] for rod in made["rods"]) == 2.0


def test_inches_and_millimetres_make_one_tank():
    inches, metric = document("--largest", "a rod of 16 x 1 in"), document("--largest", "a rod of 406.4 x 25.4 mm")
    for name in ("tank", "tub", "supply"):
        assert inches[name] == pytest.approx(metric[name])


def test_part_files_hang_in_rows_and_tiers():
    made = document(SAMPLES / "pen-body.toml", SAMPLES / "lamp-knob.toml", "--count", "2", "--count", "1")
    assert [(each["part"], each["count"]) for each in made["rack"]["hung"]] == [("pen-body", 2), ("lamp-knob", 1)]
    assert len(made["rack"]["places"]) == made["load"]["count"] == 3
    apart = ("--upright", "--rows", "1", "--tiers", "1", "--spacing", "50 mm")
    one_row = document(SAMPLES / "pen-body.toml", SAMPLES / "lamp-knob.toml", "--count", "2", "--count", "1", *apart)
    # 12.6 mm twice and 18 mm once, 50 mm between each; 118 mm down
    load = one_row["load"]
    assert (load["length_mm"], load["height_mm"]) == (pytest.approx(143.2), pytest.approx(118.0))


def test_a_part_hangs_as_it_is_told():
    for up, high_mm in (("x+", 26.0), ("y+", 18.0)):
        (hung,) = document(SAMPLES / "lamp-knob.toml", "--up", up, "--plug", "blind-bore-1")["rack"]["hung"]
        assert hung["size_mm"][2] == pytest.approx(high_mm, abs=0.1)


def test_words_and_files_hang_at_once():
    made = document(
        "--largest", "a plate of 100 x 80 x 6 mm and 2 rods of 60 x 8 mm", SAMPLES / "pen-cap.toml", "-n", "3"
    )
    assert [each["count"] for each in made["rack"]["hung"]] == [1, 2, 3]
    assert made["load"]["words"] == "a plate of 100 x 80 x 6 mm and 2 rods of 60 x 8 mm and 3 x pen-cap"


def test_upright_makes_it_deep_instead_of_long():
    lying, upright = document(*TUBE), document(*TUBE, "--upright")
    assert upright["tank"]["depth_mm"] > lying["tank"]["depth_mm"]
    assert upright["tank"]["length_mm"] < lying["tank"]["length_mm"]


def test_twenty_knobs_of_25_mm_ask_for_15_to_45_litres():
    made = document("--largest", "20 cylinders of 25 x 25 mm")
    assert 15.0 < made["tank"]["liquid_l"] < 45.0
    assert any(note.startswith("Choose: ") for note in made["notes"])


def test_a_tank_without_cooling_takes_the_heat_of_a_run():
    alone = document(*TUBE, "--no-cooling")
    assert alone["figures"]["cooling"]["high"] == 0.0
    assert alone["tank"]["liquid_l"] >= alone["figures"]["liquid-by-heat"]["high"]


def test_a_choice_that_breaks_a_rule_says_which(tmp_path):
    said = run(*TUBE, "--width", "120 mm").stdout
    assert "warning: Check the part-to-cathode distance: 32 mm" in said  # (120 - 30) / 2 - 13


def test_the_drawing_is_svg_and_is_written_whole(tmp_path):
    path = tmp_path / "a tank.svg"
    done = run(*TUBE, "--draw", path)
    assert done.returncode == 0
    assert "Wrote" in done.stdout
    assert ElementTree.parse(path).getroot().tag == "{http://www.w3.org/2000/svg}svg"
    assert [p.name for p in tmp_path.iterdir()] == ["a tank.svg"]


@pytest.mark.parametrize(("words", "says"), [
    ((), "the largest load is missing"), ((*TUBE, "--area", "6 in2"), "the largest load is missing"),
    (("--largest", "a cat of 3 mm"), "not a shape that is known"), ((*TUBE, "--acid", "700 g/L"), "outside"),
    ((*TUBE, "--temperature", "-30 C"), "outside -5 to 40 C"), ((*TUBE, "--cathode", "steel"), "eaten by the acid"),
    ((*TUBE, "--coating", "0 um"), "give both above zero"),
    ((*TUBE, "--ramp", "-1 min"), "ramp must be 0 min or longer"),
    ((*TUBE, "--length", "20 mm"), "cannot hold a tube of 400 x 30 x 26 mm"),
    ((SAMPLES / "pen-cap.toml", "--up", "x+", "--up", "y+"), "given 2 times for 1 file"),
    (("--largest", "0 plates of 3 x 2 x 1 mm"), "at least one"), (("--area", "0 in2"), "must be above zero"),
    ((*TUBE, "--draw", "gone/tank.svg"), "cannot be written"),
])  # fmt: skip
def test_what_is_no_tank_is_refused_in_a_line(words, says, tmp_path):
    done = run(*words, cwd=tmp_path)
    assert done.returncode == 2, done.stdout
    assert says in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert done.stdout == ""
    assert list(tmp_path.iterdir()) == []


def test_bars_leads_and_cathodes_say_what_the_current_does():
    said = " ".join(run(*TUBE, "--full").stdout.split())
    # 19.4 A over 4 m of 4 mm2 copper, 1.7241 micro-ohm cm: 0.335 V; 19.2 A of it for the 707 cm2
    assert "Leads: copper cable, 4 mm2. 19.4 A over 4000 mm drops 0.335 V" in said
    assert "one on each side" in said
    plate = run("--largest", "a plate of 300 x 200 x 6 mm", "--ratio", "equal").stdout
    assert "from middle to middle" in " ".join(plate.split())


def test_the_most_holds_the_bare_wires_that_the_load_hangs_by():
    made = document("--largest", "20 cylinders of 25 x 18 mm")
    area, current = made["load"]["area_mm2"], made["figures"]["current"]
    alone = 20 * math.pi * (18.0 * 25.0 + 0.5 * 18.0**2)
    aluminium, titanium = (each["wet_mm2"] for each in made["wires"])
    assert area["value"] == area["low"] == pytest.approx(alone)
    assert titanium == 0.0
    assert alone + aluminium < area["high"] < alone + 1.5 * aluminium
    assert aluminium > 0.1 * alone
    bare = document("--area", f"{alone:.6f} mm2")["figures"]["current"]  # of a square plate: next to no wire
    assert current["high"] / bare["high"] == pytest.approx(area["high"] / alone, rel=0.02)
    assert made["supply"]["least_a"] >= 1.25 * current["high"]
    strips = made["cathodes"]
    assert 2.0 * area["high"] <= strips["count"] * strips["width_mm"] * strips["immersed_mm"]
    insulated = document(SAMPLES / "desk-set.toml")["load"]["area_mm2"]
    assert insulated["high"] < 1.03 * insulated["value"]  # a bore that may hold air; its wires would add 12 %


def test_a_band_that_is_no_temperature_is_refused():
    done = run("--area", "6 in2", "--band", "2 kg")
    assert (done.returncode, done.stdout) == (2, "")
    assert "'2 kg' is not a temperature difference" in done.stderr


def test_a_bore_that_counts_for_more_than_it_takes_is_told():
    notes = document(SAMPLES / "pen-body.toml")["notes"]
    assert any("In a usual bath bore-1 on pen-body takes 66 %" in note for note in notes)
    plugged = document(SAMPLES / "pen-cap.toml", "--plug", "blind-bore-1")["notes"]
    assert not any("count in full" in note for note in plugged)


def test_a_film_that_the_bath_does_not_make_is_told():
    powder = "to powder: this bath carries at most"
    assert any(powder in note for note in document(*TUBE, "--coating", "1000 um")["notes"])
    assert not any(powder in note for note in document(*TUBE)["notes"])


def test_a_tank_in_inches():
    shown = run(*TUBE, "--show", "in").stdout
    assert "Tank: 20 x 8 1/2 in inside, 9 in of liquid, 3 in above it: 6.62 gal" in shown  # 231 in3 are a gallon
    assert " mm " not in shown.split("Cautions")[0].replace("400 x 30 x 26 mm", "")


def test_the_drawing_in_inches_says_nothing_in_millimetres(tmp_path):
    assert run("--area", "4 ft2", "--show", "in", "--draw", tmp_path / "tank.svg").returncode == 0
    words = " ".join(ElementTree.parse(tmp_path / "tank.svg").getroot().itertext())
    assert re.search(r"Anodising tank, [\d.]+ gal of bath", words)
    assert " mm" not in words


def test_a_part_file_hangs_as_is_best_for_it_and_that_is_told():
    said = " ".join(run(SAMPLES / "pen-cap.toml", "--full").stdout.split())
    assert "To hang, pen-cap: on its side, blind-bore-1 mouth raised 6 degrees. --up tells another way." in said
    (hung,) = document(SAMPLES / "pen-cap.toml")["rack"]["hung"]
    assert hung["up"][0] == pytest.approx(-0.104528, abs=1e-5)  # its mouth is at x = 0: cos 84 degrees
    assert "To hang, " not in run(SAMPLES / "pen-cap.toml", "--up", "x+", "--full").stdout
    assert "To hang, " not in run(SAMPLES / "pen-cap.toml", "--length", "200 mm", "--full").stdout


@pytest.mark.slow
def test_a_load_file_gives_parts_bath_and_coating_and_an_option_counts_instead(tmp_path):
    load = tmp_path / "knobs.toml"
    load.write_text(
        f'''
[[part]]
file = "{SAMPLES / "lamp-knob.step"}"
name = "knob"
count = 3
plug = ["blind-bore-1"]
[[part]]
name = "plate"
area = "20 cm2"
count = 2
[bath]
acid = "150 g/L"
temperature = "18 C"
[tank]
volume = "10 L"
[finish]
thickness = "20 um"
'''
    )
    of_load, of_files = (
        document(str(load)),
        document(str(SAMPLES / "lamp-knob.step"), "--plug", "blind-bore-1", "-n", "3"),
    )
    assert of_load["load"]["words"] == "3 x knob, 2 x plate"
    assert of_load["load"]["area_mm2"]["value"] == pytest.approx(of_files["load"]["area_mm2"]["value"] + 4000.0)
    assert {hung["part"]: hung["count"] for hung in of_load["rack"]["hung"]} == {"knob": 3, "plate": 2}
    minutes = {
        words: document(str(load), *words)["figures"]["time"]["value"]
        for words in ((), ("--coating", "20 um"), ("--coating", "10 um"))
    }
    assert minutes[()] == minutes["--coating", "20 um"] > 1.5 * minutes["--coating", "10 um"]
    colder = document(str(load))["figures"]["voltage"]["value"]
    assert colder > document(str(load), "--temperature", "22 C")["figures"]["voltage"]["value"]
    refused = run(str(load), "--plug", "blind-bore-1")
    assert refused.returncode == 2
    assert "--plug cannot be used with a load file" in refused.stderr
