// The tables of a sketch: a row a point, a box a bore; what is typed in them counts at once.

import { EMPTY_ROW } from "./sketch_draft.js";
import { h } from "./show.js";

/** @typedef {import("./sketch_draft.js").Draft} Draft */
/** @typedef {(drawn: import("./sketch_draft.js").Drawn, value: string) => void} Put */

/** @type {[string, string][]} */
const CORNERS = [["", "sharp"], ["r", "fillet"], ["c", "chamfer"]];
/** @type {[string, string][]} */
const LINES = [["", "straight"], ["arc", "arc"], ["thread", "thread"], ["knurl", "knurl"]];
/** @type {Record<string, string>} */
const DETAILS = { arc: "r20 in", thread: "M10x1.5", knurl: "0.8" };
/** @type {[string, string][]} */
const SIDES = [["left", "from the left"], ["right", "from the right"], ["through left", "through, steps from the left"],
  ["through right", "through, steps from the right"], ["through", "through"]];

export class SketchTables {
  /** @param {Draft} draft */
  constructor(draft) {
    this.draft = draft;
    this.head = h("div", { class: "row" });
    this.rows = h("table", { class: "points" });
    this.bores = h("div", { class: "bores" });
    this.built = ""; // what the tables are made of; while it stays, their fields stay too, and what is typed in them
    /** @type {Map<string, () => string>} */
    this.getters = new Map(); // cell -> what the draft says there
  }

  get drawn() { return /** @type {import("./sketch_draft.js").Drawn} */ (this.draft.drawn); }

  /** @param {string} name @returns {HTMLInputElement | HTMLSelectElement | null} */
  cellOf(name) {
    for (const part of [this.head, this.rows, this.bores]) {
      const found = part.querySelector(`[data-cell="${name}"]`);
      if (found) return /** @type {HTMLInputElement} */ (found);
    }
    return null;
  }

  show() {
    const { measure, rows, bores } = this.drawn;
    const shape = JSON.stringify([this.draft.id, measure, rows.map((r) => [r.corner !== "", r.line]),
      bores.map((b) => [b.side.startsWith("through"), b.end, b.steps.length])]);
    if (shape !== this.built) {
      this.built = shape;
      this.keepFocus(() => { this.getters.clear(); this.makeHead(); this.makeRows(); this.makeBores(); });
    }
    for (const [name, get] of this.getters) {
      const field = this.cellOf(name);
      if (field && field.value !== get() && !(this.draft.typing === name && field === document.activeElement)) field.value = get();
    }
    this.mark();
  }

  /** Draw again and put the caret back where it was. @param {() => void} drawn */
  keepFocus(drawn) {
    const active = /** @type {HTMLInputElement | null} */ (document.activeElement);
    const held = active?.dataset.cell;
    const spot = held ? active?.selectionStart ?? null : null;
    drawn();
    const again = held ? this.cellOf(held) : null;
    again?.focus();
    if (again instanceof HTMLInputElement && spot !== null) again.setSelectionRange(spot, spot);
  }

  /** A field of the draft; one stay in it is one step to undo. @param {string} name @param {() => string} get @param {string} label @param {Put} put */
  cell(name, get, label, put, more = {}) {
    const { draft } = this;
    this.getters.set(name, get);
    return h("input", { value: get(), "data-cell": name, "aria-label": label, autocomplete: "off", spellcheck: false, maxLength: 40,
      oninput: (/** @type {Event} */ e) => {
        if (draft.typing !== name) { draft.remember(); draft.typing = name; }
        put(this.drawn, /** @type {HTMLInputElement} */ (e.target).value.trim());
        draft.changed();
      },
      onchange: () => { if (draft.typing === name) draft.typing = ""; }, ...more });
  }

  /** @param {string} name @param {[string, string][]} options @param {() => string} get @param {string} label @param {Put} put */
  pick(name, options, get, label, put) {
    this.getters.set(name, get);
    const made = h("select", { "data-cell": name, "aria-label": label, onchange: () => { this.draft.edit((drawn) => { put(drawn, made.value); }); } },
      options.map(([value, words]) => h("option", { value }, words)));
    made.value = get();
    return made;
  }

  /** @param {string} name @param {string} label @param {string} words @param {() => void} does */
  button(name, label, words, does) {
    return h("button", { type: "button", class: "small", "data-cell": name, "aria-label": label, onclick: does }, words);
  }

  /** Mark the row or bore that the refusal names. */
  mark() {
    const { measured, chosen } = this.draft;
    const wrong = (/** @type {string} */ words) => measured?.refused?.where?.endsWith(words) ?? false;
    this.rows.querySelectorAll("tbody tr").forEach((tr, i) => {
      tr.classList.toggle("wrong", wrong(`point ${i + 1}`));
      tr.classList.toggle("selected", i === chosen);
      for (const field of tr.querySelectorAll('[data-cell^="at-"],[data-cell^="across-"]')) {
        field.toggleAttribute("aria-invalid", false);
        if (wrong(`point ${i + 1}`)) field.setAttribute("aria-invalid", "true");
      }
    });
    this.bores.querySelectorAll("fieldset").forEach((set, b) => set.classList.toggle("wrong", wrong(`bore ${b + 1}`)));
  }

  makeHead() {
    /** @type {[string, string][]} */
    const units = [["mm", "mm"], ["in", "in"], ["cm", "cm"]];
    this.head.replaceChildren(
      h("label", {}, "Name ", this.cell("name", () => this.drawn.name, "Name", (drawn, v) => { drawn.name = v || drawn.name; })),
      h("label", {}, "sizes in ", this.pick("unit", units, () => this.drawn.unit, "Unit of the sketch", (drawn, v) => { drawn.unit = v; })),
      h("label", {}, "given as ", this.pick("measure", [["diameter", "diameter"], ["radius", "radius"]], () => this.drawn.measure, "Diameter or radius", (drawn, v) => { drawn.measure = v; })));
  }

  makeRows() {
    const across = this.drawn.measure === "radius" ? "radius" : "diameter";
    const heads = ["Point", "Position", across === "radius" ? "Radius" : "Diameter", "Corner", "Line to here", "Rows"];
    this.rows.replaceChildren(
      h("caption", {}, "Points of the outside"), h("thead", {}, h("tr", {}, heads.map((w) => h("th", { scope: "col" }, w)))),
      h("tbody", {}, this.drawn.rows.map((row, i) => this.row(row, i, across))),
      h("tfoot", {}, h("tr", {}, h("td", { colSpan: 6 }, this.button("add-point", "Add a point at the end", "Add a point", () => { this.insert(this.drawn.rows.length); })))));
  }

  /** @param {Doc.Row} row @param {number} i @param {string} across */
  row(row, i, across) {
    const n = i + 1;
    const of = () => this.drawn.rows[i] ?? EMPTY_ROW;
    const put = (/** @type {keyof Doc.Row} */ key) => (/** @type {import("./sketch_draft.js").Drawn} */ drawn, /** @type {string} */ v) => { drawn.rows[i][key] = v; };
    const next = { onkeydown: (/** @type {KeyboardEvent} */ e) => { this.enter(e, i); } };
    return h("tr", { onfocusin: () => { if (this.draft.chosen !== i) { this.draft.chosen = i; this.draft.render(); } } },
      h("th", { scope: "row" }, n),
      h("td", {}, this.cell(`at-${i}`, () => of().at, `Position of point ${n}`, put("at"), next)),
      h("td", {}, this.cell(`across-${i}`, () => of().across, `${across} at point ${n}`, put("across"), next)),
      h("td", {}, this.pick(`corner-${i}`, CORNERS, () => of().corner, `Corner at point ${n}`, (drawn, v) => {
        Object.assign(drawn.rows[i], { corner: v, size: drawn.rows[i].size || (drawn.unit === "in" ? "1/32" : "0.5") });
      }), row.corner && this.cell(`size-${i}`, () => of().size, `Size of the corner at point ${n}`, put("size"), { class: "short" })),
      h("td", {}, i > 0 && this.pick(`line-${i}`, LINES, () => of().line, `Line to point ${n}`, (drawn, v) => { Object.assign(drawn.rows[i], { line: v, detail: v ? DETAILS[v] : "" }); }),
        i > 0 && row.line && this.cell(`detail-${i}`, () => of().detail, `Size of the ${row.line} to point ${n}`, put("detail"))),
      h("td", { class: "acts" }, this.button(`after-${i}`, `A point after point ${n}`, "+", () => { this.insert(i + 1); }),
        this.button(`off-${i}`, `Take point ${n} away`, "−", () => { this.draft.remove(i); })));
  }

  /** @param {number} index */
  insert(index) {
    this.draft.add(index);
    this.cellOf(`at-${index}`)?.focus();
  }

  /** Enter goes on to the next row, and makes one after the last. @param {KeyboardEvent} e @param {number} i */
  enter(e, i) {
    if (e.key !== "Enter") return;
    e.preventDefault();
    /** @type {HTMLElement} */ (e.target).blur();
    if (i + 1 >= this.drawn.rows.length) this.insert(i + 1);
    else this.cellOf(`at-${i + 1}`)?.focus();
  }

  makeBores() {
    this.bores.replaceChildren(...this.drawn.bores.map((_, b) => this.bore(b)), h("div", { class: "row" }, ["left", "right", "through"].map((side) => (
      this.button(`add-${side}`, side === "through" ? "Bore it through" : `Bore from the ${side}`, side === "through" ? "Bore it through" : `Bore from the ${side}`, () => {
        this.draft.edit(({ bores, unit }) => {
          const deep = side === "through" ? "" : unit === "in" ? "1/2" : "10";
          bores.push({ side, steps: [{ across: unit === "in" ? "1/4" : "6", deep, thread: "" }], end: "point", angle: "118", chamfer: "" });
        });
        this.cellOf(`bore-${this.drawn.bores.length - 1}-across-0`)?.focus();
      })))));
  }

  /** @param {number} b */
  bore(b) {
    const of = () => this.drawn.bores[b];
    const put = (/** @type {"side" | "end" | "angle" | "chamfer"} */ key) => (/** @type {import("./sketch_draft.js").Drawn} */ drawn, /** @type {string} */ v) => { drawn.bores[b][key] = v; };
    const n = b + 1;
    const through = of().side.startsWith("through");
    return h("fieldset", { class: "bore" }, h("legend", {}, `Bore ${n}`),
      h("div", { class: "row" }, this.pick(`side-${b}`, SIDES, () => of()?.side ?? "", `Where bore ${n} opens`, put("side")),
        !through && this.pick(`end-${b}`, [["point", "drill point"], ["flat", "flat floor"]], () => of()?.end ?? "", `Floor of bore ${n}`, put("end")),
        !through && of().end === "point" && h("label", {}, this.cell(`angle-${b}`, () => of()?.angle ?? "", `Drill point of bore ${n} in degrees`, put("angle"), { class: "short" }), "°"),
        h("label", {}, "chamfer at the mouth ", this.cell(`chamfer-${b}`, () => of()?.chamfer ?? "", `Chamfer at the mouth of bore ${n}`, put("chamfer"), { class: "short", placeholder: "none" })),
        this.button(`bore-off-${b}`, `Remove bore ${n}`, "Remove", () => { this.draft.edit(({ bores }) => { bores.splice(b, 1); }); })),
      of().steps.map((_, k) => this.step(b, k, through)),
      this.button(`bore-${b}-step`, `A narrower step of bore ${n}`, "A narrower step", () => { this.draft.edit(({ bores }) => { bores[b].steps.push({ across: "", deep: "", thread: "" }); }); }));
  }

  /** @param {number} b @param {number} k @param {boolean} through */
  step(b, k, through) {
    const of = (/** @type {keyof Doc.Step} */ key) => () => this.drawn.bores[b]?.steps[k]?.[key] ?? "";
    const put = (/** @type {keyof Doc.Step} */ key) => (/** @type {import("./sketch_draft.js").Drawn} */ drawn, /** @type {string} */ v) => { drawn.bores[b].steps[k][key] = v; };
    const call = `step ${k + 1} of bore ${b + 1}`;
    const steps = this.drawn.bores[b].steps.length;
    return h("div", { class: "row step" },
      h("label", {}, this.drawn.measure === "radius" ? "r " : "Ø ", this.cell(`bore-${b}-across-${k}`, of("across"), `${this.drawn.measure} of ${call}`, put("across"), { class: "short" })),
      h("label", {}, "to a depth of ", this.cell(`bore-${b}-deep-${k}`, of("deep"), `Depth of ${call}, from the mouth`, put("deep"), { class: "short", placeholder: through && k === steps - 1 ? "through" : "" })),
      h("label", {}, "thread ", this.cell(`bore-${b}-thread-${k}`, of("thread"), `Thread of ${call}`, put("thread"), { class: "short", placeholder: "none" })),
      steps > 1 && this.button(`bore-${b}-off-${k}`, `Take ${call} away`, "−", () => { this.draft.edit(({ bores }) => { bores[b].steps.splice(k, 1); }); }));
  }
}
