// The half section on a grid: points set by clicking, moved by dragging or by keys; the metal as it comes out.

import { figures, s } from "./show.js";
import { lengthOf } from "./sketch_words.js";

const WIDE = 900;
const TALL = 380;
const NEAR = 14; // pixels of the drawing

/** edits: {add(index, at, across), move(index, at, across, done), remove(index), chosen(index)} */
export function sketchDrawing(edits) {
  const svg = s("svg", { viewBox: `0 0 ${WIDE} ${TALL}`, class: "grid", role: "group",
    "aria-label": "Half section on a grid. Click to set a point; or use the table below it." });
  const paper = s("g", { "aria-hidden": "true" });
  const spots = s("g");
  svg.append(paper, spots);
  let frame = null; // {left, scale, base, step, diameter}
  let points = [];
  let chosen = -1;
  let dragging = null;

  const x = (at) => frame.pad + (at - frame.left) * frame.scale;
  const y = (radius) => frame.base - radius * frame.tall;

  /** Room for what is drawn and for a third more. */
  function fit(rows, unit, diameter, outline) {
    points = rows.map((row) => {
      const [at, across] = [lengthOf(row.at, unit), lengthOf(row.across, unit)];
      return at === null || across === null ? null : [at, diameter ? across / 2 : across];
    });
    if (dragging && frame) return;
    const known = [...points.filter(Boolean), ...outline.flatMap((seg) => seg.points)];
    const small = unit === "in" ? 1 : 20;
    const left = Math.min(0, ...known.map((p) => p[0]));
    const right = Math.max(left + 2 * small, ...known.map((p) => p[0]));
    const tall = Math.max(small / 5, ...known.map((p) => p[1]));
    const room = (right - left) * 1.12;
    const scale = Math.min((WIDE - 80) / room, (TALL - 90) / (tall * 1.25));
    const stretch = [5, 4, 3, 2].find((n) => n * scale * tall * 1.25 <= TALL - 90) ?? 1; // slender parts: diameters drawn larger
    frame = { left, scale, tall: stretch * scale, stretch, base: TALL - 54, pad: 48, step: niceStep(14 / scale, unit),
      rise: niceStep(14 / (stretch * scale), unit), right: left + (WIDE - 96) / scale, diameter };
  }

  function show(rows, sketch, measured, selected) {
    const unit = sketch.unit;
    const mm = measured?.unit_mm ?? 1;
    const outline = (measured?.segments ?? []).map((seg) => ({ ...seg, points: seg.points.map(([a, r]) => [a / mm, r / mm]) }));
    fit(rows, unit, sketch.measure !== "radius", outline);
    chosen = selected;
    paper.replaceChildren(...grid(unit), ...metal(outline), axis(unit));
    drawSpots();
  }

  function grid(unit) {
    const lines = [];
    const step = frame.step;
    const every = unit === "in" ? 4 : 5;
    const [rise, top] = [frame.rise, (frame.base - 8) / frame.tall];
    for (let n = Math.ceil(frame.left / step); n * step <= frame.right; n += 1) {
      const major = n % every === 0;
      lines.push(s("line", { x1: x(n * step), x2: x(n * step), y1: 8, y2: frame.base, class: major ? "major" : "minor" }));
      if (major) lines.push(s("text", { x: x(n * step), y: frame.base + 18, "text-anchor": "middle" }, figures(n * step, 6)));
    }
    for (let n = 0; n * rise <= top; n += 1) {
      const major = n % every === 0;
      lines.push(s("line", { x1: frame.pad, x2: x(frame.right), y1: y(n * rise), y2: y(n * rise), class: major ? "major" : "minor" }));
      if (major && n) lines.push(s("text", { x: frame.pad - 6, y: y(n * rise) + 4, "text-anchor": "end" }, figures(frame.diameter ? 2 * n * rise : n * rise, 6)));
    }
    if (frame.stretch > 1) lines.push(s("text", { x: x(frame.right) - 6, y: 24, "text-anchor": "end" }, `${frame.diameter ? "diameters" : "radii"} drawn ${frame.stretch} times as large`));
    lines.push(s("text", { x: 8, y: 18 }, frame.diameter ? "⌀" : "r"), s("text", { x: x(frame.right), y: frame.base + 36, "text-anchor": "end" }, `position, ${unit}`));
    return lines;
  }

  function metal(outline) {
    if (!outline.length) {
      const known = points.filter(Boolean);
      return [s("polyline", { points: known.map(([a, r]) => `${x(a)},${y(r)}`).join(" "), class: "draft" })];
    }
    const all = outline.flatMap((seg) => seg.points);
    const spell = (list, sign = 1) => list.map(([a, r]) => `${x(a).toFixed(2)},${(frame.base - sign * r * frame.tall).toFixed(2)}`).join(" ");
    return [
      s("polygon", { points: spell(all), class: "metal" }),
      s("polygon", { points: spell(all, -1), class: "ghost" }),
      ...outline.map((seg) => s("polyline", { points: spell(seg.points), class: `edge ${seg.feature.includes("bore") ? "bore" : ""} ${seg.dressed ? "dressed" : ""}` })),
    ];
  }

  const axis = () => s("line", { x1: frame.pad - 20, x2: x(frame.right), y1: frame.base, y2: frame.base, class: "axis" });

  function drawSpots() {
    const held = document.activeElement?.dataset?.spot;
    spots.replaceChildren(...points.map((p, i) => p && s("circle", {
      cx: x(p[0]), cy: y(p[1]), r: i === chosen ? 8 : 6, class: i === chosen ? "spot chosen" : "spot", tabindex: 0,
      role: "button", "data-spot": i, "aria-label": `Point ${i + 1}: position ${figures(p[0], 5)}, ${frame.diameter ? "diameter" : "radius"} ${figures(across(p[1]), 5)}. Arrow keys move it, Delete takes it away`,
      onkeydown: (e) => key(e, i), onfocus: () => { if (i !== chosen) edits.chosen(i); },
    })).filter(Boolean));
    if (held !== undefined) spots.querySelector(`[data-spot="${held}"]`)?.focus();
  }

  const across = (radius) => (frame.diameter ? 2 * radius : radius);

  function key(e, i) {
    const [step, rise] = [frame.step, frame.rise].map((one) => one * (e.shiftKey ? 5 : 1));
    const moves = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, rise], ArrowDown: [0, -rise] };
    if (e.key === "Delete" || e.key === "Backspace") {
      e.preventDefault();
      edits.remove(i);
    } else if (moves[e.key]) {
      e.preventDefault();
      const [dx, dr] = moves[e.key];
      edits.move(i, tidy(points[i][0] + dx), tidy(across(Math.max(0, points[i][1] + dr))), true);
    }
  }

  const tidy = (value) => Number(value.toPrecision(9));

  /** The grid point nearest to the pointer: [position, radius]. */
  function snapped(e) {
    const box = svg.getBoundingClientRect();
    const scale = Math.min(box.width / WIDE, box.height / TALL);
    const px = (e.clientX - box.left - (box.width - WIDE * scale) / 2) / scale;
    const py = (e.clientY - box.top - (box.height - TALL * scale) / 2) / scale;
    const at = frame.left + (px - frame.pad) / frame.scale;
    const radius = Math.max(0, (frame.base - py) / frame.tall);
    const snap = (value, step) => tidy(Math.round(value / step) * step);
    return [snap(at, frame.step), snap(radius, frame.rise), px, py];
  }

  svg.addEventListener("pointerdown", (e) => {
    if (!frame || e.button) return;
    const spot = e.target.closest?.(".spot");
    if (spot) {
      dragging = { index: Number(spot.dataset.spot), moved: false };
      svg.setPointerCapture(e.pointerId);
      edits.chosen(dragging.index);
      spots.querySelector(`[data-spot="${dragging.index}"]`)?.focus();
      return;
    }
    const [at, radius, px, py] = snapped(e);
    edits.add(where(px, py, at), at, across(radius));
  });
  svg.addEventListener("pointermove", (e) => {
    if (!dragging) return;
    dragging.moved = true;
    const [at, radius] = snapped(e);
    edits.move(dragging.index, at, across(radius), false);
  });
  const drop = () => {
    if (!dragging) return;
    const { index, moved } = dragging;
    dragging = null;
    if (moved && points[index]) edits.move(index, points[index][0], across(points[index][1]), true);
  };
  svg.addEventListener("pointerup", drop);
  svg.addEventListener("pointercancel", drop);

  /** Where a new point goes: into the line it was set on, before the first point if left of it, else at the end. */
  function where(px, py, at) {
    const known = points.map((p, i) => p && [x(p[0]), y(p[1]), i]).filter(Boolean);
    for (let k = 1; k < known.length; k += 1) {
      const [[ax, ay], [bx, by, i]] = [known[k - 1], known[k]];
      const long = (bx - ax) ** 2 + (by - ay) ** 2;
      const t = long ? ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / long : 0;
      if (t > 0.02 && t < 0.98 && Math.hypot(ax + t * (bx - ax) - px, ay + t * (by - ay) - py) < NEAR) return i;
    }
    const inside = known.findIndex(([ax]) => px < ax - 1);
    if (inside >= 0 && at < (points.at(-1)?.[0] ?? Infinity)) return known[inside][2];
    return points.length;
  }

  return { element: svg, show };
}

/** A step of 1, 2 or 5 times a power of ten; in inches a power of two of an inch. */
function niceStep(least, unit) {
  if (unit === "in") return 2 ** Math.ceil(Math.log2(least));
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((m) => m * power).find((v) => v >= least * 0.999);
}
