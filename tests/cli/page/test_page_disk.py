"""What the page does to a person's files, and to their work where the disk is full or the page is killed."""

import asyncio
import contextlib
import json
import os
import random
import resource
import stat
import threading
import time
from pathlib import Path

import httpx
import pytest
from areacalc_cli.page.bench import Bench, BenchPart
from areacalc_cli.page.store import Store
from typed import typed

RING = (Path(__file__).parents[3] / "sample_models" / "ring.stl").read_bytes()
MINE = "the only copy of something"


def drop(client, name="ring.stl", content=RING):
    return client.post("/api/parts", params={"name": name}, content=content)


def change(client, part, **values):
    return client.patch(f"/api/parts/{part['id']}", json={"revision": part["revision"], "change": values})


def test_folders_of_the_persons_own_are_left_alone(open_page, tmp_path):
    for name in ("parts/mine.stl", "views/0123456789abcdef0123456789abcdef", "bench.json"):
        file = tmp_path / name
        file.parent.mkdir(exist_ok=True)
        file.write_text(MINE)
        os.utime(file, (0, 0))
    with open_page(tmp_path).client() as client:
        assert drop(client).status_code == 202
    for name in ("parts/mine.stl", "views/0123456789abcdef0123456789abcdef", "bench.json"):
        assert (tmp_path / name).read_text() == MINE


def test_a_folder_that_only_looks_like_the_pages_own_is_refused(tmp_path):
    own = tmp_path / "areacalc-page"
    own.mkdir()
    (own / "bench.json").write_text(MINE)
    done = typed("page", "--no-browser", "--data", tmp_path)
    assert (done.returncode, len(done.stderr.splitlines())) == (2, 1)
    assert "holds files that the page did not write" in done.stderr
    assert [(p.name, p.read_text()) for p in own.iterdir()] == [("bench.json", MINE)]


@pytest.mark.slow
def test_in_its_own_folder_too_the_page_removes_only_what_it_wrote(open_page, settled, tmp_path):
    page = open_page(tmp_path)
    theirs = [page.folder / "parts" / "mine.stl", page.folder / "views" / "mine.png", page.folder / "parts" / "a" / "b"]
    for file in theirs:
        file.parent.mkdir(exist_ok=True)
        file.write_text(MINE)
        os.utime(file, (0, 0))
    page.stop()
    open_page(tmp_path)
    assert [file.read_text() for file in theirs] == [MINE] * 3


def test_only_the_user_may_read_what_the_page_keeps(page, client, settled):
    assert drop(client).status_code == 202
    settled(client)
    files = [page.folder, *page.folder.rglob("*")]
    assert len(files) > 8
    open_to = [str(p) for p in files if stat.S_IMODE(p.stat().st_mode) != (0o700 if p.is_dir() else 0o600)]
    assert open_to == []


@pytest.mark.slow
def test_what_is_taken_off_is_kept_for_30_days(open_page, settled, tmp_path):
    page = open_page(tmp_path)
    with page.client() as client:
        id = drop(client).json()["id"]
        change(client, settled(client)["parts"][0], count=4)
        assert client.delete(f"/api/parts/{id}").status_code == 204
    page.stop()
    stored = next(page.folder.rglob("*.stl"))

    def days_later(days):
        kept = json.loads((page.folder / "bench.json").read_text())
        for each in kept["removed"]:
            each["at_s"] -= days * 86_400
        (page.folder / "bench.json").write_text(json.dumps(kept))
        os.utime(stored, (time.time() - days * 86_400,) * 2)

    days_later(29)
    page = open_page(tmp_path)
    with page.client() as client:
        assert client.post(f"/api/removed/{id}", json={}).status_code == 200
        assert settled(client)["parts"][0]["count"] == 4
        assert client.delete(f"/api/parts/{id}").status_code == 204
    page.stop()
    days_later(31)
    page = open_page(tmp_path)
    with page.client() as client:
        assert client.get("/api/bench").json()["removed"] == []
    assert not stored.exists()


def test_a_stored_file_that_was_changed_is_told_and_gives_no_figure(open_page, settled, tmp_path):
    store = Store(tmp_path)
    file = asyncio.run(store.keep("ring.stl", RING, ".stl"))
    store.write(Bench(parts=(BenchPart("p1", "ring.stl", file),)))
    store.close()
    (store.parts / file).write_bytes(RING[:-50] + b"\0" * 50)
    with open_page(tmp_path).client() as client:
        bench = settled(client)
    assert "ring.stl has changed since it was dropped" in bench["parts"][0]["refused"]["line"]
    assert bench["answer"]["figures"] == {}


@contextlib.contextmanager
def full_disk(*processes):
    """While inside, no file that these write can grow."""
    for pid in processes:
        resource.prlimit(pid, resource.RLIMIT_FSIZE, (0, resource.RLIM_INFINITY))
    yield
    for pid in processes:
        resource.prlimit(pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))


def test_an_upload_on_a_full_disk_is_one_clear_line_and_leaves_nothing(page, client):
    kept, said = sorted((page.folder / "parts").iterdir()), (page.data / "said").read_text()
    with full_disk(page.process.pid, *page.workers()):
        answer = drop(client, content=RING + b"more")
    assert answer.status_code == 422
    assert answer.json()["error"]["line"].startswith("ring.stl cannot be kept: File too large; make room")
    assert client.get("/api/bench").json()["parts"] == []
    assert sorted((page.folder / "parts").iterdir()) == kept
    assert (page.data / "said").read_text() == said


def test_a_change_that_cannot_be_kept_leaves_all_as_it_was(page, client, settled):
    id = drop(client).json()["id"]
    before = settled(client)
    part, revision = before["parts"][0], before["settings"]["revision"]
    with full_disk(page.process.pid, *page.workers()):
        refused = [
            change(client, part, choices={"plug": ["bore-1"]}), client.delete(f"/api/parts/{id}"),
            client.patch("/api/settings", json={"revision": revision, "change": {"name": "another"}}),
            client.post("/api/samples", json={"name": "cleat"}),
        ]  # fmt: skip
        assert settled(client) == {**before, "revision": client.get("/api/bench").json()["revision"]}
    assert [answer.status_code for answer in refused] == [422] * 4
    for answer in refused:
        assert "File too large; make room" in answer.json()["error"]["line"]
    assert change(client, part, choices={"plug": ["bore-1"]}).status_code == 202


def test_a_part_whose_picture_cannot_be_kept_still_has_its_area(page, client, settled):
    with full_disk(*page.workers()):
        drop(client, content=RING + b"another")
        bench = settled(client)
    assert bench["parts"][0]["view"] is None
    assert bench["answer"]["figures"]["current"]["value"] > 0
    assert "its picture cannot be written" in bench["answer"]["warnings"][0]["text"]


def figures(client, settled):
    """What the page shows of its one part, and the current."""
    bench = settled(client)
    part = bench["parts"][0]
    return part["count"], part["choices"].get("plug", []) != [], bench["answer"]["figures"]["current"]["value"]


@pytest.mark.campaign
def test_60_kills_in_the_middle_of_changes_and_uploads_lose_nothing_that_was_acknowledged(open_page, settled, tmp_path):
    chance = random.Random(3)
    page = open_page(tmp_path)
    with page.client() as client:
        drop(client)
        part = settled(client)["parts"][0]
        _, _, bare = figures(client, settled)
        assert change(client, part, choices={"plug": ["bore-1"]}).status_code == 202
        _, _, plugged = figures(client, settled)
        assert change(client, settled(client)["parts"][0], choices={"plug": []}).status_code == 202
    kept, sent = (1, False), (1, False)
    for _ in range(60):
        with page.client() as client:
            for p in client.get("/api/bench").json()["parts"][1:]:  # an upload that was acknowledged just before
                client.delete(f"/api/parts/{p['id']}")
            count, plug, current = figures(client, settled)
            assert (count, plug) in (kept, sent)
            assert current == pytest.approx(count * (plugged if plug else bare), rel=1e-9)
            kept = (count, plug)
            killer = threading.Timer(chance.uniform(0.0, 0.15), page.process.kill)
            killer.start()
            with contextlib.suppress(httpx.TransportError):
                while True:
                    part = client.get("/api/bench").json()["parts"][0]
                    sent = (chance.randint(1, 9), chance.random() < 0.5)
                    answer = change(client, part, count=sent[0], choices={"plug": ["bore-1"] if sent[1] else []})
                    assert answer.status_code == 202
                    kept = sent
                    id = drop(client, f"{chance.random()}.stl", RING + chance.randbytes(50)).json()["id"]
                    assert client.delete(f"/api/parts/{id}").status_code == 204
            killer.join()
        page.stop()
        page = open_page(tmp_path)
    names = [p.name for p in page.folder.rglob("*") if p.name.startswith(".areacalc-")]
    assert names == []


@pytest.mark.campaign
def test_20_full_disks_in_the_middle_of_changes_and_uploads(open_page, settled, tmp_path):
    chance = random.Random(4)
    page = open_page(tmp_path)
    with page.client() as client:
        drop(client)
        for _ in range(20):
            before = settled(client)
            room = chance.randint(0, 3000)
            resource.prlimit(page.process.pid, resource.RLIMIT_FSIZE, (room, resource.RLIM_INFINITY))
            part = before["parts"][0]
            answers = [change(client, part, count=chance.randint(2, 9)), drop(client, "other.stl", RING + b"1")]
            resource.prlimit(page.process.pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY,) * 2)
            after = settled(client)
            assert {a.status_code for a in answers} <= {202, 422}
            kept = json.loads((page.folder / "bench.json").read_text())
            assert [(p["id"], p["count"], p["revision"]) for p in kept["parts"]] == [
                (p["id"], p["count"], p["revision"]) for p in after["parts"]
            ]
            assert (after["parts"][0]["revision"] > part["revision"]) == (answers[0].status_code == 202)
            assert (len(after["parts"]) > len(before["parts"])) == (answers[1].status_code == 202)
            for p in after["parts"][1:]:
                client.delete(f"/api/parts/{p['id']}")
