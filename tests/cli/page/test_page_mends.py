"""What a person who had only the page stopped at: told where it is chosen, and mended from where it is told."""

import pytest
from browsing import LAPTOP, drawn, drop, go, knobs_in_the_tank, settled, tab_to, until

from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Begun, Run

pytestmark = pytest.mark.browser
LOST = Run(when="", load="a stranger's", area_mm2=1e4, current_a=3.0, density_a_per_dm2=2.0, run_s=1000.0, film_um=11.0,
           acid_g_per_l=180.0, aluminium_g_per_l=5.0, temperature_c=20.0, key="k", folder="/gone",
           text='[[part]]\nfile = "gone.stl"\n[bath]\nacid = "180 g/L"\ntemperature = "20 C"\n'
                '[tank]\nvolume = "9 L"\n')  # fmt: skip


def planned(tab):
    until(tab, "!document.querySelector('#plan').getAttribute('aria-busy')?.includes('true')")
    settled(tab)


def test_the_coating_that_a_dye_needs_is_told_where_it_is_chosen_and_set_by_a_button(window):
    tab = window(refused="api/plan")
    knobs_in_the_tank(tab, 2)
    planned(tab)
    assert "takes a dark shade; black needs 18.7 µm" in tab.inner_text("#shade-line")
    tab.fill('[name="finish dye"]', "deep black")
    tab.press('[name="finish dye"]', "Tab")
    until(
        tab, "document.querySelector('#shade-line').textContent.includes('needs 18.7 µm; this load is planned for 12')"
    )
    tab.get_by_role("button", name="Set the thickness to 18.7 µm").click()
    until(tab, "document.querySelector('[name=\"finish thickness\"]').value === '18.7'")
    until(tab, "document.querySelector('#shade-line').textContent === 'A black shade needs 18.7 µm.'")
    tab.select_option('[name="finish shade"]', "pale")
    until(tab, "document.querySelector('[name=\"finish thickness\"]').value === ''")  # the shade took its place
    tab.fill('[name="finish thickness"]', "12")
    tab.press('[name="finish thickness"]', "Tab")
    until(tab, "document.querySelector('[name=\"finish shade\"]').value === ''")
    assert tab.locator(".field.wrong").count() == 0
    planned(tab)


def test_a_fault_is_a_way_to_the_field_that_mends_it_by_keys_alone(window):
    tab = window()
    knobs_in_the_tank(tab, 2)
    tab.fill('[name="supply voltage"]', "14")
    tab.press('[name="supply voltage"]', "Tab")
    planned(tab)
    go(tab, "plan")
    tab.wait_for_selector("#plan .faults .mends")
    reason = tab.locator("#plan .reason").inner_text()
    assert reason.startswith("12 µm asked, ")
    assert "aimed at, so that 95 of 100 runs reach 12 µm" in reason
    tab_to(tab, '[aria-label="Go to Power supply: voltage"]')
    tab.keyboard.press("Enter")
    until(tab, "document.activeElement.name === 'supply voltage'")
    tab.go_back()
    tab.wait_for_selector("#plan:not([hidden])")
    tab.get_by_role("button", name="Set current to").focus()
    tab.keyboard.press("Enter")
    until(tab, "document.activeElement.name === 'supply current'")
    planned(tab)
    go(tab, "plan")
    until(tab, "!document.querySelector('#plan').textContent.includes('at its limit of 14 V')")


def test_a_field_deep_down_is_opened_and_the_next_step_leads_to_the_field(window):
    tab = window(refused="api/plan")
    knobs_in_the_tank(tab, 2)
    planned(tab)
    go(tab, "plan")
    tab.get_by_role("button", name="Go to Finish: certainty").click()
    until(tab, "document.activeElement.name === 'finish certainty'")
    assert tab.locator('[name="finish certainty"]').is_visible()
    tab.fill('[name="bath acid"]', "nonsense")
    tab.press('[name="bath acid"]', "Tab")
    until(tab, "document.querySelector('#next').textContent.includes('bath acid')")
    go(tab, "hang")
    tab.click("#next a")
    until(tab, "document.activeElement.name === 'bath acid'")


def test_narrow_bores_are_filled_from_the_fault_that_names_them(window):
    tab = window()
    drop(tab, "lamp-knob.step")
    go(tab, "hang")
    tab.select_option("#up-in-bath", "x-")
    go(tab, "tank")
    tab.click("#example")
    planned(tab)
    go(tab, "plan")
    tab.get_by_role("button", name="Fill blind-bore-1 with a syringe").click()
    until(tab, "fetch('api/bench').then((r) => r.json()).then(({parts}) => parts[0].choices.fill?.length === 1)")
    planned(tab)
    go(tab, "plan")
    until(tab, "!document.querySelector('#plan').textContent.includes('may keep a')")


def test_the_rack_is_not_done_before_cathodes_and_power_supply_are_given(window):
    tab = window(refused="api/plan")
    drop(tab, "ring.stl")
    go(tab, "tank")
    for name, value in (("bath acid", "180"), ("bath temperature", "20"), ("tank length", "320"),
                        ("tank width", "125"), ("tank depth", "250")):  # fmt: skip
        tab.fill(f'[name="{name}"]', value)
        tab.press(f'[name="{name}"]', "Tab")
    until(tab, "document.querySelector('#way a[href=\"#tank\"]').title === 'Fill in the cathodes: count.'")
    assert tab.get_attribute('#way a[href="#tank"]', "class") == "open"


def test_no_message_covers_a_button(window):
    tab = window()
    knobs_in_the_tank(tab, 2)
    planned(tab)
    go(tab, "run")
    tab.wait_for_selector("#sheet:not([hidden])")
    tab.click("#undo")
    until(tab, "document.querySelector('#say').textContent.startsWith('Taken back: ')")
    planned(tab)
    tab.click("#redo")
    until(tab, "document.querySelector('#say').textContent.startsWith('Made again: ')")
    tab.wait_for_selector("#sheet:not([hidden])")
    at = tab.locator("#sheet").bounding_box()
    bar = tab.locator("#say p").bounding_box()
    assert bar["y"] + bar["height"] <= at["y"]


def test_the_wire_that_a_part_hangs_by_is_in_sight(window):
    tab = window()
    drop(tab, "lamp-knob.step")
    go(tab, "hang")
    drawn(tab)
    tab.get_by_role("button", name="Find the best way").click()
    tab.get_by_role("button", name="Hang it this way").first.click()
    tab.wait_for_selector('.labels button:text-is("up")')
    tab.wait_for_timeout(1000)  # the names are written once it rests
    tops = tab.locator(".leaders circle").evaluate_all("(all) => all.map((e) => e.getBoundingClientRect().top)")
    assert min(tops) > tab.locator(".view").bounding_box()["y"]


def test_cut_open_by_hand_it_shows_the_bore_along_its_axis(window):
    tab = window()
    drop(tab, "lamp-knob.step")  # its bore lies along x
    go(tab, "cover")
    drawn(tab)
    tab.get_by_label("cut open").check()
    assert tab.input_value('[aria-label="Cut across"]') in ("1", "2")
    assert float(tab.input_value('[aria-label="Where it is cut"]')) == pytest.approx(0.5, abs=0.01)


def test_a_run_whose_load_is_gone_is_told_and_ended_from_the_page(chromium, open_page, tmp_path):
    from datetime import datetime

    with Logbook(tmp_path / "data" / "logbook.sqlite") as book:
        import msgspec

        now = datetime.now().astimezone().isoformat(timespec="seconds")
        run, _ = book.add_run(msgspec.structs.replace(LOST, when=now))
        book.begin(Begun(run=run.number, at_s=0.0, step="anodise"))
    tab = chromium.new_page(viewport=LAPTOP)
    asked = []
    tab.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.accept()))
    tab.goto(open_page(tmp_path / "data").start)
    tab.wait_for_selector("#figures > *", state="attached")
    go(tab, "run")
    tab.get_by_role("button", name="End run 1").click()
    tab.wait_for_selector("#begin:not([hidden])")
    assert asked == ["End run 1 now? Its readings stay in the logbook."]
    with Logbook(tmp_path / "data" / "logbook.sqlite") as book:
        assert book.at_the_tank() is None
    tab.close()
