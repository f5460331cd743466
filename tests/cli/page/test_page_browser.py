"""What a person does with the page, in Chromium: from the part to the run, by mouse, by keys, on a phone."""

import math
import re

import pytest
from browsing import (
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
    settled,
    tab_to,
    until,
)

pytestmark = pytest.mark.browser
TORN = b"""solid x
facet normal 0 0 1
outer loop
vertex 0 0 0
vertex 1 zero 0
vertex 0 1 0
endloop
endfacet
endsolid
"""


def test_drop_an_stl_plug_a_bore_read_the_new_current(window):
    tab = window()
    drop(tab, "ring.stl")
    settled(tab)
    want = command("current", SAMPLES / "ring.stl")["current_a"]
    assert current(tab) == pytest.approx(want["set"], rel=5e-3)
    go(tab, "cover")
    tab.click('#cover [aria-label="Plug bore-1"]')
    feature(tab, "bore-1", "plugged")
    less = command("current", SAMPLES / "ring.stl", "--plug", "bore-1")["current_a"]
    until(tab, f"document.querySelector('[data-figure=current] strong').textContent.startsWith('{less['set']:.3g}')")
    tab.click('[data-figure="current"]')
    worked = tab.locator("dialog[open]").inner_text()
    assert "area x density" in worked
    assert "common practice" in worked
    tab.keyboard.press("Escape")
    assert tab.locator("dialog[open]").count() == 0


def test_the_view_is_coloured_by_state(window):
    tab = window()
    drop(tab, "ring.stl")
    go(tab, "cover")
    tab.click('#cover [aria-label="Mask outside"]')
    feature(tab, "outside", "masked")
    drawn(tab)
    from io import BytesIO

    import numpy as np
    from PIL import Image

    shot = np.asarray(Image.open(BytesIO(tab.locator(".view").screenshot())).convert("RGB")).astype(int)
    red, blue = shot[..., 0], shot[..., 2]
    assert (red - blue > 30).mean() > 0.03, "sand of what is masked"
    assert (blue - red > 30).mean() > 0.03, "blue of what is wet"


def test_sketch_a_pen_body_point_by_point(window):
    tab = window()
    tab.click("#new-sketch")
    tab.wait_for_selector(".grid .spot")

    def type_in(cell, words):
        tab.fill(f'[data-cell="{cell}"]', words)
        tab.press(f'[data-cell="{cell}"]', "Tab")

    points = [("0", "10.5"), ("16", "10.5"), ("16", "12"), ("60", "12.6"), ("112", "9"), ("118", "5")]
    for i, (at, across) in enumerate(points):
        if tab.locator(f'[data-cell="at-{i}"]').count() == 0:
            tab.click('[data-cell="add-point"]')
        type_in(f"at-{i}", at)
        type_in(f"across-{i}", across)
    tab.select_option('[data-cell="line-1"]', "thread")
    type_in("detail-1", "M10.5x0.75")
    tab.select_option('[data-cell="corner-2"]', "r")
    type_in("size-2", "0.5")
    tab.select_option('[data-cell="line-4"]', "arc")
    type_in("detail-4", "r700")
    tab.click('[data-cell="add-left"]')
    tab.select_option('[data-cell="side-0"]', "through left")
    for k, (across, deep) in enumerate([("9.2", "18"), ("8", "88"), ("2.6", "")]):
        if k:
            tab.click('[data-cell="bore-0-step"]')
        type_in(f"bore-0-across-{k}", across)
        type_in(f"bore-0-deep-{k}", deep)
    want = command("area", SAMPLES / "pen-body.toml")["wetted_area_mm2"]["value"]
    until(tab, f"Math.abs(Number(document.querySelector('.live').dataset.mm2) - {want!r}) < 1e-9 * {want!r}")
    until(
        tab,
        f"""fetch('api/bench').then((r) => r.json()).then(({{parts: [part]}}) => !part.stage && part.result
            && Math.abs(part.result.wetted_area_mm2.value - {want!r}) < 1e-9 * {want!r})""",
    )


def test_points_set_on_the_grid_and_the_table_follow_each_other(window):
    tab = window()
    tab.click("#new-sketch")
    tab.wait_for_selector(".grid .spot")
    box = tab.locator(".grid").bounding_box()
    tab.mouse.click(box["x"] + box["width"] * 0.85, box["y"] + box["height"] * 0.6)
    tab.wait_for_selector('[data-cell="at-2"]')
    assert float(tab.input_value('[data-cell="at-2"]')) > 40
    spots = tab.locator(".grid .spot")
    assert spots.count() == 3
    before = spots.nth(1).get_attribute("cx")
    tab.fill('[data-cell="at-1"]', "30")
    tab.press('[data-cell="at-1"]', "Tab")
    until(tab, f"document.querySelectorAll('.grid .spot')[1].getAttribute('cx') !== '{before}'")
    spots.nth(1).focus()
    tab.keyboard.press("ArrowRight")
    assert float(tab.input_value('[data-cell="at-1"]')) > 30
    tab.click("#undo")
    assert tab.input_value('[data-cell="at-1"]') == "30"
    tab.click("#undo")
    assert tab.input_value('[data-cell="at-1"]') == "40"
    tab.click("#redo")
    assert tab.input_value('[data-cell="at-1"]') == "30"
    tab.fill('[data-cell="across-1"]', "wide")
    tab.press('[data-cell="across-1"]', "Tab")
    tab.wait_for_selector('.sketch [role="alert"]:text("point 2")')
    assert tab.get_attribute('[data-cell="across-1"]', "aria-invalid") == "true"


def test_two_parts_with_counts_and_a_reload_keeps_all(window):
    tab = window()
    drop(tab, "ring.stl")
    drop(tab, "cleat.stl")
    tab.fill('[aria-label="How many of ring.stl"]', "3")
    ring, cleat = (command("area", SAMPLES / n)["wetted_area_mm2"]["value"] for n in ("ring.stl", "cleat.stl"))
    shown = f"{(3 * ring + cleat) / 100:.4g}"
    until(tab, f"document.querySelector('[data-figure=area] strong').textContent.startsWith('{shown}')")
    tab.locator('input[name="show"][value="in"]').check(force=True)
    until(tab, "document.querySelector('[data-figure=area] strong').textContent.endsWith('in²')")
    settled(tab)
    before = tab.locator("#figures").inner_text()
    tab.reload()
    tab.wait_for_selector('[data-figure="area"]')
    settled(tab)
    assert tab.locator("#figures").inner_text() == before
    assert tab.input_value('[aria-label="How many of ring.stl"]') == "3"
    assert tab.locator(".card.chosen .name").inner_text() == "cleat.stl"


def test_two_windows_see_each_other(window):
    one, two = window(), window()
    drop(one, "ring.stl")
    two.wait_for_selector('.card .name:text-is("ring.stl")')
    one.fill('[aria-label="How many of ring.stl"]', "2")
    until(two, "document.querySelector('[aria-label=\"How many of ring.stl\"]').value === '2'")


def test_a_bad_file_gives_its_line_at_the_part(window):
    tab = window()
    drop(tab, "torn.stl", TORN)
    line = tab.locator(".card .says").inner_text()
    assert line.startswith("torn.stl, triangle 1")
    assert "fault" not in line
    assert "torn.stl cannot be used" in tab.locator("#figures").inner_text()
    assert "torn.stl, triangle 1" in tab.locator("#next").inner_text()


def test_by_keys_alone_from_the_file_to_the_sheet(window):
    """Choose a file, count it, plug its bore, hang it, fill in the tank, print the sheet; and never touch the mouse."""
    tab = window()
    tab.on("filechooser", lambda chooser: chooser.set_files(SAMPLES / "lamp-knob.step"))
    tab_to(tab, "#files")
    tab.keyboard.press("Enter")
    tab.wait_for_selector(".card:not(.busy)")
    settled(tab)
    before = current(tab)
    tab_to(tab, '[aria-label^="How many of"]')
    tab.keyboard.press("ArrowUp")
    until(tab, f"parseFloat(document.querySelector('[data-figure=current] strong').textContent) > {1.5 * before}")
    twice = current(tab)
    tab.evaluate("document.activeElement.blur()")
    tab_to(tab, '#way a[href="#cover"]')
    tab.keyboard.press("Enter")
    tab_to(tab, ".view canvas")
    drawn(tab)
    for key in ("ArrowLeft", "ArrowUp", "+", ".", "."):
        tab.keyboard.press(key)
    assert tab.locator(".card-of strong").inner_text() == "blind-bore-1"
    tab.keyboard.press("p")
    feature(tab, "blind-bore-1", "plugged")
    settled(tab)
    assert current(tab) < twice
    tab.evaluate("document.activeElement.blur()")
    tab_to(tab, '#way a[href="#hang"]')
    tab.keyboard.press("Enter")
    tab_to(tab, "#up-in-bath")
    tab.keyboard.press("x")
    until(tab, "document.querySelector('#way a[href=\"#hang\"]').className === 'done'")
    tab.evaluate("document.activeElement.blur()")
    tab_to(tab, '#way a[href="#tank"]')
    tab.keyboard.press("Enter")
    tab_to(tab, "#example")
    tab.keyboard.press("Enter")
    tab.wait_for_selector('#next:has-text("Read the plan")')
    tab.evaluate("document.activeElement.blur()")
    tab_to(tab, "#next a")
    tab.keyboard.press("Enter")
    until(tab, "document.querySelector('#way a[href=\"#plan\"]').className === 'done'")
    tab.evaluate("document.activeElement.blur()")
    tab_to(tab, '[data-figure="current"]')
    tab.keyboard.press("Enter")
    tab.wait_for_selector("dialog[open]")
    tab.keyboard.press("Escape")
    tab_to(tab, '#way a[href="#run"]')
    tab.keyboard.press("Enter")
    tab_to(tab, "#sheet")
    with tab.context.expect_event("response", lambda answer: answer.url.endswith("/api/sheet")) as sheet:
        tab.keyboard.press("Enter")
    assert sheet.value.headers["content-type"] == "application/pdf"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_fault_at_any_station(window, scheme):
    tab = window(color_scheme=scheme)
    assert faults(tab) == []
    drop(tab, "lamp-knob.step")
    drop(tab, "torn.stl", TORN)
    tab.click('.card .name:text-is("lamp-knob.step")')
    go(tab, "tank")
    tab.click("#example")
    until(tab, "!!document.querySelector('#plan table')")
    for station in STATIONS:
        go(tab, station)
        if station == "cover":
            tab.focus(".view canvas")
            tab.keyboard.press(".")
        if station == "hang":
            tab.select_option("#up-in-bath", "blind-bore-1 down")
            tab.wait_for_selector('.outcome strong:text("bare in blind-bore-1")')
        settled(tab)
        assert faults(tab) == [], station
    tab.click('[data-figure="current"]')
    assert faults(tab) == []
    tab.keyboard.press("Escape")
    go(tab, "part")
    tab.click("#new-sketch")
    tab.wait_for_selector(".grid .spot")
    tab.click('[data-cell="add-left"]')
    assert faults(tab) == []


def test_on_a_phone_nothing_runs_off_the_side_and_the_answer_stays_in_sight(window):
    tab = window(**PHONE, has_touch=True, is_mobile=True, device_scale_factor=2)
    drop(tab, "ring.stl")
    drawn(tab)
    places = "[...document.querySelectorAll('#way li')].map((e) => [e.offsetLeft, e.offsetWidth])"
    before = tab.evaluate(places)
    tab.tap('#way a[href="#cover"]')
    assert tab.evaluate(places) == before, "a station stays under the finger"
    assert tab.evaluate("getComputedStyle(document.querySelector('#next')).overflowY") == "visible"
    assert tab.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    box = tab.locator('[data-figure="current"]').bounding_box()
    assert box["y"] >= 0
    assert box["y"] + box["height"] < PHONE["height"] / 3
    tab.tap('#cover [aria-label="Plug bore-1"]')
    feature(tab, "bore-1", "plugged")
    settled(tab)
    button = tab.locator('#cover [aria-label="Mask bore-1"]').bounding_box()
    assert button["x"] + button["width"] <= PHONE["width"]
    assert faults(tab) == []
    tab.tap('#way a[href="#part"]')
    tab.tap("#new-sketch")
    tab.wait_for_selector(".grid .spot")
    tab.tap('[data-cell="add-left"]')
    tab.wait_for_selector('[data-cell="bore-0-across-0"]')
    assert tab.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_the_plan_appears_with_bath_and_tank_and_marks_a_wrong_field(window):
    tab = window(refused="/api/plan")
    drop(tab, "lamp-knob.toml")
    go(tab, "tank")
    tab.click("#example")
    tab.wait_for_selector('[data-figure="time"]')
    assert tab.locator("svg.tank .hung[data-view=front]").count() == 1
    go(tab, "run")
    tab.fill('[aria-label="Remark for the logbook"]', "even, deep")
    tab.click("#write")
    tab.wait_for_selector("#run li:has-text('even, deep')")
    until(tab, "document.querySelector('#way a[href=\"#run\"]').className === 'done'")
    go(tab, "tank")
    acid = tab.locator('input[name="bath acid"]')
    acid.fill("strong")
    acid.press("Tab")
    tab.wait_for_selector('input[name="bath acid"][aria-invalid="true"]')
    settled(tab)
    assert tab.locator('[data-figure="time"]').count() == 0


def test_the_plan_follows_every_change_of_the_rack(window):
    """The current says when it is by area alone; what the plan says of the load names places of the page."""
    tab = window()
    drop(tab, "pen-cap.toml")
    until(tab, "document.querySelector('[data-figure=\"current\"]')?.innerText.includes('long bores take less')")
    tab.click("text=Take off")
    drop(tab, "lamp-knob.toml")
    go(tab, "tank")
    tab.click("#example")
    tab.wait_for_selector('[data-figure="time"]')
    assert "before the plan" not in tab.inner_text('[data-figure="current"]')
    tab.click("#tank summary:has-text('More') >> nth=0")
    tab.select_option('[name="bath agitation"]', "")
    until(
        tab,
        "document.getElementById('plan').textContent.includes('agitation under Bath at the station Rack and tank')",
    )
    tab.evaluate("""() => {
        window.trusted = [];  // all that the current in sight says, however short a time it stands there
        const now = () => window.trusted.push(document.querySelector("[data-figure='current']")?.dataset.trust);
        new MutationObserver(now).observe(document.getElementById("figures"), {childList: true, subtree: true});
    }""")
    for count in (2, 40, 1):  # 40 knobs want more than the supply gives: the plan says that it cannot be run
        go(tab, "part")
        tab.evaluate("() => { window.trusted.length = 0; }")
        tab.fill('[aria-label^="How many of"]', str(count))
        until(tab, "window.trusted.includes('working')")
        settled(tab)
        go(tab, "plan")
        title = "The plan: it cannot be run as asked" if count == 40 else "The plan"
        until(tab, f"document.getElementById('plan-title').textContent === '{title}'")
        row = tab.locator('#plan tr:has-text("current to set") td').first.inner_text()
        if count == 40:
            assert tab.get_attribute('[data-figure="current"]', "data-trust") == "impossible"
        else:
            assert row == tab.inner_text('[data-figure="current"] strong')


def test_a_part_of_fifty_thousand_triangles_is_drawn(window, tmp_path):
    """No clock is asserted here: the benchmark tells the time."""
    from areacalc.shape.export import export
    from areacalc.shape.profile.revolve import revolve
    from areacalc.shape.profile.sketch import sketch_of
    from areacalc.shape.profile.turn import profile_of

    body = revolve(profile_of(sketch_of("0 30, 40 30 r5, 60 18, 90 18; bore left 8 x 60"), "x"), 1e-4)
    assert len(body.triangles) > 50_000
    export(body, tmp_path / "fine.stl")
    tab = window()
    tab.set_input_files("#files", tmp_path / "fine.stl")
    tab.wait_for_selector('.card.chosen:not(.busy) .name:text-is("fine.stl")')
    drawn(tab)
    view = tab.locator(".view")
    assert int(view.get_attribute("data-calls")) <= 4
    assert int(view.get_attribute("data-triangles")) >= len(body.triangles)


def test_a_narrow_bore_keeps_its_air_until_it_is_filled_with_a_syringe(window):
    tab = window()
    drop(tab, "plate.toml", b'outside = ["0 12", "40 12"]\nunit = "mm"\nbores = ["left 3 x 20 flat"]\n')
    go(tab, "hang")
    tab.select_option("#up-in-bath", "blind-bore-1")
    tab.wait_for_selector('.outcome strong:text("bare in blind-bore-1, nothing carried out.")')
    tab.wait_for_selector('.outcome li:text("blind-bore-1 (3 mm) keeps a bubble")')
    settled(tab)
    bare = figure(tab, "area")
    go(tab, "cover")
    tab.select_option('[aria-label="What to do"]', "fill")
    tab.fill('[aria-label="Where, in words"]', "blind-bore-1")
    tab.press('[aria-label="Where, in words"]', "Enter")
    tab.wait_for_selector('.sentences li:has-text("fill with a syringe: blind-bore-1")')
    settled(tab)
    assert figure(tab, "area") - bare == pytest.approx((math.pi * 3 * 20 + math.pi * 1.5**2) / 100, rel=0.02)
    go(tab, "hang")
    tab.wait_for_selector('.outcome strong:text("No trapped air, ")')


def test_hung_mouth_down_it_traps_air_and_the_best_way_lets_it_out(window):
    tab = window()
    drop(tab, "pen-cap.toml")
    go(tab, "hang")
    tab.select_option("#up-in-bath", "blind-bore-1 down")
    tab.wait_for_selector('.outcome strong:text("bare in blind-bore-1")')
    until(tab, "document.querySelector('#next').textContent.includes('Trapped air')")
    tab.wait_for_selector(".under path.air >> nth=0")
    settled(tab)
    want = command("area", SAMPLES / "pen-cap.toml", "--up", "blind-bore-1 down")["wetted_area_mm2"]["value"]
    assert figure(tab, "area") == pytest.approx(want / 100, rel=5e-4)
    tab.click('#hang button:text("Let it stay bare")')
    until(tab, "document.querySelector('#way a[href=\"#hang\"]').className === 'done'")
    tab.select_option("#up-in-bath", "blind-bore-1")
    tab.select_option("#up-in-bath", "blind-bore-1 down")
    until(tab, "document.querySelector('#way a[href=\"#hang\"]').className === 'wrong'")
    tab.click("text=Find the best way")
    tab.click(".ways button >> nth=0")
    tab.wait_for_selector('.outcome strong:text("No trapped air")')
    until(tab, "document.querySelector('#way a[href=\"#hang\"]').className === 'done'")
    go(tab, "part")
    drop(tab, "ring.stl")
    go(tab, "hang")
    assert tab.locator(".under li").count() == 0, "no pictures of another part"


def test_turned_by_keys_it_hangs_as_it_is_seen(window):
    tab = window()
    drop(tab, "pen-cap.toml")
    go(tab, "hang")
    drawn(tab)
    tab.click("text=Turn it by hand")
    tab.wait_for_selector(".outcome strong")
    first = tab.input_value("#up-in-bath")
    tab.focus(".view canvas")
    for _ in range(5):
        tab.keyboard.press("ArrowDown")
    until(tab, f"document.querySelector('#up-in-bath').value !== {first!r}")
    assert not re.search(r"\d,", tab.locator("#up-in-bath option:checked").inner_text())


def test_what_is_typed_in_a_sketch_counts_at_once_and_a_reload_keeps_it(window):
    tab = window()
    tab.click("#new-sketch")
    tab.wait_for_selector(".grid .spot")
    before = tab.get_attribute(".live", "data-mm2")
    tab.focus('[data-cell="across-1"]')
    tab.keyboard.press("Control+a")
    for letter in "14.5":
        tab.keyboard.type(letter)
    until(tab, f"!['', {before!r}].includes(document.querySelector('.live').dataset.mm2)")
    assert tab.input_value('[data-cell="across-1"]') == "14.5"
    tab.reload()
    tab.wait_for_selector('[data-cell="across-1"]')
    assert tab.input_value('[data-cell="across-1"]') == "14.5"


@pytest.mark.parametrize("name", ["half.csv", "half.dxf"])
def test_a_half_section_as_csv_or_dxf_is_dropped(window, name, tmp_path):
    points = [(0, 6), (40, 6), (40, 5), (60, 4)]
    file = tmp_path / name
    if name.endswith("csv"):
        file.write_text("position,diameter\n" + "".join(f"{x},{2 * r}\n" for x, r in points))
    else:
        import ezdxf

        document = ezdxf.new()
        document.units = ezdxf.units.MM
        document.modelspace().add_lwpolyline([(0, 0), *points, (60, 0)], close=True)
        document.saveas(file)
    tab = window()
    drop(tab, name, file.read_bytes())
    settled(tab)
    want = command("area", file, *([] if name.endswith("dxf") else ["--unit", "mm"]))["wetted_area_mm2"]["value"]
    assert figure(tab, "area") == pytest.approx(want / 100, rel=5e-4)


def test_work_on_a_large_file_can_be_stopped_and_taken_up_again(window, tmp_path):
    from areacalc.shape.export import export
    from areacalc.shape.profile.revolve import revolve
    from areacalc.shape.profile.sketch import sketch_of
    from areacalc.shape.profile.turn import profile_of

    body = revolve(profile_of(sketch_of("0 30, 40 30 r5, 60 18, 90 18; bore left 8 x 60"), "x"), 5e-6)
    assert len(body.triangles) > 400_000
    export(body, tmp_path / "fine.stl")
    tab = window()
    tab.set_input_files("#files", tmp_path / "fine.stl")
    tab.click('.card.busy button:text("Stop")')
    tab.wait_for_selector("body.empty")
    tab.wait_for_selector('.bin:has-text("Taken off")')
    drop(tab, "ring.stl")
    settled(tab)
    assert current(tab) > 0
