// The parts of the load: brought in, counted, their unit put right, taken off and put back.

import * as api from "./api.js";
import { intake } from "./intake.js";
import { bounds, h, lengthCell, noteWords, quantity, redraw, state } from "./show.js";
import { doubtsUnit } from "./way.js";

/** @typedef {import("./desk.js").Desk} Desk */

const UNITS = ["mm", "cm", "m", "in", "ft", "um"];
const MOST = 10000;
const HOW = [
  ["Bring the part.", "Its surface is measured, bores and all."], ["Plug and mask", "what must not be coated: point at it."],
  ["Hang it", "so that no air is trapped."], ["Describe the tank,", "the bath and the power supply."],
  ["Read the plan:", "current, time, volts, heat, and what would spoil the part."], ["Run it", "from a printed sheet, and write it into the logbook."],
];

/** @param {Desk} desk */
export function partsStation(desk) {
  const coming = h("ul", { class: "cards", id: "coming", "aria-label": "Files on their way" });
  const list = h("ul", { class: "cards", id: "parts", "aria-label": "Parts" });
  const bin = h("details", { class: "bin", hidden: true });
  const facts = h("div", { class: "facts" });
  const { take } = intake(desk, coming);
  const files = h("input", { id: "files", type: "file", multiple: true, accept: [...desk.catalogue.suffixes, ".zip"].join(",") });
  files.addEventListener("change", () => { take([...(files.files ?? [])]); files.value = ""; });
  const samples = h("details", { id: "samples" }, h("summary", {}, "Or take a sample"),
    h("div", { class: "row", id: "sample-buttons" }, desk.catalogue.samples.map((name) => h("button", {
      type: "button", class: "small", onclick: () => added(() => api.sample(name)),
    }, name))));
  const drop = h("div", { id: "drop" },
    h("p", { class: "big" }, "Drop part files here, or anywhere on the page"),
    h("p", { class: "soft" }, `${desk.catalogue.suffixes.filter((x) => x !== ".toml").map((x) => x.slice(1).toUpperCase()).join(" ")}, or a load saved here before`),
    h("div", { class: "row" }, h("label", { class: "button main", for: "files" }, "Choose files"), files,
      h("button", { type: "button", id: "new-sketch", onclick: () => added(newSketch) }, "Sketch a turned part")), samples);
  const how = h("ol", { class: "how-it-goes" }, HOW.map(([what, does]) => h("li", {}, h("strong", {}, what), ` ${does}`)));
  const scrolled = h("div", { class: "grow scroll" }, list, bin, facts);
  const element = h("section", { class: "panel", id: "part", "aria-labelledby": "part-title" }, h("h2", { id: "part-title" }, "Parts of the load"),
    drop, how, coming, scrolled);
  /** @type {Map<string, ReturnType<typeof partCard>>} */
  const cards = new Map();
  let empty = true; // as index.html has it
  /** @type {string | null} */
  let chosen = null;
  samples.open = true;

  /** @param {() => Promise<{id: string}>} making */
  async function added(making) {
    const made = await desk.attempt(making);
    if (made) desk.choose(made.id);
  }

  function newSketch() {
    const { settings } = desk.bench;
    return api.sketch({ name: "turned part", unit: settings.show, outside: settings.show === "mm" ? ["0 12", "40 12"] : ["0 1/2", "2 1/2"], bores: [] });
  }

  desk.listen(() => {
    const { parts, removed } = desk.bench;
    if (empty !== (parts.length === 0)) {
      empty = parts.length === 0;
      samples.open = empty;
      document.body.classList.toggle("empty", empty);
    }
    for (const [id, card] of cards) if (!parts.some((p) => p.id === id)) { card.element.remove(); cards.delete(id); }
    const other = chosen !== desk.chosen;
    chosen = desk.chosen;
    for (const part of parts) {
      const card = cards.get(part.id) ?? partCard(part.id, desk);
      if (!cards.has(part.id)) { cards.set(part.id, card); list.append(card.element); }
      card.show(part, part.id === chosen);
      if (other && part.id === chosen) inSight(card.element, scrolled);
    }
    bin.hidden = !removed.length;
    redraw(bin, JSON.stringify(removed), () => [h("summary", {}, `Taken off (${removed.length})`), h("ul", {}, removed.map(({ id, name }) => h("li", { class: "row" },
      h("span", {}, name), h("button", { type: "button", class: "small", "data-act": `back ${id}`, "aria-label": `Put ${name} back`, onclick: () => { desk.attempt(() => api.putBack(id)); } }, "Put it back"))))]);
    const { part } = desk;
    facts.classList.toggle("old", Boolean(part?.stage));
    redraw(facts, JSON.stringify([part?.result, state.show, part?.name]), () => (part?.result ? about(part, part.result) : []));
  });

  return element;
}

/** Scroll what holds an element until the element is in sight; the page itself stays. @param {Element} element @param {Element} box */
function inSight(element, box) {
  const [own, around] = [element.getBoundingClientRect(), box.getBoundingClientRect()];
  if (own.top < around.top || own.bottom > around.bottom) box.scrollTop += own.top - around.top;
}

/** What was found of a part, and what was chosen for the person. @param {Doc.Part} part @param {Doc.Result} r */
function about(part, r) {
  const size = r.size_mm.map((x) => lengthCell(x)).join(" × ");
  const notes = r.notes.filter((n) => !doubtsUnit(n));
  return [
    h("h3", {}, `About ${part.name}`),
    h("p", { class: "soft" }, `${size} ${state.show}; ${r.triangles.toLocaleString("en")} triangles, ${r.bodies === 1 ? "1 body" : `${r.bodies} bodies`}, ${r.closed ? "closed" : "open"}`
      + (r.because.length && bounds(r.wetted_area_mm2.low, r.wetted_area_mm2.high, "mm2") ? `; least and most differ by ${r.because.join("; ")}` : "")),
    h("ul", { class: "notes" }, notes.map((n) => h("li", { class: n.warns ? "harms" : "" }, noteWords(n)))),
  ];
}

/** @param {string} id @param {Desk} desk */
function partCard(id, desk) {
  const part = () => /** @type {Doc.Part} */ (desk.bench.parts.find((p) => p.id === id));
  const name = h("button", { type: "button", class: "name", onclick: () => { desk.choose(id); } });
  const area = h("span", { class: "area" });
  const bar = h("progress", { max: 1 });
  let refused = ""; // a count that was not taken
  const count = h("input", { type: "number", min: 1, max: MOST, step: 1, oninput: () => {
    const number = Number(count.value);
    const good = Number.isInteger(number) && number >= 1 && number <= MOST;
    refused = "";
    count.setAttribute("aria-invalid", String(!good));
    if (good) desk.change(id, { count: number }, `${id} count`);
    else desk.wrong.set(`${id} count`, `a count is a whole number from 1 to ${MOST}`);
    desk.changed();
  }, onblur: () => {
    const wrong = desk.wrong.get(`${id} count`);
    if (!wrong) return;
    refused = `'${count.value}' was not taken: ${wrong}`;
    desk.wrong.delete(`${id} count`);
    desk.changed();
  } });
  const unit = h("select", { onchange: () => { desk.change(id, { unit: unit.value || null }); } },
    h("option", { value: "" }, "as the file says"), UNITS.map((u) => h("option", { value: u }, u)));
  const unitField = h("label", {}, "unit ", unit);
  const alloy = h("input", { class: "short", placeholder: "e.g. 6061", spellcheck: false, onchange: () => { desk.change(id, { alloy: alloy.value.trim() || null }, `${id} alloy`); } });
  const says = h("div", { class: "says" });
  const off = h("button", { type: "button", class: "plain", onclick: () => { desk.attempt(() => api.remove(id)); } });
  const rename = h("button", { type: "button", class: "plain", onclick: () => {
    const to = prompt("Call this part", part().name);
    if (to?.trim()) desk.change(id, { name: to.trim().slice(0, 60) });
  } }, "Rename");
  const element = h("li", { class: "card" }, h("div", { class: "row head" }, name, h("span", { class: "row tight" }, rename, off)), h("div", { class: "row" }, area, bar), says,
    h("div", { class: "row" }, h("label", {}, "count ", count), unitField, h("label", {}, "alloy ", alloy)));

  return {
    element,
    /** @param {Doc.Part} now @param {boolean} chosen */
    show(now, chosen) {
      element.classList.toggle("chosen", chosen);
      element.classList.toggle("busy", Boolean(now.stage));
      name.textContent = now.name;
      name.setAttribute("aria-pressed", String(chosen));
      area.textContent = now.stage ? `${now.stage} …` : areaOf(now);
      bar.hidden = !now.stage || !now.share;
      bar.value = now.share ?? 0;
      bar.setAttribute("aria-label", `How far ${now.name} is`);
      off.textContent = now.stage ? "Stop" : "Take off";
      off.setAttribute("aria-label", `${now.stage ? "Stop" : "Take off"} ${now.name}`);
      rename.hidden = Boolean(now.sketch);
      rename.setAttribute("aria-label", `Rename ${now.name}`);
      count.setAttribute("aria-label", `How many of ${now.name}`);
      if (document.activeElement !== count) count.value = String(now.count);
      unitField.hidden = Boolean(now.sketch);
      unit.value = (now.unit ?? "").split(",")[0];
      const how = now.result?.unit;
      unit.options[0].textContent = how && !now.unit ? `${how.name}, ${how.how}` : "as the file says";
      unit.setAttribute("aria-label", `Unit of ${now.name}`);
      alloy.setAttribute("aria-label", `Alloy of ${now.name}`);
      if (document.activeElement !== alloy) alloy.value = now.alloy ?? "";
      const lines = [now.refused?.line, refused, desk.wrong.get(`${id} count`), desk.wrong.get(`${id} alloy`)].filter(Boolean);
      redraw(says, JSON.stringify([lines, now.unit, now.result?.notes, now.result?.unit_fits]), () => [
        ...lines.map((line) => h("p", { class: "harms", role: "alert" }, /** @type {string} */ (line))), ...mend(now, desk),
      ]);
    },
  };
}

/** @param {Doc.Part} part */
function areaOf(part) {
  const found = part.refused ? null : part.result?.wetted_area_mm2;
  if (!found) return "";
  const range = bounds(found.low, found.high, "mm2", 4);
  const all = part.count > 1 ? `, ${quantity(part.count * found.value, "mm2", 4)} for ${part.count}` : "";
  return `${quantity(found.value, "mm2", 4)} wetted${range ? ` (${range})` : ""}${all && ` each${all}`}`;
}

/** Where the unit is in doubt: what is odd, and buttons that put it right. @param {Doc.Part} part @param {Desk} desk */
function mend(part, desk) {
  const doubts = part.result?.notes.filter(doubtsUnit) ?? [];
  if (!part.result || !doubts.length) return [];
  const set = (/** @type {string} */ unit, /** @type {string} */ words) => h("button", { type: "button", class: "small", "data-act": `unit ${unit}`, onclick: () => { desk.change(part.id, { unit }); } }, words);
  const taken = part.result.unit.name;
  return [h("p", { class: "harms" }, `${part.name}: ${noteWords(doubts[0])}.`),
    h("div", { class: "row" }, (part.result.unit_fits ?? []).map((u) => set(u, `It is in ${u}`)), set(`${taken}, checked`, `Yes, ${taken} is right`))];
}
