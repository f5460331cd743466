// The features of a part: what is chosen for each, what may be, which are alike, and the card that changes them.

import { areaCell, areaUnit, bounds, h, lengthCell, quantity } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {"wet" | "plug" | "mask"} To */

const FIXED = ["void", "contact"];
const WORDS = { wet: "Wet", plug: "Plug", mask: "Mask" };
/** @type {Record<string, To>} */
export const KEYS = { w: "wet", p: "plug", m: "mask" };
const ALIKE = 0.005; // share by which diameters of one drill may differ

/** Every feature's row by name: of one in several states that which holds the most of it. @param {Doc.Part | null} part @returns {Map<string, Doc.Feature>} */
export function rowsOf(part) {
  const rows = new Map();
  for (const row of part?.result?.features ?? []) if (!rows.has(row.name) || rows.get(row.name).area_mm2 < row.area_mm2) rows.set(row.name, row);
  return rows;
}

/** "264 mm² wet" for every state of a feature. @param {Desk} desk @param {Doc.Part} part @param {string} name */
function areasOf(desk, part, name) {
  const rows = (part.result?.features ?? []).filter((row) => row.name === name && row.area_mm2 > 0);
  return rows.map((row) => {
    const range = bounds(row.area_low_mm2, row.area_high_mm2, "mm2");
    return `${areaCell(row.area_mm2)} ${areaUnit()}${range ? ` (${range})` : ""}: ${desk.catalogue.states[row.state]?.words ?? row.state}`;
  });
}

/** What may be done to a feature. @param {Doc.Feature} row @returns {To[]} */
export function waysOf(row) {
  if (FIXED.includes(row.kind)) return [];
  return row.mouths_mm?.length ? ["wet", "plug", "mask"] : ["wet", "mask"];
}

/** What is chosen for a feature, and the words that chose it where not its own name did. @param {Doc.Part} part @param {Doc.Feature} row @returns {{to: To, words: string[]}} */
export function chosenFor(part, row) {
  for (const to of /** @type {const} */ (["plug", "mask"])) {
    const said = part.choices[to] ?? [];
    if (said.includes(row.name)) return { to, words: [] };
  }
  if (part.stage || !["plugged", "masked"].includes(row.state)) return { to: "wet", words: [] };
  const to = row.state === "plugged" ? "plug" : "mask";
  const names = rowsOf(part);
  return { to, words: [...(part.choices[to] ?? []), ...(to === "mask" ? part.choices.wet_only ?? [] : [])].filter((w) => !names.has(w)) };
}

/** Leave features wet, plug or mask them. @param {Desk} desk @param {string} id of the part @param {Iterable<string>} names @param {To} to */
export function make(desk, id, names, to) {
  const all = new Set(names);
  desk.change(id, (/** @type {Doc.Part} */ { choices }) => {
    const without = (/** @type {string} */ key) => (choices[key] ?? []).filter((w) => !all.has(w));
    const next = { plug: without("plug"), mask: without("mask") };
    if (to !== "wet") next[to].push(...all);
    return { choices: next };
  }, `${id} ${to}`);
}

/** The features of the same kind and size, itself among them. @param {Doc.Part} part @param {string} name @returns {string[]} */
export function alike(part, name) {
  const rows = rowsOf(part);
  const mine = rows.get(name);
  const size = mine?.diameter_mm ?? mine?.width_mm;
  if (!mine || !size) return [name];
  return [...rows.values()].filter((row) => row.kind === mine.kind
    && Math.abs((row.diameter_mm ?? row.width_mm ?? 0) / size - 1) < ALIKE).map((row) => row.name);
}

/** "blind bore Ø 5 mm, 16.5 mm deep", "slot 6 mm x 22 mm, 5 mm deep", "groove Ø 20.4 mm, 2.7 mm wide, 1.8 mm deep" @param {Doc.Feature} row */
export function described(row) {
  const wide = row.width_mm ? `, ${quantity(row.width_mm, "mm")} wide` : "";
  const size = row.diameter_mm ? ` Ø ${quantity(row.diameter_mm, "mm")}${wide}`
    : row.width_mm && row.length_mm ? ` ${quantity(row.width_mm, "mm")} x ${quantity(row.length_mm, "mm")}` : "";
  const deep = row.depth_mm ? `, ${quantity(row.depth_mm, "mm")} deep` : "";
  return `${row.kind.replace("-", " ")}${size}${deep}`;
}

/** The steps of a bore that has several, "counterbore Ø 6.3 mm, bore Ø 3.3 mm" @param {Doc.Feature} row */
function stepsOf(row) {
  const steps = (row.steps ?? []).filter(({ kind }) => !["floor", "shoulder"].includes(kind));
  return steps.length > 1 ? steps : [];
}

/** "mouths 4.3 and 6.3": how wide a bore of steps is where plugs go in. @param {Doc.Feature} row */
export function mouthsOf(row) {
  const wide = stepsOf(row).map(({ diameter_mm }) => lengthCell(diameter_mm));
  if (!wide.length || !row.diameter_mm) return "";
  const [first, last] = [wide[0], wide[wide.length - 1]];
  return row.mouths_mm?.length === 2 ? `mouths ${first === last ? first : `${first} and ${last}`}` : `mouth ${first}`;
}

/**
 * The buttons that change features, as one group.
 * @param {Desk} desk
 * @param {Doc.Part} part
 * @param {Doc.Feature[]} rows
 * @param {string} call what they are called by
 */
export function acts(desk, part, rows, call, small = false) {
  const now = new Set(rows.map((row) => chosenFor(part, row).to));
  const ways = rows.map(waysOf).reduce((a, b) => a.filter((to) => b.includes(to)));
  return ways.map((to) => h("button", {
    type: "button", class: small ? "small" : "", "aria-pressed": String(now.size === 1 && now.has(to)), "data-act": `${call} ${to}`,
    "aria-label": `${WORDS[to]} ${call}`, "aria-keyshortcuts": small ? null : WORDS[to][0],
    onclick: () => { make(desk, part.id, rows.map((row) => row.name), to); },
  }, WORDS[to]));
}

/**
 * The card of the chosen features: what they are, what is done to them, and the same for all that are alike.
 * @param {Desk} desk
 * @param {Doc.Part} part
 * @param {string[]} names
 * @param {(names: string[]) => void} choose
 */
export function card(desk, part, names, choose) {
  const rows = [...rowsOf(part).values()].filter((row) => names.includes(row.name));
  if (!rows.length) return [];
  const [first] = rows;
  const one = rows.length === 1;
  const steps = one ? stepsOf(first) : [];
  const same = one ? alike(part, first.name) : [];
  const said = one ? chosenFor(part, first) : { to: "wet", words: [] };
  const area = rows.reduce((sum, row) => sum + row.area_mm2, 0);
  return [
    h("div", { class: "row head" }, h("strong", {}, one ? first.name : `${rows.length} features`),
      h("button", { type: "button", class: "plain", "aria-label": "Let go", "data-act": "let-go", onclick: () => { choose([]); } }, "✕")),
    h("p", { class: "soft" }, one ? described(first) : `together ${areaCell(area)} ${areaUnit()}`),
    steps.length > 0 && said.to !== "wet" && h("p", { class: "soft" }, `with its ${steps.map(({ kind, diameter_mm }) => `${kind} Ø ${quantity(diameter_mm, "mm")}`).join(", ")}`),
    one && h("p", { class: "soft" }, part.stage ? "updating …" : areasOf(desk, part, first.name).join("; ")),
    h("div", { class: "row" }, acts(desk, part, rows, one ? first.name : "all chosen")),
    steps.length > 0 && said.to === "wet" && !part.stage && h("div", { class: "row tight steps" }, h("span", { class: "soft" }, "Mask only the "), steps.map(({ name, kind, diameter_mm }) => h("button", { type: "button", class: "plain small", "data-act": name, "aria-label": `Mask only the ${kind} Ø ${quantity(diameter_mm, "mm")}, ${name}`,
      onclick: () => { mask(desk, part.id, name); } }, `${kind} Ø ${quantity(diameter_mm, "mm")}`))),
    said.words.length > 0 && h("p", { class: "soft" }, `by your words ${said.words.map((w) => `“${w}”`).join(", ")} `,
      h("button", { type: "button", class: "small", "data-act": "unsay", onclick: () => { unsay(desk, part.id, said.words); } }, "Take these words off")),
    same.length > 1 && h("button", { type: "button", class: "plain", "data-act": "alike", onclick: () => { choose(same); } },
      `Choose all ${same.length} of Ø ${quantity(first.diameter_mm ?? 0, "mm")}`),
  ];
}

/** Mask one step of a bore, and leave its others wet. @param {Desk} desk @param {string} id @param {string} step */
function mask(desk, id, step) {
  desk.change(id, (/** @type {Doc.Part} */ { choices }) => ({ choices: { mask: [...(choices.mask ?? []), step] } }), `${id} mask`);
}

/** Take sentences off a part. @param {Desk} desk @param {string} id @param {string[]} words */
export function unsay(desk, id, words) {
  desk.change(id, (/** @type {Doc.Part} */ { choices }) => ({
    choices: Object.fromEntries(Object.entries(choices).filter(([, list]) => list.some((w) => words.includes(w)))
      .map(([key, list]) => [key, list.filter((w) => !words.includes(w))])),
  }));
}
