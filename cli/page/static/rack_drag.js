// Parts dragged in the drawing of the tank: each follows the pointer, the rules are asked as it goes, the load takes it at the end.

import * as api from "./api.js";

const STEP_MM = 5;
const QUIET_MS = 400; // after the last arrow key the load takes the place

/** The key `moved` of the load with one part more. @param {string} moved @param {string} part "lamp knob 2" @param {number} x @param {number} z */
export function withMove(moved, part, x, z) {
  const others = moved.split(";").map((each) => each.trim()).filter((each) => each && !each.startsWith(`${part} at `));
  return [...others, `${part} at ${Math.round(x)} x ${Math.round(z)} mm`].join("; ");
}

/** Each place by its part's name and its number among those of that name. @param {Doc.Rack} rack @returns {string[]} */
export function numbered(rack) {
  /** @type {Record<string, number>} */
  const counted = {};
  return rack.places.map(({ part }) => `${part} ${counted[part] = (counted[part] ?? 0) + 1}`);
}

/**
 * Asks for the rules as often as they are answered, the latest place last.
 * @param {(said: { says: string, stops: string[], warns: string[] }) => void} say
 */
export function judge(say) {
  /** @type {string | null} */
  let wanted = null;
  let asking = false;
  return async (/** @type {string} */ moved) => {
    wanted = moved;
    if (asking) return;
    asking = true;
    while (wanted !== null) {
      const now = wanted;
      wanted = null;
      const said = await api.rehang(now).catch(() => null);
      if (said) say(said);
    }
    asking = false;
  };
}

/**
 * @param {SVGSVGElement} svg
 * @param {SVGElement} box its rectangle, x and y in mm
 * @param {(x: number, z: number) => void} follow
 * @param {(x: number, z: number) => void} drop
 */
export function draggable(svg, box, follow, drop) {
  const at = () => [Number(box.getAttribute("x")), Number(box.getAttribute("y"))];
  const to = (/** @type {number} */ x, /** @type {number} */ z) => {
    box.setAttribute("x", String(x));
    box.setAttribute("y", String(z));
    follow(x, z);
  };
  box.setAttribute("tabindex", "0");
  box.addEventListener("pointerdown", (/** @type {PointerEvent} */ down) => {
    const scale = svg.getScreenCTM()?.a ?? 1;
    const [x, z] = at();
    const moved = (/** @type {PointerEvent} */ e) => { to(x + (e.clientX - down.clientX) / scale, z + (e.clientY - down.clientY) / scale); };
    box.setPointerCapture(down.pointerId);
    box.addEventListener("pointermove", moved);
    box.addEventListener("pointerup", () => {
      box.removeEventListener("pointermove", moved);
      const [there, deep] = at();
      if (there !== x || deep !== z) drop(there, deep);
    }, { once: true });
    down.preventDefault();
  });
  let quiet = 0;
  box.addEventListener("keydown", (/** @type {KeyboardEvent} */ e) => {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    if (!step) return;
    e.preventDefault();
    const [x, z] = at();
    to(x + step[0] * STEP_MM, z + step[1] * STEP_MM);
    clearTimeout(quiet);
    quiet = setTimeout(() => { const [there, deep] = at(); drop(there, deep); }, QUIET_MS);
  });
}
