"""The shop's baths and tanks on the page are those of the logbook."""

import json

import msgspec
import pytest
from areacalc_cli.page import shop
from areacalc_cli.page.bench import Bench, Settings
from areacalc_cli.page.load_text import load_text
from areacalc_cli.page.store import MARKER, Store
from browsing import SAMPLES

from areacalc.errors import BadInput, UnknownName
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Event, Outcome
from areacalc.plan.entry import run_of
from areacalc.plan.load_book import LoadBook

BATH = {"acid": "180 g/L", "temperature": "20 C"}


def test_what_is_kept_on_the_page_is_in_the_logbook_and_the_other_way_round():
    shop.keep("bath", "the small one", BATH)
    with Logbook() as book:
        assert book.vessel("bath", "The Small One").settings == BATH
        book.keep_vessel("tank", "the long one", {"volume": "10 L"})
    assert shop.shop_tables() == {"bath": {"the small one": BATH}, "tank": {"the long one": {"volume": "10 L"}}}
    assert shop.names_of({"bath": BATH, "tank": {"volume": "12 L"}}) == {"bath": "the small one"}
    shop.keep("bath", "the small one", None)
    assert shop.shop_tables()["bath"] == {}


@pytest.mark.parametrize(("table", "name", "values", "says"), [
    ("bath", " ", {}, "needs a name"), ("bath", "x", {"hue": 1}, "hue"),
    ("bath", "x", None, "'x' is not known"),
])  # fmt: skip
def test_what_cannot_be_kept_is_told(table, name, values, says):
    with pytest.raises((BadInput, UnknownName), match=says):
        shop.keep(table, name, values)


def test_a_bath_with_a_history_is_not_forgotten():
    shop.keep("bath", "x", BATH)
    with Logbook() as book:
        book.add_event(Event(vessel=1, when="2026-03-03T10:00", what="new"))
    with pytest.raises(BadInput, match="has analyses or additions, which stay"):
        shop.keep("bath", "x", None)


def test_what_an_earlier_page_kept_goes_to_the_logbook_once(tmp_path):
    shop.keep("bath", "x", BATH)
    store, kept = Store(tmp_path / "page"), {"bath": {"X": {"acid": "1 g/L"}, "y": {"acid": "170 g/L"}}}
    shop.hand_over(store, Bench(shop=kept))
    assert shop.shop_tables()["bath"] == {"x": BATH, "y": {"acid": "170 g/L"}}
    assert store.read()[0].shop == {}
    store.close()


def test_a_load_is_written_down_with_the_bath_by_its_name():
    bench = Bench(settings=Settings(tables={"bath": BATH, "tank": {"volume": "10 L"}}))
    text = load_text(bench, names={"bath": "the small one"})
    assert text.index('bath = "the small one"') < text.index("[tank]")
    assert "[bath]" not in text


def test_a_logbook_that_cannot_be_read_leaves_the_page_without_baths(tmp_path, monkeypatch):
    (tmp_path / "bad.sqlite").write_bytes(b"x" * 4096)
    monkeypatch.setenv("AREACALC_LOGBOOK", str(tmp_path / "bad.sqlite"))
    assert shop.shop_tables() == {"bath": {}, "tank": {}}


def test_page_and_command_line_share_baths_and_an_old_bench_hands_its_own_over(open_page, tmp_path):
    folder = tmp_path / "areacalc-page"
    folder.mkdir()
    (folder / MARKER).write_text("")
    (folder / "bench.json").write_bytes(msgspec.json.encode(Bench(shop={"bath": {"old one": BATH}})))
    page = open_page(tmp_path)
    with page.client() as client:
        assert client.put("/api/shop", json={"table": "bath", "name": "new one", "values": BATH}).status_code == 204
        assert set(client.get("/api/bench").json()["shop"]["bath"]) == {"old one", "new one"}
    assert json.loads((folder / "bench.json").read_bytes())["shop"] == {}
    with Logbook(tmp_path / "logbook.sqlite") as book:
        assert [each.name for each in book.vessels("bath")] == ["old one", "new one"]


def test_a_repeat_asks_for_what_came_and_how_sure_it_was_to_be():
    plan = LoadBook(SAMPLES / "desk-set.toml").plan()
    with Logbook() as book:
        book.add_run(run_of(plan, "2026-03-03T10:00"))
        assert shop.logged_runs()[0]["again"] == {"thickness": "12 um", "certainty": "95 %", "density": "2.474 A/dm2"}
        book.add_outcome(Outcome(run=1, film_um=11.0))
    assert shop.logged_runs()[0]["again"] == {"thickness": "11 um", "certainty": "50 %", "density": "2.474 A/dm2"}
