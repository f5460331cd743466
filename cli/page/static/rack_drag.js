// Parts dragged in the drawing of the tank: each follows the pointer, the rules are asked as it goes, the load takes it at the end.

import * as api from "./api.js";

const STEP_MM = 5;
const QUIET_MS = 400; // after the last arrow key the load takes the place

/** The key `moved` of the load with one part more. @param {string} moved @param {string} part "lamp knob 2" @param {number[]} at along, across, under [mm] */
export function withMove(moved, part, at) {
  const others = moved.split(";").map((each) => each.trim()).filter((each) => each && !each.startsWith(`${part} at `));
  return [...others, `${part} at ${at.map((mm) => Math.round(mm * 10) / 10).join(" x ")} mm`].join("; ");
}

/** Each place by its part's name and its number among those of that name. @param {Doc.Rack} rack @returns {string[]} */
export function numbered(rack) {
  /** @type {Record<string, number>} */
  const counted = {};
  return rack.places.map(({ part }) => `${part} ${counted[part] = (counted[part] ?? 0) + 1}`);
}

/**
 * Asks for the rules as often as they are answered, the latest place last.
 * @param {(said: Doc.Rehung) => void} say
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
 * A box of one view that moves its part along the view's two axes: by the pointer, or by the arrow keys.
 * @param {SVGSVGElement} svg
 * @param {SVGElement} box
 * @param {{ at: number[] }} part its near upper corner in mm, changed here
 * @param {[number, number]} axes which of `at` run to the right and down
 * @param {() => void} follow
 * @param {() => void} drop
 */
export function draggable(svg, box, part, [right, down], follow, drop) {
  const to = (/** @type {number} */ x, /** @type {number} */ y) => { [part.at[right], part.at[down]] = [x, y]; follow(); };
  box.setAttribute("tabindex", "0");
  box.addEventListener("pointerdown", (/** @type {PointerEvent} */ start) => {
    const scale = svg.getScreenCTM()?.a ?? 1;
    const [x, y] = [part.at[right], part.at[down]];
    const moved = (/** @type {PointerEvent} */ e) => { to(x + (e.clientX - start.clientX) / scale, y + (e.clientY - start.clientY) / scale); };
    box.setPointerCapture(start.pointerId);
    box.addEventListener("pointermove", moved);
    box.addEventListener("pointerup", () => {
      box.removeEventListener("pointermove", moved);
      if (part.at[right] !== x || part.at[down] !== y) drop();
    }, { once: true });
    start.preventDefault();
  });
  let quiet = 0;
  box.addEventListener("keydown", (/** @type {KeyboardEvent} */ e) => {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    if (!step) return;
    e.preventDefault();
    to(part.at[right] + step[0] * STEP_MM, part.at[down] + step[1] * STEP_MM);
    clearTimeout(quiet);
    quiet = setTimeout(drop, QUIET_MS);
  });
}
