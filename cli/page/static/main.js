// The page: the stations of the job around one bench, the strip above them, and the server followed for ever.

import * as api from "./api.js";
import { coverStation } from "./cover_station.js";
import { Desk } from "./desk.js";
import { hangStation } from "./hang_station.js";
import { partsStation } from "./parts_station.js";
import { planStation } from "./plan_station.js";
import { PlanKeeper } from "./plan_keeper.js";
import { runStation } from "./run_station.js";
import { get, say, state } from "./show.js";
import { sketchPanel } from "./sketch_panel.js";
import { strip } from "./strip.js";
import { tankStation } from "./tank_station.js";
import { theme } from "./theme.js";
import { STATIONS } from "./way.js";
import { Workbench } from "./workbench.js";

const AROUND_THE_PART = ["part", "cover", "hang"]; // stations that show the part

/** The station in the address. */
const at = () => (location.hash.slice(1) in STATIONS ? location.hash.slice(1) : "part");

/** @param {Doc.Catalogue} catalogue */
function page(catalogue) {
  const desk = new Desk(catalogue);
  const keeper = new PlanKeeper(desk);
  const bench = new Workbench(desk, () => {});
  const sketch = sketchPanel(desk);
  const panels = [partsStation(desk), coverStation(desk, bench), hangStation(desk, bench), tankStation(desk, keeper), planStation(desk, keeper), runStation(desk, keeper)];
  get("stations").append(bench.element, sketch.element, ...panels);
  strip(desk, keeper, at);

  function show() {
    const now = at();
    const sketched = now === "part" && Boolean(desk.part?.sketch);
    document.body.dataset.at = now;
    for (const panel of panels) panel.hidden = panel.id !== now;
    bench.element.hidden = !AROUND_THE_PART.includes(now) || sketched || !desk.bench.parts.length;
    sketch.element.hidden = !sketched;
    for (const radio of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll('input[name="show"]'))) radio.checked = radio.value === state.show;
    const { undo, redo } = desk.bench.history ?? { undo: null, redo: null };
    for (const [which, what, own] of /** @type {["undo" | "redo", string | null, string[]][]} */ ([["undo", undo, sketch.draft.past], ["redo", redo, sketch.draft.future]])) {
      const button = /** @type {HTMLButtonElement} */ (get(which));
      button.disabled = !what && !(sketched && own.length);
      button.title = what ? `${which === "undo" ? "Undo" : "Redo"}: ${what}` : "";
      if (what) button.setAttribute("aria-label", button.title); else button.removeAttribute("aria-label");
    }
    if (desk.lost) say("The page's server does not answer. Start it again with `areacalc page`; what you did is kept.", "harms");
  }

  /** @param {"undo" | "redo"} which */
  function travel(which) {
    if (sketch.element.hidden || !sketch.draft.travel(which)) desk.travel(which);
    desk.changed();
  }

  let lost = false;
  let notice = "";
  desk.listen(() => {
    show();
    if (lost && !desk.lost) say("The server answers again.");
    lost = desk.lost;
    if (desk.bench.notice !== notice) { notice = desk.bench.notice; if (notice) say(notice, "harms"); }
  });
  addEventListener("hashchange", () => {
    if (!desk.told) return;
    get("say").replaceChildren();
    show(); // before the stations look whether they are on the screen
    bench.choose([]);
    desk.changed();
    scrollTo(0, 0);
    get("stations").focus({ preventScroll: true });
  });
  for (const which of /** @type {const} */ (["undo", "redo"])) get(which).addEventListener("click", () => { travel(which); });
  addEventListener("keydown", (e) => {
    const key = e.key.toLowerCase();
    if (!(e.ctrlKey || e.metaKey) || e.altKey || !["z", "y"].includes(key)) return;
    const typing = /** @type {HTMLElement} */ (e.target).matches("input:not([type]), input[type=number], textarea");
    if (typing && !sketch.element.contains(/** @type {Node} */ (e.target))) return; // a field has an undo of its own
    e.preventDefault();
    if (typing) /** @type {HTMLElement} */ (e.target).blur();
    travel(key === "y" || e.shiftKey ? "redo" : "undo");
  });
  for (const radio of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll('input[name="show"]'))) {
    radio.addEventListener("change", () => { desk.set({ show: radio.value }); });
  }
  desk.follow();
}

async function start() {
  theme(get("theme"));
  try {
    page(await api.catalogue());
  } catch (refused) {
    say(/** @type {Error} */ (refused).message, "harms");
  }
}

start();
