"""A run followed on the page with a fast clock: readings, an alarm, a reload, a killed server, and the steps after."""

import signal

import pytest
from browsing import LAPTOP, PHONE, SAMPLES, drop, faults, go, settled, until

from areacalc.logbook.logbook import Logbook

pytestmark = pytest.mark.browser
LOAD = (SAMPLES / "desk-set.toml").read_text()
SPEED = "10"  # a slow machine must be through before the run is


def typed(tab, line):
    """Type a line, and wait until it is answered."""
    tab.fill("#typed", line)
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
    assert "0.3 A is far from the 3 A expected; the same once more" in tab.inner_text("#not-taken")
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
    open_page(tmp_path / "data", "--speed", SPEED)
    until(tab, "document.querySelector('.tank-clock') && !document.querySelector('.tank-live').hidden", 30.0)
    typed(tab, "18 3 20.4")
    until(tab, "!document.querySelector('.tank-alarm')")
    tab.click("#step-done")
    until(
        tab,
        "document.querySelector('#not-taken').textContent.includes('min still to go; next once more ends this step')",
    )
    tab.click("#step-done")
    until(tab, "document.querySelector('.tank-do').textContent.startsWith('Rinse')")
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
    assert asked == ["End run 1? Its readings stay in the logbook."]
    tab.close()
    assert not (tmp_path / "data" / "logbook.sqlite").exists()
    with Logbook(tmp_path / "data" / "rehearsal.sqlite") as book:
        (run,) = book.runs()
        assert run.ended is not None
        assert [r.volts_v for r in book.readings(run.number)] == [12.0, 18.0, 18.0, 18.0, 19.6, 18.0]
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
    until(tab, "document.querySelector('[data-act=run]').className === 'done'")
    tab.close()
