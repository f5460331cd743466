"""What a person's hand and eye do on the page, for the browser tests."""

import json
import re
import time
from pathlib import Path

from typed import typed

SAMPLES = Path(__file__).parents[3] / "sample_models"
AXE = (Path(__file__).parent / "axe" / "axe.min.js").read_text("utf-8")
STATIONS = ("part", "cover", "hang", "tank", "plan", "run")
LAPTOP, PHONE = {"width": 1366, "height": 768}, {"width": 390, "height": 844}


def counts(message, refused):
    """Whether a line of the console is an error; three reads pixels back where asked, and Chromium tells of that."""
    told = message.type in ("error", "warning") and "GPU stall due to ReadPixels" not in message.text
    return told and not ("status of 4" in message.text and message.location["url"].endswith(refused))


def until(tab, script, longest_s=40.0):
    """Wait for a script to be true; asked from outside, since the page's policy lets no text be run inside it."""
    end = time.monotonic() + longest_s
    while not tab.evaluate(script):
        assert time.monotonic() < end, script
        tab.wait_for_timeout(50)


def go(tab, station):
    """Go to a station."""
    tab.click(f'#way a[href="#{station}"]')
    tab.wait_for_selector(f"#{station}:not([hidden])")


def figure(tab, name):
    """The number on a tile of the strip."""
    return float(re.search(r"[\d.]+", tab.locator(f'[data-figure="{name}"] strong').inner_text())[0])


def current(tab):
    return figure(tab, "current")


def settled(tab):
    """Wait until every figure is current."""
    until(tab, """[...document.querySelectorAll("[data-figure]")].length > 0
        && ![...document.querySelectorAll("[data-figure]")].some((e) => e.dataset.trust === "working")""")  # fmt: skip


def hand_over(tab, name, content):
    """Drop a file as a hand does, and wait for nothing."""
    tab.evaluate(
        """([name, bytes]) => {
            const data = new DataTransfer();
            data.items.add(new File([new Uint8Array(bytes)], name));
            for (const kind of ["dragenter", "dragover", "drop"]) {
                document.body.dispatchEvent(new DragEvent(kind, {dataTransfer: data, bubbles: true, cancelable: true}));
            }
        }""",
        [name, list(content)],
    )


def drop(tab, name, content=None):
    """Drop a part file, and wait until it is measured."""
    hand_over(tab, name, (SAMPLES / name).read_bytes() if content is None else content)
    tab.wait_for_selector(f'.card.chosen:not(.busy) .name:text-is("{name}")', state="attached")


def knobs_in_the_tank(tab, count):
    """Hang so many lamp knobs and fill in the sample's tank, at the station where they hang."""
    drop(tab, "lamp-knob.toml")
    tab.fill('[aria-label^="How many of"]', str(count))
    tab.press('[aria-label^="How many of"]', "Tab")
    go(tab, "tank")
    tab.click("#example")


def drawn(tab):
    """Wait until the view shows the picture of the part as it is now, its names beside it."""
    until(
        tab,
        """fetch('api/bench').then((r) => r.json()).then(({parts}) => {
            const view = document.querySelector(".view")?.dataset;
            return parts.some((part) => !part.stage && part.view === view?.view) && view.drawn === view.view;
        })""",
    )


def feature(tab, name, state, part=0):
    """Wait until a feature of a part is in a state."""
    until(
        tab,
        f"""fetch('api/bench').then((r) => r.json()).then(({{parts}}) => !parts[{part}].stage
            && parts[{part}].result.features.some((f) => f.name === {name!r} && f.state === {state!r}))""",
    )


def command(*words):
    """The document that the command line gives."""
    done = typed(*words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def faults(tab):
    """The faults that axe-core finds, of every weight."""
    tab.evaluate(AXE)
    found = tab.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [(v["id"], [n["html"][:120] for n in v["nodes"]][:3]) for v in found["violations"]]


def tab_to(tab, selector, most=120):
    """Reach something by the Tab key alone."""
    for _ in range(most):
        if tab.locator(selector).first.evaluate("(e) => e === document.activeElement"):
            return
        tab.keyboard.press("Tab")
    raise AssertionError(f"{selector} is not reached by Tab")
