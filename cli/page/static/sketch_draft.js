// A sketch as it is being drawn: its rows and bores, what the server makes of them, undo, and keeping it on the disk.

import * as api from "./api.js";
import { say } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {{name: string, unit: string, measure: string, rows: Doc.Row[], bores: Doc.Bore[]}} Drawn */

const MEASURED = 50; // ms from the last change until it is measured
const KEPT = 350; // and until it is kept
const STEPS = 200; // that can be undone

/** @type {Doc.Row} */
export const EMPTY_ROW = { at: "", across: "", corner: "", size: "", line: "", detail: "" };

export class Draft {
  /** @param {Desk} desk @param {() => void} render */
  constructor(desk, render) {
    this.desk = desk;
    this.render = render;
    /** @type {Drawn | null} */
    this.drawn = null;
    /** @type {([number, number] | null)[]} */
    this.spots = []; // where each row's point lies: position and radius, in the sketch's unit
    /** @type {Doc.Measured | null} */
    this.measured = null;
    this.chosen = -1;
    this.id = ""; // of the part
    this.known = ""; // the sketch as it was kept last
    this.theirs = ""; // and as the server tells it since
    this.sending = false;
    this.revision = 0; // of the part, when it was kept last
    this.typing = ""; // the cell being typed in
    this.moving = false; // a point under the hand
    /** @type {string[]} */
    this.past = [];
    /** @type {string[]} */
    this.future = [];
    this.timers = { measure: 0, save: 0 };
    this.asked = 0;
    addEventListener("pagehide", () => { this.saveNow(); });
  }

  get good() { return this.measured && !this.measured.refused ? this.measured : null; }

  remember() {
    this.past.push(JSON.stringify(this.drawn));
    if (this.past.length > STEPS) this.past.shift();
    this.future = [];
  }

  /** Change the draft; it can be undone. @param {(drawn: Drawn) => void} how */
  edit(how) {
    if (!this.drawn) return;
    this.remember();
    how(this.drawn);
    this.changed();
  }

  /** Put a point in. @param {number} index @param {[number, number] | null} spot @param {Partial<Doc.Row>} row */
  add(index, spot = null, row = {}) {
    this.edit((drawn) => {
      drawn.rows.splice(index, 0, { ...EMPTY_ROW, ...row });
      this.spots.splice(index, 0, spot);
      this.chosen = index;
    });
  }

  /** Take a point out. @param {number} index */
  remove(index) {
    this.edit((drawn) => {
      drawn.rows.splice(index, 1);
      this.spots.splice(index, 1);
      this.chosen = -1;
    });
  }

  /** Move a point; done: the hand let it go. @param {number} index @param {[number, number]} spot @param {Partial<Doc.Row>} row @param {boolean} done */
  move(index, spot, row, done) {
    const now = this.drawn?.rows[index];
    if (!now || (done && now.at === row.at && now.across === row.across && !this.moving)) return;
    if (!this.moving) { this.remember(); this.moving = true; }
    Object.assign(now, row);
    this.spots[index] = spot;
    if (done) this.moving = false;
    this.changed();
  }

  /** Go back or forth; whether there was anything. @param {"undo" | "redo"} which */
  travel(which) {
    const [from, to] = which === "undo" ? [this.past, this.future] : [this.future, this.past];
    const step = from.pop();
    if (!step) return false;
    this.typing = "";
    to.push(JSON.stringify(this.drawn));
    this.drawn = JSON.parse(step);
    this.chosen = -1;
    this.changed();
    return true;
  }

  changed() {
    this.render();
    clearTimeout(this.timers.measure);
    this.timers.measure = setTimeout(() => { this.measure(); }, MEASURED);
    clearTimeout(this.timers.save);
    this.timers.save = setTimeout(() => { this.save(); }, KEPT);
  }

  async measure() {
    const ticket = this.asked += 1;
    try {
      const found = await api.measure(/** @type {Drawn} */ (this.drawn));
      if (ticket !== this.asked) return;
      this.measured = found;
      if (!this.moving && found.unit_mm) this.spots = found.spots_mm.map((spot) => spot && [spot[0] / (found.unit_mm ?? 1), spot[1] / (found.unit_mm ?? 1)]);
      this.render();
    } catch (bad) {
      if (ticket !== this.asked) return;
      this.measured = { refused: { line: /** @type {Error} */ (bad).message }, spots_mm: [] };
      this.render();
    }
  }

  /** Keep the draft on disk. */
  async save() {
    if (this.moving || this.sending) { this.timers.save = setTimeout(() => { this.save(); }, 200); return; }
    const part = this.desk.told?.parts.find((p) => p.id === this.id);
    const { drawn } = this;
    if (!drawn || kept(drawn) === this.known || !part) return;
    const now = kept(drawn);
    this.sending = true;
    const done = await this.desk.attempt(() => api.redraw(part.id, Math.max(part.revision, this.revision), JSON.parse(now)));
    this.sending = false;
    if (part.id !== this.id) return;
    if (done) [this.known, this.revision] = [now, done.revision];
    this.take(this.desk.part);
  }

  /** Keep it as the window goes. */
  saveNow() {
    const part = this.desk.told?.parts.find((p) => p.id === this.id);
    if (!part || !this.drawn || kept(this.drawn) === this.known) return;
    fetch(`api/sketches/${part.id}`, { method: "PUT", keepalive: true, headers: { "content-type": "application/json" },
      body: JSON.stringify({ revision: Math.max(part.revision, this.revision), sketch: this.drawn }) });
  }

  /** Take the sketch of a part, where it is another one or another window changed it. @param {Doc.Part | null} part */
  take(part) {
    if (!part?.sketch || !part.cells) { this.saveNow(); this.drawn = null; this.id = ""; return; }
    const { name, unit, measure } = part.sketch;
    const theirs = JSON.stringify({ name, unit, measure, ...part.cells });
    const other = part.id !== this.id;
    if (!other && (this.sending || part.revision < this.revision)) return;
    if (!other && part.revision === this.revision) this.theirs = theirs;
    if (!other && [this.theirs, this.known, this.drawn && kept(this.drawn)].includes(theirs)) return;
    if (other) {
      this.saveNow();
      [this.past, this.future, this.measured, this.chosen, this.id, this.spots, this.revision] = [[], [], null, -1, part.id, [], 0];
    } else {
      if (this.drawn && kept(this.drawn) !== this.known) say("Another window changed this sketch; you see it as it is now. Undo brings yours back.", "harms");
      this.remember();
    }
    this.typing = "";
    this.drawn = JSON.parse(theirs);
    this.known = this.theirs = theirs;
    clearTimeout(this.timers.save);
    this.render();
    this.measure();
  }
}

/** A draft as the server keeps it: without rows that are still empty. @param {Drawn} drawn */
const kept = (drawn) => JSON.stringify({ ...drawn, rows: drawn.rows.filter((row) => row.at || row.across) });
