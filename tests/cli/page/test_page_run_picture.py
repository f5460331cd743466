"""A run of the logbook drawn by the page."""

from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Run

RUN = Run(when="2026-03-03T10:00", load="pens", area_mm2=1e4, current_a=2.5, density_a_per_dm2=2.5, run_s=1800.0,
          film_um=14.0, acid_g_per_l=180.0, aluminium_g_per_l=3.0, temperature_c=20.0)  # fmt: skip


def test_a_run_is_drawn_and_one_that_is_none_is_told(page, client):
    with Logbook(page.data / "logbook.sqlite") as book:
        run, _ = book.add_run(RUN)
    answer = client.get(f"/api/runs/{run.number}/picture")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "image/svg+xml"
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    assert "pens" in answer.text
    assert "is not in the logbook" in client.get("/api/runs/999/picture").json()["error"]["line"]
    assert client.get("/api/runs/none/picture").status_code == 422
