// The page's side of the bench: what the server last told, with the changes on their way laid over it.
// Changes are sent one after the other; those that wait for their turn are merged, and one that meets another window's
// is made again on what is there now.

import * as api from "./api.js";
import { say, spelled, state, titleOf } from "./show.js";

/** @typedef {(now: any) => Record<string, any>} Make what to change, from how the thing stands */
/** @typedef {{id: string, make: Make, field: string, revision: number}} Change id: of a part, "" for the settings */

export class Desk {
  /** @param {Doc.Catalogue} catalogue */
  constructor(catalogue) {
    this.catalogue = catalogue;
    /** @type {Doc.Bench | null} */
    this.told = null;
    /** @type {Change[]} */
    this.changes = []; // not sent, or sent and not seen in the bench yet (those have a revision)
    /** @type {Map<string, string>} */
    this.wrong = new Map(); // field -> why it was refused
    /** The field that was typed in last, here, and its value. @type {{field: string, value: string | number} | null} */
    this.typed = null;
    this.lost = false; // the server does not answer
    /** The run at the tank: what to do, which of its steps is on, of how many. @type {{do: string, mine: boolean, step: number, steps: number} | null} */
    this.atTank = null;
    /** @type {string | null} */
    this.chosen = sessionStorage.getItem("chosen");
    /** @type {(() => void)[]} */
    this.listeners = [];
    this.sending = false;
    this.asked = false;
    this.travelled = Promise.resolve(); // undo and redo, one after the other
  }

  /** The bench with the changes on their way. @returns {Doc.Bench} */
  get bench() {
    const told = /** @type {Doc.Bench} */ (this.told);
    if (!this.changes.length) return told;
    let { settings } = told;
    const parts = new Map(told.parts.map((p) => [p.id, p]));
    for (const { id, make } of this.changes) {
      const part = parts.get(id);
      if (id === "") settings = { ...settings, ...make(settings) };
      else if (part) parts.set(id, laid(part, make));
    }
    return { ...told, settings, parts: told.parts.map((p) => parts.get(p.id) ?? p) };
  }

  /** The part that is worked on. */
  get part() { return this.bench.parts.find((p) => p.id === this.chosen) ?? null; }

  /** Whether something a person changed is not in the figures yet. */
  get busy() { return this.changes.length > 0 || (this.told?.parts.some((p) => p.stage) ?? false); }

  /** Call when anything is another. @param {() => void} listener */
  listen(listener) { this.listeners.push(listener); }

  /** Tell the listeners, once for all that happens at the same time. */
  changed() {
    if (this.asked) return;
    this.asked = true;
    queueMicrotask(() => {
      this.asked = false;
      if (!this.told) return;
      state.show = this.bench.settings.show;
      for (const listener of this.listeners) listener();
    });
  }

  /** @param {string | null} id */
  choose(id) {
    this.chosen = id;
    sessionStorage.setItem("chosen", id ?? "");
    this.changed();
  }

  /** Take what the server tells. @param {Doc.Bench} bench */
  hear(bench) {
    if (this.told && bench.revision < this.told.revision) return;
    this.told = bench;
    this.prune();
    this.overtaken();
    if (!bench.parts.some((p) => p.id === this.chosen)) this.chosen = bench.parts.at(-1)?.id ?? null;
    this.changed();
  }

  /** Forget the changes that the bench shows by now: it may come before or after the answer to the change itself. */
  prune() {
    const { parts, settings } = /** @type {Doc.Bench} */ (this.told);
    const now = new Map(parts.map((p) => [p.id, p.revision]));
    this.changes = this.changes.filter(({ id, revision }) => !(revision && revision <= (id ? now.get(id) ?? Infinity : settings.revision)));
  }

  /** Tell that what was typed here last is another now. */
  overtaken() {
    if (!this.typed || this.changes.length) return;
    const { field, value } = this.typed;
    const now = this.valueOf(field);
    if (now === value) return;
    this.typed = null;
    say(spelled(`${titleOf(field)}: ‘${value}’ was typed here, ${now === "" ? "nothing" : `‘${now}’`} stands there now, set in another window or by a load opened since.`), "harms");
  }

  /** The value of a field such as "finish thickness"; "" without one. @param {string} field */
  valueOf(field) {
    const [table, name] = field.split(" ");
    return this.bench.settings.tables[table]?.[name] ?? "";
  }

  /** Change a part; what is refused is told at `field`. @param {string} id @param {Make | Record<string, any>} make @param {string} field */
  change(id, make, field = "") {
    this.wrong.delete(field);
    this.changes.push({ id, make: typeof make === "function" ? /** @type {Make} */ (make) : () => make, field, revision: 0 });
    this.typed = !id && field ? { field, value: this.valueOf(field) } : null;
    this.changed();
    if (!this.sending) this.send();
  }

  /** Change the settings. @param {Make | Record<string, any>} make @param {string} field */
  set(make, field = "") { this.change("", make, field); }

  /** Send what waits, until nothing does. */
  async send() {
    this.sending = true;
    for (let first = this.next(); first; first = this.next()) {
      const { id } = first;
      const group = this.together(first);
      try {
        await this.sendOnce(id, group);
      } catch (bad) {
        const refused = /** @type {api.Refused} */ (bad);
        if (refused.status === 0) { // kept, and sent as soon as the server answers again
          this.sending = false;
          this.loses();
          return;
        }
        this.changes = this.changes.filter((each) => !group.includes(each));
        this.typed = null;
        this.refuse(refused, group.map((each) => each.field).find(Boolean) ?? "");
      }
      this.changed();
    }
    this.sending = false;
  }

  next() { return this.changes.find((each) => !each.revision); }

  /** A change and those right behind it to the same thing: they are sent as one. @param {Change} first */
  together(first) {
    const waiting = this.changes.filter((each) => !each.revision);
    const other = waiting.findIndex((each) => each.id !== first.id);
    return waiting.slice(0, other < 0 ? undefined : other);
  }

  /** @param {string} id @param {Change[]} group */
  async sendOnce(id, group) {
    let revision = 0;
    for (let tries = 0; ; tries += 1) {
      const now = id ? this.told?.parts.find((p) => p.id === id) : this.told?.settings;
      if (!now) return;
      const known = Math.max(now.revision, revision, ...this.changes.filter((each) => each.id === id).map((each) => each.revision));
      const values = merged(now, group, this.changes.filter((each) => each.id === id && each.revision));
      try {
        if (id) {
          const done = await api.change(id, known, values);
          for (const each of group) each.revision = done.revision;
          this.prune();
        } else {
          const bench = await api.settings(known, values);
          for (const each of group) each.revision = bench.settings.revision;
          this.hear(bench);
        }
        return;
      } catch (refused) {
        const { status, bench } = /** @type {api.Refused} */ (refused);
        if (status !== 409 || !bench || tries > 8) throw refused;
        this.changes = this.changes.filter((each) => each.id !== id || !each.revision);
        this.hear(bench); // another window was first: made again on what is there now
        revision = 0;
      }
    }
  }

  /** Tell a refusal: at its field, or to everyone. @param {api.Refused} refused @param {string} field */
  refuse(refused, field = "") {
    if (refused.status === -1) return;
    if (refused.status === 0) this.loses();
    else if (field) this.wrong.set(field, refused.message);
    else say(refused.message, "harms");
    this.changed();
  }

  loses() {
    if (this.lost) return;
    this.lost = true;
    this.changed();
  }

  /**
   * Do something else that may be refused; null where it was.
   * @template T
   * @param {() => Promise<T>} doing
   * @param {string} field
   * @returns {Promise<T | null>}
   */
  async attempt(doing, field = "") {
    this.wrong.delete(field);
    try {
      return await doing();
    } catch (refused) {
      this.refuse(/** @type {api.Refused} */ (refused), field);
      return null;
    }
  }

  /** Take back the last change, or make it again, once the changes before it have arrived. @param {"undo" | "redo"} which */
  travel(which) {
    this.travelled = this.travelled.then(async () => {
      await this.sent();
      this.typed = null;
      const what = this.told?.history?.[which];
      if (!what) return;
      const bench = await this.attempt(() => api.history(which));
      if (!bench) return;
      this.hear(bench);
      say(`${which === "undo" ? "Taken back" : "Made again"}: ${what}.`);
    });
  }

  /** Until the bench shows every change. */
  async sent() {
    while (this.changes.length && !this.lost) await new Promise((done) => { setTimeout(done, 20); });
  }

  /** A press on a link to what the server writes: followed once the server has every change. @param {MouseEvent} press */
  async afterSent(press) {
    if (!this.changes.length) return;
    press.preventDefault();
    await this.sent();
    if (!this.lost) /** @type {HTMLElement} */ (press.target).click();
  }

  /** Follow what the server tells, for ever. */
  async follow() {
    let wait_s = 0;
    for (;;) {
      try {
        const bench = await api.bench(this.told?.revision ?? 0, wait_s);
        if (this.lost) { this.lost = false; this.changed(); if (!this.sending) this.send(); }
        if (bench) this.hear(bench);
        wait_s = 25;
      } catch (refused) {
        this.refuse(/** @type {api.Refused} */ (refused));
        await new Promise((done) => { setTimeout(done, 1500); });
        wait_s = 0;
        if (this.told) this.told = { ...this.told, revision: 0 };
      }
    }
  }
}

/** A part with a change laid on it; of its choices only those that the change names. @param {Doc.Part} part @param {Make} make @returns {Doc.Part} */
function laid(part, make) {
  const values = make(part);
  return { ...part, ...values, choices: { ...part.choices, ...values.choices } };
}

/**
 * What a group of changes asks for, each made on what those before it leave.
 * @param {any} now
 * @param {Change[]} group
 * @param {Change[]} sent
 */
function merged(now, group, sent) {
  let thing = now;
  for (const { id, make } of sent) thing = id ? laid(thing, make) : { ...thing, ...make(thing) };
  /** @type {Record<string, any>} */
  let values = {};
  for (const { id, make } of group) {
    const more = make(thing);
    values = { ...values, ...more, ...(more.choices ? { choices: { ...values.choices, ...more.choices } } : {}) };
    thing = id ? laid(thing, make) : { ...thing, ...more };
  }
  return values;
}
