// The tank from the front, to scale: liquid, cathodes behind, and the parts side by side as they hang.

import { figures, s, state } from "./show.js";

const MM = { mm: 1, cm: 10, m: 1000, in: 25.4, '"': 25.4, ft: 304.8 };

/** "320 mm" in mm; null where it is not plain. */
function mm(words) {
  const found = /^\s*([\d.,]+)\s*(mm|cm|m|in|"|ft)\s*$/.exec(words ?? "");
  return found ? Number(found[1].replace(",", ".")) * MM[found[2]] : null;
}

export function tankDrawing({ parts, settings }) {
  const { tank = {}, cathodes = {} } = settings.tables;
  const [length, depth] = [mm(tank.length), mm(tank.depth)];
  if (!length || !depth) return null;
  const board = mm(tank.freeboard) ?? 0;
  const hung = parts.flatMap((p) => Array.from({ length: Math.min(p.count, 60) }, () => [p.name, ...standing(p)]));
  const pad = Math.max(length, depth) * 0.09;
  const svg = s("svg", { viewBox: `${-pad} ${-board - pad} ${length + 2 * pad} ${depth + board + 2 * pad}`, class: "tank", role: "img",
    "aria-label": `The tank, ${figures(length, 4)} mm long and ${figures(depth, 4)} mm deep, with ${hung.length} parts` });
  svg.append(s("rect", { x: 0, y: 0, width: length, height: depth, class: "liquid" }));
  const [wide, deep] = [mm(cathodes.width), mm(cathodes.immersed)];
  const behind = Math.ceil((cathodes.count ?? 0) / 2);
  if (wide && deep) {
    for (let i = 0; i < Math.min(behind, 40); i += 1) {
      svg.append(s("rect", { x: ((i + 0.5) * length) / behind - wide / 2, y: -board - pad / 3, width: wide, height: deep + board + pad / 3, class: "strip-metal" }));
    }
  }
  const total = hung.reduce((sum, [, w]) => sum + w, 0);
  const gap = Math.max(0, (length - total) / (hung.length + 1));
  let x = gap;
  for (const [name, w, t] of hung) {
    const top = Math.max(0, (depth - t) / 2);
    svg.append(s("line", { x1: x + w / 2, x2: x + w / 2, y1: -board, y2: top, class: "wire" }),
      s("rect", { x, y: top, width: w, height: t, class: t > depth || total > length ? "hung out" : "hung" }, s("title", {}, name)));
    x += w + gap;
  }
  const shown = (v) => (state.show === "mm" ? `${figures(v, 4)} mm` : `${figures(v / 25.4, 4)} in`);
  svg.append(s("path", { d: `M0 ${-board}V${depth}H${length}V${-board}`, class: "wall" }), s("line", { x1: -pad / 2, x2: length + pad / 2, y1: -board, y2: -board, class: "wire" }),
    s("text", { x: length / 2, y: depth + pad * 0.7, "text-anchor": "middle", "font-size": pad * 0.5 }, `${shown(length)} long, ${shown(depth)} of liquid`));
  return svg;
}

/** Width and height of a part as it hangs: along its up direction if one is chosen, else its longest side upright. */
function standing(part) {
  const size = part.result.size_mm;
  const up = part.result.up;
  const upright = up ? up.reduce((best, v, i) => (Math.abs(v) > Math.abs(up[best]) ? i : best), 0) : size.indexOf(Math.max(...size));
  return [Math.max(...size.filter((_, i) => i !== upright)), size[upright]];
}
