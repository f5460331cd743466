// The part in the middle of its stations: the picture with its tools, which part it is of, and the card of what is chosen.

import * as api from "./api.js";
import { KEYS, card, chosenFor, make, rowsOf, waysOf } from "./features.js";
import { PartView } from "./picture/part_view.js";
import { readPicture } from "./picture/read_picture.js";
import { h, quantity, redraw, say } from "./show.js";
import { SPOT_MM2 } from "./way.js";
import * as three from "./vendor/three/three.min.js";

/** @typedef {import("./desk.js").Desk} Desk */

const AXES = ["x", "y", "z"];
const ODD = "turned"; // the note of triangles that were flipped: which side is metal is not sure
const WANTED = { outside: 1, other: 2, hollow: 3, done: 4 };

export class Workbench {
  /** @param {Desk} desk @param {() => void} turned told when the part was turned by hand */
  constructor(desk, turned) {
    this.desk = desk;
    this.turned = turned;
    /** @type {string[]} */
    this.chosen = []; // features
    /** @type {(() => void)[]} */
    this.listeners = [];
    /** @type {PartView | null} */
    this.view = null;
    this.none = false; // no 3-D in this browser
    this.shown = { id: "", view: "", file: "", up: "" };
    this.wanted = ""; // the picture asked for last
    this.opened = false; // cut open by itself
    this.following = () => false;
    this.tabs = h("div", { class: "parts-row", role: "group", "aria-label": "Which part" });
    this.stage = h("div", { class: "view" });
    this.card = h("div", { class: "card-of", role: "group", "aria-label": "The feature chosen", hidden: true });
    this.heard = h("p", { class: "unseen", role: "status" });
    this.waiting = h("div", { class: "waiting", role: "status" });
    this.stage.append(this.waiting);
    this.key = h("ul", { class: "key", "aria-label": "Colours" });
    this.element = h("section", { class: "bench", "aria-label": "The part" }, this.tabs, this.stage, this.card, this.tools(), this.heard);
    this.element.addEventListener("keydown", (e) => { if (e.key === "Escape" && this.chosen.length) this.choose([]); });
    document.addEventListener("themed", () => { this.view?.paint(); });
    desk.listen(() => { this.show(); });
  }

  tools() {
    this.cutBox = h("input", { type: "checkbox", onchange: () => { this.opened = false; this.cutHere(); } });
    this.axis = h("select", { "aria-label": "Cut across", onchange: () => { this.cut(); } }, AXES.map((a, i) => h("option", { value: i }, a)));
    this.share = h("input", { type: "range", min: 0, max: 1, step: 0.005, value: 0.5, "aria-label": "Where it is cut", oninput: () => { this.cut(); } });
    const names = h("input", { type: "checkbox", checked: true, onchange: () => { this.view?.showNames(names.checked); } });
    this.hung = h("button", { type: "button", class: "small", hidden: true, onclick: () => { this.hang(); } }, "Turn it as it hangs");
    return h("div", { class: "tools" },
      h("button", { type: "button", class: "small", onclick: () => { this.view?.whole(); } }, "Show whole"), this.hung,
      h("label", {}, this.cutBox, " cut open"), h("span", { class: "cutting" }, this.axis, this.share),
      h("label", {}, names, " names"), this.key);
  }

  /** Cut it open, or close it, by hand: through what is chosen, else through its largest bore, else through its middle. */
  cutHere() {
    const bores = [...rowsOf(this.desk.part).values()].filter((row) => row.axis).sort((a, b) => b.area_mm2 - a.area_mm2);
    const name = this.chosen[0] ?? bores[0]?.name;
    if (this.cutBox?.checked && name && this.view?.cutThrough(name, this.axisOf(name))) this.tellCut();
    else this.cut();
  }

  /** The axis of a feature. @param {string} name */
  axisOf(name) { return rowsOf(this.desk.part).get(name)?.axis ?? null; }

  cut() {
    const on = this.cutBox?.checked ?? false;
    this.element.classList.toggle("cut", on);
    this.view?.setCut(on ? { axis: Number(this.axis?.value), share: Number(this.share?.value) } : null);
  }

  /** Show the cut that the view chose. */
  tellCut() {
    const cut = this.view?.cut ?? null;
    if (!this.cutBox || !this.axis || !this.share) return;
    this.cutBox.checked = cut !== null;
    this.element.classList.toggle("cut", cut !== null);
    if (!cut) return;
    this.axis.value = String(cut.axis);
    this.share.value = String(cut.share);
  }

  /** Cut it open where these features cannot be seen; close it again where it opened by itself and nothing wants it. @param {string[]} names */
  openFor(names) {
    const { view } = this;
    if (!view || this.following()) return;
    if (this.opened && !names.length) {
      this.opened = false;
      view.setCut(null);
    } else if (names.length && !view.cut && view.open(names, (name) => this.axisOf(name))) this.opened = true;
    this.tellCut();
  }

  hang() {
    const up = this.desk.part?.result?.up;
    if (up) this.view?.hang(up);
  }

  /** @param {string[]} names @param {{x: number, y: number} | null} place where it was pointed at */
  choose(names, place = null) {
    this.chosen = names;
    this.view?.select(names);
    this.openFor(names.length ? names : this.bare());
    this.place = place;
    this.showCard();
    const row = names.length === 1 ? rowsOf(this.desk.part).get(names[0]) : null;
    this.heard.textContent = row ? `${row.name}, ${row.state}` : names.length ? `${names.length} features chosen` : "";
    for (const listener of this.listeners) listener();
  }

  /** The features that trapped air leaves bare. */
  bare() {
    return (this.desk.part?.result?.features ?? []).filter((f) => f.state === "airlocked" && f.area_mm2 >= SPOT_MM2).map((f) => f.name);
  }

  /** @param {string | null} name @param {boolean} several @param {{x: number, y: number}} place */
  picked(name, several, place) {
    if (!name) { if (!several) this.choose([]); return; }
    if (!several) this.choose([name], place);
    else this.choose(this.chosen.includes(name) ? this.chosen.filter((n) => n !== name) : [...this.chosen, name], place);
  }

  /** @param {string} key @returns {boolean} */
  pressed(key) {
    const to = KEYS[key.toLowerCase()];
    const { part } = this.desk;
    if (!to || !part || !this.chosen.length) return false;
    const rows = rowsOf(part);
    const names = this.chosen.filter((name) => { const row = rows.get(name); return row && waysOf(row).includes(to); });
    if (names.length) make(this.desk, part.id, names, to);
    this.heard.textContent = names.length ? `${names.join(", ")}: ${to}` : `that cannot be done to ${this.chosen.join(", ")}`;
    return true;
  }

  showCard() {
    const { part } = this.desk;
    const rows = rowsOf(part);
    if (part) this.chosen = this.chosen.filter((name) => rows.has(name));
    this.card.hidden = !part?.result || !this.chosen.length;
    if (!part || this.card.hidden) return;
    redraw(this.card, JSON.stringify([part.id, this.chosen, part.choices, part.stage, part.result?.features, this.desk.bench.settings.show]),
      () => card(this.desk, part, this.chosen, (names) => { this.choose(names, this.place ?? null); }));
    this.placeCard();
  }

  /** The card beside what was pointed at, whole in the picture. */
  placeCard() {
    if (this.card.hidden || !this.view) return;
    const { y } = this.place ?? this.view.spotOf(this.chosen[0]);
    const [wide, tall] = [this.card.offsetWidth, this.card.offsetHeight];
    const [w, t] = this.view.size;
    const { left: from, right: to } = this.view.reach();
    const own = this.stage.querySelector(".labels .chosen")?.getBoundingClientRect();
    const box = this.stage.getBoundingClientRect();
    const below = own ? own.bottom - box.top + 4 : y - tall / 2; // its name stays in sight
    const top = below + tall + 8 < t || !own ? below : own.top - box.top - tall - 4;
    const left = to + 16 + wide < w ? to + 16 : from - 16 - wide > 0 ? from - 16 - wide : own && own.left - box.left < w / 2 ? 0 : w - wide; // else on the side of its name
    this.card.style.transform = `translate(${(this.stage.offsetLeft + Math.max(8, Math.min(left, w - wide - 8))).toFixed(0)}px, ${(this.stage.offsetTop + Math.max(8, Math.min(top, t - tall - 8))).toFixed(0)}px)`;
  }

  begin() {
    if (this.view || this.none) return;
    const colours = Object.fromEntries(Object.entries(this.desk.catalogue.states).map(([name, style]) => [name, style.colour]));
    try {
      this.view = new PartView(three, this.stage, {
        colours, picked: (name, several, place) => { this.picked(name, several, place); },
        turned: () => { this.turned(); }, pressed: (key) => this.pressed(key),
        moving: () => { this.card.classList.add("away"); this.place = null; },
        rested: () => {
          this.stage.dataset.drawn = this.shown.view;
          this.card.classList.remove("away");
          this.placeCard();
        },
        words: (name) => this.words(name), want: (name) => this.want(name),
      });
    } catch {
      this.none = true;
      this.stage.replaceChildren(h("p", { class: "soft" }, "This browser draws no 3-D here; the tables have everything."));
    }
  }

  /** A feature's name in the picture. @param {string} name */
  words(name) {
    const row = rowsOf(this.desk.part).get(name);
    if (!row) return name;
    const size = row.diameter_mm ? ` Ø ${quantity(row.diameter_mm, "mm", 3)}` : "";
    return `${name}${size}${row.state === "wet" ? "" : `, ${row.state === "airlocked" ? "trapped air" : row.state}`}`;
  }

  /** How much a name is wanted where not all find room. @param {string} name */
  want(name) {
    const { part } = this.desk;
    const row = rowsOf(part).get(name);
    if (!part || !row) return 0;
    if (row.state !== "wet" || chosenFor(part, row).to !== "wet") return WANTED.done;
    return row.kind === "outside" ? WANTED.outside : row.diameter_mm ? WANTED.hollow : WANTED.other;
  }

  show() {
    const { bench, part } = this.desk;
    const { parts } = bench;
    this.tabs.hidden = parts.length < 2;
    redraw(this.tabs, JSON.stringify([this.desk.chosen, parts.map((p) => [p.id, p.name, p.count])]), () => parts.map((p) => h("button", {
      type: "button", class: "small", "aria-pressed": String(p.id === part?.id), "data-act": p.id, onclick: () => { this.desk.choose(p.id); },
    }, p.count > 1 ? `${p.name} × ${p.count}` : p.name)));
    const view = part?.refused ? null : part?.view ?? part?.look?.view ?? null;
    this.showWaiting(part, view);
    if (part && view && (view !== this.wanted || part.id !== this.shown.id)) this.load(part, view);
    if (!view && this.wanted) { this.wanted = ""; this.shown.view = ""; this.view?.empty(); }
    this.showKey(part);
    this.showCard();
  }

  /** What is being done to the part, in its picture. @param {Doc.Part | null} part @param {string | null} view */
  showWaiting(part, view) {
    this.stage.classList.toggle("busy", Boolean(part?.stage));
    const stage = part?.stage ? `${part.stage} …` : part?.refused?.line ?? (part && !view ? "no picture yet" : "");
    redraw(this.waiting, JSON.stringify([stage, part?.share]), () => (stage ? [h("span", {}, stage),
      part?.share ? h("progress", { max: 1, value: part.share, "aria-label": "How far it is" }) : ""] : []));
  }

  /** The colours that the picture holds. @param {Doc.Part | null} part */
  showKey(part) {
    const there = [...new Set(part?.result?.features.map((f) => f.state))];
    redraw(this.key, there.join(), () => there.map((name) => {
      const style = this.desk.catalogue.states[name];
      const swatch = h("span", { class: "swatch" });
      swatch.style.background = style?.colour ?? "";
      return h("li", {}, swatch, style?.words ?? name);
    }));
  }

  /** @param {Doc.Part} now @param {string} name of the picture */
  async load(now, name) {
    this.wanted = name;
    try {
      const picture = readPicture(await api.view(name));
      if (this.wanted !== name) return;
      this.begin();
      if (this.view) this.draw(this.view, picture, now, name);
    } catch (refused) {
      if (this.wanted === name) say(/** @type {Error} */ (refused).message, "harms");
    }
  }

  /** @param {PartView} view @param {import("./picture/read_picture.js").Picture} picture @param {Doc.Part} now @param {string} name of the picture */
  draw(view, picture, { id, file, result }, name) {
    const kept = this.shown.id === id && this.shown.file === file;
    const odd = result ? !result.closed || result.notes.some((n) => n.code === ODD) : true;
    view.show(picture, { twoSided: odd, kept });
    if (!kept) { this.chosen = []; this.opened = false; this.tellCut(); }
    view.select(this.chosen);
    const up = String(result?.up ?? "");
    view.hangBy(result?.up ?? null, (result?.pockets ?? []).slice(0, 6).map((p, i) => [`air ${i + 1}`, p.top_mm]));
    if (result?.up && !this.following() && (!kept || this.shown.up !== up)) view.hang(result.up);
    if (this.hung) this.hung.hidden = !result?.up;
    this.shown = { id, view: name, file, up };
    this.stage.dataset.view = name;
    if (!this.chosen.length) this.openFor(this.bare());
  }
}
