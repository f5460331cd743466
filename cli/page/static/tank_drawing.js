// The tank from the front, to scale: liquid, cathodes behind, and the parts as the plan lays them out; side by side before.

import { draggable, numbered } from "./rack_drag.js";
import { figures, s, state } from "./show.js";

/** @typedef {(part: string, x: number, z: number) => void} Move */

/** @param {Doc.Bench} bench @param {Doc.Rack | null} rack @param {Move} follow @param {Move} drop */
export function tankDrawing({ parts, settings, fields = {} }, rack, follow, drop) {
  const mm = (/** @type {string} */ name) => fields[name]?.mm ?? null;
  const [length, depth] = [mm("tank length"), mm("tank depth")];
  if (!length || !depth) return null;
  const board = mm("tank freeboard") ?? 0;
  const hung = parts.flatMap((p) => (p.result ? Array.from({ length: Math.min(p.count, 60) }, () => ({ name: p.name, ...standing(/** @type {Doc.Result} */ (p.result)) })) : []));
  const pad = Math.max(length, depth) * 0.09;
  const svg = s("svg", { viewBox: `${-pad} ${-board - pad} ${length + 2 * pad} ${depth + board + 2 * pad}`, class: "tank", role: "img",
    "aria-label": `The tank, ${shown(length)} long and ${shown(depth)} deep, with ${hung.length} ${hung.length === 1 ? "part" : "parts"}` },
  s("rect", { x: 0, y: 0, width: length, height: depth, class: "liquid" }));
  const [wide, deep] = [mm("cathodes width"), mm("cathodes immersed")];
  const behind = Math.ceil(Number(settings.tables.cathodes?.count ?? 0) / 2);
  if (wide && deep) {
    for (let i = 0; i < Math.min(behind, 40); i += 1) {
      svg.append(s("rect", { x: ((i + 0.5) * length) / behind - wide / 2, y: -board - pad / 3, width: wide, height: deep + board + pad / 3, class: "strip-metal" }));
    }
  }
  const placed = rack ? laidOut(rack) : sideBySide(hung, length, depth);
  const wires = placed.map(([, x, y, w]) => s("line", { x1: x + w / 2, x2: x + w / 2, y1: -board, y2: y, class: "wire" }));
  const boxes = placed.map(([name, x, y, w, t], i) => {
    const outside = x < 0 || y < 0 || x + w > length || y + t > depth;
    const box = s("rect", { x, y, width: w, height: t, class: outside ? "hung out" : "hung", "data-part": name }, s("title", {}, name));
    if (rack) {
      draggable(/** @type {SVGSVGElement} */ (svg), box, (to, down) => {
        for (const end of ["x1", "x2"]) wires[i].setAttribute(end, String(to + w / 2));
        wires[i].setAttribute("y2", String(down));
        follow(name, to, down);
      }, (to, down) => { drop(name, to, down); });
    }
    return box;
  });
  svg.append(...wires, ...boxes);
  svg.append(s("path", { d: `M0 ${-board}V${depth}H${length}V${-board}`, class: "wall" }), s("line", { x1: -pad / 2, x2: length + pad / 2, y1: -board, y2: -board, class: "wire" }),
    s("text", { x: length / 2, y: depth + pad * 0.7, "text-anchor": "middle", "font-size": pad * 0.5 }, `${shown(length)} long, ${shown(depth)} of liquid`));
  return svg;
}

/** Name, place and size of each part, the farthest row first. @param {Doc.Rack} rack @returns {[string, number, number, number, number][]} */
function laidOut(rack) {
  const names = numbered(rack);
  return rack.places.map((place, i) => ({ ...place, name: names[i] })).sort((a, b) => b.row - a.row)
    .map(({ name, at_mm: at, size_mm: size }) => [name, at[0], at[2], size[0], size[2]]);
}

/** @param {{ name: string, wide: number, tall: number }[]} hung @param {number} length @param {number} depth @returns {[string, number, number, number, number][]} */
function sideBySide(hung, length, depth) {
  const gap = (length - hung.reduce((sum, each) => sum + each.wide, 0)) / (hung.length + 1);
  let x = 0;
  return hung.map(({ name, wide, tall }) => {
    x += gap + wide;
    return [name, x - wide, (depth - tall) / 2, wide, tall];
  });
}

/** @param {number} mm */
const shown = (mm) => (state.show === "mm" ? `${figures(mm, 4)} mm` : `${figures(mm / 25.4, 4)} in`);

/** How wide and tall a part is as it hangs: along its up direction if one is chosen, else its longest side upright. @param {Doc.Result} result */
function standing({ size_mm: size, up }) {
  const upright = up ? up.reduce((best, v, i) => (Math.abs(v) > Math.abs(up[best]) ? i : best), 0) : size.indexOf(Math.max(...size));
  return { wide: Math.max(...size.filter((_, i) => i !== upright)), tall: size[upright] };
}
