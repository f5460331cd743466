"""What a person does with the page, in Chromium: drop, plug, sketch, count, reload, all by keys, on a phone."""

import json
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest

pytestmark = pytest.mark.browser
BIN = Path(sys.executable).with_name("areacalc")
SAMPLES = Path(__file__).parents[3] / "sample_models"
AXE = (Path(__file__).parent / "axe" / "axe.min.js").read_text("utf-8")
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
PHONE = {"width": 390, "height": 844}


@pytest.fixture
def window(chromium, page, client):
    """Open windows of the page; at the end nothing may have gone elsewhere and nothing been logged as an error."""
    contexts, errors, elsewhere = [], [], []

    def opened(width=1280, height=900, refused="none", **options):
        """refused: the end of the address whose refusals the test itself asks for."""
        context = chromium.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        tab = context.new_page()
        tab.on("console", lambda m: errors.append(m.text) if counts(m, refused) else None)
        tab.on("pageerror", lambda e: errors.append(str(e)))
        tab.on("request", lambda r: None if r.url.startswith((page.origin, "data:")) else elsewhere.append(r.url))
        tab.goto(page.start)
        tab.wait_for_selector("#answer > *")
        return tab

    yield opened
    for context in contexts:
        context.close()
    assert errors == []
    assert elsewhere == []


def counts(message, refused):
    """Whether a line of the console is an error; three reads pixels back where asked, and Chromium tells of that."""
    told = message.type in ("error", "warning") and "GPU stall due to ReadPixels" not in message.text
    return told and not ("status of 4" in message.text and message.location["url"].endswith(refused))


def until(tab, script, longest_s=30.0):
    """Wait for a script to be true; asked from outside, since the page's policy lets no text be run inside it."""
    end = time.monotonic() + longest_s
    while not tab.evaluate(script):
        assert time.monotonic() < end, script
        tab.wait_for_timeout(50)


def figure(tab, name):
    """The number on a tile of the answer."""
    return float(re.search(r"[\d.]+", tab.locator(f'[data-figure="{name}"] strong').inner_text())[0])


def current(tab):
    return figure(tab, "current")


def drop(tab, name, content=None):
    """Drop a file as a hand does."""
    content = (SAMPLES / name).read_bytes() if content is None else content
    tab.evaluate(
        """([name, bytes]) => {
            const data = new DataTransfer();
            data.items.add(new File([new Uint8Array(bytes)], name));
            for (const kind of ["dragenter", "dragover", "drop"]) {
                document.body.dispatchEvent(new DragEvent(kind, {dataTransfer: data, bubbles: true, cancelable: true}));
            }
        }""",
        [name, list(content)],
    )
    tab.wait_for_selector(f'.card.chosen:not(.busy) .name:text-is("{name}")')


def drawn(tab):
    """Wait until the view shows the picture of the part as it is now."""
    until(
        tab,
        """fetch('api/bench').then((r) => r.json()).then(({parts}) => {
            const view = document.querySelector(".view")?.dataset;
            return parts.some((part) => !part.stage && part.view === view?.view) && view.drawn === view.view;
        })""",
    )


def command(*words):
    done = subprocess.run([BIN, *map(str, words), "--json"], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def faults(tab):
    """The serious faults that axe-core finds."""
    tab.evaluate(AXE)
    found = tab.evaluate("axe.run(document, {resultTypes: ['violations']})")
    bad = [v for v in found["violations"] if v["impact"] in ("serious", "critical")]
    return [(v["id"], [n["html"][:120] for n in v["nodes"]][:3]) for v in bad]


def test_drop_an_stl_plug_a_bore_read_the_new_current(window):
    tab = window()
    drop(tab, "ring.stl")
    tab.wait_for_selector(".view[data-view] canvas")
    want = command("current", SAMPLES / "ring.stl")["current_a"]
    assert current(tab) == pytest.approx(want["set"], rel=5e-3)
    tab.click('[aria-label="Plug bore-1"]')
    tab.wait_for_selector('tr[data-name="bore-1"] td:text("plugged")')
    less = command("current", SAMPLES / "ring.stl", "--plug", "bore-1")["current_a"]
    until(tab, f"document.querySelector('[data-figure=current] strong').textContent.startsWith('{less['set']:.3g}')")
    tab.click('[data-figure="current"]')
    worked = tab.locator("dialog[open]").inner_text()
    assert "area x density" in worked
    assert "common practice" in worked
    tab.keyboard.press("Escape")
    assert tab.locator("dialog[open]").count() == 0


def test_a_click_in_the_view_finds_the_feature_under_it(window):
    tab = window()
    drop(tab, "ring.stl")
    drawn(tab)
    box = tab.locator(".view canvas").bounding_box()
    names = set()
    for share in (0.36, 0.4, 0.44, 0.48, 0.52, 0.56, 0.6):
        tab.mouse.click(box["x"] + box["width"] * share, box["y"] + box["height"] * 0.5)
        chosen = tab.locator(".picked strong")
        names.add(chosen.inner_text() if chosen.count() else "")
    assert {"outside", "bore-1"} <= names
    tab.mouse.click(box["x"] + 6, box["y"] + 6)
    assert tab.locator(".picked strong").count() == 0


def test_the_view_is_coloured_by_state(window):
    tab = window()
    drop(tab, "ring.stl")
    tab.wait_for_selector(".view[data-view] canvas")
    tab.click('[aria-label="Mask outside"]')
    tab.wait_for_selector('tr[data-name="outside"] td:text("masked")')
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
    tab.wait_for_selector(".card:not(.busy)")
    until(tab, "document.querySelectorAll('.skin tbody tr').length > 3")
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
    tab.mouse.click(box["x"] + box["width"] * 0.92, box["y"] + box["height"] * 0.6)
    tab.wait_for_selector('[data-cell="at-2"]')
    assert float(tab.input_value('[data-cell="at-2"]')) > 40
    spots = tab.locator(".grid .spot")
    assert spots.count() == 3
    before = spots.nth(1).get_attribute("cx")
    tab.fill('[data-cell="at-1"]', "30")
    tab.press('[data-cell="at-1"]', "Tab")
    assert spots.nth(1).get_attribute("cx") != before
    spots.nth(1).focus()
    tab.keyboard.press("ArrowRight")
    assert float(tab.input_value('[data-cell="at-1"]')) > 30
    tab.click("text=Undo")
    assert tab.input_value('[data-cell="at-1"]') == "30"
    tab.click("text=Undo")
    assert tab.input_value('[data-cell="at-1"]') == "40"
    tab.click("text=Redo")
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
    tab.press('[aria-label="How many of ring.stl"]', "Tab")
    ring, cleat = (command("area", SAMPLES / n)["wetted_area_mm2"]["value"] for n in ("ring.stl", "cleat.stl"))
    shown = f"{(3 * ring + cleat) / 100:.4g}"
    until(tab, f"document.querySelector('[data-figure=area] strong').textContent.startsWith('{shown}')")
    tab.locator('input[name="show"][value="in"]').check(force=True)
    until(tab, "document.querySelector('[data-figure=area] strong').textContent.endsWith('in²')")
    before = tab.locator("#answer").inner_text()
    tab.reload()
    tab.wait_for_selector('[data-figure="area"]')
    assert tab.locator("#answer").inner_text() == before
    assert tab.input_value('[aria-label="How many of ring.stl"]') == "3"
    assert tab.locator(".card.chosen .name").inner_text() == "cleat.stl"


def test_two_windows_see_each_other(window):
    one, two = window(), window()
    drop(one, "ring.stl")
    two.wait_for_selector('.card .name:text-is("ring.stl")')
    one.fill('[aria-label="How many of ring.stl"]', "2")
    one.press('[aria-label="How many of ring.stl"]', "Tab")
    until(two, "document.querySelector('[aria-label=\"How many of ring.stl\"]').value === '2'")


def test_a_bad_file_gives_its_line_on_the_page(window):
    tab = window()
    drop(tab, "torn.stl", TORN)
    line = tab.locator(".refused").inner_text()
    assert line.startswith("torn.stl, triangle 1")
    assert "fault" not in line
    assert "torn.stl cannot be used" in tab.locator("#answer").inner_text()


def test_all_by_keys(window):
    """Choose a sample, plug its bore, count it, read how the current was worked out, and never touch the mouse."""
    tab = window()

    def tab_to(selector, most=80):
        for _ in range(most):
            if tab.locator(selector).first.evaluate("(e) => e === document.activeElement"):
                return
            tab.keyboard.press("Tab")
        pytest.fail(f"{selector} is not reached by Tab")

    tab_to('#sample-buttons button:has-text("lamp knob, turned")')
    tab.keyboard.press("Enter")
    tab.wait_for_selector(".card:not(.busy)")
    tab.wait_for_selector(".view[data-view] canvas")
    before = current(tab)
    tab_to('[aria-label^="How many of"]')
    tab.keyboard.press("Control+a")
    tab.keyboard.type("2")
    tab.keyboard.press("Tab")
    until(tab, f"parseFloat(document.querySelector('[data-figure=current] strong').textContent) > {1.5 * before}")
    tab_to(".view canvas")
    for key in ("ArrowLeft", "ArrowUp", "+", ".", "."):
        tab.keyboard.press(key)
    assert tab.locator(".picked strong").count() == 1
    tab_to('[aria-label="Plug blind-bore-1"]')
    twice = current(tab)
    tab.keyboard.press("Enter")
    tab.wait_for_selector('tr[data-name="blind-bore-1"] td:text("plugged")')
    assert current(tab) < twice
    tab.evaluate("document.activeElement.blur()")
    tab_to('[data-figure="current"]')
    tab.keyboard.press("Enter")
    tab.wait_for_selector("dialog[open]")
    tab.keyboard.press("Escape")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_serious_fault(window, scheme):
    tab = window(color_scheme=scheme)
    assert faults(tab) == []
    tab.click("#new-sketch")
    tab.wait_for_selector(".grid .spot")
    tab.click('[data-cell="add-left"]')
    tab.click("#example")
    tab.wait_for_selector("#plan h2", state="attached")
    drawn(tab)
    assert faults(tab) == []
    tab.click('[data-figure="current"]')
    assert faults(tab) == []


def test_on_a_phone_nothing_runs_off_the_side_and_the_answer_stays_in_sight(window):
    tab = window(**PHONE, has_touch=True, is_mobile=True, device_scale_factor=2)
    drop(tab, "ring.stl")
    tab.wait_for_selector(".view[data-view] canvas")
    assert tab.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    tab.locator(".skin").scroll_into_view_if_needed()
    box = tab.locator('[data-figure="current"]').bounding_box()
    assert box["y"] >= 0
    assert box["y"] + box["height"] < PHONE["height"] / 2
    tab.tap('[aria-label="Plug bore-1"]')
    tab.wait_for_selector('tr[data-name="bore-1"] td:text("plugged")')
    button = tab.locator('[aria-label="Mask bore-1"]').bounding_box()
    assert button["x"] + button["width"] <= PHONE["width"]
    assert faults(tab) == []
    tab.tap("#new-sketch")
    tab.wait_for_selector(".grid .spot")
    tab.tap('[data-cell="add-left"]')
    tab.wait_for_selector('[data-cell="bore-0-across-0"]')
    assert tab.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_the_plan_appears_with_bath_and_tank_and_marks_a_wrong_field(window):
    tab = window(refused="/api/plan")
    drop(tab, "lamp-knob.toml")
    tab.click("#example")
    tab.wait_for_selector("#plan table")
    assert tab.locator('[data-figure="time"]').count() == 1
    assert tab.locator("svg.tank .hung").count() == 1
    tab.fill('[aria-label="Remark for the logbook"]', "even, deep")
    tab.click("text=Write this run down")
    tab.wait_for_selector("#plan li:has-text('even, deep')")
    acid = tab.locator('input[name="bath acid"]')
    acid.fill("strong")
    acid.press("Tab")
    tab.wait_for_selector('input[name="bath acid"][aria-invalid="true"]')
    assert tab.locator('[data-figure="time"]').count() == 0


def test_the_plan_below_follows_every_change_of_the_rack(window):
    tab = window()
    drop(tab, "lamp-knob.toml")
    tab.click("#example")
    tab.wait_for_selector("#plan table")
    rows = tab.locator('#plan tr:has-text("current to set") td')
    tab.evaluate("""() => {
        window.told = [];  // all that the current in sight says, however short a time it stands there
        const now = () => window.told.push(document.querySelector("[data-figure='current']")?.textContent ?? "");
        new MutationObserver(now).observe(document.getElementById("answer"), {childList: true, subtree: true});
    }""")
    for count in (2, 40, 1):  # 40 knobs want more than the supply gives: the plan says that it cannot be run
        before, many = rows.first.inner_text(), tab.locator('[aria-label^="How many of"]')
        tab.evaluate("() => { window.told.length = 0; }")
        many.fill(str(count))
        many.press("Tab")
        tab.wait_for_function(
            "was => { const cell = [...document.querySelectorAll('#plan tr')].find((r) => "
            "r.textContent.includes('current to set')); return cell?.children[1].textContent !== was; }",
            arg=before,
        )
        tab.wait_for_selector('#plan[aria-busy="false"]')
        assert any("of before" in told for told in tab.evaluate("window.told"))
        until(tab, "!document.getElementById('answer').textContent.includes('of before')")
        title = "The plan: it cannot be run as asked" if count == 40 else "The plan"
        assert tab.inner_text("#plan-title") == title
        assert rows.first.inner_text() == tab.inner_text('[data-figure="current"] strong')


def test_the_rack_stays_in_sight_and_never_lies_over_the_settings(window):
    tab = window()
    drop(tab, "lamp-knob.stl")
    tab.wait_for_selector(".view[data-view] canvas")
    place = """() => {
        const [rack, load] = ['rack', 'load'].map((id) => document.getElementById(id).getBoundingClientRect());
        return {rack: rack.top, over: Math.max(0, rack.bottom - load.top)};
    }"""
    tab.mouse.wheel(0, 250)
    tab.wait_for_timeout(300)
    assert 0 < tab.evaluate(place)["rack"] < 300
    for _ in range(4):
        tab.mouse.wheel(0, 400)
        tab.wait_for_timeout(300)
        assert tab.evaluate(place)["over"] == 0


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
    tab.wait_for_selector(".view[data-view] canvas")
    assert current(tab) > 0


def test_hung_mouth_down_it_traps_air_and_the_best_way_lets_it_out(window):
    tab = window()
    drop(tab, "pen-cap.toml")
    tab.select_option("#up-in-bath", "blind-bore-1 down")
    tab.wait_for_selector('.outcome strong:text("Trapped air")')
    tab.wait_for_selector('tr[data-name="blind-bore-1"] td:text("airlocked")')
    tab.wait_for_selector("#answer .warning.harms:has-text('trapped air')")
    tab.wait_for_selector(".under path.air >> nth=0")
    want = command("area", SAMPLES / "pen-cap.toml", "--up", "blind-bore-1 down")["wetted_area_mm2"]["value"]
    assert figure(tab, "area") == pytest.approx(want / 100, rel=5e-4)
    tab.click("text=Find the best way")
    tab.click(".ways button >> nth=0")
    tab.wait_for_selector('.outcome strong:text("No trapped air")')
    assert tab.locator("#answer .warning.harms").count() == 0


def test_turned_by_keys_it_hangs_as_it_is_seen(window):
    tab = window()
    drop(tab, "pen-cap.toml")
    drawn(tab)
    tab.click("text=Turn it to hang it")
    tab.wait_for_selector(".outcome strong")
    first = tab.input_value("#up-in-bath")
    tab.focus(".view canvas")
    for _ in range(5):
        tab.keyboard.press("ArrowDown")
    until(tab, f"document.querySelector('#up-in-bath').value !== {first!r}")
    tab.wait_for_selector(".card:not(.busy)")


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
    want = command("area", file, *([] if name.endswith("dxf") else ["--unit", "mm"]))["wetted_area_mm2"]["value"]
    assert figure(tab, "area") == pytest.approx(want / 100, rel=5e-4)


def test_the_load_file_is_saved_and_opened_as_the_command_line_has_it(window, tmp_path):
    tab = window()
    drop(tab, "pen-body.toml")
    tab.click("#example")
    tab.wait_for_selector("#plan table")
    with tab.expect_download() as saved:
        tab.click("text=Save as a load file")
    saved.value.save_as(tmp_path / "load.toml")
    (tmp_path / "pen-body.toml").write_bytes((SAMPLES / "pen-body.toml").read_bytes())
    plan = command("plan", tmp_path / "load.toml")
    assert figure(tab, "time") == pytest.approx(plan["figures"]["time"]["value"] / 60, rel=5e-3)
    tab.locator('input[name="bath acid"]').fill("150 g/L")
    tab.locator('input[name="bath acid"]').press("Tab")
    tab.set_input_files("#load-in", tmp_path / "load.toml")
    until(tab, """document.querySelector('input[name="bath acid"]').value === '180 g/L'""")
    with tab.context.expect_page() as sheet:
        tab.click("text=Run sheet to print")
    sheet.value.wait_for_load_state()
    assert "pen-body" in sheet.value.inner_text("body")


def test_work_on_a_large_file_can_be_stopped(window, tmp_path):
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
    tab.wait_for_selector('#say button:text("Put it back")')
    tab.wait_for_selector("main.empty")
    drop(tab, "ring.stl")
    assert current(tab) > 0
