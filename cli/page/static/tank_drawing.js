// The tank to scale: liquid, cathodes, and the parts as the plan lays them out, from front, side and above; side by side before.

import { draggable, numbered } from "./rack_drag.js";
import { figures, s, state } from "./show.js";

/** @typedef {(part: string, at: number[]) => void} Move */
/** @typedef {{ name: string, at: number[], size: number[], row: number, kind: number }} Hung */
/** @typedef {{ name: string, axes: [number, number], x: number, y: number }} View */

/**
 * The drawing, and what shows other rods in it; null where the tank's length or depth is not known.
 * @param {Doc.Bench} bench @param {Doc.Rack | null} rack @param {Move} follow @param {Move} drop
 * @returns {{ svg: SVGElement, strands: (all: Doc.Strand[]) => void } | null}
 */
export function tankDrawing({ parts, settings, fields = {} }, rack, follow, drop) {
  const mm = (/** @type {string} */ name) => fields[name]?.mm ?? null;
  const [length, depth, wide] = [mm("tank length"), mm("tank depth"), rack && mm("tank width")];
  if (!length || !depth) return null;
  const board = mm("tank freeboard") ?? 0;
  const hung = [...parts].sort((a, b) => (b.result?.wetted_area_mm2.value ?? 0) - (a.result?.wetted_area_mm2.value ?? 0)) // the largest first, as the plan lays them
    .flatMap((p) => (p.result ? Array.from({ length: Math.min(p.count, 60) }, () => ({ name: p.name, ...standing(/** @type {Doc.Result} */ (p.result)) })) : []));
  const pad = Math.max(length, depth) * 0.09;
  /** @type {View[]} */
  const views = [{ name: "front", axes: [0, 2], x: 0, y: 0 },
    ...(wide ? [{ name: "side", axes: /** @type {[number, number]} */ ([1, 2]), x: length + 1.5 * pad, y: 0 }, { name: "plan", axes: /** @type {[number, number]} */ ([0, 1]), x: 0, y: depth + 1.2 * pad }] : [])];
  const room = [length, wide ?? 0, depth];
  const [across, down] = [length + (wide ? wide + 1.5 * pad : 0), depth + (wide ? wide + 1.2 * pad : 0)];
  const svg = s("svg", { viewBox: `${-pad} ${-board - pad} ${across + 2 * pad} ${down + board + 2.4 * pad}`, class: "tank", role: "img",
    "aria-label": `The tank, ${shown(length)} long and ${shown(depth)} deep, with ${hung.length} ${hung.length === 1 ? "part" : "parts"}` });
  const placed = rack ? laidOut(rack) : sideBySide(hung, length, depth);
  const boxes = placed.map(() => /** @type {SVGElement[]} */ ([]));
  const shapes = placed.map(() => /** @type {SVGElement[]} */ ([])); // what is seen of each part in each view, its box the handle
  const rods = views.map(() => s("g", {}));
  const put = (/** @type {number} */ i) => { views.forEach(({ axes: [right, low], x, y }, k) => { boxes[i][k].setAttribute("x", String(x + placed[i].at[right])); boxes[i][k].setAttribute("y", String(y + placed[i].at[low])); shapes[i][k]?.setAttribute("transform", `translate(${x + placed[i].at[right]} ${y + placed[i].at[low]})`); }); };
  views.forEach((view, k) => {
    const [right, low] = view.axes;
    svg.append(s("rect", { x: view.x, y: view.y, width: room[right], height: room[low], class: "liquid" }));
    svg.append(...strips(view, mm("cathodes width"), mm("cathodes immersed"), Math.ceil(Number(settings.tables.cathodes?.count ?? 0) / 2), room, board + pad / 3));
    svg.append(rods[k]);
    placed.forEach((part, i) => {
      const { name, at, size } = part;
      const outside = view.axes.some((axis) => at[axis] < 0 || at[axis] + size[axis] > room[axis]);
      const seen = rack?.outlines_mm[part.kind]?.[k];
      if (seen) svg.append(shapes[i][k] = s("polygon", { class: outside ? "seen out" : "seen", points: seen.map((point) => point.join(",")).join(" ") }));
      const box = s("rect", { width: size[right], height: size[low], class: `hung${outside ? " out" : ""}${seen ? " handle" : ""}`, "data-part": name, "data-view": view.name }, s("title", {}, name));
      if (rack) draggable(/** @type {SVGSVGElement} */ (svg), box, part, view.axes, () => { put(i); follow(name, at); }, () => { drop(name, at); });
      boxes[i][k] = box;
      svg.append(box);
    });
    const top = view.name === "plan" ? view.y : -board;
    svg.append(s("path", { d: `M${view.x} ${top}V${view.y + room[low]}h${room[right]}V${top}${view.name === "plan" ? "Z" : ""}`, class: "wall" }));
    if (view.name === "front") svg.append(s("line", { x1: -pad / 2, x2: length + pad / 2, y1: -board, y2: -board, class: "wire" }));
  });
  placed.forEach((_, i) => { put(i); });
  const strands = (/** @type {Doc.Strand[]} */ all) => {
    views.slice(0, 2).forEach(({ axes: [right, low], x, y }, k) => {
      rods[k].replaceChildren(...all.map(({ piece, corners_mm: corners }) => s("polyline", { class: `wire ${piece.replace(" ", "-")}`, points: corners.map((c) => `${x + c[right]},${y + Math.max(c[low], -board)}`).join(" ") })));
    });
  };
  strands(rack?.strands ?? placed.map(({ at: [x, , z], size: [w] }) => ({ piece: "wire", corners_mm: [[x + w / 2, 0, -board], [x + w / 2, 0, z]] })));
  svg.append(s("text", { x: across / 2, y: down + pad * 1.05, "text-anchor": "middle", "font-size": (across + 2 * pad) * 0.034 }, `${shown(length)} long, ${wide ? `${shown(wide)} wide, ` : ""}${shown(depth)} of liquid`));
  return { svg, strands };
}

/** Cathodes at both walls: behind the parts, edge on, from above. @param {View} view @param {number | null} wide @param {number | null} deep @param {number} count @param {number[]} room @param {number} over */
function strips({ name, x, y }, wide, deep, count, [length, across], over) {
  if (!wide || !deep) return [];
  const places = Array.from({ length: Math.min(count, 40) }, (_, i) => x + ((i + 0.5) * length) / count - wide / 2);
  const thick = 0.012 * length; // so that it is seen
  const rect = (/** @type {number[]} */ [left, top, width, height]) => s("rect", { x: left, y: top, width, height, class: "strip-metal" });
  if (name === "front") return places.map((left) => rect([left, -over, wide, deep + over]));
  if (!places.length) return [];
  return [0, across - thick].flatMap((off) => (name === "side" ? [rect([x + off, -over, thick, deep + over])] : places.map((left) => rect([left, y + off, wide, thick]))));
}

/** Each part in its place, the farthest row first. @param {Doc.Rack} rack @returns {Hung[]} */
function laidOut(rack) {
  const names = numbered(rack);
  return rack.places.map(({ at_mm: at, size_mm: size, row, kind }, i) => ({ name: names[i], at: [...at], size, row, kind: kind - 1 })).sort((a, b) => b.row - a.row);
}

/** @param {{ name: string, wide: number, tall: number }[]} hung @param {number} length @param {number} depth @returns {Hung[]} */
function sideBySide(hung, length, depth) {
  const gap = (length - hung.reduce((sum, each) => sum + each.wide, 0)) / (hung.length + 1);
  let x = 0;
  return hung.map(({ name, wide, tall }) => {
    x += gap + wide;
    return { name, at: [x - wide, 0, (depth - tall) / 2], size: [wide, wide, tall], row: 1, kind: -1 };
  });
}

/** @param {number} mm */
const shown = (mm) => (state.show === "mm" ? `${figures(mm, 4)} mm` : `${figures(mm / 25.4, 4)} in`);

/** How wide and tall a part is as it hangs: along its up direction if one is chosen, else its longest side upright. @param {Doc.Result} result */
function standing({ size_mm: size, up }) {
  const upright = up ? up.reduce((best, v, i) => (Math.abs(v) > Math.abs(up[best]) ? i : best), 0) : size.indexOf(Math.max(...size));
  return { wide: Math.max(...size.filter((_, i) => i !== upright)), tall: size[upright] };
}
