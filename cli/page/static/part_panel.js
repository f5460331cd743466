// One part: its 3-D view, the table of its skin with a state for each feature, and what was chosen or found for it.

import * as api from "./api.js";
import { areaCell, bounds, h, lengthCell, plain, quantity, state } from "./show.js";
import { hangPanel } from "./hang_panel.js";
import { sketchPanel } from "./sketch_panel.js";
import { viewPanel } from "./view_panel.js";

const BORES = ["through-bore", "blind-bore", "pocket"];
const FIXED = ["void", "contact"];
const KINDS = [["plug", "plug"], ["mask", "mask"], ["wet_only", "wet only"], ["contact", "contact"], ["add", "add"]];
const EXAMPLES = {
  plug: "bores under 3 mm", mask: "outside and z from 0 to 5 mm", wet_only: "outside", contact: "2 x 3 mm on outside",
  add: "outside thread M10x1.5",
};

export function partPanel({ attempt, catalogue, bench }) {
  const place = document.getElementById("part");
  let now = null;
  let chosen = null; // the feature
  const part = () => bench().parts.find((p) => p.id === now?.id);
  const change = (values) => attempt(() => api.change(part(), values));

  const title = h("h2", { tabIndex: -1 });
  const rename = h("button", { type: "button", class: "plain", onclick: () => {
    const name = prompt("Call this part", part().name);
    if (name?.trim()) change({ name });
  } }, "Rename");
  const stage = h("p", { class: "soft", role: "status" });
  const refused = h("p", { class: "harms refused", role: "alert" });
  const picked = h("div", { class: "picked", role: "group", "aria-label": "The feature chosen" });
  const table = h("table", { class: "skin" });
  const notes = h("ul", { class: "notes" });
  const found = h("h3", {}, "What was found and chosen for you");
  const facts = h("p", { class: "soft" });
  const wordsPlace = h("details", { class: "words" });
  const view = viewPanel({ catalogue, choose, turned: () => hanging.turned(), following: () => hanging.following() });
  const hanging = hangPanel({ attempt, change, view });
  const sketch = sketchPanel({ attempt, part });
  place.append(
    h("div", { class: "row head" }, title, rename), stage, refused, sketch.element, view.element, picked, hanging.element,
    h("div", { class: "scroll", tabIndex: 0, role: "region", "aria-label": "Table of the skin" }, table), facts, wordsPlace,
    found, notes,
  );

  function choose(name) {
    chosen = name;
    view.select(name);
    showPicked();
    for (const row of table.querySelectorAll("tr[data-name]")) row.classList.toggle("selected", row.dataset.name === name);
  }

  /** Leave a feature wet, plug it or mask it; words that say more than a name are left alone. */
  function setState(name, to) {
    const { choices } = part();
    const without = (key) => (choices[key] ?? []).filter((w) => w !== name);
    const next = { plug: without("plug"), mask: without("mask") };
    if (to !== "wet") next[to].push(name);
    change({ choices: next });
  }

  function buttons(row, small) {
    const { kind, name } = row;
    if (FIXED.includes(kind)) return [];
    const { choices } = now;
    const is = (choices.plug ?? []).includes(name) ? "plug" : (choices.mask ?? []).includes(name) ? "mask" : "wet";
    const options = [["wet", "Wet"], ...(BORES.includes(kind) ? [["plug", "Plug"]] : []), ["mask", "Mask"]];
    return options.map(([to, words]) => h("button", {
      type: "button", class: small ? "small" : "", "aria-pressed": String(is === to), "data-act": `${name} ${to}`,
      "aria-label": `${words} ${name}`, onclick: () => setState(name, to),
    }, words));
  }

  function showPicked() {
    const row = now?.result?.features.find((f) => f.name === chosen);
    picked.replaceChildren(...(row ? [
      h("strong", {}, row.name), h("span", { class: "soft" }, describe(row)), h("span", { class: "acts" }, buttons(row, false)),
    ] : [h("span", { class: "soft" }, "Point at the part, or use the table, to plug or mask what the acid should not reach.")]));
  }

  function describe(row) {
    const size = row.diameter_mm ? ` ⌀ ${quantity(row.diameter_mm, "mm")}` : "";
    const deep = row.depth_mm ? `, ${quantity(row.depth_mm, "mm")} deep` : "";
    return ` ${row.kind.replace("-", " ")}${size}${deep}; ${row.state}, ${areaCell(row.area_mm2)} ${unit2()}`;
  }

  const unit2 = () => (state.show === "mm" ? "mm²" : "in²");

  function showTable() {
    const held = document.activeElement?.dataset?.act;
    const rows = now.result.features;
    const seen = new Set();
    table.replaceChildren(
      h("caption", { class: "unseen" }, `Skin of ${now.name}`),
      h("thead", {}, h("tr", {}, ["Feature", "State", `⌀ ${state.show}`, `Depth ${state.show}`, `Area ${unit2()}`, "Least to most", "Make it"]
        .map((words, i) => h("th", { scope: "col", class: i > 1 && i < 6 ? "number" : "" }, words)))),
      h("tbody", {}, rows.map((row) => {
        const first = !seen.has(row.name);
        seen.add(row.name);
        const style = catalogue.states[row.state];
        const swatch = h("span", { class: "swatch" });
        swatch.style.background = style?.colour ?? "";
        const low = bounds(row.area_low_mm2 / (state.show === "mm" ? 1 : 645.16), row.area_high_mm2 / (state.show === "mm" ? 1 : 645.16), "", 5);
        return h("tr", { "data-name": row.name, class: row.name === chosen ? "selected" : "" },
          h("th", { scope: "row" }, h("button", { type: "button", class: "plain", "data-act": `${row.name} ${row.state} show`, onclick: () => choose(row.name) }, row.name)),
          h("td", {}, swatch, row.state),
          h("td", { class: "number" }, lengthCell(row.diameter_mm)), h("td", { class: "number" }, lengthCell(row.depth_mm)),
          h("td", { class: "number" }, areaCell(row.area_mm2)), h("td", { class: "number" }, low || "exact"),
          h("td", { class: "acts" }, first ? buttons(row, true) : ""));
      })),
    );
    if (held) table.querySelector(`[data-act="${CSS.escape(held)}"]`)?.focus();
  }

  function showWords() {
    const kind = h("select", { "aria-label": "What to do", onchange: () => { text.placeholder = EXAMPLES[kind.value]; } },
      KINDS.map(([key, words]) => h("option", { value: key }, words)));
    const text = h("input", { "aria-label": "To what, in words", placeholder: EXAMPLES.plug, spellcheck: false });
    const add = (e) => {
      e.preventDefault();
      if (text.value.trim()) change({ choices: { [kind.value]: [...(part().choices[kind.value] ?? []), text.value] } });
    };
    const chosenWords = KINDS.flatMap(([key, words]) => (now.choices[key] ?? []).map((each) => h("li", {}, `${words}: ${each} `,
      h("button", { type: "button", class: "plain", "aria-label": `Undo ${words} ${each}`,
        onclick: () => change({ choices: { [key]: part().choices[key].filter((w) => w !== each) } }) }, "Undo"))));
    const open = wordsPlace.open || (now.refused && chosenWords.length > 0);
    wordsPlace.replaceChildren(h("summary", {}, `Say it in words${chosenWords.length ? ` (${chosenWords.length})` : ""}`),
      h("p", { class: "soft" }, "Part of a feature, every bore under a size, a contact, a thread that the drawing leaves smooth."),
      h("form", { class: "row", onsubmit: add }, kind, text, h("button", {}, "Add")), h("ul", {}, chosenWords));
    wordsPlace.open = open;
  }

  return {
    show(given) {
      const other = given?.id !== now?.id;
      const before = now;
      now = given;
      place.hidden = !now;
      if (!now) { view.show(null); hanging.show(null); return; }
      if (other) chosen = null;
      title.textContent = now.name;
      rename.hidden = Boolean(now.sketch);
      stage.textContent = now.stage ? `${now.stage} …` : "";
      stage.hidden = !now.stage;
      refused.textContent = now.refused?.line ?? "";
      refused.hidden = !now.refused || Boolean(now.sketch && !Object.values(now.choices).some((w) => w.length));
      picked.hidden = !now.result || Boolean(now.refused);
      found.hidden = !now.result?.notes.length;
      sketch.show(now, other);
      view.show(now);
      hanging.show(now);
      const typing = wordsPlace.contains(document.activeElement) && document.activeElement.matches("input") && !other;
      if (!typing || JSON.stringify(before?.choices) !== JSON.stringify(now.choices)) showWords();
      if (now.result) {
        showTable();
        const r = now.result;
        facts.textContent = `${r.triangles.toLocaleString()} triangles, ${r.bodies === 1 ? "1 body" : `${r.bodies} bodies`}, ${r.closed ? "closed" : "open"}, `
          + `${r.size_mm.map((x) => lengthCell(x)).join(" × ")} ${state.show}; ${quantity(r.wetted_area_mm2.value, "mm2", 5)} wetted`
          + (r.because ? `; the bounds come from ${r.because}` : "");
        notes.replaceChildren(...r.notes.map((n) => h("li", { class: n.warns ? "harms" : "" }, plain(n.text))));
      } else {
        table.replaceChildren();
        notes.replaceChildren();
        facts.textContent = "";
      }
      showPicked();
    },
  };
}
