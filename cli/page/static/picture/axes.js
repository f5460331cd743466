// The part's own axes in a corner of the picture, turned as it is.

import { s } from "../show.js";

const LONG = 26;
const LETTER = 11; // from one letter to the next

/**
 * @param {HTMLElement} host
 */
export function axes(host) {
  const names = ["x", "y", "z"];
  const arms = names.map((name) => ({ line: s("line", { x1: 0, y1: 0 }), text: s("text", { "text-anchor": "middle" }, name) }));
  host.append(s("svg", { class: "axes", viewBox: "-40 -40 80 80", "aria-hidden": "true" },
    ...arms.flatMap(({ line, text }) => [line, text])));
  /** @param {[number, number][]} ends where each axis points on the screen, y up, of length one or less */
  return (ends) => {
    /** @type {[number, number][]} */
    const taken = [];
    ends.forEach(([x, y], i) => {
      arms[i].line.setAttribute("x2", (LONG * x).toFixed(1));
      arms[i].line.setAttribute("y2", (-LONG * y).toFixed(1));
      const long = Math.hypot(x, y);
      const [right, up] = long > 0.02 ? [x / long, y / long] : [-0.7, -0.7]; // one that points at the eye has its name beside the corner
      const off = LONG * long + 9;
      let high = off * up;
      while (taken.some(([a, b]) => Math.hypot(a - off * right, b - high) < LETTER)) high -= LETTER;
      taken.push([off * right, high]);
      arms[i].text.setAttribute("x", (off * right).toFixed(1));
      arms[i].text.setAttribute("y", (4 - high).toFixed(1));
    });
  };
}
