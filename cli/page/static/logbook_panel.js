// The logbook: the run just planned written down with a remark, and the runs of before.

import * as api from "./api.js";
import { h, quantity, say } from "./show.js";

export function logbookPanel({ attempt }) {
  const remark = h("input", { "aria-label": "Remark for the logbook", placeholder: "even, deep" });
  const list = h("ul", { class: "notes" });
  let known = [];
  const element = h("section", { "aria-label": "Logbook" }, h("h3", {}, "Logbook"),
    h("form", { class: "row words", onsubmit: write }, remark, h("button", {}, "Write this run down")), list);
  attempt(api.runs).then((found) => found && show(found.runs));

  async function write(e) {
    e.preventDefault();
    const found = await attempt(() => api.logRun(remark.value.trim()));
    if (!found) return;
    remark.value = "";
    show(found.runs);
    say("Written into the logbook.");
  }

  function show(runs) {
    known = runs;
    list.replaceChildren(...runs.slice(0, 8).map((run) => h("li", {}, `${run.when.slice(0, 16).replace("T", " ")}, ${run.load}: `,
      `${quantity(run.current_a, "A", 3)}, ${quantity(run.run_s, "s", 3)}, ${quantity(run.film_um, "um", 3)}`,
      run.dye && `, ${run.dye}`, run.remark && `; ${run.remark}`)));
  }

  return { element, again: () => show(known) };
}
