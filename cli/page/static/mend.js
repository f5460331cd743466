// The way from a fault to where it is mended: the field that a key of the load has here, filled in where its value is known.

import { withValues } from "./fields.js";
import { h, spelled, titleOf } from "./show.js";
import { STATIONS } from "./way.js";

/** @typedef {import("./desk.js").Desk} Desk */

/** @type {Record<string, string>} */
const OF_PARTS = { up: "hang", liquid_line: "hang", plug: "cover", mask: "cover", fill: "cover" }; // the others: part
/** @type {Record<string, string>} */
const POINTS = { up: "#up-in-bath", fill: '#cover [aria-label="What to do"]', plug: "#cover .surface button", unit: "#part .card.chosen select", count: "#part .card.chosen input" };

/** The station and the field of a key such as "bath.agitation". @param {string} key */
function placeOf(key) {
  const [table, name] = key.split(".");
  if (table === "part") return { station: OF_PARTS[name] ?? "part", field: POINTS[name] };
  return { station: "tank", field: key === "finish.density" ? "#density" : `[name="${table} ${name}"]` };
}

/** Go to the field of a key, and put the focus there. @param {string} key */
export function goTo(key) {
  const { station, field } = placeOf(key);
  const there = () => {
    const box = field ? /** @type {HTMLElement | null} */ (document.querySelector(field)) : null;
    for (let more = box?.closest("details"); more; more = more.parentElement?.closest("details")) more.open = true;
    if (key === "part.fill" && box instanceof HTMLSelectElement) { box.value = "fill"; box.dispatchEvent(new Event("change")); }
    box?.scrollIntoView({ block: "center" });
    box?.focus();
  };
  if (location.hash === `#${station}`) { there(); return; }
  addEventListener("hashchange", () => { setTimeout(there); }, { once: true }); // once the station is on the screen
  location.hash = station;
}

/** What a key is called here. @param {Desk} desk @param {string} key */
function nameOf(desk, key) {
  const [table, name] = key.split(".");
  const words = key === "finish.density" ? "current density" : desk.catalogue.tables[table]?.keys.find((each) => each.name === name)?.label ?? "";
  return table === "part" ? /** @type {Record<string, string>} */ (STATIONS)[OF_PARTS[name] ?? "part"] : `${titleOf(table)}: ${words}`;
}

/**
 * Buttons that mend something: one that fills in the values that are known, and one to the field of each other key.
 * @param {Desk} desk
 * @param {string} of what they belong to
 * @param {string[]} keys
 * @param {Record<string, string>} changes values by key; an empty one leaves its key out
 * @param {string} part the name of the part whose keys they are
 */
export function mends(desk, of, keys, changes = {}, part = "") {
  const set = Object.entries(changes).filter(([, value]) => value);
  const names = [...new Map(keys.filter((key) => !(key in changes)).map((key) => [nameOf(desk, key), key]))];
  return h("span", { class: "mends" },
    set.length > 0 && h("button", { type: "button", class: "small", "data-act": `${of} set`, onclick: () => { fill(desk, changes, part); goTo(set[0][0]); } },
      changes["part.fill"] ? `Fill ${changes["part.fill"]} with a syringe` : `Set ${set.map(([key, value]) => `${key.split(".")[1].replaceAll("_", " ")} to ${spelled(value)}`).join(", ")}`),
    names.map(([name, key]) => h("button", { type: "button", class: "small", "data-act": `${of} ${key}`, "aria-label": `Go to ${name}`, onclick: () => { goTo(key); } }, name)));
}

/** Write values into the load; a part's own go to it. @param {Desk} desk @param {Record<string, string>} changes @param {string} part its name */
export function fill(desk, changes, part = "") {
  const { "finish.density": density, "part.fill": bores, "part.up": up, ...rest } = changes;
  const id = desk.bench.parts.find(({ name }) => name === part)?.id;
  if (bores && id) desk.change(id, (/** @type {Doc.Part} */ { choices }) => ({ choices: { fill: [...(choices.fill ?? []), ...bores.split(", ")] } }), `${id} words`);
  if (up && id) desk.change(id, { up }, `${id} up`);
  if (!density && !Object.keys(rest).length) return;
  desk.set((/** @type {Doc.Settings} */ { tables }) => ({ tables: withValues(tables, rest), ...(density ? { density } : {}) }));
}
