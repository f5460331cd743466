"""The stations before the run: what is asked, offered and told, and that nothing scolds or jumps."""

import re

import pytest
from browsing import PHONE, drawn, drop, figure, go, knobs_in_the_tank, settled, until

pytestmark = pytest.mark.browser


def fill(tab, **fields):
    for name, value in fields.items():
        box = f'[name="{name.replace("_", " ", 1)}"]'
        tab.fill(box, value)
        tab.press(box, "Tab")


def asks(tab, words):
    """Wait until Rack and tank asks for something."""
    until(tab, f"document.querySelector('#way a[href=\"#tank\"]').title.includes({words!r})")


def test_half_a_tank_is_not_scolded_and_no_time_stands_before_a_thickness(window):
    tab = window(refused="api/plan")  # one asked for between two fields may find half a table
    drop(tab, "lamp-knob.step")
    go(tab, "tank")
    fill(tab, bath_acid="180", bath_temperature="20", tank_length="320")
    asks(tab, "Fill in the tank: width.")
    assert tab.locator(".field.wrong").count() == 0
    fill(tab, tank_width="125", tank_depth="250")
    asks(tab, "Fill in the cathodes")
    fill(tab, cathodes_count="4", cathodes_width="40", cathodes_immersed="180", supply_current="3", supply_voltage="30")
    asks(tab, "Fill in the rack: metal.")
    settled(tab)
    area = tab.inner_text('[data-figure="area"] strong')
    fill(tab, rack_metal="titanium grade 2", rack_wire="2")
    asks(tab, "Say the thickness of the coating")
    settled(tab)
    assert tab.inner_text('[data-figure="area"] strong') == area, "the plan changes no digit of it"
    assert tab.locator('[data-figure="time"]').count() == 0
    fill(tab, finish_thickness="12")
    tab.wait_for_selector('[data-figure="time"]')
    until(tab, "document.querySelector('#way a[href=\"#tank\"]').className === 'done'")
    settled(tab)
    assert re.search("yours .* cm²", tab.inner_text('[data-figure="cathode"]'))


def test_a_volume_that_stands_at_another_depth_is_offered_with_its_freeboard(window):
    tab = window(refused="api/plan")
    drop(tab, "lamp-knob.step")
    go(tab, "tank")
    fill(tab, bath_acid="180", bath_temperature="20", tank_length="400", tank_width="250", tank_depth="300")
    fill(tab, tank_volume="25")
    until(tab, "document.querySelector('#next').textContent.includes('25 L stand 250 mm deep')")
    tab.get_by_role("button", name="25 L stand 250 mm deep, 50 mm below the rim: use that").click()
    until(tab, "document.querySelector('[name=\"tank depth\"]').value === '250'")
    until(tab, "document.querySelector('[name=\"tank freeboard\"]').value === '50'")
    assert tab.input_value('[name="tank volume"]') == "25"


def test_a_unit_typed_with_a_number_goes_with_that_number(window):
    tab = window()
    drop(tab, "lamp-knob.step")
    go(tab, "tank")
    unit = '[aria-label="Unit of cathodes width"]'
    for typed, of in (("1/2 in", "in"), ("100", "mm")):
        fill(tab, cathodes_width=typed)
        until(tab, f"document.querySelector('{unit}').value === '{of}'")
    fill(tab, bath_acid="20 %")
    until(tab, "document.querySelector('#tank .wrong') !== null")
    fill(tab, bath_acid="180")
    until(tab, "document.querySelector('#tank .wrong') === null")


def test_help_has_its_room_so_that_a_press_lands(window):
    tab = window()
    drop(tab, "lamp-knob.step")
    go(tab, "tank")
    more = tab.locator("#tank summary").first
    before = more.bounding_box()["y"]
    tab.focus('[name="bath acid"]')
    assert "free acid as measured" in tab.inner_text(".help >> nth=0")
    assert more.bounding_box()["y"] == before
    go(tab, "cover")
    add = tab.get_by_role("button", name="Add", exact=True)
    before = add.bounding_box()["y"]
    for kind in ("fill", "contact", "add", "plug"):
        tab.select_option('[aria-label="What to do"]', kind)
        assert add.bounding_box()["y"] == before


def test_the_syringe_is_a_press_under_the_warning_and_an_equal_way_is_told_so(window):
    tab = window()
    drop(tab, "lamp-knob.step")
    go(tab, "hang")
    tab.select_option("#up-in-bath", "x-")
    tab.click("#hang [data-act=syringe]")
    until(tab, "!document.querySelector('#hang').textContent.includes('bubble')")
    until(tab, "document.querySelector('.outcome strong')?.textContent.startsWith('No trapped air')")
    tab.click("text=Find the best way")
    tab.wait_for_selector(".ways strong >> nth=0")
    assert tab.locator(".ways strong").all_inner_texts()[0] == "best: "
    until(tab, "document.querySelector('.view').dataset.drawn")
    upright = tab.locator(".axes").inner_html()
    tab.hover(".ways li >> nth=3")
    until(tab, f"document.querySelector('.axes').innerHTML !== {upright!r}")  # the part is shown turned
    drop(tab, "ring.stl")
    assert tab.locator(".ways li").count() == 0
    tab.click('.parts-row button:text("lamp-knob.step")')
    tab.wait_for_selector(".ways strong >> nth=0")  # the ways found are there again


def test_the_top_of_the_part_is_up_and_a_bore_tells_its_steps(window):
    tab = window()
    drop(tab, "pen-cap.toml")
    go(tab, "cover")
    drawn(tab)
    z = tab.locator(".axes line").nth(2)
    assert float(z.get_attribute("y2")) < -15
    assert abs(float(z.get_attribute("x2"))) < 1
    tab.locator("#cover tr", has_text="blind-bore-1").locator("th button").first.click()
    wet = figure(tab, "area")
    tab.click('.card-of [data-act^="blind-bore-1 step"] >> nth=0')
    settled(tab)
    until(tab, "document.querySelector('.sentences').textContent.includes('mask: blind-bore-1 step')")
    assert figure(tab, "area") < wet


def test_on_a_phone_the_bores_have_their_names_in_the_picture(window):
    tab = window(**PHONE)
    drop(tab, "ring.stl")
    drawn(tab)
    tab.wait_for_selector('.labels button[data-name="bore-1"]')
    assert tab.inner_text('.labels button[data-name="bore-1"]') == "bore-1"
    assert tab.locator('.labels button[data-name="outside"]').count() == 0


def test_bare_wires_are_never_exact_and_the_first_amperes_keep_their_last_figure(window):
    tab = window()
    knobs_in_the_tank(tab, 2)
    tab.click("#tank fieldset:has(legend:text-is('Rack')) summary")
    tab.select_option('[name="rack wire_surface"]', "bare")
    fill(tab, rack_wire="")
    settled(tab)
    until(tab, "/ to /.test(document.querySelector('[data-figure=\"area\"] .says').textContent)")
    tab.click('[data-figure="area"]')
    told = tab.inner_text("#worked")
    assert "thick (assumed)" in told
    assert "mm (as drawn) in the liquid" in told
    assert "as given" not in told
    tab.keyboard.press("Escape")
    assert re.match(r"\d\.\d\d A", tab.inner_text('[data-figure="current"] strong'))
