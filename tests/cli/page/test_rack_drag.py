"""Parts dragged in the drawing of the tank: the rules follow, the load takes the place, undo gives it back."""

import pytest
from browsing import go, knobs_in_the_tank, settled, until

pytestmark = pytest.mark.browser
SAYS = "document.getElementById('rack-says').textContent"


@pytest.fixture
def rack(window):
    """A window with three knobs on the rack of the workshop's tank."""
    tab = window()
    knobs_in_the_tank(tab, 3)
    tab.wait_for_selector('[data-figure="time"]')
    settled(tab)
    until(tab, "document.querySelectorAll('svg.tank [data-view=front]').length === 3")
    until(tab, "document.querySelector('#tank figcaption').textContent.includes('Drag a part')")
    return tab


def middle(tab, number, view="front"):
    box = tab.locator(f"svg.tank [data-view={view}]").nth(number).bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def at(tab, number):
    box = tab.locator("svg.tank [data-view=front]").nth(number)
    return float(box.get_attribute("x")), float(box.get_attribute("y"))


def test_a_part_dragged_onto_another_is_told_while_it_moves_and_undo_gives_it_back(rack):
    before = at(rack, 0)
    (x, y), (to_x, to_y) = middle(rack, 0), middle(rack, 1)
    rack.mouse.move(x, y)
    rack.mouse.down()
    rack.mouse.move(to_x, to_y, steps=4)
    until(rack, f"{SAYS}.includes('hang in the same place')")
    outline, box = (rack.locator(f"svg.tank {each}").first.bounding_box() for each in (".seen", "[data-view=front]"))
    assert [outline[k] for k in ("x", "y")] == pytest.approx([box[k] for k in ("x", "y")], abs=1.5)
    assert rack.locator("svg.tank .seen").count() == 9  # three knobs in three views, each in its own outline
    rack.mouse.move(x, to_y + 60, steps=4)
    until(rack, f"!{SAYS}.includes('hang in the same place')")
    rack.mouse.up()
    until(rack, "document.querySelector('input[name=\"rack moved\"]').value.includes(' at ')")
    settled(rack)
    after = at(rack, 0)
    assert after[1] > before[1] + 20.0
    assert after[0] == pytest.approx(before[0], abs=1.0)
    rack.click("#undo")
    until(rack, "document.querySelector('input[name=\"rack moved\"]').value === ''")
    until(rack, f"Math.abs(Number(document.querySelector('svg.tank .hung').getAttribute('y')) - {before[1]}) < 1")


def test_a_part_moved_by_the_arrow_keys_out_of_the_liquid_stops_the_run(rack):
    rack.locator("svg.tank .hung").first.focus()
    for _ in range(12):  # 60 mm up from 50 mm under the level
        rack.keyboard.press("ArrowUp")
    go(rack, "plan")
    until(rack, "document.getElementById('plan-title').textContent === 'The plan: it cannot be run as asked'")
    assert "sticks out of the liquid" in rack.inner_text("#plan")


def test_a_part_dragged_in_the_view_from_above_moves_across_the_tank_and_its_wire_with_it(rack):
    wire = "[...document.querySelectorAll('svg.tank g')][1].innerHTML"  # of the side view
    before = rack.evaluate(wire)
    x, y = middle(rack, 0, "plan")
    rack.mouse.move(x, y)
    rack.mouse.down()
    rack.mouse.move(x, y + 25, steps=4)
    until(rack, f"{wire} !== {before!r}")
    rack.mouse.up()
    until(rack, "/ at [\\d.]+ x [\\d.]+ x [\\d.]+ mm/.test(document.querySelector('input[name=\"rack moved\"]').value)")
    rack.locator("svg.tank [data-view=side]").first.focus()
    rack.keyboard.press("ArrowLeft")
    assert rack.evaluate("document.activeElement.dataset.view") == "side"
