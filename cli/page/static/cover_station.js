// Plug and mask: every feature in a table with what is done to it, several at once, and sentences for what has no name.

import { KEYS, acts, described, mouthsOf, rowsOf, unsay } from "./features.js";
import { areaCell, areaUnit, bounds, h, lengthCell, redraw, state } from "./show.js";
import { unused } from "./way.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./workbench.js").Workbench} Workbench */

const KINDS = { plug: "plug", mask: "mask", wet_only: "wet only", contact: "contact", add: "add a thread or knurl", fill: "fill with a syringe" };
/** @type {Record<string, string>} */
const EXAMPLES = {
  plug: "bores under 3 mm", mask: "outside and z from 0 to 5 mm", wet_only: "outside", contact: "2 x 3 mm on outside",
  add: "outside thread M10x1.5", fill: "bores under 3 mm",
};

/** @type {Record<string, string>} */
const DOES = {
  plug: "closed by a plug: no acid, no current", mask: "under tape or lacquer: no acid, no current", wet_only: "everything else is masked",
  contact: "where the rack touches: that spot stays bare, and its area is taken off", add: "a thread or knurl that is not drawn: its area is added",
  fill: "filled with acid by hand as it goes in, so that no air stays: it counts as wet",
};

/** @param {Desk} desk @param {Workbench} bench */
export function coverStation(desk, bench) {
  const table = h("table", { class: "surface" });
  const kind = h("select", { "aria-label": "What to do", onchange: () => { say(); } },
    Object.entries(KINDS).map(([key, words]) => h("option", { value: key }, words)));
  const text = h("input", { "aria-label": "Where, in words", placeholder: EXAMPLES.plug, spellcheck: false });
  const does = h("p", { class: "soft", id: "cover-does" });
  const bores = h("ul", { class: "notes soft", "aria-label": "Long bores" });
  const sentences = h("ul", { class: "sentences" });
  const wrong = h("p", { class: "harms", role: "alert" });
  const leave = h("button", { type: "button", onclick: () => {
    if (desk.part) desk.change(desk.part.id, (part) => ({ checked: [...new Set([...(part.checked ?? []), "cover"])] }));
  } }, "Leave all of it wet");
  const element = h("section", { class: "panel", id: "cover", "aria-labelledby": "cover-title" },
    h("h2", { id: "cover-title" }, "Plug and mask"),
    h("p", { class: "soft" }, "Point at the part or press a button here.", h("span", { class: "keys" }, " On the part: P plugs, M masks, W leaves it wet; Shift chooses several.")),
    h("div", { class: "scroll grow", tabIndex: 0, role: "region", "aria-label": "Table of the surface" }, table), bores, leave,
    h("form", { class: "row", onsubmit: add }, h("label", { class: "say-it" }, "Or type it: ", kind), does, text, h("button", { class: "small" }, "Add")), wrong, sentences);
  say();
  bench.listeners.push(show);
  desk.listen(show);
  table.addEventListener("keydown", (e) => {
    const name = /** @type {HTMLElement} */ (e.target).closest("tr")?.dataset.name;
    if (!name || e.ctrlKey || e.metaKey || e.altKey || !KEYS[e.key.toLowerCase()]) return;
    if (!bench.chosen.includes(name)) bench.choose([name]);
    if (bench.pressed(e.key)) e.preventDefault();
  });

  /** What the chosen kind does, and an example: of what is to be filled, the bores that may hold air. */
  function say() {
    const narrow = (desk.told && desk.part?.result?.narrow?.map((n) => n.features[0])) || [];
    text.placeholder = (kind.value === "fill" && narrow[0]) || EXAMPLES[kind.value];
    does.textContent = DOES[kind.value];
  }

  /** @param {Event} e */
  function add(e) {
    e.preventDefault();
    const words = text.value.trim();
    const key = kind.value;
    if (!words || !desk.part) return;
    desk.change(desk.part.id, (part) => ({ choices: { [key]: [...(part.choices[key] ?? []), words] } }), `${desk.part.id} words`);
    text.value = "";
  }

  /** The sentences that plug or mask what has no name of its own. @param {Doc.Part | null} part */
  function showSentences(part) {
    wrong.textContent = ["words", "wet", "plug", "mask"].map((what) => desk.wrong.get(`${part?.id} ${what}`)).find(Boolean) ?? "";
    const names = rowsOf(part);
    const bad = new Map((part ? unused(part, false) : []).map((u) => [`${u.key} ${u.words}`, u.line]));
    const said = Object.keys(KINDS).flatMap((key) => (part?.choices[key] ?? []).map((words) => ({ key, words })))
      .filter(({ words, key }) => part?.result && (key === "fill" || !names.has(words) || bad.has(`${key} ${words}`)));
    redraw(sentences, JSON.stringify([part?.id, said, [...bad]]), () => said.map(({ key, words }) => h("li", {},
      h("span", {}, `${/** @type {Record<string, string>} */ (KINDS)[key]}: ${words} `),
      h("button", { type: "button", class: "plain", "data-act": `${key} ${words}`, "aria-label": `Remove ${key} ${words}`, onclick: () => { if (part) unsay(desk, part.id, [words]); } }, "Remove"),
      bad.has(`${key} ${words}`) && h("p", { class: "harms" }, `Not used: ${bad.get(`${key} ${words}`)}`))));
  }

  function show() {
    const { part } = desk;
    const open = [...rowsOf(part).values()].some((row) => row.kind !== "void" && row.mouths_mm?.length);
    const chose = Object.values(part?.choices ?? {}).some((list) => list.length);
    leave.hidden = !part?.result || !open || chose || (part.checked ?? []).includes("cover");
    const long = part && !part.stage && !desk.bench.settings.tables.tank ? part.result?.long_bores ?? [] : []; // the plan counts what bores take
    redraw(bores, JSON.stringify([long, state.show]), () => long.map((said) => h("li", {}, said[state.show])));
    redraw(table, JSON.stringify([part?.id, part?.result?.features, part?.choices, part?.stage, bench.chosen, state.show]), () => (part?.result ? rows(part) : []));
    showSentences(part);
  }

  /** @param {Doc.Part} part */
  function rows(part) {
    const heads = ["Feature", `Ø ${state.show}`, `Area ${areaUnit()}`, "Make it"];
    const seen = new Set();
    const all = part.result?.features ?? [];
    const unsure = new Set(all.filter((row) => all.some((other) => other.name === row.name && other.state === "air held" && other.area_mm2 === 0)));
    const told = all.filter((row) => !(unsure.has(row) && row.state === "air held")); // told in the row of what is wet
    const sum = part.stage ? null : part.result?.wetted_area_mm2;
    return [
      h("caption", { class: "unseen" }, `Surface of ${part.name}`),
      h("thead", {}, h("tr", {}, heads.map((words, i) => h("th", { scope: "col", class: i === 1 || i === 2 ? "number" : "" }, words)))),
      h("tbody", {}, told.map((row) => {
        const first = !seen.has(row.name);
        seen.add(row.name);
        return line(part, row, first, unsure.has(row) && row.state === "wet");
      })),
      sum && h("tfoot", {}, h("tr", {}, h("th", { scope: "row" }, "wetted, each"), h("td", {}), h("td", { class: "number" }, areaCell(sum.value),
        h("span", { class: "range" }, bounds(sum.low, sum.high, "mm2") || "exact")), h("td", {}))),
    ];
  }

  /** @param {Doc.Part} part @param {Doc.Feature} row @param {boolean} first whether it is the feature's first row @param {boolean} unsure whether a bubble may stay */
  function line(part, row, first, unsure) {
    const swatch = h("span", { class: "swatch" });
    swatch.style.background = desk.catalogue.states[row.state]?.colour ?? "";
    const told = part.stage ? "updating …" : unsure ? "wet, or bare if a bubble stays" : row.state;
    const pick = (/** @type {MouseEvent} */ e) => { bench.picked(row.name, e.shiftKey || e.ctrlKey || e.metaKey, bench.view?.spotOf(row.name) ?? { x: 0, y: 0 }); };
    return h("tr", { "data-name": row.name, class: bench.chosen.includes(row.name) ? "selected" : "",
      onpointerenter: () => { bench.view?.light(row.name); }, onpointerleave: () => { bench.view?.light(null); } },
    h("th", { scope: "row" }, h("button", { type: "button", class: "plain", "data-act": `${row.name} show ${row.state}`, title: described(row), onclick: pick }, row.name),
      h("span", { class: "state" }, swatch, told)),
    h("td", { class: "number" }, lengthCell(row.diameter_mm), h("span", { class: "range" }, first ? mouthsOf(row) : "")),
    h("td", { class: "number" }, areaCell(row.area_mm2), h("span", { class: "range" }, bounds(row.area_low_mm2, row.area_high_mm2, "mm2"))),
    h("td", { class: "acts" }, first ? acts(desk, part, [row], row.name, true) : ""));
  }

  return element;
}
