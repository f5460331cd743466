"""A plan tells how even the outside comes out, and warns where that would show."""

from loads import SAMPLES, bare, desk_set

from areacalc.load.read_load import load_of
from areacalc.plan.fault import FaultKind
from areacalc.plan.plan import plan_of


def kinds(made):
    return {fault.kind for fault in made.faults}


def test_the_desk_set_is_even_and_sparse_strips_before_a_full_row_are_not():
    made = desk_set()
    assert made.figure("evenness").estimate.value < 1.0
    assert FaultKind.UNEVEN not in kinds(made)
    text = (SAMPLES / "desk-set.toml").read_text("utf-8").replace("count = 2", "count = 90", 1)
    for key, wanted in (("count = 4", "count = 2"), ('width = "40 mm"', 'width = "10 mm"'), ('"3 A"', '"60 A"')):
        text = text.replace(key, wanted, 1)
    sparse = plan_of(load_of(text.replace('length = "320 mm"', 'length = "1500 mm"'), "full.toml", str(SAMPLES)))
    assert sparse.figure("evenness").estimate.value > 3.0
    assert FaultKind.UNEVEN in kinds(sparse)


def test_without_the_sizes_of_the_tank_or_strips_nothing_is_told():
    assert "evenness" not in bare().figures
