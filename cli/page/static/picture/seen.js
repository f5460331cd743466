// Which feature each pixel shows: the part drawn in plain numbers and read back, once the picture is at rest.

/** @typedef {import("./solid.js").Three} Three */

/**
 * @typedef {{count: number, x: number, y: number}} Spot how many pixels of a feature are in sight, and one amid them
 */

/**
 * @param {Three} three
 * @param {import("../vendor/three/three.min.js").WebGLRenderer} renderer
 */
export function seen(three, renderer) {
  const target = new three.WebGLRenderTarget(1, 1);
  const scene = new three.Scene();
  let [width, height] = [0, 0];
  let pixels = new Uint8Array(0);

  /** The number of the feature at a pixel, from the top left; 0 for none. @param {number} x @param {number} y */
  const at = (x, y) => {
    if (x < 0 || y < 0 || x >= width || y >= height) return 0;
    const k = 4 * ((height - 1 - Math.floor(y)) * width + Math.floor(x));
    return pixels[k] + 256 * pixels[k + 1];
  };

  return {
    scene, at,
    /**
     * Draw it and read it back.
     * @param {import("../vendor/three/three.min.js").Camera} camera
     * @param {number} w @param {number} h pixels
     */
    take(camera, w, h) {
      if (w !== width || h !== height) {
        [width, height] = [w, h];
        target.setSize(w, h);
        pixels = new Uint8Array(4 * w * h);
      }
      renderer.setRenderTarget(target);
      renderer.setClearColor(0, 0);
      renderer.clear();
      renderer.render(scene, camera);
      renderer.readRenderTargetPixels(target, 0, 0, w, h, pixels);
      renderer.setRenderTarget(null);
    },
    /** What is in sight of every feature, by its number. @param {number} features */
    spots(features) {
      const sums = Array.from({ length: features + 1 }, () => [0, 0, 0]);
      for (let y = 0; y < height; y += 2) {
        for (let x = 0; x < width; x += 2) {
          const sum = sums[at(x, y)];
          if (sum) { sum[0] += 1; sum[1] += x; sum[2] += y; }
        }
      }
      /** @type {(Spot & {far: number})[]} */
      const found = sums.map(() => ({ count: 0, x: 0, y: 0, far: Infinity }));
      for (let y = 0; y < height; y += 2) {
        for (let x = 0; x < width; x += 2) {
          const id = at(x, y);
          if (!id || !sums[id]) continue;
          const [n, sx, sy] = sums[id];
          const far = Math.hypot(x - sx / n, y - sy / n);
          if (far < found[id].far) found[id] = { count: 4 * n, x, y, far };
        }
      }
      return found;
    },
  };
}
