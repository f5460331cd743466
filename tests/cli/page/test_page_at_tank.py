"""A run followed on the page with a fast clock: readings, an alarm, a reload, a killed server, and the steps after."""

import re
import signal

import pytest
from browsing import LAPTOP, PHONE, SAMPLES, drop, faults, go, settled, until

from areacalc.logbook.logbook import Logbook

pytestmark = pytest.mark.browser
LOAD = (SAMPLES / "desk-set.toml").read_text()
SPEED = "10"  # a slow machine must be through before the run is


def typed(tab, line):
    """Type a line, and wait until it is answered: a word, or volts, amperes and bath each in its field."""
    words = line.split() if line[0].isdecimal() else [line]
    for name, value in zip(("typed", "typed-amps", "typed-bath"), words, strict=False):
        tab.fill(f"#{name}", value)
    tab.click("#keep")
    until(tab, "document.querySelector('#typed').value === '' || document.querySelector('#not-taken').textContent")


def at_run(tab, address):
    """Open the page at the run."""
    tab.goto(address)
    tab.wait_for_selector("#figures > *", state="attached")
    go(tab, "run")


@pytest.fixture
def page(open_page, tmp_path):
    return open_page(tmp_path / "data", "--speed", SPEED)


def bench(tab):
    """The sample load on the bench: its text, then its parts."""
    for name in ("pen-body.toml", "pen-cap.toml", "lamp-knob.toml"):
        drop(tab, name)
    drop_load(tab)
    settled(tab)


def drop_load(tab):
    from browsing import hand_over

    hand_over(tab, "desk-set.toml", LOAD.encode())
    until(tab, "fetch('api/bench').then((r) => r.json()).then(({settings}) => settings.name === 'desk set')")


def test_a_run_goes_on_through_a_reload_and_a_killed_server(chromium, open_page, page, tmp_path):
    tab = chromium.new_page(viewport=LAPTOP)
    asked: list[str] = []
    tab.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.accept()))
    tab.goto(page.start)
    tab.wait_for_selector("#figures > *", state="attached")
    bench(tab)
    go(tab, "run")
    until(tab, "!document.querySelector('#begin').disabled")
    tab.click("#begin")
    tab.wait_for_selector(".tank-live:not([hidden])")
    assert "Raise evenly" in tab.inner_text(".tank-do")
    typed(tab, "seventeen")
    assert "is not a reading" in tab.inner_text("#not-taken")
    typed(tab, "12.0 1.2 20.1")
    until(tab, "document.querySelector('.tank-do').textContent.startsWith('Hold 3 A')", 60.0)
    typed(tab, "18 0.3")
    assert "0.3 A is far from the 3 A expected; write it down once more if the meter" in tab.inner_text("#not-taken")
    tab.fill("#typed-amps", "")
    for _ in range(3):
        typed(tab, "18 3 20.3")
    assert tab.inner_text("#take-back").startswith("Take back: 18 V, 3 A, 20.3 °C at ")
    typed(tab, "17 2.9")
    typed(tab, "undo")
    assert tab.inner_text("#taken").startswith("taken back: 17 V, 2.9 A at ")
    assert tab.inner_text("#step-done") == "The current is off: next, rinse"
    tab.reload()
    tab.wait_for_selector(".tank-live:not([hidden])")
    assert "18 V" in tab.inner_text(".tank-meters")
    typed(tab, "19.6 3")
    until(tab, "document.querySelector('.tank-alarm')")
    assert "of the planned surface takes current" in tab.inner_text(".tank-alarm")
    assert faults(tab) == []
    assert tab.inner_text("#other-load") == ""
    page.process.send_signal(signal.SIGKILL)
    page.process.wait()
    before = tab.inner_text(".tank-clock")
    until(tab, "document.querySelector('.tank-live.alone')")
    until(tab, f"document.querySelector('.tank-clock').textContent !== '{before}'")  # the clock goes on by itself
    open_page(tmp_path / "data", "--speed", SPEED)
    until(tab, "!document.querySelector('.tank-live.alone')", 30.0)
    until(tab, "document.querySelector('.tank-clock') && !document.querySelector('.tank-live').hidden", 30.0)
    typed(tab, "18 3 20.4")
    until(tab, "!document.querySelector('.tank-alarm')")
    tab.click(".tank-live summary")
    assert "18 V, 3 A, 20.4 °C at " in tab.inner_text(".tank-live details li >> nth=0")
    assert not tab.is_visible("#write")
    tab.click("#step-done")
    until(tab, "document.querySelector('.tank-do').textContent.startsWith('Rinse')")
    assert "Look for: " in tab.inner_text("#step-does")
    assert "before its time." in tab.inner_text("#off-early")
    assert tab.inner_text("#off-early button") == "The current is still on"
    tab.fill("#note", "parts look even")
    tab.click("#keep")
    until(tab, "document.querySelector('#note').value === '' || document.querySelector('#not-taken').textContent")
    assert tab.inner_text("#not-taken") == ""
    until(tab, "document.querySelector('.tank-do').classList.contains('due')", 30.0)
    tab.evaluate("fetch('api/bench').then((r) => r.json()).then(({settings}) => fetch('api/settings', {method: 'PATCH',"
                 "headers: {'content-type': 'application/json'},"
                 "body: JSON.stringify({revision: settings.revision, change: {name: 'ash trays'}})}))")  # fmt: skip
    until(
        tab,
        "document.querySelector('#other-load').textContent.includes('3 A; on the bench is ‘ash trays’')",
    )
    tab.click("#run-over")
    tab.wait_for_selector("#begin")
    assert asked == ["End the rehearsal? The logbook has nothing of it."]
    assert re.match(
        r"The rehearsal is over: 0[.]\d+ Ah, .* The logbook has nothing of it[.]", tab.inner_text("#run-done")
    )
    assert "parts look even at" in tab.inner_text("#practised")
    tab.close()
    assert not (tmp_path / "data" / "logbook.sqlite").exists()
    with Logbook(tmp_path / "data" / "rehearsal.sqlite") as book:
        (run,) = book.runs()
        assert run.ended is not None
        assert [r.volts_v for r in book.readings(run.number)] == [12.0, 18.0, 18.0, 18.0, 19.6, 18.0, None]
        assert [b.step for b in book.begun(run.number)] == ["anodise", "rinse acid off"]


def test_the_clock_is_large_and_nothing_is_cut_off_on_a_phone(chromium, page):
    tab = chromium.new_page(viewport=PHONE)
    tab.goto(page.start)
    tab.wait_for_selector("#figures > *", state="attached")
    bench(tab)
    go(tab, "run")
    until(tab, "!document.querySelector('#begin').disabled")
    tab.click("#begin")
    tab.wait_for_selector(".tank-live:not([hidden])")
    assert tab.evaluate("parseFloat(getComputedStyle(document.querySelector('.tank-clock')).fontSize)") > 35
    assert tab.evaluate("document.documentElement.scrollWidth <= innerWidth")
    tab.close()


def test_a_run_that_is_over_stands_in_the_list_at_once_and_is_not_asked_for_again(chromium, open_page, tmp_path):
    tab = chromium.new_page(viewport=LAPTOP)
    tab.on("dialog", lambda dialog: dialog.accept())
    tab.goto(open_page(tmp_path / "data").start)
    tab.wait_for_selector("#figures > *", state="attached")
    bench(tab)
    go(tab, "run")
    until(tab, "!document.querySelector('#begin').disabled")
    assert "No run is written down yet." in tab.inner_text(".runs")
    tab.click("#begin")
    tab.wait_for_selector(".tank-live:not([hidden])")
    tab.click("#run-over")
    until(tab, "document.querySelector('.runs').textContent.includes('desk set: no current flowed')")
    until(tab, "!document.querySelector('[data-act=run]').className.includes('done')")
    assert tab.locator('.runs button:text("repeat")').count() == 0  # no current flowed: nothing to repeat
    assert "All done" not in tab.inner_text("#next")
    result = tab.locator(".runs form.result")
    result.locator("[name=remark]").fill("stopped early, redo")
    result.locator("select").select_option("bad")
    result.locator("button").click()
    until(tab, "document.querySelector('.runs').textContent.includes('bad; stopped early, redo')")
    tab.click('.runs button:text("strike out")')
    until(tab, "document.querySelector('.runs s')?.textContent.startsWith('Run 1')")
    tab.click('.runs button:text("put it back")')
    until(tab, "!document.querySelector('.runs s')")
    tab.close()
    with Logbook(tmp_path / "data" / "logbook.sqlite") as book:
        (run,) = book.runs()  # one run, with its remark: none was made up beside it
        assert (run.remark, book.logged(run).judged) == ("stopped early, redo", "bad")


def test_a_rehearsal_tells_of_the_run_that_goes_on_in_earnest(chromium, open_page, tmp_path):
    tab = chromium.new_page(viewport=LAPTOP)
    real = open_page(tmp_path / "data")
    tab.goto(real.start)
    tab.wait_for_selector("#figures > *", state="attached")
    bench(tab)
    go(tab, "run")
    until(tab, "!document.querySelector('#begin').disabled")
    tab.check(".steps input >> nth=0")
    tab.click("#begin")
    tab.wait_for_selector(".tank-live:not([hidden])")
    until(tab, "document.querySelector('.tank-left').textContent.includes('left, off at ')")
    until(tab, "document.querySelector('.steps [aria-current]')?.textContent.includes('anodise')")
    go(tab, "plan")
    assert tab.inner_text("#next").startswith("Next, Run: Raise evenly to")
    real.stop()
    tab.goto(open_page(tmp_path / "data", "--speed", SPEED).start)
    tab.wait_for_selector("#figures > *", state="attached")
    go(tab, "run")
    until(tab, "document.querySelector('#real-run').textContent.includes('goes on at the tank since')")
    until(tab, "document.querySelector('.runs').textContent.includes('unfinished')")
    tab.close()
