"""What the page keeps on disk: across restarts, crashes, a broken file and a second page."""

import asyncio
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import msgspec
import pytest
from areacalc_cli.page.bench import Bench, BenchPart, Removed, Settings
from areacalc_cli.page.store import Store
from typed import typed

SAMPLES = Path(__file__).parents[3] / "sample_models"


@pytest.fixture(scope="module")
def killed(start_page, settled, tmp_path_factory):
    """A page killed with a part on its bench and a window open, and started again on the same folder."""
    data = tmp_path_factory.mktemp("killed")
    first = start_page(data)
    with first.client() as client:
        ring = (SAMPLES / "ring.stl").read_bytes()
        client.post("/api/parts", params={"name": "ring.stl"}, content=ring)
        part = settled(client)["parts"][0]
        change = {"count": 5, "choices": {"plug": ["bore-1"]}}
        client.patch(f"/api/parts/{part['id']}", json={"revision": part["revision"], "change": change})
        before = settled(client)
        workers = first.workers()
        os.kill(first.process.pid, signal.SIGKILL)
        first.process.wait()
        second = start_page(data)
        try:
            yield SimpleNamespace(first=first, second=second, window=client, before=before, workers=workers)
        finally:
            first.stop()
            second.stop()


@pytest.mark.slow
def test_all_is_there_again_after_the_page_was_killed(killed, settled):
    before = killed.before
    with killed.second.client() as client:
        after = settled(client)
        assert client.get(f"/api/views/{after['parts'][0]['view']}").status_code == 200
    assert after["parts"] == before["parts"]
    assert before["history"]["undo"]
    assert after["history"] == {"undo": None, "redo": None}  # so the page greys both
    assert after["settings"] == before["settings"]


def test_a_window_left_open_goes_on_after_a_restart(killed):
    assert killed.second.origin == killed.first.origin
    before = killed.before["revision"]
    after = killed.window.get("/api/bench", params={"after": before, "wait": 5})
    assert after.status_code == 200
    assert after.json()["revision"] != before


@pytest.mark.slow
def test_work_that_a_crash_cut_off_is_taken_up_again(open_page, settled, tmp_path):
    first = open_page(tmp_path)
    with first.client() as client:
        client.post("/api/parts", params={"name": "ring.stl"}, content=(SAMPLES / "ring.stl").read_bytes())
    os.kill(first.process.pid, signal.SIGKILL)
    first.process.wait()
    with open_page(tmp_path).client() as client:
        assert settled(client)["parts"][0]["result"]["wetted_area_mm2"]["value"] > 0


def test_the_workers_end_with_the_page(killed):
    assert len(killed.workers) >= 2
    until = time.monotonic() + 20
    while any(_alive(pid) for pid in killed.workers):
        assert time.monotonic() < until
        time.sleep(0.1)


def _alive(pid):
    try:
        return "Z" not in Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False


def test_an_interrupt_ends_the_page_and_says_nothing_untrue(open_page, tmp_path):
    made = open_page(tmp_path, stderr=subprocess.PIPE)
    with made.client() as client:
        assert client.get("/api/bench").status_code == 200
    made.process.send_signal(signal.SIGINT)
    assert made.process.communicate(timeout=30)[1] == ""
    assert made.process.returncode == 0


def test_a_second_page_on_the_same_folder_is_refused(page):
    done = typed("page", "--no-browser", "--data", page.data)
    assert done.returncode == 2
    assert "is open in another page" in done.stderr
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    "spoiled",
    [lambda text: "", lambda text: text[:-40], lambda text: text.replace("bench/1", "bench/2"),
     lambda text: text.replace('"alloy"', '"temper"'), lambda text: text.replace('"count":1', '"count":"1"'),
     lambda text: text.replace("/part.", "/../")],
    ids=["empty", "cut off", "another version", "an unknown key", "a wrong kind", "another file"],
)  # fmt: skip
def test_a_bench_that_cannot_be_read_is_kept_aside_with_its_files(tmp_path, spoiled):
    store = Store(tmp_path)
    file = asyncio.run(store.keep("ring.stl", b"solid ring", ".stl"))
    store.write(Bench(parts=(BenchPart("p1", "ring.stl", file),)))
    store.close()
    os.utime(store.parts / file, (0, 0))
    kept = store.folder / "bench.json"
    text = spoiled(kept.read_text())
    kept.write_text(text)
    for start in (1, 2):
        again = Store(tmp_path)
        bench, notice = again.read()
        again.tidy(bench)
        again.close()
        assert bench.parts == ()
        assert ("bench-unread-1.json" in notice) == (start == 1)
        assert (again.folder / "bench-unread-1.json").read_text() == text
        assert (again.parts / file).exists()


@pytest.mark.slow
def test_a_page_whose_bench_cannot_be_read_starts_and_says_so(open_page, settled, tmp_path):
    first = open_page(tmp_path)
    with first.client() as client:
        client.post("/api/parts", params={"name": "ring.stl"}, content=(SAMPLES / "ring.stl").read_bytes())
        settled(client)
    first.stop()
    kept = first.folder / "bench.json"
    stored = sorted((first.folder / "parts").rglob("*.stl"))
    os.utime(stored[0], (0, 0))
    kept.write_text(text := kept.read_text()[:-40])
    again = open_page(tmp_path)
    with again.client() as client:
        bench = client.get("/api/bench").json()
    again.stop()
    assert bench["parts"] == []
    assert "bench-unread-1.json" in bench["notice"]
    assert (again.folder / "bench-unread-1.json").read_text() == text
    assert sorted((first.folder / "parts").rglob("*.stl")) == stored


def test_a_port_in_use_is_told_in_one_line(page, tmp_path):
    port = page.origin.rpartition(":")[2]
    done = typed("page", "--no-browser", "--port", port, "--data", tmp_path)
    assert done.returncode == 2
    assert f"port {port}" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_a_bench_goes_to_json_and_back():
    part = BenchPart("p1", "ring.stl", f"{'a' * 32}/part.stl", 3, "mm", {"plug": ("bore-1",)}, up="z+")
    bench = Bench(parts=(part,), settings=Settings(tables={"bath": {"acid": "180 g/L"}}), last_id=7,
                  removed=(Removed(part, 1.5e9),), awaited=({"file": "x.stl"},))  # fmt: skip
    assert msgspec.json.decode(msgspec.json.encode(bench), type=Bench) == bench


@pytest.mark.slow
def test_what_cannot_be_logged_leaves_the_logbook_as_it_was(open_page, settled, tmp_path):
    page = open_page(tmp_path)
    book = tmp_path / "logbook.sqlite"
    with page.client() as client:
        ring = (SAMPLES / "ring.stl").read_bytes()
        assert client.post("/api/parts", params={"name": "ring.stl"}, content=ring).status_code == 202
        bench = settled(client)
        tables = {"bath": {"acid": "180 g/L", "temperature": "20 C"}, "tank": {"volume": "10 L"}}
        weak = {**tables, "supply": {"current": "0.1 A", "voltage": "30 V"}}
        change = {"revision": bench["settings"]["revision"], "change": {"tables": weak}}
        assert client.patch("/api/settings", json=change).is_success
        refused = client.post("/api/logbook", json={"remark": "deep"})
        assert (refused.status_code, book.exists()) == (422, False)
        assert "cannot be run as it stands" in refused.json()["error"]["line"]
        settings = client.get("/api/bench").json()["settings"]
        change = {"revision": settings["revision"], "change": {"tables": tables}}
        assert client.patch("/api/settings", json=change).is_success
        book.write_text("no database\n" * 100)
        refused = client.post("/api/logbook", json={"remark": "deep"})
        assert refused.status_code == 422
        assert "is not a logbook" in refused.json()["error"]["line"]
        book.unlink()
        assert client.post("/api/logbook", json={"remark": "deep"}).status_code == 201
        again = client.post("/api/logbook", json={"remark": "deep"})
        assert [run["remark"] for run in again.json()["runs"]] == ["deep"]
        assert again.json()["runs"][0]["parts"][0]["file"] == "ring.stl"


@pytest.mark.parametrize("named", [None, "", "shop.sqlite"])
def test_work_that_is_kept_apart_has_a_logbook_of_its_own_unless_one_is_named(tmp_path, named):
    env = {name: value for name, value in os.environ.items() if name != "AREACALC_LOGBOOK"} | {"HOME": str(tmp_path)}
    env |= {} if named is None else {"AREACALC_LOGBOOK": named and str(tmp_path / named)}
    words = [Path(sys.executable).with_name("areacalc"), "page", "--no-browser", "--data", tmp_path / "apart"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=env) as page:
        said = ""
        while "endsit" not in said:  # wrapped anywhere
            said += "".join(page.stdout.readline().split())
        page.terminate()
    used = f"{tmp_path / 'shop.sqlite'},whichareacalc--logbookorAREACALC_LOGBOOKnames" if named else (
        tmp_path / "apart" / "logbook.sqlite")  # fmt: skip
    assert f"runsin{used}.Ctrl-C" in said
