// The half section on a grid: points set by clicking, moved by dragging or by keys; the metal as it comes out.

import { figures, s } from "./show.js";

/** @typedef {import("./sketch_draft.js").Draft} Draft */

const WIDE = 900;
const TALL = 380;
const NEAR = 14; // pixels of the drawing
const PAD = 48;

export class SketchDrawing {
  /** @param {Draft} draft */
  constructor(draft) {
    this.draft = draft;
    this.paper = s("g", { "aria-hidden": "true" });
    this.dots = s("g");
    this.element = s("svg", { viewBox: `0 0 ${WIDE} ${TALL}`, class: "grid", role: "group",
      "aria-label": "Half section on a grid. Click to set a point; or use the table below it." }, this.paper, this.dots);
    this.frame = { left: 0, scale: 1, tall: 1, stretch: 1, base: TALL - 54, step: 1, rise: 1, right: 1, diameter: true };
    /** @type {{index: number, moved: boolean} | null} */
    this.dragging = null;
    this.element.addEventListener("pointerdown", (e) => { this.down(/** @type {PointerEvent} */ (e)); });
    this.element.addEventListener("pointermove", (e) => { this.drag(/** @type {PointerEvent} */ (e)); });
    for (const end of ["pointerup", "pointercancel"]) this.element.addEventListener(end, () => { this.drop(); });
  }

  /** @param {number} at */
  x(at) { return PAD + (at - this.frame.left) * this.frame.scale; }

  /** @param {number} radius */
  y(radius) { return this.frame.base - radius * this.frame.tall; }

  /** The distance across as the sketch gives it. @param {number} radius */
  across(radius) { return this.frame.diameter ? 2 * radius : radius; }

  show() {
    const { drawn, good } = this.draft;
    if (!drawn) return;
    const mm = good?.unit_mm ?? 1;
    const outline = (good?.segments ?? []).map((seg) => ({ ...seg, points: seg.points.map(([a, r]) => /** @type {[number, number]} */ ([a / mm, r / mm])) }));
    this.fit(outline.flatMap((seg) => seg.points));
    this.paper.replaceChildren(...this.grid(drawn.unit), ...this.metal(outline), s("line", { x1: PAD - 20, x2: this.x(this.frame.right), y1: this.frame.base, y2: this.frame.base, class: "axis" }));
    this.points();
  }

  /** Room for what is drawn and for a third more. @param {[number, number][]} outline */
  fit(outline) {
    const { drawn, spots } = this.draft;
    if (!drawn || this.dragging) return;
    const { unit } = drawn;
    const known = [...spots.filter((p) => p !== null), ...outline];
    const small = unit === "in" ? 1 : 20;
    const left = Math.min(0, ...known.map((p) => p[0]));
    const right = Math.max(left + 2 * small, ...known.map((p) => p[0]));
    const tall = Math.max(small / 5, ...known.map((p) => p[1]));
    const scale = Math.min((WIDE - 80) / ((right - left) * 1.12), (TALL - 90) / (tall * 1.25));
    const stretch = [5, 4, 3, 2].find((n) => n * scale * tall * 1.25 <= TALL - 90) ?? 1; // slender parts: diameters drawn larger
    this.frame = { left, scale, tall: stretch * scale, stretch, base: TALL - 54, step: niceStep(14 / scale, unit),
      rise: niceStep(14 / (stretch * scale), unit), right: left + (WIDE - 96) / scale, diameter: drawn.measure !== "radius" };
  }

  /** @param {string} unit */
  grid(unit) {
    const { left, right, step, rise, base, tall, stretch, diameter } = this.frame;
    const every = unit === "in" ? 4 : 5;
    const lines = [];
    for (let n = Math.ceil(left / step); n * step <= right; n += 1) {
      const major = n % every === 0;
      lines.push(s("line", { x1: this.x(n * step), x2: this.x(n * step), y1: 8, y2: base, class: major ? "major" : "minor" }));
      if (major) lines.push(s("text", { x: this.x(n * step), y: base + 18, "text-anchor": "middle" }, figures(n * step, 6)));
    }
    for (let n = 0; n * rise <= (base - 8) / tall; n += 1) {
      const major = n % every === 0;
      lines.push(s("line", { x1: PAD, x2: this.x(right), y1: this.y(n * rise), y2: this.y(n * rise), class: major ? "major" : "minor" }));
      if (major && n) lines.push(s("text", { x: PAD - 6, y: this.y(n * rise) + 4, "text-anchor": "end" }, figures(this.across(n * rise), 6)));
    }
    if (stretch > 1) lines.push(s("text", { x: this.x(right) - 6, y: 24, "text-anchor": "end" }, `${diameter ? "diameters" : "radii"} drawn ${stretch} times as large`));
    lines.push(s("text", { x: 8, y: 18 }, diameter ? "Ø" : "r"), s("text", { x: this.x(right), y: base + 36, "text-anchor": "end" }, `position, ${unit}`));
    return lines;
  }

  /** @param {{feature: string, dressed: boolean, points: [number, number][]}[]} outline */
  metal(outline) {
    const { base, tall } = this.frame;
    if (!outline.length) {
      const known = this.draft.spots.filter((p) => p !== null);
      return [s("polyline", { points: known.map(([a, r]) => `${this.x(a)},${this.y(r)}`).join(" "), class: "draft" })];
    }
    const all = outline.flatMap((seg) => seg.points);
    const spell = (/** @type {[number, number][]} */ list, sign = 1) => list.map(([a, r]) => `${this.x(a).toFixed(2)},${(base - sign * r * tall).toFixed(2)}`).join(" ");
    return [
      s("polygon", { points: spell(all), class: "metal" }), s("polygon", { points: spell(all, -1), class: "ghost" }),
      ...outline.map((seg) => s("polyline", { points: spell(seg.points), class: `edge ${seg.feature.includes("bore") ? "bore" : ""} ${seg.dressed ? "dressed" : ""}` })),
    ];
  }

  points() {
    const { spots, chosen } = this.draft;
    const held = /** @type {SVGElement | null} */ (document.activeElement)?.dataset.spot;
    this.dots.replaceChildren(...spots.flatMap((p, i) => (p ? [s("circle", {
      cx: this.x(p[0]), cy: this.y(p[1]), r: i === chosen ? 8 : 6, class: i === chosen ? "spot chosen" : "spot", tabindex: 0,
      role: "button", "data-spot": i, "aria-label": `Point ${i + 1}: position ${figures(p[0], 5)}, ${this.frame.diameter ? "diameter" : "radius"} ${figures(this.across(p[1]), 5)}. Arrow keys move it, Delete takes it away`,
      onkeydown: (/** @type {KeyboardEvent} */ e) => { this.key(e, i); }, onfocus: () => { this.choose(i); },
    })] : [])));
    if (held !== undefined) this.dot(Number(held))?.focus();
  }

  /** @param {number} index @returns {SVGElement | null} */
  dot(index) { return this.dots.querySelector(`[data-spot="${index}"]`); }

  /** @param {number} index */
  choose(index) {
    if (index === this.draft.chosen) return;
    this.draft.chosen = index;
    this.draft.render();
  }

  /** @param {KeyboardEvent} e @param {number} i */
  key(e, i) {
    const [step, rise] = [this.frame.step, this.frame.rise].map((one) => one * (e.shiftKey ? 5 : 1));
    /** @type {Record<string, [number, number]>} */
    const moves = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, rise], ArrowDown: [0, -rise] };
    const spot = this.draft.spots[i];
    if (e.key === "Delete" || e.key === "Backspace") {
      e.preventDefault();
      this.draft.remove(i);
    } else if (moves[e.key] && spot) {
      e.preventDefault();
      const [dx, dr] = moves[e.key];
      this.move(i, [tidy(spot[0] + dx), tidy(Math.max(0, spot[1] + dr))], true);
    }
  }

  /** @param {number} i @param {[number, number]} spot @param {boolean} done */
  move(i, spot, done) { this.draft.move(i, spot, this.row(spot), done); }

  /** @param {[number, number]} spot */
  row([at, radius]) { return { at: String(at), across: String(tidy(this.across(radius))) }; }

  /** The grid point nearest to the pointer, and where that is in pixels of the drawing. @param {PointerEvent} e @returns {{spot: [number, number], px: number, py: number}} */
  snapped(e) {
    const box = this.element.getBoundingClientRect();
    const scale = Math.min(box.width / WIDE, box.height / TALL);
    const px = (e.clientX - box.left - (box.width - WIDE * scale) / 2) / scale;
    const py = (e.clientY - box.top - (box.height - TALL * scale) / 2) / scale;
    const { left, scale: own, base, tall, step, rise } = this.frame;
    const snap = (/** @type {number} */ value, /** @type {number} */ by) => tidy(Math.round(value / by) * by);
    return { spot: [snap(left + (px - PAD) / own, step), snap(Math.max(0, (base - py) / tall), rise)], px, py };
  }

  /** @param {PointerEvent} e */
  down(e) {
    if (!this.draft.drawn || e.button) return;
    const dot = /** @type {Element} */ (e.target).closest(".spot");
    if (dot instanceof SVGElement) {
      const index = Number(dot.dataset.spot);
      this.dragging = { index, moved: false };
      this.element.setPointerCapture(e.pointerId);
      this.choose(index);
      this.dot(index)?.focus();
      return;
    }
    const { spot, px, py } = this.snapped(e);
    this.draft.add(this.where(px, py, spot[0]), spot, this.row(spot));
  }

  /** @param {PointerEvent} e */
  drag(e) {
    if (!this.dragging) return;
    this.dragging.moved = true;
    this.move(this.dragging.index, this.snapped(e).spot, false);
  }

  drop() {
    if (!this.dragging) return;
    const { index, moved } = this.dragging;
    const spot = this.draft.spots[index];
    this.dragging = null;
    if (moved && spot) this.move(index, spot, true);
  }

  /** Where a new point goes: into the line it was set on, before the first point if left of it, else at the end. @param {number} px @param {number} py @param {number} at */
  where(px, py, at) {
    const { spots } = this.draft;
    const known = spots.flatMap((p, i) => (p ? [[this.x(p[0]), this.y(p[1]), i]] : []));
    for (let k = 1; k < known.length; k += 1) {
      const [[ax, ay], [bx, by, i]] = [known[k - 1], known[k]];
      const long = (bx - ax) ** 2 + (by - ay) ** 2;
      const t = long ? ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / long : 0;
      if (t > 0.02 && t < 0.98 && Math.hypot(ax + t * (bx - ax) - px, ay + t * (by - ay) - py) < NEAR) return i;
    }
    const inside = known.findIndex(([ax]) => px < ax - 1);
    if (inside >= 0 && at < (spots.at(-1)?.[0] ?? Infinity)) return known[inside][2];
    return spots.length;
  }
}

/** @param {number} value */
const tidy = (value) => Number(value.toPrecision(9));

/** A step of 1, 2 or 5 times a power of ten; in inches a power of two of an inch. @param {number} least @param {string} unit */
function niceStep(least, unit) {
  if (unit === "in") return 2 ** Math.ceil(Math.log2(least));
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((m) => m * power).find((v) => v >= least * 0.999) ?? 10 * power;
}
