"""The page as the way through the job: stations, work on the part in the picture, and no wrong or stale number."""

import pytest
from browsing import (
    LAPTOP,
    PHONE,
    SAMPLES,
    STATIONS,
    command,
    current,
    drawn,
    drop,
    faults,
    feature,
    figure,
    go,
    hand_over,
    knobs_in_the_tank,
    settled,
    until,
)

pytestmark = pytest.mark.browser
TORN = b"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 zero 0\nvertex 0 1 0\nendloop\nendfacet\n"

WEAK = b"""
[bath]
acid = "180 g/L"
temperature = "20 C"
[tank]
length = "320 mm"
width = "125 mm"
depth = "250 mm"
[supply]
current = "0.1 A"
voltage = "30 V"
ramp = "5 min"
[[part]]
file = "ring.stl"
"""


def station(tab, name):
    """What a station's mark says: done, open, busy, wrong."""
    return tab.get_attribute(f'#way a[href="#{name}"]', "class")


def trust(tab, name):
    """How far a figure of the strip can be trusted."""
    return tab.get_attribute(f'[data-figure="{name}"]', "data-trust")


def test_a_press_is_not_lost_when_what_is_pressed_has_changed_before_it_is_let_go(window):
    tab = window()
    tab.hover('#way a[href="#cover"]')
    tab.mouse.down()
    drop(tab, "lamp-knob.step")
    tab.wait_for_selector('[data-figure="area"]')
    tab.mouse.up()
    tab.wait_for_selector("#cover:not([hidden])")
    until(tab, "document.querySelector('#way a[href=\"#part\"]').className === 'done'")


@pytest.mark.parametrize("size", [LAPTOP, PHONE], ids=["laptop", "phone"])
def test_each_station_is_one_screen_and_the_next_step_is_named(window, size):
    tab = window(**size)
    assert "Drop the file of a part" in tab.inner_text("#next")
    drop(tab, "lamp-knob.step")
    until(tab, "document.querySelector('#next').textContent.startsWith('Next, Plug and mask')")
    assert station(tab, "part") == "done"
    go(tab, "cover")
    tab.get_by_role("button", name="Leave all of it wet").click()
    until(tab, "document.querySelector('#next').textContent.startsWith('Next, Hang')")
    go(tab, "tank")
    tab.click("#example")
    until(tab, "document.querySelector('#way a[href=\"#tank\"]').className === 'done'")
    for name in STATIONS:
        go(tab, name)
        assert tab.evaluate("document.documentElement.scrollHeight") <= size["height"], name
        assert tab.evaluate("document.documentElement.scrollWidth") <= size["width"], name
    tab.go_back()
    assert tab.locator("#plan:not([hidden])").count() == 1
    tab.reload()
    tab.wait_for_selector("#plan:not([hidden])")
    until(tab, "!document.body.classList.contains('empty')")  # a bench that was there at the start is shown
    assert tab.input_value('input[name="tank length"]') == "320"


def test_a_click_on_the_part_opens_what_can_be_done_beside_it_and_nothing_jumps(window):
    tab = window()
    drop(tab, "ring.stl")
    go(tab, "cover")
    drawn(tab)
    label = tab.locator('.labels button[data-name="bore-1"]')
    label.click()
    card = tab.locator(".card-of")
    assert card.locator("strong").inner_text() == "bore-1"
    view, box = tab.locator(".view").bounding_box(), card.bounding_box()
    assert view["x"] <= box["x"]
    assert box["x"] + box["width"] <= view["x"] + view["width"]
    card.get_by_role("button", name="Plug bore-1").click()
    feature(tab, "bore-1", "plugged")
    assert tab.evaluate("scrollY") == 0
    assert tab.locator(".view").bounding_box() == view
    tab.focus(".view canvas")
    tab.keyboard.press("w")
    feature(tab, "bore-1", "wet")
    tab.keyboard.press("Escape")
    assert card.is_hidden()


def test_a_hidden_bore_is_cut_open_by_itself_and_its_name_is_not_on_other_faces(window):
    tab = window()
    drop(tab, "lamp-knob.step")
    go(tab, "cover")
    drawn(tab)
    tab.focus(".view canvas")
    for _ in range(20):
        tab.keyboard.press("ArrowLeft")  # the bore's mouth turns away
    tab.wait_for_timeout(900)
    assert tab.inner_text('.labels button[data-name="blind-bore-1"]').endswith(", hidden")
    tab.click('#cover tr[data-name="blind-bore-1"] th button')
    assert tab.is_checked("text=cut open")
    tab.wait_for_selector('.labels button.chosen[data-name="blind-bore-1"]')


def test_the_wheel_leaves_the_picture_alone_until_it_has_the_focus(window):
    tab = window()
    drop(tab, "ring.stl")
    drawn(tab)
    shot = tab.locator(".view canvas").screenshot()
    tab.hover(".view canvas", position={"x": 20, "y": 20})
    tab.mouse.wheel(0, 400)
    tab.wait_for_timeout(700)
    assert tab.locator(".view canvas").screenshot() == shot
    tab.focus(".view canvas")
    tab.mouse.wheel(0, 400)
    tab.wait_for_timeout(900)
    assert tab.locator(".view canvas").screenshot() != shot


def test_undo_and_redo_and_a_bin(window):
    tab = window()
    drop(tab, "ring.stl")
    go(tab, "cover")
    tab.click('#cover [aria-label="Plug bore-1"]')
    feature(tab, "bore-1", "plugged")
    tab.click("#undo")
    feature(tab, "bore-1", "wet")
    tab.click("#redo")
    feature(tab, "bore-1", "plugged")
    tab.click('#cover [aria-label="Mask bore-2"]')
    for key in "zyzyy":  # faster than the server answers
        tab.keyboard.press(f"Control+{key}")
    feature(tab, "bore-2", "masked")
    feature(tab, "bore-1", "plugged")
    until(tab, "document.querySelector('#say p span')?.innerText === 'Made again: plugs and masks of ring.stl.'")
    go(tab, "tank")
    tab.fill('input[name="bath acid"]', "165")
    tab.press('input[name="bath acid"]', "Tab")
    tab.click("#example")
    until(tab, """document.querySelector('input[name="bath acid"]').value === '180'""")
    tab.keyboard.press("Control+z")
    until(tab, """document.querySelector('input[name="bath acid"]').value === '165'""")
    go(tab, "part")
    tab.click('[aria-label="Take off ring.stl"]')
    tab.wait_for_selector("body.empty")
    tab.click(".bin summary")
    tab.click('.bin [aria-label="Put ring.stl back"] >> nth=-1')
    feature(tab, "bore-1", "plugged")


def test_quick_changes_are_merged_and_never_blamed_on_another_window(window):
    tab = window()
    drop(tab, "ring.stl")
    settled(tab)
    one = figure(tab, "area")
    tab.focus('[aria-label="How many of ring.stl"]')
    for _ in range(9):
        tab.keyboard.press("ArrowUp")
    assert trust(tab, "current") == "working"
    settled(tab)
    assert figure(tab, "area") == pytest.approx(10 * one, rel=2e-3)
    assert tab.input_value('[aria-label="How many of ring.stl"]') == "10"
    assert "window" not in tab.inner_text("#say")


def test_a_density_that_is_refused_is_marked_and_so_is_the_figure(window):
    tab = window(refused="/api/settings")
    drop(tab, "ring.stl")
    go(tab, "tank")
    tab.fill("#density", "plenty")
    tab.press("#density", "Tab")
    tab.wait_for_selector('#density[aria-invalid="true"]')
    assert "still for 'small-tank'" in tab.inner_text("#density-says")
    assert trust(tab, "current") == "old"
    assert station(tab, "tank") == "wrong"


def test_one_bad_file_and_one_bad_sentence_cost_no_more_than_themselves(window):
    tab = window()
    drop(tab, "ring.stl")
    drop(tab, "torn.stl", TORN)
    settled(tab)
    want = command("area", SAMPLES / "ring.stl")["wetted_area_mm2"]["value"]
    assert figure(tab, "area") == pytest.approx(want / 100, rel=1e-3)
    assert "without torn.stl" in tab.inner_text("#figures")
    tab.click('.card .name:text-is("ring.stl")')
    go(tab, "cover")
    tab.fill('[aria-label="Where, in words"]', "bore-9")
    tab.click("#cover form button")
    tab.wait_for_selector('.sentences li:has-text("Not used")')
    settled(tab)
    assert figure(tab, "area") == pytest.approx(want / 100, rel=1e-3)


def test_a_bore_plugged_by_words_is_not_called_wet(window):
    tab = window()
    drop(tab, "ring.stl")
    go(tab, "cover")
    tab.fill('[aria-label="Where, in words"]', "bores under 90 mm")
    tab.click("#cover form button")
    feature(tab, "bore-1", "plugged")
    until(
        tab, """document.querySelector('#cover [aria-label="Plug bore-1"]').getAttribute('aria-pressed') === 'true'"""
    )
    assert tab.get_attribute('#cover [aria-label="Wet bore-1"]', "aria-pressed") == "false"
    tab.click('#cover tr[data-name="bore-1"] th button')
    tab.click("text=Take these words off")
    feature(tab, "bore-1", "wet")


def test_a_lost_server_is_seen_at_once_and_the_page_goes_on_by_itself(chromium, open_page, tmp_path):
    page = open_page(tmp_path / "data")
    tab = chromium.new_page(viewport=LAPTOP)
    tab.goto(page.start)
    tab.wait_for_selector("#figures > *", state="attached")
    drop(tab, "ring.stl")
    settled(tab)
    before = current(tab)
    page.stop()
    until(tab, "document.querySelector('[data-figure=current]').dataset.trust === 'old'", 10.0)
    assert "does not answer" in tab.inner_text("#say")
    tab.fill('[aria-label="How many of ring.stl"]', "2")
    open_page(tmp_path / "data")
    until(tab, f"parseFloat(document.querySelector('[data-figure=current] strong')?.textContent) > {1.5 * before}")
    tab.close()


def test_a_saved_load_holds_its_sketches_and_opens_on_an_empty_bench(window, tmp_path):
    tab = window()
    tab.click('#sample-buttons button:text-is("pen body")')
    tab.wait_for_selector(".card:not(.busy)")
    go(tab, "tank")
    tab.click("#example")
    tab.wait_for_selector('[data-figure="time"]')
    settled(tab)
    time = figure(tab, "time")
    with tab.expect_download() as saved:
        tab.click("#save-load")
    saved.value.save_as(tmp_path / "load.zip")
    import zipfile

    zipfile.ZipFile(tmp_path / "load.zip").extractall(tmp_path / "load")
    plan = command("plan", tmp_path / "load" / "load.toml")
    assert time == pytest.approx(plan["figures"]["time"]["value"] / 60, rel=5e-3)
    go(tab, "part")
    tab.click('[aria-label^="Take off"]')
    tab.wait_for_selector("body.empty")
    hand_over(tab, "load.zip", (tmp_path / "load.zip").read_bytes())
    tab.wait_for_selector(".card:not(.busy)")
    tab.wait_for_selector(".grid .spot")
    settled(tab)
    assert figure(tab, "time") == time


def test_a_load_dropped_beside_a_part_tells_so_and_takes_it_off_on_a_press(window):
    tab = window()
    for _ in range(2):
        hand_over(tab, "ring.stl", (SAMPLES / "ring.stl").read_bytes())
    names = "[...document.querySelectorAll('#parts .name')].map((n) => n.textContent).join()"
    until(tab, f"{names} === 'ring.stl,ring 2.stl'")
    hand_over(tab, "weak.toml", WEAK)
    until(tab, "document.querySelector('#say').textContent.includes('ring 2.stl stood here before and stays')")
    tab.click("#say button:text('Take off what hung before')")
    until(tab, "document.querySelectorAll('#parts .card').length === 1")
    tab.click("#undo")
    until(tab, "document.querySelectorAll('#parts .card').length === 2")


def test_a_load_that_cannot_be_run_is_told_once_and_gives_no_number(window):
    tab = window()
    hand_over(tab, "weak.toml", WEAK)
    until(tab, "document.querySelector('#next').textContent.includes('Drop ring.stl')")
    drop(tab, "ring.stl")
    until(tab, "document.querySelector('[data-figure=current]')?.dataset.trust === 'impossible'")
    assert tab.inner_text("#figures").count("cannot be run as asked") == 1
    assert tab.locator(".strip").bounding_box()["height"] < 95
    go(tab, "run")
    assert tab.locator(".steps li").count() == 0
    assert faults(tab) == []


def test_a_number_has_its_unit_beside_it_and_a_fraction_of_an_inch_draws_the_tank(window):
    tab = window(refused="/api/plan")
    drop(tab, "ring.stl")
    go(tab, "tank")
    for name, words in (("length", "12 1/2 in"), ("width", "5"), ("depth", "250")):
        tab.fill(f'input[name="tank {name}"]', words)
        tab.press(f'input[name="tank {name}"]', "Tab")
    until(tab, """document.querySelector('input[name="tank length"]').value === '12 1/2'""")
    assert tab.input_value('[aria-label="Unit of tank length"]') == "in"
    assert tab.input_value('[aria-label="Unit of tank width"]') == "mm"
    tab.fill('input[name="bath temperature"]', "warm")
    tab.press('input[name="bath temperature"]', "Tab")
    tab.wait_for_selector('input[name="bath temperature"][aria-invalid="true"]')
    assert station(tab, "tank") == "wrong"
    until(tab, "(document.querySelector('svg.tank')?.getAttribute('aria-label') ?? '').includes('317.5 mm long')")


def test_the_tank_shows_the_parts_as_the_plan_lays_them_out(window):
    tab = window()
    knobs_in_the_tank(tab, 24)
    until(tab, "document.querySelector('#tank figcaption')?.textContent.includes('tiers')")
    caption = tab.locator("#tank figcaption").inner_text()
    boxes = tab.evaluate("""[...document.querySelectorAll('svg.tank .hung[data-view=front]')].map((e) =>
        ['x', 'y', 'width', 'height'].map((name) => Number(e.getAttribute(name))))""")
    assert len(boxes) == 24
    tiers = {round(y) for _, y, _, _ in boxes}
    assert f"{len(tiers)} tiers" in caption
    assert all(x >= 5.0 and y >= 10.0 and x + w <= 315.0 and y + h <= 240.0 for x, y, w, h in boxes)


def test_the_warning_of_the_unit_carries_the_button_that_mends_it(window):
    tab = window(refused="/api/settings")
    drop(tab, "ring-in-inches.stl")
    assert station(tab, "part") == "wrong"
    drawn(tab)
    tab.click('.card button:text("It is in in")')
    until(tab, "document.querySelector('#way a[href=\"#part\"]').className === 'done'")
    drawn(tab)
    assert tab.locator(".labels button").count() > 0, "the part is still in the picture"
    tab.select_option(".card select", "m")
    tab.click('.card button:text("Yes, m is right")')
    until(tab, "document.querySelector('#way a[href=\"#part\"]').className === 'done'")
    assert tab.input_value(".card select") == "m"
    go(tab, "tank")
    tab.fill("#density", "30 A/dm2")
    tab.press("#density", "Tab")
    tab.click("#density-checked:not([hidden])")
    until(tab, "document.querySelector('#density').value === '30 A/dm2, checked'")


def test_with_little_height_the_strip_is_one_line(window):
    tab = window(width=683, height=384)  # a laptop at 200 %
    drop(tab, "ring.stl")
    settled(tab)
    assert tab.locator(".strip").bounding_box()["height"] < 48
    assert tab.evaluate("document.documentElement.scrollWidth") <= 683


def test_forced_colours_keep_what_the_states_say(window):
    tab = window(forced_colors="active")
    drop(tab, "ring.stl")
    go(tab, "cover")
    wet = tab.locator('#cover [aria-label="Wet bore-1"]')
    plug = tab.locator('#cover [aria-label="Plug bore-1"]')
    colours = [e.evaluate("(e) => getComputedStyle(e).backgroundColor") for e in (wet, plug)]
    assert colours[0] != colours[1]


def test_the_main_way_as_a_screen_reader_has_it(window):
    from playwright.sync_api import expect

    tab = window()
    drop(tab, "lamp-knob.step")
    settled(tab)
    expect(tab.locator("header")).to_match_aria_snapshot("""
      - banner:
        - heading "areacalc" [level=1]
        - region "What to set":
          - button /Current, about how\\? .* A least .* A; long bores take less.*/
          - button /Wetted area how\\? .* cm²/
          - button /Cathode area facing the part how\\? .* cm²/
        - 'button "Undo: add lamp-knob.step"'
        - button "Redo" [disabled]
        - group "Sizes in"
        - navigation "Stations":
          - list:
            - listitem:
              - 'link "Parts : done"'
            - listitem:
              - 'link "Plug and mask : open"'
            - listitem:
              - 'link "Hang : open"'
        - paragraph:
          - 'link /Next, Plug and mask: .*/'
    """)
    go(tab, "cover")
    expect(tab.locator("#cover")).to_match_aria_snapshot("""
      - region "Plug and mask":
        - heading "Plug and mask" [level=2]
        - region "Table of the surface":
          - table "Surface of lamp-knob.step"
        - button "Leave all of it wet"
    """)
    tab.get_by_role("button", name="Leave all of it wet").click()
    go(tab, "hang")
    tab.select_option("#up-in-bath", "blind-bore-1")
    expect(tab.locator("#hang")).to_match_aria_snapshot("""
      - region "How it hangs in the bath":
        - combobox "Which way points up":
          - option "blind-bore-1, mouth up" [selected]
        - button "Find the best way"
        - button "Turn it by hand"
        - textbox "in the liquid up to"
        - region "What this hanging does":
          - status:
            - paragraph:
              - strong: /No trapped air, but up to .* bare in blind-bore-1 if a bubble clings there, .* carried out./
    """)
    go(tab, "tank")
    tab.click("#example")
    expect(tab.locator("#tank")).to_match_aria_snapshot("""
      - region "Rack and tank":
        - button "Open a load file"
        - link "Save the load and its files"
        - group "Bath":
          - textbox "acid": "180"
          - combobox "Unit of bath acid"
        - group "Power supply":
          - textbox "current": "3"
          - combobox "Unit of supply current"
    """)
    tab.wait_for_selector('#next:has-text("usual for this finish")')  # its bore of 5 mm may keep air
    go(tab, "plan")
    expect(tab.locator("#plan")).to_match_aria_snapshot("""
      - region "The plan":
        - region "Figures of the plan":
          - table "Figures of the plan":
            - rowgroup
            - rowgroup:
              - row /current to set .* A .* to .* How current to set was worked out/
        - region "Faults and cautions":
          - heading "Faults" [level=3]
          - heading "Cautions" [level=3]
    """)
    go(tab, "run")
    expect(tab.locator("#run")).to_match_aria_snapshot("""
      - region "The run":
        - link "Run sheet to print"
        - region "At the tank":
          - button /begin the run/
        - region "Steps":
          - list:
            - listitem:
              - checkbox "rack"
        - region "Settings and logbook":
          - textbox "Remark for the logbook"
          - button "Write it down as planned"
    """)
