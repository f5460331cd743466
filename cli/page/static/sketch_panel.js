// A turned part sketched: the grid, the table of points that follows it, the bores, undo, and the area as it grows.

import * as api from "./api.js";
import { h, plain, quantity, say } from "./show.js";
import { sketchDrawing } from "./sketch_drawing.js";
import { boreOf, boreWords, rowOf, wordsOf } from "./sketch_words.js";

const CORNERS = [["", "sharp"], ["r", "fillet"], ["c", "chamfer"]];
const LINES = [["", "straight"], ["arc", "arc"], ["thread", "thread"], ["knurl", "knurl"]];
const DETAILS = { arc: "r20 in", thread: "M10x1.5", knurl: "0.8" };
const SIDES = [["left", "from the left"], ["right", "from the right"], ["through left", "through, steps from the left"],
  ["through right", "through, steps from the right"], ["through", "through"]];
const EMPTY_ROW = { at: "", across: "", corner: "", size: "", line: "", detail: "" };

const spelled = (k) => JSON.stringify([k.name, k.unit, k.measure, k.outside, k.bores]);

export function sketchPanel({ attempt, part }) {
  let draft = null; // {name, unit, measure, rows, bores}
  let known = ""; // the sketch as the server has it
  let sending = "";
  let measured = null;
  let chosen = -1;
  let past = [];
  let future = [];
  let measuring = 0;
  let saving = 0;
  let asked = 0;

  const drawing = sketchDrawing({
    add: (index, at, across) => edit(() => {
      draft.rows.splice(index, 0, { ...EMPTY_ROW, at: String(at), across: String(across) });
      chosen = index;
    }),
    move: (index, at, across, done) => {
      const row = draft.rows[index];
      if (done && row.at === String(at) && row.across === String(across) && !moving) return;
      if (!moving) { remember(); moving = true; }
      row.at = String(at);
      row.across = String(across);
      if (done) moving = false;
      changed();
    },
    remove: (index) => edit(() => { draft.rows.splice(index, 1); chosen = -1; }),
    chosen: (index) => { chosen = index; render(); },
  });
  let moving = false;
  let typing = null; // the field being typed in
  let built = "";
  const live = h("output", { class: "live" });
  const refused = h("p", { class: "harms", role: "alert" });
  const undo = h("button", { type: "button", onclick: () => travel(past, future) }, "Undo");
  const redo = h("button", { type: "button", onclick: () => travel(future, past) }, "Redo");
  const head = h("div", { class: "row" });
  const rows = h("table", { class: "points" });
  const bores = h("div", { class: "bores" });
  const element = h("div", { class: "sketch", hidden: true }, head, h("div", { class: "drawing" }, drawing.element),
    h("div", { class: "row" }, undo, redo, live), refused,
    h("details", { open: true }, h("summary", {}, "Points of the outside"), h("div", { class: "scroll", tabIndex: 0, role: "region", "aria-label": "Table of points" }, rows)),
    h("details", { open: true }, h("summary", {}, "Bores"), bores));
  element.addEventListener("keydown", (e) => {
    if (!(e.ctrlKey || e.metaKey) || !["z", "y"].includes(e.key.toLowerCase())) return;
    e.preventDefault();
    if (document.activeElement.matches?.("input")) document.activeElement.blur();
    if (e.key.toLowerCase() === "y" || e.shiftKey) travel(future, past);
    else travel(past, future);
  });

  const wire = () => ({
    name: draft.name, unit: draft.unit, measure: draft.measure,
    outside: draft.rows.map(wordsOf).filter(Boolean), bores: draft.bores.map(boreWords),
  });

  function load(sketch) {
    built = "";
    typing = null;
    draft = { name: sketch.name, unit: sketch.unit, measure: sketch.measure,
      rows: sketch.outside.map(rowOf), bores: sketch.bores.map(boreOf) };
  }

  function remember() {
    past.push(JSON.stringify(draft));
    if (past.length > 200) past.shift();
    future = [];
  }

  /** Change the draft; it can be undone. */
  function edit(how) {
    remember();
    how();
    changed();
  }

  function travel(from, to) {
    typing = null;
    if (!from.length) return;
    to.push(JSON.stringify(draft));
    draft = JSON.parse(from.pop());
    built = "";
    chosen = -1;
    changed();
  }

  function changed() {
    render();
    clearTimeout(measuring);
    measuring = setTimeout(measure, 50);
    clearTimeout(saving);
    saving = setTimeout(save, 350);
  }

  async function measure() {
    const ticket = ++asked;
    try {
      const found = await api.measure(wire());
      if (ticket !== asked) return;
      measured = found;
      render();
    } catch (bad) {
      if (ticket === asked) { measured = { refused: { line: bad.message } }; render(); }
    }
  }

  /** Keep the draft on disk. */
  async function save() {
    if (moving) { saving = setTimeout(save, 200); return; }
    const now = wire();
    if (spelled(now) === known || !part()) return;
    sending = spelled(now);
    const done = await attempt(() => api.redraw(part(), now));
    if (done) known = sending;
    sending = "";
  }
  addEventListener("pagehide", () => {
    if (draft && !element.hidden && spelled(wire()) !== known) {
      fetch(`api/sketches/${part().id}`, { method: "PUT", keepalive: true, headers: { "content-type": "application/json" },
        body: JSON.stringify({ revision: part().revision, sketch: wire() }) });
    }
  });

  function render() {
    if (!draft) return;
    const good = measured && !measured.refused ? measured : null;
    drawing.show(draft.rows, draft, good, chosen);
    undo.disabled = !past.length;
    redo.disabled = !future.length;
    live.replaceChildren(...(good ? ["Whole skin ", h("strong", {}, quantity(good.area_mm2.value, "mm2", 6)), `, metal ${quantity(good.volume_mm3, "mm3", 4)}`] : ["No area yet"]));
    live.dataset.mm2 = good ? good.area_mm2.value : "";
    refused.textContent = measured?.refused ? plain(measured.refused.line.replace(/^sketch(, |: )/, "")) : "";
    renderTables();
  }

  /** Draw again and put the caret back where it was. */
  function keepFocus(drawn) {
    const held = element.contains(document.activeElement) ? document.activeElement.dataset.cell : null;
    const spot = held && document.activeElement.selectionStart;
    drawn();
    const again = held && element.querySelector(`[data-cell="${held}"]`);
    if (!again) return;
    again.focus();
    try { again.setSelectionRange(spot, spot); } catch { /* a select has no caret */ }
  }

  const getters = new Map(); // "at-0" -> what the draft says there

  /** A field of the draft. What is typed counts at once; one stay in the field is one step to undo. */
  const cell = (name, get, label, set, more = {}) => {
    getters.set(name, get);
    return h("input", { value: get(), "data-cell": name, "aria-label": label, autocomplete: "off", spellcheck: false,
      oninput: (e) => {
        if (typing !== name) { remember(); typing = name; }
        set(e.target.value.trim());
        changed();
      },
      onchange: (e) => { if (typing === name) typing = null; if (e.target.value !== get()) e.target.value = get(); }, ...more });
  };
  const pick = (name, options, get, label, set) => {
    getters.set(name, get);
    const made = h("select", { "data-cell": name, "aria-label": label, onchange: (e) => edit(() => set(e.target.value)) },
      options.map(([v, words]) => h("option", { value: v }, words)));
    made.value = get();
    return made;
  };

  /** What the tables are made of; while it stays, their fields stay too, and what is typed in them. */
  const build = () => JSON.stringify([draft.measure, draft.rows.map((r) => [r.corner !== "", r.line]),
    draft.bores.map((b) => [b.side.startsWith("through"), b.end, b.steps.length])]);

  function renderTables() {
    const shape = build();
    if (shape !== built) {
      built = shape;
      getters.clear();
      keepFocus(() => { renderHead(); renderRows(); renderBores(); });
    }
    for (const field of element.querySelectorAll("[data-cell]")) {
      const get = getters.get(field.dataset.cell);
      if (get && field.value !== get() && !(typing === field.dataset.cell && field === document.activeElement)) field.value = get();
    }
    markWrong();
  }

  /** Mark the row or bore that the refusal names. */
  function markWrong() {
    rows.querySelectorAll("tbody tr").forEach((tr, i) => {
      const wrong = wrongPlace(`point ${i + 1}`);
      tr.classList.toggle("wrong", wrong);
      tr.classList.toggle("selected", i === chosen);
      for (const field of tr.querySelectorAll('[data-cell^="at-"],[data-cell^="across-"]')) {
        if (wrong) field.setAttribute("aria-invalid", "true");
        else field.removeAttribute("aria-invalid");
      }
    });
    bores.querySelectorAll("fieldset").forEach((set, b) => set.classList.toggle("wrong", wrongPlace(`bore ${b + 1}`)));
  }

  function renderHead() {
    head.replaceChildren(
      h("label", {}, "Name ", cell("name", () => draft.name, "Name", (v) => { draft.name = v || draft.name; })),
      h("label", {}, "sizes in ", pick("unit", ["mm", "in", "cm"].map((u) => [u, u]), () => draft.unit, "Unit of the sketch", (v) => { draft.unit = v; })),
      h("label", {}, "given as ", pick("measure", [["diameter", "diameter"], ["radius", "radius"]], () => draft.measure, "Diameter or radius", (v) => { draft.measure = v; })));
  }

  const wrongPlace = (words) => measured?.refused?.where?.endsWith(words) ?? false;

  function renderRows() {
    const across = draft.measure === "radius" ? "radius" : "diameter";
    rows.replaceChildren(
      h("thead", {}, h("tr", {}, ["", "Position", across === "radius" ? "Radius" : "Diameter", "Corner", "Line to here", ""].map((w) => h("th", { scope: "col" }, w)))),
      h("tbody", {}, draft.rows.map((row, i) => {
        const set = (key) => (v) => { row[key] = v; };
        const n = i + 1;
        return h("tr", { onfocusin: () => mark(i) },
          h("th", { scope: "row" }, n),
          h("td", {}, cell(`at-${i}`, () => row.at, `Position of point ${n}`, set("at"), { onkeydown: (e) => enter(e, i) })),
          h("td", {}, cell(`across-${i}`, () => row.across, `${across} at point ${n}`, set("across"), { onkeydown: (e) => enter(e, i) })),
          h("td", {}, pick(`corner-${i}`, CORNERS, () => row.corner, `Corner at point ${n}`, (v) => { row.corner = v; if (v && !row.size) row.size = draft.unit === "in" ? "1/32" : "0.5"; }),
            row.corner && cell(`size-${i}`, () => row.size, `Size of the corner at point ${n}`, set("size"), { class: "short" })),
          h("td", {}, i > 0 && pick(`line-${i}`, LINES, () => row.line, `Line to point ${n}`, (v) => { row.line = v; row.detail = v ? DETAILS[v] : ""; }),
            i > 0 && row.line && cell(`detail-${i}`, () => row.detail, `Size of the ${row.line} to point ${n}`, set("detail"))),
          h("td", { class: "acts" }, h("button", { type: "button", class: "small", "data-cell": `after-${i}`, "aria-label": `A point after point ${n}`, onclick: () => insert(i + 1) }, "+"),
            h("button", { type: "button", class: "small", "data-cell": `off-${i}`, "aria-label": `Take point ${n} away`, onclick: () => edit(() => { draft.rows.splice(i, 1); chosen = -1; }) }, "−")));
      })),
      h("tfoot", {}, h("tr", {}, h("td", { colSpan: 6 }, h("button", { type: "button", "data-cell": "add-point", onclick: () => insert(draft.rows.length) }, "Add a point")))));
  }

  function mark(i) {
    if (i === chosen) return;
    chosen = i;
    const good = measured && !measured.refused ? measured : null;
    drawing.show(draft.rows, draft, good, chosen);
    rows.querySelectorAll("tbody tr").forEach((tr, k) => tr.classList.toggle("selected", k === i));
  }

  function insert(index) {
    edit(() => { draft.rows.splice(index, 0, { ...EMPTY_ROW }); chosen = index; });
    element.querySelector(`[data-cell="at-${index}"]`)?.focus();
  }

  /** Enter goes on to the next row, and makes one after the last. */
  function enter(e, i) {
    if (e.key !== "Enter") return;
    e.preventDefault();
    e.target.blur();
    if (i + 1 >= draft.rows.length) insert(i + 1);
    else element.querySelector(`[data-cell="at-${i + 1}"]`)?.focus();
  }

  function renderBores() {
    bores.replaceChildren(...draft.bores.map((bore, b) => {
      const through = bore.side.startsWith("through");
      return h("fieldset", { class: "bore" }, h("legend", {}, `Bore ${b + 1}`),
        h("div", { class: "row" }, pick(`side-${b}`, SIDES, () => bore.side, `Where bore ${b + 1} opens`, (v) => { bore.side = v; }),
          !through && pick(`end-${b}`, [["point", "drill point"], ["flat", "flat floor"]], () => bore.end, `Floor of bore ${b + 1}`, (v) => { bore.end = v; }),
          !through && bore.end === "point" && h("label", {}, cell(`angle-${b}`, () => bore.angle, `Drill point of bore ${b + 1} in degrees`, (v) => { bore.angle = v; }, { class: "short" }), "°"),
          h("label", {}, "chamfer at the mouth ", cell(`chamfer-${b}`, () => bore.chamfer, `Chamfer at the mouth of bore ${b + 1}`, (v) => { bore.chamfer = v; }, { class: "short", placeholder: "none" })),
          h("button", { type: "button", class: "plain", "data-cell": `bore-off-${b}`, "aria-label": `Take away bore ${b + 1}`, onclick: () => edit(() => draft.bores.splice(b, 1)) }, "Take away")),
        bore.steps.map((step, k) => h("div", { class: "row step" },
          h("label", {}, draft.measure === "radius" ? "r " : "⌀ ", cell(`bore-${b}-across-${k}`, () => step.across, `${draft.measure} of step ${k + 1} of bore ${b + 1}`, (v) => { step.across = v; }, { class: "short" })),
          h("label", {}, "to a depth of ", cell(`bore-${b}-deep-${k}`, () => step.deep, `Depth of step ${k + 1} of bore ${b + 1}, from the mouth`, (v) => { step.deep = v; },
            { class: "short", placeholder: through && k === bore.steps.length - 1 ? "through" : "" })),
          h("label", {}, "thread ", cell(`bore-${b}-thread-${k}`, () => step.thread, `Thread of step ${k + 1} of bore ${b + 1}`, (v) => { step.thread = v; }, { class: "short", placeholder: "none" })),
          bore.steps.length > 1 && h("button", { type: "button", class: "small", "data-cell": `bore-${b}-off-${k}`, "aria-label": `Take step ${k + 1} of bore ${b + 1} away`, onclick: () => edit(() => bore.steps.splice(k, 1)) }, "−"))),
        h("button", { type: "button", class: "small", "data-cell": `bore-${b}-step`, onclick: () => edit(() => bore.steps.push({ across: "", deep: "", thread: "" })) }, "A narrower step"));
    }), h("div", { class: "row" }, ["left", "right", "through"].map((side) => h("button", {
      type: "button", "data-cell": `add-${side}`, onclick: () => {
        edit(() => draft.bores.push({ side, steps: [{ across: draft.unit === "in" ? "1/4" : "6", deep: side === "through" ? "" : draft.unit === "in" ? "1/2" : "10", thread: "" }], end: "point", angle: "118", chamfer: "" }));
        element.querySelector(`[data-cell="bore-${draft.bores.length - 1}-across-0"]`)?.focus();
      },
    }, side === "through" ? "Bore it through" : `Bore from the ${side}`))));
  }

  return {
    element,
    show(now, other) {
      element.hidden = !now.sketch;
      if (!now.sketch) { draft = null; return; }
      const theirs = spelled(now.sketch);
      if (!other && draft && theirs === sending) known = theirs;
      if (!other && draft && theirs === known) { render(); return; }
      const mine = draft && !other && spelled(wire()) !== known;
      if (other) { past = []; future = []; measured = null; chosen = -1; }
      else if (draft) remember();
      if (mine) say("Another window changed this sketch; you see it as it is now. Undo brings yours back.", "harms");
      load(now.sketch);
      known = theirs;
      clearTimeout(saving);
      render();
      measure();
    },
  };
}
