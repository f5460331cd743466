// The part's own axes in a corner of the picture, turned as it is.

import { s } from "../show.js";

const LONG = 26;

/**
 * @param {HTMLElement} host
 */
export function axes(host) {
  const names = ["x", "y", "z"];
  const arms = names.map((name) => ({ line: s("line", { x1: 0, y1: 0 }), text: s("text", { "text-anchor": "middle" }, name) }));
  host.append(s("svg", { class: "axes", viewBox: "-40 -40 80 80", "aria-hidden": "true" },
    ...arms.flatMap(({ line, text }) => [line, text])));
  /** @param {[number, number][]} ends where each axis points on the screen, y up, of length one or less */
  return (ends) => ends.forEach(([x, y], i) => {
    arms[i].line.setAttribute("x2", (LONG * x).toFixed(1));
    arms[i].line.setAttribute("y2", (-LONG * y).toFixed(1));
    const far = Math.hypot(x, y) || 1;
    arms[i].text.setAttribute("x", ((LONG * x) + (9 * x) / far).toFixed(1));
    arms[i].text.setAttribute("y", ((-LONG * y) - (9 * y) / far + 4).toFixed(1));
  });
}
