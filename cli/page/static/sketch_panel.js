// A turned part sketched: the grid, the tables of points and bores that follow it, and the area as it grows.

import { Draft } from "./sketch_draft.js";
import { SketchDrawing } from "./sketch_drawing.js";
import { SketchTables } from "./sketch_tables.js";
import { h, plain, quantity } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */

/** @param {Desk} desk */
export function sketchPanel(desk) {
  const draft = new Draft(desk, render);
  const drawing = new SketchDrawing(draft);
  const tables = new SketchTables(draft);
  const live = h("output", { class: "live" });
  const refused = h("p", { class: "harms", role: "alert" });
  const element = h("section", { class: "sketch", "aria-label": "The sketch", hidden: true }, tables.head, h("div", { class: "drawing" }, drawing.element),
    h("div", { class: "row" }, live), refused,
    h("div", { class: "scroll grow", tabIndex: 0, role: "region", "aria-label": "Points and bores" }, tables.rows, tables.bores));

  function render() {
    if (!draft.drawn) return;
    drawing.show();
    tables.show();
    const { good, measured } = draft;
    live.replaceChildren(...(good?.area_mm2 ? ["Whole surface ", h("strong", {}, quantity(good.area_mm2.value, "mm2", 6)), `, metal ${quantity(good.volume_mm3 ?? 0, "mm3", 4)}`] : ["No area yet"]));
    live.dataset.mm2 = good?.area_mm2 ? String(good.area_mm2.value) : "";
    refused.textContent = measured?.refused ? plain(measured.refused.line.replace(/^sketch(, |: )/, "")) : "";
  }

  desk.listen(() => { draft.take(desk.part); });
  return { element, draft };
}
