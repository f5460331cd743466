"""The page as a real process with a data folder of its own, and a client with its token."""

import contextlib
import os
import re
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from browsing import counts

BIN = Path(sys.executable).with_name("areacalc")


@dataclass
class Page:
    """A page that runs: where it is, the folder it keeps its data in, and its process."""

    data: Path
    process: subprocess.Popen
    address: str = ""
    used: bool = True

    @property
    def folder(self):
        return self.data / "areacalc-page"

    @property
    def origin(self):
        return self.address.partition("/?")[0]

    @property
    def start(self):
        """An address that lets one browser in; the terminal shows the next one when it is used."""
        self.look()
        self.used = True
        return self.address

    def look(self):
        """Read the next address off the terminal, unless the last one is still good."""
        while self.used:
            line = self.process.stdout.readline()
            assert line, "the page has ended"
            if found := re.search(r"http://127\.0\.0\.1:\d+/\?code=\S+", line):
                self.address, self.used = found[0], False

    def workers(self):
        """The processes that do the work (Linux)."""
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text()
        return [int(pid) for pid in children.split()]

    @contextlib.contextmanager
    def client(self):
        """A client let in as the browser is: by the address with the code."""
        with httpx.Client(base_url=self.origin, headers={"origin": self.origin}, timeout=60) as client:
            answer = client.get(self.start)
            assert answer.status_code == 303, answer.text
            client.base_url = self.origin + answer.headers["location"]
            yield client

    def stop(self):
        self.process.terminate()
        with contextlib.suppress(subprocess.TimeoutExpired):
            self.process.wait(10)
        self.process.kill()
        self.process.wait()
        for stream in (self.process.stdout, self.process.stderr):
            if stream is not None:
                stream.close()


def opened(data, *words, **more):
    env = {**os.environ, "AREACALC_LOGBOOK": str(data / "logbook.sqlite")}
    process = subprocess.Popen(
        [BIN, "page", "--no-browser", "--data", data, *words],
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
        env=env,
        **more,
    )
    page = Page(data, process)
    page.look()
    return page


@pytest.fixture(scope="session")
def start_page():
    """Start a page on a data folder; whoever does so stops it."""
    return opened


@pytest.fixture(scope="session")
def page(tmp_path_factory):
    """A page for all tests; what it says of trouble goes to the file `said` in its folder."""
    data = tmp_path_factory.mktemp("page")
    with (data / "said").open("w") as said:
        made = opened(data, stderr=said)
    yield made
    made.stop()


@pytest.fixture
def open_page():
    """Open pages on data folders of the test's own."""
    pages = []

    def made(data, *words, **more):
        pages.append(opened(data, *words, **more))
        return pages[-1]

    yield made
    for each in pages:
        each.stop()


@pytest.fixture
def client(page):
    """A client of the page, with an empty bench."""
    with page.client() as made:
        for part in made.get("/api/bench").json()["parts"]:
            assert made.delete(f"/api/parts/{part['id']}").status_code == 204
        settings = made.get("/api/bench").json()["settings"]
        plain = {"density": "small-tank", "show": "mm", "tables": {}, "name": "my load"}
        assert made.patch("/api/settings", json={"revision": settings["revision"], "change": plain}).is_success
        yield made


@pytest.fixture(scope="session")
def settled():
    """Wait until nothing is under way; the bench."""

    def wait(client, longest_s=60.0):
        until = time.monotonic() + longest_s
        bench = client.get("/api/bench").json()
        while any(p["stage"] or not (p["result"] or p["refused"]) for p in bench["parts"]):
            assert time.monotonic() < until, bench
            answer = client.get("/api/bench", params={"after": bench["revision"], "wait": 5})
            bench = answer.json() if answer.status_code == 200 else bench
        return bench

    return wait


@pytest.fixture
def window(chromium, page, client):
    """Open windows of the page; at the end nothing may have gone elsewhere and nothing been logged as an error."""
    contexts, errors, elsewhere = [], [], []

    def opened(width=1366, height=768, refused="none", **options):
        """refused: the end of the address whose refusals the test itself asks for."""
        context = chromium.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        tab = context.new_page()
        tab.on("console", lambda m: errors.append((m.text, m.location["url"])) if counts(m, refused) else None)
        tab.on("pageerror", lambda e: errors.append(str(e)))
        tab.on("request", lambda r: None if r.url.startswith((page.origin, "data:")) else elsewhere.append(r.url))
        tab.goto(page.start)
        tab.wait_for_selector("#figures > *", state="attached")
        return tab

    yield opened
    for context in contexts:
        context.close()
    assert errors == []
    assert elsewhere == []
