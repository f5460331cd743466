"""One Chromium for every test that needs a browser: Playwright starts only once in a process."""

import os
import shutil

import pytest

CHROMIUM = next(
    filter(None, (os.environ.get("CHROMIUM"), shutil.which("chromium"), shutil.which("chromium-browser"))), ""
)
QUIET = ["--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update",
         "--disable-sync"]  # fmt: skip
DRAWN_WITHOUT_A_CARD = ["--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]


@pytest.fixture(scope="session")
def chromium():
    if not CHROMIUM:
        pytest.skip("Chromium is not installed")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as tools:
        browser = tools.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", *QUIET, *DRAWN_WITHOUT_A_CARD], timeout=120_000
        )
        yield browser
        browser.close()
