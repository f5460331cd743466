"""Large files on the page, in Chromium: from the drop to the figure and the picture, and whether it stays alive.

    python tests/bench/bench_page.py [--triangles 160000 1000000] [--parts turned plate] [--rounds 2]

The clock runs inside the browser, from the moment the file is handed over. `longest stop` is the longest time that
the page did nothing else meanwhile; `turning` the frames a second while the view is turned by hand (drawn without a
graphics card, so slower than on most desks). `calls`, `triangles`: draw calls and triangles of a frame at rest.
What else the machine does is hardly felt by processor seconds (Linux): `server` those of the page's own processes until
the part is drawn, `to picture` until its first picture, `a frame` the browser's for each frame while it is turned.
"""

import argparse
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

import manifold3d as m3
import numpy as np

WITHOUT_A_CARD = ["--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
WATCH = """() => {
    const seen = window.seen = {start: 0, picture: 0, first: 0, figure: 0, drawn: 0, stop: 0, stages: []};
    let last = performance.now();
    const frame = () => {
        const now = performance.now();
        if (seen.start) seen.stop = Math.max(seen.stop, now - last);
        last = now;
        const tile = seen.start && document.querySelector('[data-figure="current"]');
        if (tile && !seen.first) seen.first = now;
        if (tile && !seen.figure && tile.dataset.trust === "current") seen.figure = now;
        if (seen.start && !seen.picture && document.querySelector(".view")?.dataset.calls) seen.picture = now;
        const view = document.querySelector(".view")?.dataset;
        if (seen.figure && !seen.drawn && view?.view && view.view === view.drawn) seen.drawn = now;
        const says = document.querySelector(".card .area")?.textContent;
        if (seen.start && says && seen.stages.at(-1)?.[1] !== says) {
            seen.stages.push([Math.round(now - seen.start), says]);
        }
    };
    setInterval(frame, 25);
    const started = () => { seen.start = performance.now(); };
    document.getElementById("files").addEventListener("change", started, {capture: true});
}"""
TURN = """async () => {
    const canvas = document.querySelector(".view canvas");
    const {left, top, width, height} = canvas.getBoundingClientRect();
    const at = (kind, x) => canvas.dispatchEvent(new PointerEvent(kind, {pointerId: 1, pointerType: "mouse",
        clientX: left + width / 2 + x, clientY: top + height / 2, bubbles: true, buttons: 1}));
    canvas.setPointerCapture = () => {};
    at("pointerdown", 0);
    const start = performance.now();
    let count = 0;
    while (performance.now() - start < 2000) {
        at("pointermove", count += 1);
        await new Promise(requestAnimationFrame);
    }
    at("pointerup", count);
    return count / ((performance.now() - start) / 1000);
}"""


def turned(count: int) -> np.ndarray:
    """A knob with roundings and a bored hole, in about so many triangles."""
    from areacalc.shape.profile.revolve import revolve
    from areacalc.shape.profile.turn import profile_of

    chord_mm = 0.01
    for _ in range(4):
        body = revolve(profile_of("0 18 r1, 6 18, 6 14 r0.6, 22 14, 26 8 arc r6; bore left 5 x 15"), chord_mm)
        chord_mm *= len(body.triangles) / count
    return body.vertices[body.triangles]


def plate(count: int) -> np.ndarray:
    """A plate with 320 plain and blind holes."""
    sides = max(12, round(count / (320 * 4)))
    drills = [
        m3.Manifold.cylinder(14.0, 1.5 + 0.1 * (k % 7), circular_segments=sides).translate(
            (5.0 + 10.0 * (k % 20), 5.0 + 10.0 * (k // 20), (-1.0, 4.0)[k % 2])
        )
        for k in range(320)
    ]
    solid = m3.Manifold.cube((200.0, 160.0, 12.0)) - m3.Manifold.batch_boolean(drills, m3.OpType.Add)
    mesh = solid.to_mesh()
    return np.asarray(mesh.vert_properties[:, :3], float)[mesh.tri_verts]


PARTS = {"turned": turned, "plate": plate}


def write_stl(path: Path, corners: np.ndarray) -> None:
    """A binary STL of triangles (m, 3, 3)."""
    rows = np.zeros(len(corners), np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("x", "<u2")]))
    rows["v"] = corners
    path.write_bytes(bytes(80) + np.uint32(len(rows)).tobytes() + rows.tobytes())


def processor_s(*pids: int) -> float:
    """The processor time that processes and all below them have taken so far; nan where /proc is not there."""
    total_s = 0.0
    for pid in pids:
        try:
            ticks = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[11:15]
            tasks = [(task / "children").read_text().split() for task in Path(f"/proc/{pid}/task").iterdir()]
        except OSError:
            return float("nan")
        below = [int(each) for children in tasks for each in children]
        total_s += sum(map(int, ticks)) / os.sysconf("SC_CLK_TCK") + processor_s(*below)
    return total_s


def measured(browser: object, start: str, file: Path, tell: bool, pid: int) -> dict[str, float]:
    """One file dropped on a page of its own."""
    tab = browser.new_page(viewport={"width": 1280, "height": 900})  # type: ignore[attr-defined]
    tab.goto(start)
    tab.wait_for_selector("#figures > *", state="attached")
    tab.evaluate("""async () => {
        const {parts} = await (await fetch("api/bench")).json();
        for (const {id} of parts) await fetch(`api/parts/${id}`, {method: "DELETE"});
    }""")
    tab.wait_for_selector("body.empty")
    tab.wait_for_timeout(3000)
    tab.evaluate(WATCH)
    before_s, picture_s = processor_s(pid), 0.0
    tab.set_input_files("#files", file)
    for _ in range(3000):
        seen = tab.evaluate("window.seen")
        if seen["picture"] and not picture_s:
            picture_s = processor_s(pid) - before_s
        if seen["drawn"] or tab.locator(".card .harms").count():
            break
        tab.wait_for_timeout(100)
    server_s = processor_s(pid) - before_s
    if tell:
        print("   ", "; ".join(f"{at / 1000:.2f} {says}" for at, says in seen["stages"]))
    tab.wait_for_timeout(4000)
    view = tab.evaluate("({...document.querySelector('.view').dataset})")
    tab.evaluate(TURN)  # once, so that all is compiled
    browser_s = processor_s(os.getpid()) - processor_s(pid)
    turning = tab.evaluate(TURN)
    browser_s = processor_s(os.getpid()) - processor_s(pid) - browser_s
    tab.close()
    return {
        "picture": (seen["picture"] - seen["start"]) / 1000,
        "first": (seen["first"] - seen["start"]) / 1000,
        "figure": (seen["figure"] - seen["start"]) / 1000,
        "drawn": (seen["drawn"] - seen["start"]) / 1000,
        "stop": seen["stop"] / 1000,
        "turning": turning,
        "server": server_s,
        "to picture": picture_s,
        "a frame": browser_s / (2 * turning),
        "calls": float(view["calls"]),
        "triangles": float(view["triangles"]),
    }


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--triangles", type=int, nargs="+", default=[160_000, 1_000_000])
    asked.add_argument("--parts", nargs="+", choices=PARTS, default=list(PARTS))
    asked.add_argument("--rounds", type=int, default=2)
    asked.add_argument("--tell", action="store_true", help="the stages as the page tells them")
    words = asked.parse_args()
    from playwright.sync_api import sync_playwright

    command = Path(sys.executable).with_name("areacalc")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=shutil.which("chromium"), args=WITHOUT_A_CARD)
        shown = ("picture", "first", "figure", "drawn", "stop", "turning", "server", "to picture", "a frame")
        print(*(head.rjust(14) for head in ("part", "size", *shown, "calls", "triangles")))
        for name in words.parts:
            for count in words.triangles:
                corners = PARTS[name](count)
                file = Path(folder) / f"{name}.stl"
                write_stl(file, corners)
                rounds = []
                for n in range(words.rounds):
                    data = Path(folder) / f"{name}-{count}-{n}"
                    page = subprocess.Popen([command, "page", "--no-browser", "--data", data], stdout=subprocess.PIPE)
                    assert page.stdout is not None
                    start = next(f for line in page.stdout if (f := re.search(r"http://\S+", line.decode())))
                    rounds.append(measured(browser, start[0], file, words.tell, page.pid))
                    page.terminate()
                    page.wait()
                m = {key: statistics.median(r[key] for r in rounds) for key in rounds[0]}
                figures = [f"{m[key]:.2f}" for key in shown] + [f"{m[key]:,.0f}" for key in ("calls", "triangles")]
                print(*(each.rjust(14) for each in (name, f"{len(corners):,}", *figures)), flush=True)
        browser.close()


if __name__ == "__main__":
    main()
