// What a hand does on the picture beyond turning it: a click, a pointer passing over, and keys.

/** @typedef {import("./part_view.js").PartView} PartView */

const TURN = 0.12; // radians a key press
const STILL = 5; // pixels: a press that wanders less is a click
const LONG = 700; // ms after the last key until it counts as turned

/**
 * @param {HTMLCanvasElement} canvas
 * @param {PartView} view
 */
export function hands(canvas, view) {
  const { eye, told } = view;
  /** @type {[number, number] | null} */
  let down = null;
  let [hovering, keyed] = [0, 0];

  canvas.addEventListener("pointerdown", (e) => { down = e.isPrimary && e.button === 0 ? [e.clientX, e.clientY] : null; });
  canvas.addEventListener("pointerup", (e) => {
    if (!down || !e.isPrimary) return;
    const still = Math.hypot(e.clientX - down[0], e.clientY - down[1]) < STILL;
    down = null;
    const box = canvas.getBoundingClientRect();
    const place = { x: e.clientX - box.left, y: e.clientY - box.top };
    if (still) told.picked?.(view.at(place), e.shiftKey || e.ctrlKey || e.metaKey, place);
    else told.turned?.();
  });
  canvas.addEventListener("pointermove", (e) => {
    if (e.pointerType !== "mouse" || e.buttons || hovering) return;
    hovering = requestAnimationFrame(() => {
      hovering = 0;
      const box = canvas.getBoundingClientRect();
      if (view.fresh) view.light(view.at({ x: e.clientX - box.left, y: e.clientY - box.top }));
    });
  });
  canvas.addEventListener("pointerleave", () => { view.light(null); });
  canvas.addEventListener("wheel", (e) => {
    if (eye.controls.noZoom) return;
    e.preventDefault();
    view.moved();
  }, { passive: false });

  /** @param {number} by */
  function step(by) {
    const { names } = view;
    const now = names.findIndex((name) => view.chosen.has(name));
    const name = names[(now + by + names.length + (now < 0 && by < 0 ? 1 : 0)) % names.length];
    if (name) told.picked?.(name, false, view.spotOf(name));
  }

  /** @type {Record<string, () => void>} */
  const moves = {
    ArrowLeft: () => { eye.rotate(-TURN, 0); }, ArrowRight: () => { eye.rotate(TURN, 0); },
    ArrowUp: () => { eye.rotate(0, -TURN); }, ArrowDown: () => { eye.rotate(0, TURN); },
    "+": () => { eye.zoom(0.87); }, "=": () => { eye.zoom(0.87); }, "-": () => { eye.zoom(1.15); },
  };
  /** @type {Record<string, () => void>} */
  const others = { Home: () => { view.whole(); }, ",": () => { step(-1); }, ".": () => { step(1); } };
  canvas.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (moves[e.key]) {
      moves[e.key]();
      view.moved();
      clearTimeout(keyed);
      if (e.key.startsWith("Arrow")) keyed = setTimeout(() => { told.turned?.(); }, LONG);
    } else if (others[e.key]) others[e.key]();
    else if (!told.pressed?.(e.key)) return;
    e.preventDefault();
  });
}
