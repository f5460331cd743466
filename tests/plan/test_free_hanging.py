"""Parts whose hanging the load leaves free: hung as `hang` ranks the ways, so that they go into the tank."""

import math
from pathlib import Path

import pytest
from typed import typed

from areacalc.bath.burn import Burning
from areacalc.estimate import Estimate, total
from areacalc.fact import fact, quantity
from areacalc.load.read_load import load_of
from areacalc.part.part import open_part
from areacalc.plan.fault import FaultKind, Weight
from areacalc.plan.plan import plan_of
from areacalc.report.plan_document import plan_document
from areacalc.report.words.hung import chosen_words
from areacalc.report.words.places import named_as
from areacalc.report.words.tell import tell
from areacalc.surface.air.best_hanging import best_hanging
from areacalc.surface.skin import State

SAMPLES = Path(__file__).parents[2] / "sample_models"
TANK = {"length": 320.0, "width": 200.0, "depth": 250.0}


def planned(folder, *parts, **tank):
    tables = "".join(f"[[part]]\n{each}\n" for each in parts)
    sizes = "".join(f"{name} = '{mm} mm'\n" for name, mm in (TANK | tank).items())
    bath = "[bath]\nacid = '180 g/L'\ntemperature = '20 C'\n"
    return plan_of(load_of(f"{tables}{bath}[tank]\n{sizes}", "load.toml", str(folder)))


def airlocked(part):
    return total(row.area_mm2 for row in part.rows if row.state is State.AIRLOCKED)


@pytest.fixture
def cup(tmp_path):
    (tmp_path / "cup.toml").write_text('unit = "mm"\noutside = ["0 30", "60 30"]\nbores = ["left 20 x 50 flat"]\n')
    return 'name = "cup"\nfile = "cup.toml"'


def test_a_part_with_a_blind_bore_hangs_as_hang_ranks_it():
    made = planned(SAMPLES, 'name = "cap"\nfile = "pen-cap.toml"')
    (cap,) = made.parts
    part = open_part(SAMPLES / "pen-cap.toml")
    best = best_hanging(part.bath_skin, part.skin)[0]
    axis = (1.0, 0.0, 0.0)
    lean = [math.acos(sum(a * b for a, b in zip(up, axis, strict=True))) for up in (cap.free.up, best.up)]
    assert lean[0] == pytest.approx(lean[1], abs=1e-6)
    assert airlocked(cap).high < 1.0
    assert cap.carried is not None
    (kind,) = made.plant.room.layout.ways
    assert kind.axes[2] == pytest.approx(cap.free.up)
    said = chosen_words(cap)
    assert said.startswith("cap: on its side, blind-bore-1 mouth raised 6 degrees; no trapped air, but up to 15.6 cm2 ")
    assert "bare in blind-bore-1 if a bubble clings there, 0.585 mL carried out" in said
    (document,) = plan_document(made)["parts"]
    assert document["up_chosen"]
    assert document["hangs"] == "on its side, blind-bore-1 mouth raised 6 degrees"


def test_one_way_of_hanging_has_one_bare_area_wherever_it_is_told(tmp_path):
    (tmp_path / "pen.toml").write_text(
        'unit = "mm"\noutside = ["0 11", "118 9"]\nbores = ["left 7 x 95 flat", "right 2.5 x 12 flat thread M3x0.5"]\n'
    )
    made = planned(tmp_path, 'name = "pen"\nfile = "pen.toml"')
    (pen,) = made.parts
    short, full = (" ".join(typed("hang", tmp_path / "pen.toml", *more).stdout.split()) for more in ((), ("--full",)))
    with named_as("options"):
        told = chosen_words(pen).removeprefix("pen: ")
    assert "bare in blind-bore-2" in told
    assert f"Best for pen: {told} " in short
    assert f"Best for pen: {told} " in full
    thread_and_floor = pen.bare_mm2["blind-bore-2"]
    assert f"{thread_and_floor.value:.0f} mm2" in told
    assert f"{thread_and_floor.value:.0f} mm2" in full.split("carried out", 2)[2]  # the first row of the table
    (held,) = [f for f in made.faults if f.kind is FaultKind.AIR_HELD and f.weight is Weight.SPOILS]
    with named_as("options"):
        assert f"{thread_and_floor.value:.0f} mm2 counts as bare" in tell(held.fact)
    assert "vent" not in short


def test_what_traps_nothing_in_any_way_hangs_as_one_likes(tmp_path):
    (tmp_path / "stud.toml").write_text('unit = "mm"\noutside = ["0 20", "10 20", "10 10", "30 10"]\n')
    made = planned(tmp_path, 'name = "stud"\nfile = "stud.toml"')
    assert made.parts[0].free is None
    assert chosen_words(made.parts[0]) == ""
    assert FaultKind.HANGING_NOT_GIVEN not in {fault.fact.kind for fault in made.faults}
    assert len(made.plant.room.parts[0].ways) > 1


def test_a_way_that_is_told_stays(cup, tmp_path):
    made = planned(tmp_path, f"{cup}\nup = 'x+'")
    assert made.parts[0].free is None
    assert airlocked(made.parts[0]).value > 1000.0  # the bore's mouth is down


def test_a_way_without_room_gives_way_to_the_next_that_traps_nothing(cup, tmp_path):
    # on its side the cup is 60 mm long; a tank of 60 x 90 mm, 20 mm off at each cathode, has room for it upright alone
    wide = planned(tmp_path, cup)
    narrow = planned(tmp_path, cup, length=60.0, width=90.0)
    assert not wide.parts[0].free.for_room
    (free,) = (each.free for each in narrow.parts)
    assert free.for_room
    assert free.up[0] < -0.85  # its mouth, at x = 0, points up
    assert free.worst.dry_mm2 < 1.0
    assert "better ways have no room" in chosen_words(narrow.parts[0])
    assert narrow.can_run


def test_many_that_do_not_all_go_in_their_best_way_hang_as_they_go_in(cup, tmp_path):
    # between 5 mm and 5 mm of 400, 10 and 10 of 200: on its side, 63 x 36 mm, 5 columns of 4 go in; upright, 30 x 60,
    # 11 of 2
    few, many = (planned(tmp_path, f"{cup}\ncount = {n}", length=400.0, width=90.0, depth=200.0) for n in (20, 21))
    assert not few.parts[0].free.for_room
    assert many.parts[0].free.for_room
    assert many.plant.room.layout is not None
    assert many.parts[0].free.worst.dry_mm2 < 1.0  # mouth up, not down


def test_a_tube_that_fits_only_leaned_is_hung_so(tmp_path):
    (tmp_path / "tube.toml").write_text('unit = "mm"\noutside = ["0 12", "340 12"]\nbores = ["left 6 x 330 flat"]\n')
    made = planned(tmp_path, 'name = "tube"\nfile = "tube.toml"', length=320.0, width=125.0, depth=250.0)
    (tube,) = made.parts
    assert made.can_run
    assert 0.3 < -tube.free.up[0] < 0.95  # leaned, its mouth at x = 0 the higher end
    assert airlocked(tube).high < 1.0


def test_narrow_bores_that_leave_no_sure_current_are_one_fault_with_the_density_that_it_comes_to(tmp_path):
    (tmp_path / "tube.toml").write_text('unit = "mm"\noutside = ["0 14", "60 14"]\nbores = ["left 9 x 50 flat"]\n')
    made = planned(tmp_path, 'name = "tube"\nfile = "tube.toml"')
    (told,) = (f for f in made.faults if f.kind is FaultKind.AREA_IN_NARROW_BORES)
    assert Burning.MAY_BE_ABOVE_WINDOW in {cause.kind for cause in made.burn.causes}
    once = {Burning.MAY_BE_ABOVE_WINDOW, FaultKind.AIR_HELD, FaultKind.DENSITY_MAY_BE_LOW}
    assert not once & {f.kind for f in made.faults}
    said = tell(told.fact)
    assert "tube: blind-bore-1 may keep air" in said
    most = made.figure("density").estimate.high
    assert f"is {most:.3g} A/dm2, above the 2.71 A/dm2" in said
    assert most * 1e-4 * made.figure("effective-area").estimate.low == pytest.approx(
        made.figure("current").estimate.value
    )


def test_two_parts_that_may_keep_the_same_bubble_each_have_its_cure(tmp_path):
    (tmp_path / "tube.toml").write_text('unit = "mm"\noutside = ["0 14", "60 14"]\nbores = ["left 9 x 10 flat"]\n')
    tubes = [f'name = "{name}"\nfile = "tube.toml"' for name in "ab"]
    told = [f for f in plan_document(planned(tmp_path, *tubes))["faults"] if "part.fill" in f["keys"]]
    assert [f["part"] for f in told] == ["a", "b"]
    assert all(f["changes"] == {"part.fill": "blind-bore-1"} for f in told)


def test_a_bubble_is_not_told_as_the_cause_where_the_bare_wires_are(tmp_path):
    (tmp_path / "tube.toml").write_text('unit = "mm"\noutside = ["0 14", "60 14"]\nbores = ["left 9 x 10 flat"]\n')
    tube = 'name = "tube"\nfile = "tube.toml"'
    for rack, is_air in (("", True), ('[rack]\nmetal = "6063"\n', False)):
        kinds = {f.kind for f in planned(tmp_path, f"{tube}\n{rack}").faults}
        assert (FaultKind.AREA_IN_NARROW_BORES in kinds) is is_air
        assert (FaultKind.AREA_NOT_KNOWN in kinds) is not is_air


@pytest.mark.parametrize(("ends", "said", "unsaid"), [
    ({"most": 2.71}, "With air in every such bore, on the rest 3 A is 3.51 A/dm2, above the 2.71 A/dm2", "filled, 3 A"),
    ({"least": 2.25}, "All filled, 3 A is only 1.97 A/dm2, under the 2.25 A/dm2", "With air"),
])  # fmt: skip
def test_narrow_bores_are_told_with_the_density_that_lies_outside_the_window(ends, said, unsaid):
    density = quantity(Estimate(2.4, 1.97, 3.51, ("air",)), "A/dm2")
    told = tell(fact(FaultKind.AREA_IN_NARROW_BORES, part="cap", bores=("blind-bore-1",), current=quantity(3.0, "A"),
                     density=density, **{name: quantity(value, "A/dm2") for name, value in ends.items()}))  # fmt: skip
    assert said in told
    assert unsaid not in told
