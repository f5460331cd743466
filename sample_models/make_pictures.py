"""Takes the README's pictures of the page, in Chromium, with a page and a data folder of its own.

Run `python sample_models/make_pictures.py` to take them again; they go into `pictures` beside this file. It needs the
`test` extra and a Chromium on the path (or named in CHROMIUM).
"""

from __future__ import annotations

import io
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
SIZE = {"width": 1240, "height": 800}
WITHOUT_A_CARD = ["--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]


@contextmanager
def page_address(data: str) -> Iterator[str]:
    command = Path(sys.executable).with_name("areacalc")
    page = subprocess.Popen([command, "page", "--no-browser", "--data", data], stdout=subprocess.PIPE, text=True)
    assert page.stdout is not None
    found = re.search(r"http://\S+", page.stdout.readline())
    assert found is not None
    yield found[0]
    page.terminate()
    page.wait()


def hang_up(tab: Any, name: str) -> None:
    tab.set_input_files("#files", HERE / name)
    tab.wait_for_selector(f'.card.chosen:not(.busy) .name:text-is("{name}")')
    drawn(tab)


def drawn(tab: Any) -> None:
    """Wait until nothing is under way and the view shows the part as it is."""
    tab.wait_for_selector(".card.busy", state="detached")
    for _ in range(600):
        view = tab.evaluate("({...document.querySelector('.view').dataset})")
        if view.get("view") and view["view"] == view.get("drawn"):
            break
        tab.wait_for_timeout(50)
    tab.wait_for_timeout(700)


def clear(tab: Any) -> None:
    while (off := tab.locator('[aria-label^="Take off"]')).count():
        off.first.click()
        tab.wait_for_timeout(300)
    tab.click("[aria-label='Close this line']")


def under_the_strip(tab: Any, selector: str) -> None:
    """Scroll so that something stands right under what stays in sight."""
    strip = tab.locator(".strip").bounding_box()["height"]
    top = tab.locator(selector).first.evaluate("(e) => e.getBoundingClientRect().top + scrollY")
    tab.evaluate(f"scrollTo(0, {top - strip - 14})")
    tab.wait_for_timeout(300)


def take(tab: Any, name: str) -> None:
    image = Image.open(io.BytesIO(tab.screenshot())).convert("RGB")
    PICTURES.mkdir(exist_ok=True)
    image.save(PICTURES / f"{name}.png", optimize=True)
    print(PICTURES / f"{name}.png", (PICTURES / f"{name}.png").stat().st_size // 1000, "kB")


def part(tab: Any) -> None:
    hang_up(tab, "lamp-knob.step")
    hang_up(tab, "ring.stl")
    tab.click('[aria-label="Plug bore-1"]')
    tab.wait_for_selector('tr[data-name="bore-1"] td:text("plugged")')
    drawn(tab)
    under_the_strip(tab, "#part")
    take(tab, "part")
    clear(tab)


def sketch(tab: Any) -> None:
    tab.click('#sample-buttons button:text-is("pen cap")')
    tab.wait_for_selector('.card.chosen:not(.busy) .name:text-is("pen cap")')
    drawn(tab)
    tab.focus('[data-cell="at-1"]')
    under_the_strip(tab, "#part")
    take(tab, "sketch")


def hanging(tab: Any) -> None:
    clear(tab)
    tab.set_viewport_size({"width": SIZE["width"], "height": 1000})
    hang_up(tab, "pen-cap.toml")
    tab.select_option("#up-in-bath", "blind-bore-1 down")
    tab.wait_for_selector('.outcome strong:text("Trapped air")')
    tab.wait_for_selector(".under path.air >> nth=0")
    tab.check("text=cut open")
    tab.click("#theme")
    drawn(tab)
    under_the_strip(tab, ".viewing")
    take(tab, "hanging")


def main() -> None:
    from playwright.sync_api import sync_playwright

    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium")
    with tempfile.TemporaryDirectory() as data, page_address(data) as start, sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=chromium, args=WITHOUT_A_CARD)
        tab = browser.new_page(viewport=SIZE)
        tab.goto(start)
        tab.wait_for_selector("#answer > *")
        for step in (part, sketch, hanging):
            step(tab)
        browser.close()


if __name__ == "__main__":
    main()
