// The part cut open: by hand, or by itself through a surface that cannot be seen.

/** @typedef {import("./solid.js").Three} Three */
/** @typedef {ReturnType<typeof import("./solid.js").solid>} Solid */
/** @typedef {ReturnType<typeof import("./eye.js").eye>} Eye */
/** @typedef {{axis: number, share: number}} Cut across which axis, and at which share of the part's length along it */

const HIDDEN = 0.06; // a surface of which less than this share is in sight is not seen

const LEAST_LEFT = 0.35; // share of the part's length that a cut by itself leaves at least

/** @param {Three} three */
export function cutting(three) {
  const plane = new three.Plane();
  /** @param {Solid} part @param {number} axis @returns {[number, number]} */
  const span = ({ box }, axis) => [box.min.getComponent(axis), box.max.getComponent(axis)];

  return {
    /** Cut the part, or leave it whole: the half towards the eye goes. @param {Solid} part @param {Eye} eye @param {Cut | null} cut */
    lay(part, { camera, controls }, cut) {
      if (cut) {
        const [low, high] = span(part, cut.axis);
        const side = camera.position.getComponent(cut.axis) >= controls.target.getComponent(cut.axis) ? 1 : -1;
        plane.normal.set(0, 0, 0).setComponent(cut.axis, -side);
        plane.constant = side * (low + cut.share * (high - low)) + 1e-4 * (high - low);
      }
      part.clip(cut ? [plane] : []);
    },
    /**
     * The cut that shows features of which next to nothing is in sight: through the middle of the first, across the axis
     * that looks at the eye most and along which it is short. null where all can be seen.
     * @param {Solid} part
     * @param {Eye} eye
     * @param {import("./seen.js").Spot[]} spots
     * @param {string[]} wish
     * @returns {Cut | null}
     */
    through(part, { camera, controls, pixel_mm }, spots, wish) {
      const pixel = pixel_mm() ** 2;
      const hidden = wish.find((name) => {
        const i = part.names.indexOf(name);
        return i >= 0 && spots[i + 1].count * pixel < HIDDEN * part.reach(i).area;
      });
      if (hidden === undefined) return null;
      const { box } = part.reach(part.names.indexOf(hidden));
      const middle = box.getCenter(new three.Vector3());
      const long = box.getSize(new three.Vector3());
      const [from, to] = [box.min.clone(), box.max.clone()].map((corner) => corner.sub(part.box.min).divide(part.box.getSize(new three.Vector3()).addScalar(1e-9)));
      const towards = camera.position.clone().sub(controls.target).normalize();
      const fit = [0, 1, 2].map((k) => {
        const share = (from.getComponent(k) + to.getComponent(k)) / 2;
        const left = towards.getComponent(k) > 0 ? share : 1 - share; // of the part, once it is cut
        return left < LEAST_LEFT ? 0 : Math.abs(towards.getComponent(k)) / (long.getComponent(k) + 0.02 * part.radius);
      });
      const axis = fit.indexOf(Math.max(...fit));
      if (!fit[axis]) return null;
      const [low, high] = span(part, axis);
      return { axis, share: (middle.getComponent(axis) - low) / (high - low || 1) };
    },
  };
}
