"""The load file: what it may hold, its mistakes with their lines, and the new file that areacalc init writes."""

import pickle
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.errors import BadInput
from areacalc.load.keys import FIT, PART, TABLES, new_load
from areacalc.load.lines import key_lines
from areacalc.load.load import SurfaceFinish
from areacalc.load.read_load import BadLoad, load_of, read_load
from areacalc.plant.supply import Mode
from areacalc.shape.profile.turn import profile_of

GOOD = """\
name = "pens"
[[part]]
name = "pen body"
area = "6 in2"
count = 4
alloy = 6061
plug = "bore-1"
[[part.fit]]
name = "spigot"
kind = "diameter"
wanted = "0.4705 to 0.4725 in"
turned = "11.98 mm"
[bath]
acid = "180 g/L"
temperature = "68 F"
[tank]
length = "300 mm"
width = "20 cm"
depth = "170 mm"
[supply]
current = "3 A"
voltage = "30 V"
ramp = "5 min"
"""


def mistakes(text):
    with pytest.raises(BadLoad) as caught:
        load_of(text, "pens.toml")
    return {(m.line, m.place): m.what for m in caught.value.mistakes}


def test_a_load_in_peoples_units():
    load = load_of(GOOD)
    (part,) = load.parts
    assert (part.name, part.count, part.alloy, part.choices.plug) == ("pen body", 4, "6061", ("bore-1",))
    assert part.area_mm2 == pytest.approx(6 * 645.16)
    assert part.fits[0].wanted.most_mm == pytest.approx(12.0015)
    assert load.bath.temperature_c == pytest.approx(20.0)
    assert load.tank.liquid_l == pytest.approx(10.2)
    assert (load.supply.ramp_s, load.supply.mode) == (300.0, Mode.CURRENT)
    assert (load.finish.surface, load.finish.window.name) == (SurfaceFinish.GLOSS, "small-tank")
    assert load.cathodes is None


def test_a_volume_stands_for_the_sizes():
    sizes = 'length = "300 mm"\nwidth = "20 cm"\ndepth = "170 mm"'
    assert load_of(GOOD.replace(sizes, 'volume = "10 L"')).tank.liquid_l == 10.0


def test_every_mistake_is_told_at_once_with_its_line():
    found = mistakes("""\
[[part]]
file = "a.stl"
count = 0
[[part]]
area = "6 parsecs"
plug = [
  "bore-1",
]
cuont = 3
[[part.fit]]
name = "spigot"
kind = "diam"
wanted = "12 to 13 mm"
turned = "12.5 mm"
[bath]
acid = 180
temperature = "20 C"
[supply]
current = "0 A"
""")
    assert set(found) == {
        (1, "[tank]"), (3, "[[part]] 1 count"), (5, "[[part]] 2 area"), (9, "[[part]] 2 cuont"),
        (12, "[[part]] 2 [[fit]] 1 kind"), (16, "[bath] acid"), (18, "[supply] voltage"), (19, "[supply] current"),
    }  # fmt: skip
    assert "did you mean 'count'" in found[9, "[[part]] 2 cuont"]
    assert found[16, "[bath] acid"] == "'180' has no unit"


@pytest.mark.parametrize(("old", "new", "line", "what"), [
    ("count = 4", "count = -4", 5, "must be 1 or more"),
    ("count = 4", "count = 2.5", 5, "not a whole number"),
    ("count = 4", "count = true", 5, "not a whole number"),
    ('area = "6 in2"', 'area = "0 in2"', 4, "must be above 0"),
    ('area = "6 in2"', 'area = "6 in"', 4, "is not an area"),
    ('area = "6 in2"', 'area = "6 in2"\nfile = "a.stl"', 2, "both a file and an area"),
    ('area = "6 in2"', "", 2, "neither a file nor an area"),
    ('plug = "bore-1"', "plug = 3", 7, "not a text or a list of texts"),
    ('wanted = "0.4705 to 0.4725 in"', 'wanted = "13 to 12 mm"', 11, "are not limits"),
    ('acid = "180 g/L"', "", 13, "is missing"),
    ('current = "3 A"', 'current = "nan A"', 21, "does not start with a number"),
    ("[supply]", '[finish]\ndensity = "decoratve"\n[supply]', 21, "did you mean 'decorative'"),
    ("[supply]", '[finish]\nthickness = "12 um"\nshade = "dark"\n[supply]', 21, "beside a shade"),
    ("[supply]", '[finish]\nsurface = "shiny"\n[supply]', 21, "'shiny' is not known"),
    ("[supply]", '[rack]\nmetal = "brass"\n[supply]', 21, "eaten by the acid"),
    ("[supply]", '[rack]\nkind = "spline"\nwires = 3\n[supply]', 22, "gives their number"),
    ("[supply]", '[cathodes]\nmetal = "steel"\ncount = 2\nwidth = "3 cm"\nimmersed = "9 cm"\n[supply]', 21, "eaten"),
    ("[supply]", "[suply]", 20, "did you mean 'supply'"),
    ('depth = "170 mm"', "", 16, "is missing"),
    ('temperature = "68 F"', 'temperature = "68 F"\nmeasured_voltage = "15 V"', 16, "needs its density beside"),
    ('temperature = "68 F"', 'temperature = "68 F"\nhalf_density_voltage = "15 V"', 16, "a first run beside it"),
    ('temperature = "68 F"', 'temperature = "68 F"\nmeasured_voltage = "15 V"\nmeasured_density = "1.5 A/dm2"\n'
     'half_density_voltage = "14.9 V"\nhalf_density = "1.45 A/dm2"', 18, "too near each other"),
    ('name = "pens"', "name = 3", 1, "is not text"),
])  # fmt: skip
def test_one_mistake_and_its_line(old, new, line, what):
    assert old in GOOD
    found = mistakes(GOOD.replace(old, new))
    assert [at for at, _ in found] == [line]
    assert what in next(iter(found.values()))


def test_a_line_that_is_no_toml_is_told():
    ((line, place),) = mistakes(GOOD.replace('acid = "180 g/L"', "acid = 180 g/L"))
    assert (line, place) == (14, "TOML")


@pytest.mark.parametrize(
    "text", ["", "part = 3", "part = []", "[part]\nfile = 'a'", "[[part]]\n", "bath = 1\ntank = 2"]
)
def test_a_file_with_no_load_in_it_is_refused(text):
    assert mistakes(text)


def test_the_message_is_a_line_a_mistake_and_survives_pickling():
    with pytest.raises(BadLoad) as caught:
        load_of("[[part]]\ncount = 0\n", "pens.toml")
    again = pickle.loads(pickle.dumps(caught.value))
    assert str(again) == str(caught.value)
    assert str(again).splitlines()[0].startswith("pens.toml, line 1, ")
    assert len(str(again).splitlines()) == len(again.mistakes) == 4


@pytest.mark.parametrize(("make", "what"), [
    (lambda p: None, "there is no such file"), (lambda p: p.mkdir(), "is a folder"),
    (lambda p: p.write_bytes(b"\xff\xfe\x00\x01"), "not a load file"),
    (lambda p: p.write_bytes(b"#" * 1_000_001), "too large"),
])  # fmt: skip
def test_a_file_that_cannot_be_read_is_refused(tmp_path, make, what):
    path = tmp_path / "größe load.toml"
    make(path)
    with pytest.raises(BadInput, match=what):
        read_load(path)


def test_the_new_file_is_a_load_and_holds_every_key(tmp_path):
    text = new_load("desk set", ["pen body.toml", "cap.stl"], "mm", examples=True, full=True)
    for file in ("pen body.toml", "cap.stl"):
        (tmp_path / file).touch()
    path = tmp_path / "desk set.toml"
    path.write_text(text)
    load = read_load(path)
    assert [part.file for part in load.parts] == ["pen body.toml", "cap.stl"]
    assert load.supply.limit_a == 3.0
    for key in (*PART, *FIT, *(k for keys in TABLES.values() for k in keys)):
        assert f"{key.name} = " in text


def test_every_example_of_the_new_file_can_be_used():
    # these stand beside another that is already there
    skip = {"file", "volume", "thickness", "rule", "wires", "dry", "wet"}
    lines = [
        line[2:] if line.startswith("# ") and " = " in line else line
        for line in new_load(examples=True, full=True).splitlines()[5:]
    ]
    text = "\n".join(line.removeprefix("# ") if line.startswith("# [[") else line for line in lines
                     if line.split(" = ")[0] not in skip)  # fmt: skip
    load = load_of(text)
    assert load.parts[0].fits[0].kind == "diameter"
    assert load.rack.contact_ohm == 0.01


@pytest.mark.parametrize("name", ['a "quoted" name', "back\\slash", "größe", "line\nbreak", "tab\there"])
def test_any_name_can_be_written(name):
    assert tomllib.loads(new_load(name))["name"] == name


NAMES = st.from_regex(r"[a-z][a-z0-9_-]{0,5}", fullmatch=True)
VALUES = st.sampled_from([
    "3", '"text # [not] a = table"', "[1, 2,\n  3]", '"""long\n[x]\na = 1\n"""', "'''\nb = 2\n'''", "{ a = 1 }", "true",
    '["a]", # note ]\n "b"]', "'it'",
])  # fmt: skip


@given(st.lists(st.tuples(NAMES, st.booleans(), st.dictionaries(NAMES, VALUES, max_size=4)), max_size=5))
@settings(deadline=None, max_examples=25)
def test_each_key_is_found_on_the_line_where_it_stands(tables):
    kinds, lines, expected, count = {}, [], {}, {}
    for name, is_array, keys in tables:
        if kinds.setdefault(name, is_array) != is_array or (not is_array and name in count):
            continue
        count[name] = count.get(name, -1) + 1
        path = (name, count[name]) if is_array else (name,)
        lines.append(f"[[{name}]]" if is_array else f"[ {name} ]")
        expected[path] = len(lines)
        for key, value in keys.items():
            expected[*path, key] = len(lines) + 1
            lines += f"{key} = {value}".splitlines()
    text = "\n".join(lines)
    tomllib.loads(text)  # the text is sound
    assert key_lines(text) == expected


def test_a_blank_asks_to_be_filled_in():
    found = mistakes(GOOD.replace('acid = "180 g/L"', 'acid = "?"').replace("count = 4", 'count = "?"'))
    assert {at for at, _ in found} == {5, 14}
    assert set(found.values()) == {"is not filled in yet"}


def test_a_part_file_that_is_not_there_is_told_beside_other_mistakes(tmp_path):
    (tmp_path / "pen-body.toml").touch()
    text = GOOD.replace('area = "6 in2"', 'file = "pen-bodi.toml"').replace('acid = "180 g/L"', 'acid = "45 wt%"')
    with pytest.raises(BadLoad) as caught:
        load_of(text, "pens.toml", str(tmp_path))
    told = {m.place: m.what for m in caught.value.mistakes}
    assert told["[[part]] 1 file"] == "there is no file 'pen-bodi.toml' (did you mean 'pen-body.toml'?)"
    assert "outside 5 to 40 wt%" in told["[bath] acid"]


@pytest.mark.parametrize(("old", "new", "what"), [
    ('depth = "170 mm"', 'depth = "170 mm"\nvolume = "20 L"', "20 L is not what the sizes hold, 10.2 L"),
    ('temperature = "68 F"', 'temperature = "-30 C"', "-30 C is outside -5 to 40 C"),
    ('acid = "180 g/L"', 'acid = "15 %"', "by weight or by volume"),
    ('acid = "180 g/L"', 'acid = "42 wt%"', "42 wt% is outside 5 to 40 wt%"),
])  # fmt: skip
def test_a_bath_or_tank_that_cannot_be_is_told(old, new, what):
    found = mistakes(GOOD.replace(old, new))
    assert len(found) == 1
    assert what in next(iter(found.values()))


@pytest.mark.parametrize(("old", "new", "what"), [
    ('ramp = "5 min"', 'ramp = "5 min"\n[rack]\nwire = "1e308 mm"', "'1e308 mm' is more than the largest length"),
    ('temperature = "68 F"', 'temperature = "68 F"\nband = "1e308 K"', "the largest temperature difference"),
    ("count = 4", "count = 1000000000000000000000000", "is more than 10000, the most taken"),
    ('ramp = "5 min"', 'ramp = "5 min"\n[rack]\nwires = 1000000000000000000000000', "is more than 10000"),
    ('ramp = "5 min"', 'ramp = "5 min"\n[finish]\nseal_ph = nan', "must be 0 or more"),
    ('ramp = "5 min"', 'ramp = "5 min"\n[finish]\nseal_ph = 15', "is more than 14"),
    ('ramp = "5 min"', 'ramp = "5 min"\n[finish]\nseal_temperature = "-1 C"', "is outside 0 to 100 C"),
])  # fmt: skip
def test_what_no_tank_has_is_told(old, new, what):
    found = mistakes(GOOD.replace(old, new))
    assert len(found) == 1
    assert what in next(iter(found.values()))


def test_a_part_file_of_a_name_too_long_is_not_there(tmp_path):
    with pytest.raises(BadLoad, match="there is no file"):
        load_of(GOOD.replace('area = "6 in2"', f'file = "{"a" * 5000}.stl"'), "pens.toml", str(tmp_path))


STRIPS = '[cathodes]\ncount = 4\nwidth = "40 mm"\nimmersed = "150 mm"\n'


@pytest.mark.parametrize(("text", "place", "what"), [
    (GOOD.replace("[[part.fit]]", "[part.fit]"), "[[part]] 1 fit", "is not a list of tables"),
    (GOOD.replace("[[part]]", "[part]").replace("[[part.fit]]", "[[part.fit]]"), "[part]", "single brackets"),
    (GOOD.replace("[bath]", "[[bath]]"), "[bath]", "is not a table"),
    (GOOD.replace("count = 4", 'count = 4\ncopper = "50 %"'), "[[part]] 1 copper", "50 % of copper is not an"),
    (GOOD + STRIPS + 'metal = "brass"\n', "[cathodes] metal", "brass is eaten by the acid"),
    (GOOD + STRIPS + 'ratio = "0"\n', "[cathodes] ratio", "a ratio of 0 must be above zero"),
    (GOOD + '[rack]\nmetal = "tin"\n', "[rack] metal", "'tin' is not known"),
    (GOOD + "[finish]\ncoating_efficiency = 5\n", "[finish] coating_efficiency", "5 is not a share"),
    (GOOD + STRIPS + "faces = 3\n", "[cathodes] faces", "more than 2"),
    (GOOD + STRIPS + 'distance = "900 mm"\n', "[cathodes] distance",
     "900 mm is more than the tank's longest side, 300 mm"),
    (GOOD + '[rack]\nwire = "400 mm"\n', "[rack] wire", "400 mm is more than the tank's longest side"),
])  # fmt: skip
def test_what_would_go_unheeded_or_unseen_is_told_once(text, place, what):
    ((_, at), said), *others = mistakes(text).items()
    assert (at, others) == (place, [])
    assert what in said


def test_a_value_of_any_length_is_quoted_in_part():
    with pytest.raises(BadLoad) as caught:
        load_of(GOOD.replace("180 g/L", "9" * 9000), "pens.toml")
    (line,) = str(caught.value).split("\n")
    assert line.startswith("pens.toml, line 14, [bath] acid: ")
    assert len(line) < 600
    with pytest.raises(BadInput) as refused:
        profile_of("0 12, 10 12; unit m" + "9" * 9000)
    assert " ... " in str(refused.value)
    assert str(refused.value).endswith("is not a length unit; use one of mm, cm, m, in, ft, um")


@pytest.mark.parametrize(("was", "slip", "says"), [
    ("acid =", "acidd =", "'acidd' is not known (did you mean 'acid'?)"),
    ('name = "pens"', "name = two pens", 'put it in quotes: name = "two pens"'),
])  # fmt: skip
def test_a_slip_is_told_as_that_alone(was, slip, says):
    with pytest.raises(BadLoad) as told:
        load_of(GOOD.replace(was, slip))
    assert says in str(told.value)
    assert len(told.value.mistakes) == 1


@pytest.mark.parametrize("more", ["[bath]\n", "[bath]\nacid = '3 g/L'\nacid = '4 g/L'\n"])
def test_a_table_or_key_that_is_there_twice_is_told(more):
    text = f"[bath]\n{more}" if more == "[bath]\n" else more
    with pytest.raises(BadLoad, match="this table or key is there twice; delete one of the two"):
        load_of(text)
