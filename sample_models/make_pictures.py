"""Takes the README's pictures of the page, in Chromium, with a page and a data folder of its own.

Run `python sample_models/make_pictures.py` to take them again; they go into `pictures` beside this file. `--all FOLDER`
takes every station at three sizes, light and dark, to be looked at one by one. It needs the `test` extra and a
Chromium on the path (or named in CHROMIUM).
"""

import argparse
import io
import itertools
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from PIL import Image

HERE = Path(__file__).parent
PICTURES = HERE / "pictures"
SIZES: dict[str, Any] = {
    "laptop": {"width": 1366, "height": 768},
    "wide": {"width": 1920, "height": 1080},
    "phone": {"width": 390, "height": 844},
}
NAMES = {"cover": "part", "hang": "hanging", "sketch": "sketch"}  # of the README's
WITHOUT_A_CARD = ["--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]


@contextmanager
def page_address(data: str) -> Iterator[str]:
    command = Path(sys.executable).with_name("areacalc")
    own = {**os.environ, "AREACALC_LOGBOOK": str(Path(data) / "logbook.sqlite")}
    words = [command, "page", "--no-browser", "--data", data]
    page = subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=own)
    assert page.stdout is not None
    try:
        yield next(found[0] for line in page.stdout if (found := re.search(r"http://\S+", line)))
    finally:
        page.terminate()
        page.wait()


def hang_up(tab: Any, name: str) -> None:
    tab.set_input_files("#files", HERE / name)
    tab.wait_for_selector(f'.card.chosen:not(.busy) .name:text-is("{name}")', state="attached")
    drawn(tab)


def go(tab: Any, station: str) -> None:
    tab.click(f'#way a[href="#{station}"]')
    tab.wait_for_timeout(600)


def drawn(tab: Any) -> None:
    """Wait until nothing is under way, every figure is current and the view shows the part as it is."""
    busy = """() => document.querySelector(".card.busy") !== null
        || [...document.querySelectorAll("[data-figure]")].some((e) => e.dataset.trust === "working")"""
    tab.wait_for_timeout(300)
    for _ in range(600):
        if not tab.evaluate(busy):
            break
        tab.wait_for_timeout(50)
    tab.wait_for_timeout(1500)


def take(tab: Any, folder: Path, name: str) -> None:
    image = Image.open(io.BytesIO(tab.screenshot())).convert("RGB")
    folder.mkdir(exist_ok=True, parents=True)
    image.save(folder / f"{name}.png", optimize=True)
    print(folder / f"{name}.png", (folder / f"{name}.png").stat().st_size // 1000, "kB")


def stations(tab: Any, folder: Path, name: str) -> None:
    """Every station once, from the empty page to the run, with a lamp knob, a ring and the workshop's own tank."""
    take(tab, folder, f"{name}-empty")
    hang_up(tab, "ring.stl")
    hang_up(tab, "lamp-knob.step")
    take(tab, folder, f"{name}-part")
    go(tab, "cover")
    tab.click('#cover tr[data-name="blind-bore-1"] th button')
    tab.click('#cover [aria-label="Plug blind-bore-1"]')
    drawn(tab)
    take(tab, folder, f"{name}-cover")
    tab.click('#cover [aria-label="Wet blind-bore-1"]')
    go(tab, "hang")
    tab.select_option("#up-in-bath", "blind-bore-1 down")
    tab.wait_for_selector('.outcome strong:text("bare in blind-bore-1")')
    tab.wait_for_selector(".under path.air >> nth=0")
    drawn(tab)
    take(tab, folder, f"{name}-hang")
    tab.select_option("#up-in-bath", "blind-bore-1")
    go(tab, "tank")
    tab.click("#example")
    tab.wait_for_selector('[data-figure="time"]')
    for station in ("tank", "plan", "run"):
        go(tab, station)
        drawn(tab)
        take(tab, folder, f"{name}-{station}")
    go(tab, "part")
    tab.click("#samples summary")
    tab.click('#sample-buttons button:text-is("pen cap")')
    tab.wait_for_selector(".grid .spot")
    drawn(tab)
    take(tab, folder, f"{name}-sketch")


def main() -> None:
    from playwright.sync_api import sync_playwright

    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--all", type=Path, metavar="FOLDER", help="every station at three sizes, light and dark")
    every = asked.parse_args().all
    looks = list(itertools.product(SIZES, ("light", "dark"))) if every else [("laptop", "light")]
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium")
    with sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=chromium, args=WITHOUT_A_CARD)
        for size, scheme in looks:
            with tempfile.TemporaryDirectory() as data, page_address(data) as start:
                tab = browser.new_page(viewport=SIZES[size], color_scheme=scheme)
                tab.goto(start)
                tab.wait_for_selector("#figures > *", state="attached")
                stations(tab, every or Path(data) / "taken", f"{size}-{scheme}")
                for name in () if every else ("cover", "hang", "sketch"):
                    shutil.copy(Path(data) / "taken" / f"{size}-{scheme}-{name}.png", PICTURES / f"{NAMES[name]}.png")
                tab.close()
        browser.close()


if __name__ == "__main__":
    main()
