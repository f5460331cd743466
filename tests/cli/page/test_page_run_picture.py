"""A run of the logbook drawn by the page."""

import msgspec
import pytest
from browsing import LAPTOP, faults, go, until

from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Outcome, Run

RUN = Run(when="2026-03-03T10:00", load="pens", area_mm2=1e4, current_a=2.5, density_a_per_dm2=2.5, run_s=1800.0,
          film_um=14.0, acid_g_per_l=180.0, aluminium_g_per_l=3.0, temperature_c=20.0)  # fmt: skip


@pytest.mark.slow
def test_a_run_is_drawn_and_one_that_is_none_is_told(page, client):
    with Logbook(page.data / "logbook.sqlite") as book:
        run, _ = book.add_run(RUN)
    answer = client.get(f"/api/runs/{run.number}/picture")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "image/svg+xml"
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    assert "pens" in answer.text
    for kind, begins in (("png", b"\x89PNG"), ("pdf", b"%PDF")):
        shown = client.get(f"/api/runs/{run.number}/picture?kind={kind}")
        assert shown.content.startswith(begins)
        assert ("sandbox" in shown.headers["content-security-policy"]) == (kind == "png")  # one that is printed
    months = client.get("/api/months/coating")
    assert "pens" in months.text
    assert client.get("/api/months/hue").status_code == client.get("/api/months/coating?kind=gif").status_code == 422
    assert "is not in the logbook" in client.get("/api/runs/999/picture").json()["error"]["line"]
    assert client.get("/api/runs/none/picture").status_code == 422
    opened = client.get("/api/runs/999/picture", headers={"accept": "text/html,*/*"})  # as a tab asks
    assert opened.headers["content-type"].startswith("text/plain")
    assert "is not in the logbook" in opened.text


@pytest.mark.browser
def test_a_colour_is_looked_up_over_all_loads_and_opened_to_print(chromium, open_page, tmp_path):
    with Logbook(tmp_path / "logbook.sqlite") as book:
        book.add_run(msgspec.structs.replace(RUN, dye="night blue"))
        lamp, _ = book.add_run(msgspec.structs.replace(RUN, load="lamp", when="2026-04-03T10:00", dye="ink"))
        book.add_outcome(Outcome(run=lamp.number, colour="Deep Red", fault="light rim"))
    tab = chromium.new_page(viewport=LAPTOP)
    tab.goto(open_page(tmp_path).start)
    tab.wait_for_selector("#figures > *", state="attached")
    go(tab, "run")
    until(tab, "document.querySelectorAll('.runs li').length === 2")
    tab.fill("#runs-with", "red deep")
    until(tab, "document.querySelectorAll('.runs li').length === 1")
    said = tab.inner_text(".runs li")
    assert "lamp: " in said
    assert "planned, dyed ink, came out Deep Red, fault: light rim" in said
    assert tab.get_attribute(".runs a >> nth=1", "href") == f"api/runs/{lamp.number}/picture?kind=pdf"
    tab.click(".runs button:text-is('repeat')")
    until(tab, "fetch('api/bench').then((r) => r.json()).then((b) => b.settings.tables.finish?.repeat === 'run 2')")
    box = "document.querySelector('[name=\"finish thickness\"]')"
    until(tab, f"Number({box}.value) === {RUN.film_um:.4g}")
    go(tab, "tank")
    assert "Repeats run 2: " in tab.inner_text("#shade-line")
    tab.click("[data-act='stop repeating']")
    until(tab, "!document.querySelector('#shade-line').textContent.includes('Repeats')")
    go(tab, "run")
    with tab.expect_popup() as opened:
        tab.select_option("#months", "coating")
    assert opened.value.url.endswith("api/months/coating")
    tab.fill("#runs-with", "yellow")
    assert "No such runs" in tab.inner_text(".runs")
    assert faults(tab) == []
    tab.close()
