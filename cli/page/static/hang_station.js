// How a part hangs: which way points up, the air that traps, the liquid it carries out, and the part going under.

import * as api from "./api.js";
import { h, noteWords, redraw, s, spelled, state } from "./show.js";
import { leavesBare, unused } from "./way.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./workbench.js").Workbench} Workbench */

const AXES = ["x+", "x-", "y+", "y-", "z+", "z-"];
const SNAP = Math.cos((5 * Math.PI) / 180); // nearer than 5 degrees to an axis or a bore is taken as that

/** The bores that a part may hang by. @param {Doc.Part | null} part */
function boresOf(part) {
  const found = (part?.result?.features ?? []).filter((f) => f.axis && f.mouths_mm?.length);
  return [...new Map(found.map((f) => [f.name, f])).values()];
}

/** The words for a direction that points up. @param {Doc.Part | null} part @param {number[]} up */
function directionOf(part, [x, y, z]) {
  const near = (/** @type {number[]} */ axis) => axis[0] * x + axis[1] * y + axis[2] * z;
  let words = [x, y, z].map((v) => Number(v.toFixed(4))).join(",");
  for (const bore of boresOf(part)) {
    const along = near(/** @type {number[]} */ (bore.axis));
    if (-along > SNAP) words = bore.name;
    if (along > SNAP) words = `${bore.name} down`;
  }
  AXES.forEach((axis, i) => { if ([x, y, z][i >> 1] * (i & 1 ? -1 : 1) > SNAP) words = axis; });
  return words;
}

/** A direction that is no axis and no bore, as a person says it. @param {Doc.Part} part */
const spoken = (part) => part.stage ? "updating …" : part.result?.hung ?? `${part.up} up`;

/** @param {Desk} desk @param {Workbench} bench */
export function hangStation(desk, bench) {
  const said = desk.catalogue.hanging;
  const up = h("select", { id: "up-in-bath", "aria-label": "Which way points up", onchange: () => { follow(false); set(up.value); } });
  const line = h("input", { class: "short", placeholder: "all of it", spellcheck: false, autocomplete: "off", "aria-describedby": "line-says",
    onchange: () => { if (desk.part) desk.change(desk.part.id, { liquid_line: line.value.trim().replace(/\d$/, (digit) => `${digit} ${state.show}`) || null }, `${desk.part.id} line`); } });
  const turning = h("button", { type: "button", "aria-pressed": "false", onclick: () => {
    follow(!following());
    if (following()) seen();
  } }, "Turn it by hand");
  const best = h("button", { type: "button", class: "main", onclick: findWays }, "Find the best way");
  const lineField = h("label", {}, "in the liquid up to ", line);
  const lineSays = h("p", { class: "soft", id: "line-says" }, said.line);
  const wrong = h("p", { class: "harms", role: "alert" });
  const outcome = h("div", { class: "outcome", role: "status" });
  const stay = h("button", { type: "button", onclick: () => {
    if (desk.part) desk.change(desk.part.id, (part) => ({ checked: [...new Set([...(part.checked ?? []), "hang"])] }));
  } }, "Let it stay bare");
  const bar = h("progress", { max: 1, hidden: true, "aria-label": "Ways tried" });
  const ways = h("ol", { class: "ways" });
  const pictures = h("ol", { class: "under", "aria-label": "The part going under and lifted out, cut upright" });
  const element = h("section", { class: "panel", id: "hang", "aria-labelledby": "hang-title" }, h("h2", { id: "hang-title" }, "How it hangs in the bath"),
    h("div", { class: "row" }, h("label", {}, "up ", up)), h("div", { class: "row" }, best, turning, bar), h("div", {}, lineField, lineSays), wrong,
    h("div", { class: "grow scroll", tabIndex: 0, role: "region", "aria-label": "What this hanging does" }, outcome, stay, ways, pictures));
  let drawn = ""; // what the pictures show
  let of = ""; // the part on show
  /** @type {Map<string, {as: string, ways: Doc.Way[]}>} */
  const tried = new Map(); // the ways found for each part, and how it was plugged and filled then
  /** @type {AbortController | null} */
  let searching = null;

  const following = () => turning.getAttribute("aria-pressed") === "true";
  const follow = (/** @type {boolean} */ is) => { turning.setAttribute("aria-pressed", String(is)); };
  bench.following = following;
  bench.turned = () => { if (following() && desk.part) seen(); };
  desk.listen(show);

  /** Bores that are filled by hand as the part goes in. @param {string[]} names */
  function filling(names) {
    if (desk.part) desk.change(desk.part.id, ({ choices }) => ({ choices: { fill: [...new Set([...(choices.fill ?? []), ...names])] } }), `${desk.part.id} words`);
  }

  /** @param {string} to */
  function set(to) {
    if (desk.part) desk.change(desk.part.id, to === "" ? { up: null, liquid_line: null } : { up: to }, `${desk.part.id} up`);
  }

  /** Hang it as it is on the screen. */
  function seen() {
    const to = directionOf(desk.part, bench.view?.up() ?? [0, 0, 1]);
    if (to !== desk.part?.up) set(to);
  }

  async function findWays() {
    if (searching) { searching.abort(); return; }
    const { part } = desk;
    if (!part) return;
    const mine = new AbortController();
    searching = mine;
    best.textContent = "Stop the search";
    redraw(ways, "searching", () => [h("li", { class: "soft" }, `${said.trying} …`)]);
    bar.hidden = false;
    const found = await desk.attempt(() => api.ways(part.id, mine.signal), `${part.id} up`);
    searching = null;
    bar.hidden = true;
    best.textContent = "Find the best way";
    if (found) tried.set(part.id, { as: asIs(part), ways: found.ways });
    show();
  }

  /** A way that was found: pointed at, the picture shows the part turned so. @param {Doc.Way} way @param {number} i */
  function wayFound(way, i) {
    const to = way.up.map((v) => Number(v.toFixed(4))).join(",");
    const shown = () => { if (!following()) bench.view?.hang(way.up); };
    return h("li", { onpointerenter: shown, onpointerleave: back },
      h("button", { type: "button", class: "small", "data-act": `way ${i}`, "aria-pressed": String(desk.part?.up === to), "aria-label": `Hang it this way: ${way.words}`, onfocus: shown, onblur: back, onclick: () => { follow(false); set(to); } }, "Hang it this way"),
      h("span", {}, way.best && h("strong", {}, i === 0 ? "best: " : "as good: "), spelled(`${way.words}; ${way.best && i > 0 ? "the same comes of it" : way.comes_to[state.show]}`)));
  }

  /** Turn the part back to how it hangs. */
  function back() { if (!following()) { if (desk.part?.result?.up) bench.hang(); else bench.view?.whole(); } }

  async function draw() {
    const { part } = desk;
    const wanted = part?.result?.up && !part.stage ? `${part.id} ${part.view}` : "";
    if (wanted === drawn || element.hidden) return;
    if (!wanted || !wanted.startsWith(drawn.split(" ")[0])) pictures.replaceChildren();
    drawn = wanted;
    pictures.classList.add("old");
    if (!wanted || !part) return;
    try {
      const made = await api.goingUnder(part.id);
      if (drawn !== wanted) return;
      pictures.classList.remove("old");
      pictures.replaceChildren(...made.frames.map((frame) => h("li", {}, picture(made, frame), h("span", { class: "soft" }, frame.words))));
    } catch (refused) {
      if (drawn !== wanted) return;
      drawn = "";
      const { status } = /** @type {api.Refused} */ (refused);
      pictures.replaceChildren(status > 0 && status !== 404 ? h("li", { class: "harms" }, /** @type {Error} */ (refused).message) : "");
    }
  }

  /** Which ways may point up, those in words that are in use too. @param {Doc.Part | null} part */
  function offer(part) {
    const options = [["", "not said"], ...AXES.map((a) => [a, `${a} up`]),
      ...boresOf(part).flatMap((b) => ((b.mouths_mm?.length ?? 0) > 1 ? [[b.name, `${b.name} upright`]] : [[b.name, `${b.name}, mouth up`], [`${b.name} down`, `${b.name}, mouth down`]]))];
    if (part?.up && !options.some(([value]) => value === part.up)) options.push([part.up, spoken(part)]);
    redraw(up, JSON.stringify(options), () => options.map(([value, words]) => h("option", { value }, words)));
    up.value = part?.up ?? "";
  }

  /** @param {Doc.Part | null} part */
  function showWays(part) {
    const found = part && tried.get(part.id);
    const good = part && found?.as === asIs(part) ? found.ways : [];
    redraw(ways, JSON.stringify([part?.id, good, part?.up, state.show]), () => good.map(wayFound));
  }

  function show() {
    const { part } = desk;
    if (part?.id !== of) { of = part?.id ?? ""; searching?.abort(); follow(false); }
    if (!searching) showWays(part);
    offer(part);
    lineField.hidden = lineSays.hidden = !part?.up;
    if (document.activeElement !== line) line.value = part?.liquid_line ?? "";
    const lines = part ? [desk.wrong.get(`${part.id} up`), desk.wrong.get(`${part.id} line`), ...unused(part, true).map((u) => `Not used: ${u.line}`)].filter(Boolean) : [];
    wrong.textContent = lines.join(" ");
    redraw(outcome, JSON.stringify([part?.result, part?.stage, state.show]), () => (part?.result ? outcomeOf(part, part.result, said, filling) : [h("p", { class: "soft" }, said.measuring)]));
    stay.hidden = !part || !leavesBare(part) || (part.checked ?? []).includes("hang");
    bar.value = part?.search ?? 0;
    draw();
  }

  return element;
}

/** What the ways to hang a part depend on. @param {Doc.Part} part */
const asIs = ({ file, sketch, choices, unit }) => JSON.stringify([file, sketch, choices, unit]);

/** What this hanging does. @param {Doc.Part} part @param {Doc.Result} result @param {Record<string, string>} said @param {(names: string[]) => void} filling */
function outcomeOf(part, result, said, filling) {
  if (part.stage) return [h("p", { class: "soft" }, "updating …")];
  if (!result.comes_to) return [h("p", { class: "soft" }, said.free)];
  const held = result.notes.filter((n) => n.code === "air-held" || n.code === "air-may-be-held");
  const names = (result.narrow ?? []).filter((n) => n.fills !== "filled by hand" && n.helps.includes("syringe")).flatMap((n) => n.features);
  const told = spelled(result.comes_to[state.show]);
  return [
    h("p", { class: leavesBare(part) ? "harms" : "" }, h("strong", {}, `${told[0].toUpperCase()}${told.slice(1)}.`)),
    names.length > 0 && h("button", { type: "button", class: "small", "data-act": "syringe", onclick: () => { filling(names); } }, `I fill ${names.join(", ")} with a syringe`),
    held.length > 0 && h("ul", { class: "notes soft" }, held.map((n) => h("li", {}, noteWords(n)))),
    (result.air ?? []).length > 0 && h("ul", { class: "notes" }, result.air?.slice(0, 6).map((each, i) => h("li", {}, `air ${i + 1}: ${spelled(each[state.show])}`))),
  ];
}

/** One picture of the strip: metal, liquid and air, y up. @param {Doc.Under} made @param {Doc.Under["frames"][0]} frame */
function picture({ box: [left, bottom, right, top], metal }, { words, liquid, air }) {
  const path = (/** @type {Doc.Rings} */ rings) => rings.map((ring) => `M${ring.map(([x, y]) => `${x - left} ${top - y}`).join("L")}Z`).join("");
  const part = (/** @type {Doc.Rings} */ rings, /** @type {string} */ kind) => (rings.length ? s("path", { d: path(rings), class: kind, "fill-rule": "evenodd", "vector-effect": "non-scaling-stroke" }) : null);
  return s("svg", { viewBox: `0 0 ${right - left} ${top - bottom}`, role: "img", "aria-label": `${words}${air.length ? "; air is trapped" : ""}` },
    part(liquid, "bath"), part(metal, "metal-cut"), part(air, "air"));
}
