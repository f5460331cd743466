// The part cut open: by hand, or by itself through a surface that cannot be seen.

/** @typedef {import("./solid.js").Three} Three */
/** @typedef {ReturnType<typeof import("./solid.js").solid>} Solid */
/** @typedef {ReturnType<typeof import("./eye.js").eye>} Eye */
/** @typedef {{axis: number, share: number}} Cut across which axis, and at which share of the part's length along it */

const HIDDEN = 0.06; // a surface of which less than this share is in sight is not seen

const LEAST_LEFT = 0.35; // share of the part's length that a cut by itself leaves at least, where another cut does
const LITTLE = 0.02;
const ALONG = 0.9; // the cosine of 26 degrees: an axis nearer to the cut's own lies across it

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
    /** The first feature of which next to nothing is in sight. @param {Solid} part @param {Eye} eye @param {import("./seen.js").Spot[]} spots @param {string[]} wish */
    hidden(part, { pixel_mm }, spots, wish) {
      const pixel = pixel_mm() ** 2;
      return wish.find((name) => {
        const i = part.names.indexOf(name);
        return i >= 0 && spots[i + 1].count * pixel < HIDDEN * part.reach(i).area;
      }) ?? null;
    },
    /**
     * The cut through the middle of a feature, and along its axis where it has one: across the axis of the file that looks
     * at the eye most and along which the feature is short. null where there is no such feature.
     * @param {Solid} part
     * @param {Eye} eye
     * @param {string} name
     * @param {number[] | null} along its own axis, of unit length
     * @returns {Cut | null}
     */
    through(part, { camera, controls }, name, along) {
      const i = part.names.indexOf(name);
      if (i < 0) return null;
      const { box } = part.reach(i);
      const middle = box.getCenter(new three.Vector3());
      const long = box.getSize(new three.Vector3());
      const shares = [0, 1, 2].map((k) => {
        const [low, high] = span(part, k);
        return (middle.getComponent(k) - low) / (high - low || 1);
      });
      const towards = camera.position.clone().sub(controls.target).normalize();
      const fit = shares.map((share, k) => {
        const left = towards.getComponent(k) > 0 ? share : 1 - share; // of the part, once it is cut
        const across = along ? Math.max(0, ALONG - Math.abs(along[k])) : 1; // a plane across its axis shows a ring, no bore
        return across * (left < LEAST_LEFT ? LITTLE : 1) * (Math.abs(towards.getComponent(k)) + LITTLE) / (long.getComponent(k) + 0.02 * part.radius);
      });
      const axis = fit.indexOf(Math.max(...fit));
      return { axis, share: shares[axis] };
    },
  };
}
