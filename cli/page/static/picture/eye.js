// The eye that looks at the part: three's own trackball, the first view, keys, and how near it may come.

/** @typedef {import("./solid.js").Three} Three */
/** @typedef {import("../vendor/three/three.min.js").Box3} Box3 */

const HAND = 0.008; // radians a pixel
const LABELS = 250; // pixels that the names want at the sides
const SCROLLS = 10; // pixels by which two fingers have said whether they scroll or pinch

/**
 * @param {Three} three
 * @param {HTMLCanvasElement} canvas
 * @param {() => void} moved told of every move by hand
 */
export function eye(three, canvas, moved) {
  const camera = new three.PerspectiveCamera(28, 1, 0.1, 1000);
  const controls = new three.TrackballControls(camera, canvas);
  controls.staticMoving = true;
  controls.keys = ["", "", ""];
  controls.noZoom = true; // the wheel scrolls the page until the picture has the focus
  let radius = 1;
  let box = new three.Box3();
  /** @type {import("../vendor/three/three.min.js").Vector3[]} */
  let points = []; // of the part, enough to fit it into the picture
  /** @type {import("../vendor/three/three.min.js").Vector3[]} */
  let more = []; // what hangs beside it
  let room = [1, 1];
  let held = false; // by a hand
  let fitted = false; // all of it is in sight, and no hand has changed that

  canvas.addEventListener("focus", () => { controls.noZoom = false; });
  canvas.addEventListener("blur", () => { controls.noZoom = true; });
  canvas.addEventListener("pointerdown", (e) => {
    canvas.focus({ preventScroll: true });
    controls.mouseButtons.LEFT = e.shiftKey ? three.MOUSE.PAN : three.MOUSE.ROTATE;
    controls.handleResize();
  }, { capture: true });
  twoFingers(canvas, controls);
  controls.addEventListener("start", () => { held = true; fitted = false; moved(); });
  controls.addEventListener("end", () => { held = false; moved(); });
  addEventListener("pointermove", () => { if (held) moved(); });

  /** How far off the eye must be for all of the part to be in sight. */
  function fitting() {
    const tall = Math.tan((camera.fov * Math.PI) / 360);
    const [w, t] = room;
    const wide = (tall * (w > 2.6 * LABELS ? w - LABELS : w)) / t;
    const back = camera.quaternion.clone().invert();
    let far = 0;
    for (const point of [...points, ...more]) {
      const { x, y, z } = point.clone().sub(controls.target).applyQuaternion(back);
      far = Math.max(far, z + Math.abs(y) / tall, z + Math.abs(x) / wide);
    }
    return 1.15 * far;
  }

  /** Look at the part from a side, all of it in sight. @param {import("../vendor/three/three.min.js").Quaternion} turn */
  function look(turn) {
    box.getCenter(controls.target);
    camera.quaternion.copy(turn);
    camera.up.set(0, 1, 0).applyQuaternion(turn);
    camera.position.set(0, 0, 1).applyQuaternion(turn).multiplyScalar(fitting()).add(controls.target);
    fitted = true;
  }

  return {
    camera, controls,
    held: () => held,
    /** What is to be in sight besides the part, such as the wire that it hangs by. @param {import("../vendor/three/three.min.js").Vector3[]} these */
    also(these) { more = these; },
    /** Before a frame: what the hand asked for is done. @param {number} width @param {number} height pixels */
    settle(width, height) {
      if (room[0] !== width || room[1] !== height) {
        room = [width, height];
        camera.aspect = width / height;
        controls.rotateSpeed = (HAND * width) / 2;
        controls.handleResize();
        if (fitted) look(camera.quaternion.clone());
      }
      controls.update();
      const distance = camera.position.distanceTo(controls.target);
      camera.near = Math.max(distance - 2.2 * radius, distance / 500);
      camera.far = distance + 2.2 * radius;
      camera.updateProjectionMatrix();
      camera.updateMatrixWorld();
    },
    /** The whole part from the front and a little above, its top (z+) up; what is longest along y lies from left to right. */
    whole() {
      const size = box.getSize(new three.Vector3());
      const turn = new three.Quaternion();
      const q = new three.Quaternion();
      turn.setFromAxisAngle(new three.Vector3(1, 0, 0), Math.PI / 2);
      if (size.y > size.x && size.y > size.z) turn.multiply(q.setFromAxisAngle(new three.Vector3(0, 1, 0), Math.PI / 2));
      turn.multiply(q.setFromAxisAngle(new three.Vector3(0, 1, 0), -0.62));
      turn.multiply(q.setFromAxisAngle(new three.Vector3(1, 0, 0), -0.38));
      look(turn);
    },
    /** Turn so that a direction of the part points up. @param {number[]} up */
    hang(up) {
      const now = new three.Vector3(0, 1, 0).applyQuaternion(camera.quaternion);
      const to = new three.Vector3(...up).normalize();
      look(new three.Quaternion().setFromUnitVectors(now, to).multiply(camera.quaternion));
    },
    /**
     * Another part, or the same one in another unit, which keeps its place in the picture.
     * @param {ReturnType<typeof import("./solid.js").solid>} part
     * @param {boolean} kept
     */
    about({ box: around, few, radius: size }, kept) {
      [box, points] = [around, few];
      if (kept && Math.abs(size / radius - 1) > 1e-3) {
        const off = camera.position.clone().sub(controls.target).multiplyScalar(size / radius);
        box.getCenter(controls.target);
        camera.position.copy(controls.target).add(off);
      }
      radius = size;
      controls.minDistance = 0.05 * size;
      controls.maxDistance = 60 * size;
    },
    /** @param {number} right radians @param {number} down radians */
    rotate(right, down) {
      fitted = false;
      const q = new three.Quaternion().setFromAxisAngle(new three.Vector3(0, 1, 0).applyQuaternion(camera.quaternion), -right);
      q.multiply(new three.Quaternion().setFromAxisAngle(new three.Vector3(1, 0, 0).applyQuaternion(camera.quaternion), -down));
      camera.position.sub(controls.target).applyQuaternion(q).add(controls.target);
      camera.up.applyQuaternion(q);
    },
    /** @param {number} factor */
    zoom(factor) {
      fitted = false;
      camera.position.sub(controls.target).multiplyScalar(factor).add(controls.target);
    },
    /** The part's own direction that points up on the screen. */
    up: () => new three.Vector3(0, 1, 0).applyQuaternion(camera.quaternion).toArray(),
    /** Where the part's axes point on the screen, y up. @returns {[number, number][]} */
    axes() {
      const back = camera.quaternion.clone().invert();
      return [0, 1, 2].map((k) => {
        const { x, y } = new three.Vector3().setComponent(k, 1).applyQuaternion(back);
        return [x, y];
      });
    },
    /** How many mm one pixel is, at the middle of the part. */
    pixel_mm: () => (2 * camera.position.distanceTo(controls.target) * Math.tan((camera.fov * Math.PI) / 360)) / room[1],
  };
}

/** The eight corners of a box. @param {Three} three @param {Box3} box */
export function corners(three, box) {
  return Array.from({ length: 8 }, (_, i) => new three.Vector3(...(/** @type {[number, number, number]} */ (
    (/** @type {const} */ (["x", "y", "z"])).map((axis, k) => (i & (1 << k) ? box.max : box.min)[axis])))));
}

/**
 * Two fingers pinch, or scroll what the picture stands in: whichever they do first.
 * @param {HTMLCanvasElement} canvas
 * @param {import("../vendor/three/three.min.js").TrackballControls} controls
 */
function twoFingers(canvas, controls) {
  /** @type {Map<number, PointerEvent>} */
  const down = new Map();
  let [span, middle, kind] = [0, 0, ""];
  const measure = () => {
    const [a, b] = [...down.values()];
    return [Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY), (a.clientY + b.clientY) / 2];
  };
  canvas.addEventListener("pointerdown", (e) => {
    if (e.pointerType !== "touch") return;
    down.set(e.pointerId, e);
    controls.noPan = true;
    if (down.size === 2) { [span, middle] = measure(); kind = ""; }
  }, { capture: true });
  addEventListener("pointermove", (e) => {
    if (!down.has(e.pointerId)) return;
    down.set(e.pointerId, e);
    if (down.size !== 2) return;
    const [wide, at] = measure();
    if (!kind && Math.abs(wide - span) > SCROLLS) kind = "pinch";
    if (!kind && Math.abs(at - middle) > SCROLLS) kind = "scroll";
    controls.noZoom = kind !== "pinch";
    if (kind === "scroll") {
      scroller(canvas).scrollBy(0, middle - at);
      middle = at;
    }
  }, { capture: true });
  for (const end of ["pointerup", "pointercancel"]) {
    addEventListener(end, (e) => {
      down.delete(/** @type {PointerEvent} */ (e).pointerId);
      if (!down.size) controls.noPan = false;
    });
  }
}

/** What scrolls an element: the nearest box around it that can. @param {Element} element */
function scroller(element) {
  for (let box = element.parentElement; box; box = box.parentElement) {
    if (box.scrollHeight > box.clientHeight && /auto|scroll/.test(getComputedStyle(box).overflowY)) return box;
  }
  return document.scrollingElement ?? document.documentElement;
}
