// The part in 3-D: coloured by the state of its surface, turned by hand or keys, cut open, its features found by pointing.
// three is handed in, so that the same file serves the page and a picture that stands on its own.

import { axes } from "./axes.js";
import { cutting } from "./cutting.js";
import { corners, eye } from "./eye.js";
import { hands } from "./hands.js";
import { labels } from "./labels.js";
import { seen } from "./seen.js";
import { solid } from "./solid.js";

/** @typedef {import("./solid.js").Three} Three */
/** @typedef {import("./cutting.js").Cut} Cut */
/** @typedef {{x: number, y: number}} Point in pixels of the picture */

const SLOW = 40; // ms a frame: where the whole takes longer, the coarse stands for it while it turns
const MOVING = 0.5; // of the picture's pixels across, while it moves and frames come slowly
const REST = 350; // ms without a move
const SETTLED = 120; // ms from the last frame until names and features are looked for
const HUGE = 300000; // triangles: over this the coarse stands for it in any case
const NARROW = 520; // pixels: there is room for bare names alone, and none for that of the outside
const LEAST = 40; // pixels: of what shows less, the name tells that it is hidden
const FEW = 12; // features: of more, those that are hidden go without a name
const MANY_LINES = 20000;

/**
 * What the picture tells of, and asks: `words` gives the text of a feature's name, `want` how much it is wanted (0: not at all).
 * @typedef {object} Told
 * @property {Record<string, string>} colours state -> CSS colour
 * @property {(name: string | null, several: boolean, at: Point) => void} [picked]
 * @property {(name: string | null) => void} [hovered]
 * @property {() => void} [turned]
 * @property {() => void} [moving]
 * @property {() => void} [rested]
 * @property {(key: string) => boolean} [pressed]
 * @property {(name: string) => string} [words]
 * @property {(name: string) => number} [want]
 */

export class PartView {
  /**
   * A view inside `host`.
   * @param {Three} three
   * @param {HTMLElement} host
   * @param {Told} told
   */
  constructor(three, host, told) {
    this.three = three;
    this.host = host;
    this.told = told;
    const canvas = document.createElement("canvas");
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application");
    canvas.setAttribute("aria-label", "The part in 3-D. Arrow keys turn it, plus and minus come nearer and go back, Home shows "
      + "it whole, comma and full stop go from feature to feature.");
    host.append(canvas);
    this.canvas = canvas;
    this.labels = labels(host, (name, several) => { told.picked?.(name, several, this.spotOf(name)); });
    this.compass = axes(host);
    this.renderer = new three.WebGLRenderer({ canvas, antialias: true, alpha: true, stencil: true, powerPreference: "low-power" });
    this.renderer.localClippingEnabled = true;
    this.scene = new three.Scene();
    this.seen = seen(three, this.renderer);
    this.eye = eye(three, canvas, () => { this.moved(); });
    this.knife = cutting(three);
    const lamp = new three.DirectionalLight(0xffffff, 2.2);
    lamp.position.set(0.35, 0.6, 1);
    const fill = new three.DirectionalLight(0xffffff, 0.5);
    fill.position.set(-0.6, -0.2, 0.6);
    this.eye.camera.add(lamp, fill);
    this.scene.add(this.eye.camera, new three.AmbientLight(0xffffff, 0.95)); // enough to light the inside of a bore
    /** @type {ReturnType<typeof solid> | null} */
    this.part = null;
    /** @type {Cut | null} */
    this.cut = null;
    /** @type {Set<string>} */
    this.chosen = new Set();
    /** @type {string | null} */
    this.lit = null;
    /** @type {import("./seen.js").Spot[]} */
    this.spots = [];
    /** @type {import("../vendor/three/three.min.js").LineSegments<import("../vendor/three/three.min.js").BufferGeometry, import("../vendor/three/three.min.js").LineBasicMaterial> | null} */
    this.wire = null; // what it hangs by
    /** @type {[string, number[]][]} */
    this.pins = []; // words and place of trapped air, and of the top
    this.fresh = false; // whether `spots` is of what is drawn
    this.named = true;
    this.asked = false; // for a frame
    this.slow = false; // whole frames come slowly
    this.late = 0; // slow frames one after the other
    this.resting = 0;
    this.settling = 0;
    hands(canvas, this);
    new ResizeObserver(() => { this.draw(); }).observe(host);
  }

  /** The features' names. */
  get names() { return (this.part?.names ?? []).filter(Boolean); }

  /** @returns {[number, number]} */
  get size() { return [Math.max(1, this.host.clientWidth), Math.max(1, this.host.clientHeight)]; }

  /**
   * Show a picture; kept: it is the same part, so it stays turned as it is.
   * @param {import("./read_picture.js").Picture} picture
   */
  show(picture, { twoSided = false, kept = false } = {}) {
    const again = kept && this.part !== null;
    this.clear();
    const part = solid(this.three, picture, this.told.colours, twoSided);
    this.part = part;
    this.scene.add(...part.shown);
    this.seen.scene.add(...part.found);
    this.slow = part.head.triangles > HUGE;
    this.chosen = new Set(this.names.filter((name) => this.chosen.has(name)));
    this.eye.about(part, again);
    if (!again) {
      this.cut = null;
      this.whole();
    }
    this.setCut(this.cut);
    this.paint();
  }

  clear() {
    if (!this.part) return;
    this.hangBy(null);
    this.scene.remove(...this.part.shown);
    this.seen.scene.remove(...this.part.found);
    this.part.dispose();
    this.part = null;
  }

  /** Hide it where there is nothing to show. */
  empty() {
    this.clear();
    this.labels.clear();
    this.renderer.clear();
  }

  paint() {
    const style = getComputedStyle(this.host);
    const colour = (/** @type {string} */ name, /** @type {string} */ without) => style.getPropertyValue(name).trim() || without;
    this.part?.theme(colour("--metal", "#9aa3a8"), colour("--lines", "#1b2a30"), colour("--soft", "#566268"));
    this.part?.paint(this.chosen, this.lit);
    if (this.wire && this.part) this.wire.material.color.copy(this.part.ink.color);
    this.draw();
  }

  draw() {
    this.fresh = false;
    if (this.asked || !this.part) return;
    this.asked = true;
    requestAnimationFrame(() => {
      this.asked = false;
      this.frame();
    });
  }

  frame() {
    if (!this.part || this.host.clientWidth < 2) return;
    const [w, t] = this.size;
    const ratio = Math.min(devicePixelRatio || 1, 2) * (this.slow && this.resting ? MOVING : 1);
    if (this.canvas.width !== Math.floor(w * ratio) || this.canvas.height !== Math.floor(t * ratio)) {
      this.renderer.setPixelRatio(ratio);
      this.renderer.setSize(w, t);
    }
    this.eye.settle(w, t);
    this.renderer.render(this.scene, this.eye.camera);
    const { calls, triangles } = this.renderer.info.render;
    Object.assign(this.host.dataset, { calls, triangles });
    this.compass(this.eye.axes());
    this.clock();
    clearTimeout(this.settling);
    this.settling = setTimeout(() => { this.settle(); }, SETTLED);
  }

  /** At rest: find what is in sight, and write the names beside it. */
  settle() {
    const { part, told } = this;
    if (!part || this.resting || this.eye.held()) return;
    this.look();
    const narrow = this.size[0] < NARROW;
    const list = part.names.flatMap((name, i) => {
      const spot = this.spots[i + 1];
      const chosen = this.chosen.has(name);
      const want = told.want?.(name) ?? 1;
      const hidden = spot.count < LEAST && want > 1 && !this.cut && part.names.length <= FEW;
      const first = (hidden ? 0.5 : want) + (chosen ? 100 : 0);
      if (!name || !(spot.count || hidden) || first <= (narrow ? 1 : 0) || !(this.named || chosen)) return [];
      const { x, y } = hidden ? this.project(part.reach(i).box.getCenter(new this.three.Vector3())) : spot;
      return [{ name, text: narrow ? name : `${told.words?.(name) ?? name}${hidden ? ", hidden" : ""}`, x, y, first, chosen, hidden }];
    });
    this.labels.show([...list, ...this.pinned()], this.reach(), ...this.size);
    told.rested?.();
  }

  /** How far the part reaches to the left and the right, in pixels. */
  reach() {
    const xs = (this.part?.few ?? []).map((point) => this.project(point).x);
    return { left: Math.max(0, Math.min(...xs)), right: Math.min(this.size[0], Math.max(...xs)) };
  }

  /** @param {import("../vendor/three/three.min.js").Vector3} point */
  project(point) {
    const [w, t] = this.size;
    const p = point.clone().project(this.eye.camera);
    return { x: (p.x * 0.5 + 0.5) * w, y: (-p.y * 0.5 + 0.5) * t };
  }

  /** Trapped air where its surface is in sight, and the top. */
  pinned() {
    const bare = new Set(this.part?.head.groups.filter((g) => g.state === "airlocked").map((g) => g.feature));
    return this.pins.map(([text, [x, y, z]]) => (
      { text, name: "", ...this.project(new this.three.Vector3(x, y, z)), first: 50, chosen: false, hidden: false }
    )).filter(({ text, x, y }) => text === "up" || bare.has(this.part?.names[this.seen.at(x, y) - 1] ?? ""));
  }

  /** Draw the part in plain numbers where that is not done yet. */
  look() {
    if (this.fresh || !this.part) return;
    this.eye.settle(...this.size);
    this.seen.take(this.eye.camera, ...this.size);
    this.spots = this.seen.spots(this.part.names.length);
    this.fresh = true;
  }

  /** It is being moved: where whole frames come slowly, the coarse part is drawn until it rests, in fewer pixels. */
  moved() {
    if (!this.part) return;
    this.labels.clear();
    this.told.moving?.();
    this.part.lighter(this.slow, this.part.head.lines < MANY_LINES);
    clearTimeout(this.resting);
    this.resting = setTimeout(() => {
      this.resting = 0;
      if (!this.eye.held()) this.part?.lighter(false, true);
      this.draw();
    }, REST);
    this.draw();
  }

  /** Ask how long the frame just drawn keeps the next one waiting. */
  clock() {
    if (!this.resting || this.slow) return;
    const drawn = performance.now();
    requestAnimationFrame(() => {
      this.late = performance.now() - drawn > SLOW ? this.late + 1 : 0;
      if (this.late > 1) this.slow = true;
    });
  }

  /** The whole part from the front. */
  whole() {
    if (!this.part) return;
    this.eye.settle(...this.size);
    this.eye.whole();
    this.moved();
  }

  /** @param {Cut | null} cut */
  setCut(cut) {
    this.cut = cut;
    if (this.part) this.knife.lay(this.part, this.eye, cut);
    this.draw();
  }

  /** Cut it open where features cannot be seen as it is; whether that was wanted. @param {string[]} wish @param {(name: string) => number[] | null} axisOf */
  open(wish, axisOf) {
    if (!this.part) return false;
    this.look();
    const name = this.knife.hidden(this.part, this.eye, this.spots, wish);
    return name !== null && this.cutThrough(name, axisOf(name));
  }

  /** Cut it open through a feature. @param {string} name @param {number[] | null} along its axis */
  cutThrough(name, along) {
    const cut = this.part && this.knife.through(this.part, this.eye, name, along);
    if (cut) this.setCut(cut);
    return Boolean(cut);
  }

  /** The feature at a place of the picture. @param {Point} place */
  at({ x, y }) {
    this.look();
    return this.part?.names[this.seen.at(x, y) - 1] || null;
  }

  /** Where a feature is in sight; the middle where it is not. @param {string} name */
  spotOf(name) {
    this.look();
    const spot = this.spots[(this.part?.names.indexOf(name) ?? -1) + 1];
    const [w, t] = this.size;
    return spot?.count ? { x: spot.x, y: spot.y } : { x: w / 2, y: t / 2 };
  }

  /** Light a feature up as the pointer passes it. @param {string | null} name */
  light(name) {
    this.canvas.style.cursor = name ? "pointer" : "grab";
    if (name === this.lit || !this.part) return;
    this.lit = name;
    const known = this.fresh;
    this.paint();
    this.fresh = known; // a colour moves nothing
    this.told.hovered?.(name);
  }

  /** @param {Iterable<string>} wish */
  select(wish) {
    this.chosen = new Set(wish);
    this.paint();
  }

  /** @param {Record<string, string>} states of features */
  recolour(states) {
    this.part?.recolour(states);
    this.paint();
  }

  /** @param {boolean} are whether names are shown */
  showNames(are) {
    this.named = are;
    this.draw();
  }

  /** The part's own direction that points up on the screen. */
  up() { return this.eye.up(); }

  /** Turn it so that a direction of its own points up. @param {number[]} up */
  hang(up) {
    if (!this.part) return;
    this.eye.hang(up);
    this.moved();
  }

  /**
   * The wire that it hangs by, along `up` (null: none), and words on the air that it traps.
   * @param {number[] | null} up
   * @param {[string, number[]][]} air
   */
  hangBy(up, air = []) {
    const { three, part } = this;
    if (this.wire) {
      this.scene.remove(this.wire);
      this.wire.geometry.dispose();
      this.wire.material.dispose();
    }
    [this.wire, this.pins] = [null, air];
    this.eye.also([]);
    if (up && part) {
      const along = new three.Vector3(up[0], up[1], up[2]).normalize();
      const centre = part.box.getCenter(new three.Vector3());
      const top = Math.max(...corners(three, part.box).map((corner) => corner.dot(along)));
      const foot = centre.clone().addScaledVector(along, top - centre.dot(along));
      const head = foot.clone().addScaledVector(along, 0.13 * part.radius);
      this.wire = new three.LineSegments(new three.BufferGeometry().setFromPoints([foot, head]), new three.LineBasicMaterial({ color: part.ink.color }));
      this.scene.add(this.wire);
      this.eye.also([head]);
      this.pins = [...air, ["up", head.toArray()]];
    }
    this.draw();
  }
}
