// The part in 3-D: coloured by the state of its skin, turned by hand or keys, cut open, its features found by pointing.
// three is handed in, so that the same file serves the page and a picture that stands on its own.

/** Take apart the bytes of a picture: {head, points, corners, lines}. */
export function readPicture(buffer) {
  const length = new DataView(buffer).getUint32(0, true);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length)));
  let at = 4 + length;
  const take = (Kind, count) => {
    const array = new Kind(buffer, at, count);
    at += array.byteLength;
    return array;
  };
  return {
    head,
    points: take(Float32Array, head.points * 3),
    corners: take(Uint32Array, head.triangles * 3),
    lines: take(Float32Array, head.lines * 6),
    fewPoints: take(Float32Array, head.few.points * 3),
    fewCorners: take(Uint32Array, head.few.triangles * 3),
  };
}

const TURN = 0.12; // radians a key press
const HAND = 0.008; // radians a pixel
const SLOW = 40; // ms a frame: where the whole takes longer, the coarse stands for it while it turns
const REST = 500; // ms without a move
const HUGE = 300000; // triangles: over this the coarse stands for it in any case
const MANY_LINES = 20000;

/** A view inside `host`. colours: state -> css colour. picked(name or null), hovered(name or null), turned() are told. */
export function partView(three, host, { colours, picked = () => {}, hovered = () => {}, turned = () => {}, drew = () => {}, words = (name) => name }) {
  const canvas = document.createElement("canvas");
  canvas.tabIndex = 0;
  canvas.setAttribute("role", "application");
  canvas.setAttribute("aria-label",
    "The part in 3-D. Arrow keys turn it, plus and minus come nearer and go back, Home shows it whole, comma and full stop go from feature to feature.");
  const labels = document.createElement("div");
  labels.className = "labels";
  labels.setAttribute("aria-hidden", "true");
  host.append(canvas, labels);

  const renderer = new three.WebGLRenderer({ canvas, antialias: true, alpha: true, powerPreference: "low-power" });
  renderer.localClippingEnabled = true;
  const scene = new three.Scene();
  const pickScene = new three.Scene();
  const camera = new three.PerspectiveCamera(28, 1, 0.1, 1000);
  const light = new three.DirectionalLight(0xffffff, 2.1);
  light.position.set(0.4, 0.8, 1);
  camera.add(light);
  scene.add(camera, new three.AmbientLight(0xffffff, 1.35));
  const target = new three.WebGLRenderTarget(1, 1);

  const cut = new three.Plane(new three.Vector3(-1, 0, 0), 0);
  const turn = new three.Quaternion();
  const middle = new three.Vector3();
  const move = new three.Vector3();
  let part = null; // {groups, names, radius, box, head}
  let distance = 1;
  let cutting = null;
  let selected = null;
  let showLabels = true;
  let asked = false;
  let wire = null; // what it hangs by
  let pins = []; // [words, place] of trapped air

  function clear() {
    wire = null;
    for (const s of [scene, pickScene]) {
      for (const each of [...s.children]) {
        if (each === camera || each.isLight) continue;
        s.remove(each);
        each.geometry?.dispose();
        for (const m of [each.material].flat()) m?.dispose();
      }
    }
  }

  /** Show a picture; kept: do not turn it back to the first view. */
  function show({ head, points, corners, lines, fewPoints, fewCorners }, { twoSided = false, kept = false } = {}) {
    clear();
    const geometry = new three.BufferGeometry();
    geometry.setAttribute("position", new three.BufferAttribute(points, 3));
    geometry.setIndex(new three.BufferAttribute(corners, 1));
    geometry.computeBoundingBox();
    const names = [...new Set(head.groups.map((g) => g.feature))];
    const materials = [];
    const picks = [];
    head.groups.forEach((g, i) => {
      geometry.addGroup(3 * g.start, 3 * g.count, i);
      materials.push(new three.MeshLambertMaterial({
        flatShading: true, side: twoSided ? three.DoubleSide : three.FrontSide, polygonOffset: true,
        polygonOffsetFactor: 1, polygonOffsetUnits: 1,
      }));
      const id = names.indexOf(g.feature) + 1;
      const pick = new three.MeshBasicMaterial({ side: three.DoubleSide });
      pick.color.setRGB((id & 255) / 255, ((id >> 8) & 255) / 255, 0);
      picks.push(pick);
    });
    const fine = new three.Mesh(geometry, materials);
    const coarseMaterials = head.few.runs.map(() => new three.MeshLambertMaterial({ flatShading: true, side: three.DoubleSide }));
    const coarse = fewCorners.length ? new three.Mesh(new three.BufferGeometry(), coarseMaterials) : null;
    if (coarse) {
      coarse.geometry.setAttribute("position", new three.BufferAttribute(fewPoints, 3));
      coarse.geometry.setIndex(new three.BufferAttribute(fewCorners, 1));
      head.few.runs.forEach((g, i) => coarse.geometry.addGroup(3 * g.start, 3 * g.count, i));
      coarse.visible = false;
      scene.add(coarse);
    }
    scene.add(fine);
    pickScene.add(new three.Mesh(geometry, picks));
    const inside = new three.MeshBasicMaterial({ side: three.BackSide, polygonOffset: true, polygonOffsetFactor: 1 });
    const back = new three.Mesh(geometry, inside);
    back.visible = false; // seen only where the part is cut open
    scene.add(back);
    const edges = new three.BufferGeometry();
    edges.setAttribute("position", new three.BufferAttribute(lines, 3));
    const ink = new three.LineBasicMaterial({ transparent: true });
    const drawnEdges = new three.LineSegments(edges, ink);
    scene.add(drawnEdges);
    const box = geometry.boundingBox;
    const radius = Math.max(box.getSize(new three.Vector3()).length() / 2, 1e-6);
    part = { head, names, fine, coarse, coarseMaterials, edges: drawnEdges, slow: head.triangles > HUGE, materials, picks, inside, back, twoSided, ink, box, radius };
    if (selected && !names.includes(selected)) selected = null;
    pins = [];
    makeLabels();
    paint();
    if (kept) setCut(cutting);
    else { cutting = null; whole(); }
  }

  function paint() {
    if (!part) return;
    const theme = getComputedStyle(host);
    const css = (name, fallback) => theme.getPropertyValue(name).trim() || fallback;
    part.head.groups.forEach((g, i) => {
      const material = part.materials[i];
      material.color.set(colours[g.state] ?? "#888888");
      material.emissive.set(g.feature === selected ? css("--glow", "#3a3a3a") : "#000000");
    });
    part.head.few.runs.forEach((g, i) => part.coarseMaterials[i].color.set(colours[g.state] ?? "#888888"));
    part.inside.color.set(css("--metal", "#9aa3a8"));
    part.ink.color.set(css("--lines", "#1b2a30"));
    part.ink.opacity = 0.55;
    draw();
  }

  /** Give features other states: {name: state}; for pictures whose groups are whole features. */
  function recolour(states) {
    if (!part) return;
    for (const g of part.head.groups) if (states[g.feature]) g.state = states[g.feature];
    paint();
  }

  function makeLabels() {
    const pinned = (text, at, name, kind) => {
      const label = document.createElement("span");
      label.textContent = text;
      label.className = kind;
      if (name) label.dataset.name = name;
      label.at = at;
      return label;
    };
    labels.replaceChildren(...pins.map(([text, at]) => pinned(text, at, "", "pin")),
      ...part.names.slice(0, 40).map((name) => pinned(words(name), part.head.labels[name], name, "")));
  }

  /** The wire that it hangs by, along `up` (null: none), and pins on the air that it traps. */
  function bath(up, air = []) {
    if (!part) return;
    if (wire) { scene.remove(wire); wire.geometry.dispose(); wire = null; }
    pins = air;
    if (up) {
      const along = new three.Vector3(...up).normalize();
      const centre = part.box.getCenter(new three.Vector3());
      let top = -Infinity;
      for (let i = 0; i < 8; i += 1) {
        top = Math.max(top, new three.Vector3(...["x", "y", "z"].map((a, k) => (i & (1 << k) ? part.box.max : part.box.min)[a])).dot(along));
      }
      const foot = centre.clone().addScaledVector(along, top - centre.dot(along));
      const geometry = new three.BufferGeometry().setFromPoints([foot, foot.clone().addScaledVector(along, 0.3 * part.radius)]);
      wire = new three.LineSegments(geometry, part.ink);
      scene.add(wire);
      pins = [...air, ["up", foot.clone().addScaledVector(along, 0.3 * part.radius).toArray()]];
    }
    makeLabels();
    draw();
  }

  function place() {
    camera.quaternion.copy(turn);
    camera.position.set(0, 0, distance).applyQuaternion(turn).add(middle).add(move);
    camera.near = Math.max(distance - 2.2 * part.radius, distance / 500);
    camera.far = distance + 2.2 * part.radius;
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  }

  function draw() {
    if (asked || !part) return;
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      const [w, t] = [host.clientWidth, host.clientHeight];
      if (!w || !t) return;
      const ratio = Math.min(devicePixelRatio || 1, 2);
      if (canvas.width !== Math.round(w * ratio) || canvas.height !== Math.round(t * ratio)) {
        renderer.setPixelRatio(ratio);
        renderer.setSize(w, t);
        camera.aspect = w / t;
      }
      place();
      renderer.render(scene, camera);
      drawLabels(w, t);
      clock();
      drew();
    });
  }

  function drawLabels(w, t) {
    const taken = [];
    const spot = new three.Vector3();
    for (const label of labels.children) {
      const is = selected !== null && label.dataset.name === selected;
      const pin = label.className.startsWith("pin");
      spot.fromArray(label.at);
      const gone = cutting && cut.distanceToPoint(spot) < -1e-6 * part.radius;
      spot.project(camera);
      const x = (spot.x * 0.5 + 0.5) * w;
      const y = (-spot.y * 0.5 + 0.5) * t;
      const wide = 7 * label.textContent.length + 14;
      const clash = taken.some(([a, b, c]) => Math.abs(a - x) < (c + wide) / 2 && Math.abs(b - y) < 22);
      const shown = (showLabels || is || pin) && !gone && !(clash && !is) && x > 0 && y > 0 && x < w && y < t;
      label.hidden = !shown;
      label.classList.toggle("selected", is);
      if (!shown) continue;
      taken.push([x, y, wide]);
      label.style.transform = `translate(-50%, -50%) translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`;
    }
  }

  /** The whole part, seen from the front and a little from above; long parts lie along the screen. */
  function whole() {
    const size = part.box.getSize(new three.Vector3());
    part.box.getCenter(middle);
    move.set(0, 0, 0);
    const q = new three.Quaternion();
    if (size.z >= size.x && size.z >= size.y) turn.setFromAxisAngle(new three.Vector3(1, 0, 0), Math.PI / 2);
    else turn.identity();
    turn.multiply(q.setFromAxisAngle(new three.Vector3(0, 1, 0), -0.62));
    turn.multiply(q.setFromAxisAngle(new three.Vector3(1, 0, 0), -0.38));
    distance = fitting(part.box);
    setCut(cutting);
    draw();
  }

  /** How far off the eye must be for all corners of a box to be in sight. */
  function fitting(box) {
    const tall = Math.tan((camera.fov * Math.PI) / 360);
    const wide = (tall * (host.clientWidth || 1)) / (host.clientHeight || 1);
    const back = turn.clone().invert();
    let far = 0;
    for (let i = 0; i < 8; i += 1) {
      const corner = new three.Vector3(...["x", "y", "z"].map((axis, k) => (i & (1 << k) ? box.max : box.min)[axis]));
      corner.sub(middle).applyQuaternion(back);
      far = Math.max(far, corner.z + Math.abs(corner.y) / tall, corner.z + Math.abs(corner.x) / wide);
    }
    return (wire ? 1.3 : 1.12) * far;
  }

  let rest = 0;
  let late = 0; // slow frames one after the other
  /** It is being moved: where whole frames come slowly, the coarse part is drawn until it rests. */
  function moving() {
    if (!part.coarse) return;
    lighter(part.slow);
    clearTimeout(rest);
    rest = setTimeout(() => { rest = 0; lighter(false); draw(); }, REST);
  }

  /** Ask how long the frame just drawn keeps the next one waiting. */
  function clock() {
    if (!rest || !part.coarse || part.slow) return;
    const drawn = performance.now();
    requestAnimationFrame(() => {
      late = performance.now() - drawn > SLOW ? late + 1 : 0;
      if (late > 1) part.slow = true;
    });
  }

  function lighter(is) {
    if (!part?.coarse) return;
    part.coarse.visible = is;
    part.fine.visible = !is;
    part.edges.visible = !is || part.head.lines < MANY_LINES;
  }

  function rotate(right, down) {
    const q = new three.Quaternion();
    turn.multiply(q.setFromAxisAngle(new three.Vector3(0, 1, 0), -right));
    turn.multiply(q.setFromAxisAngle(new three.Vector3(1, 0, 0), -down));
    turn.normalize();
    moving();
    draw();
  }

  function zoom(factor) {
    moving();
    distance = Math.min(Math.max(distance * factor, part.radius * 0.05), part.radius * 60);
    draw();
  }

  function pan(x, y) {
    moving();
    const scale = (2 * distance * Math.tan((camera.fov * Math.PI) / 360)) / (host.clientHeight || 1);
    move.add(new three.Vector3(-x * scale, y * scale, 0).applyQuaternion(turn));
    draw();
  }

  /** Cut the part open: {axis: 0..2, share: 0..1}, or null for whole. */
  function setCut(asked) {
    cutting = asked;
    const planes = asked ? [cut] : [];
    if (asked && part) {
      const [low, high] = [part.box.min.getComponent(asked.axis), part.box.max.getComponent(asked.axis)];
      cut.normal.set(0, 0, 0).setComponent(asked.axis, -1);
      cut.constant = low + asked.share * (high - low) * 1.0001;
    }
    if (part) part.back.visible = planes.length > 0 && !part.twoSided;
    for (const m of part ? [...part.materials, ...part.coarseMaterials, ...part.picks, part.inside, part.ink] : []) m.clippingPlanes = planes;
    draw();
  }

  /** The feature at a place of the window, found by drawing one pixel of it in plain numbers. */
  function at(x, y) {
    if (!part) return null;
    const box = canvas.getBoundingClientRect();
    place();
    camera.setViewOffset(box.width, box.height, x - box.left, y - box.top, 1, 1);
    const pixel = new Uint8Array(4);
    renderer.setRenderTarget(target);
    renderer.setClearColor(0, 0);
    renderer.clear();
    renderer.render(pickScene, camera);
    renderer.readRenderTargetPixels(target, 0, 0, 1, 1, pixel);
    renderer.setRenderTarget(null);
    camera.clearViewOffset();
    return part.names[pixel[0] + 256 * pixel[1] - 1] ?? null;
  }

  function select(name) {
    selected = name;
    paint();
  }

  const pointers = new Map();
  let wandered = 0;
  canvas.addEventListener("pointerdown", (e) => {
    canvas.setPointerCapture(e.pointerId);
    pointers.set(e.pointerId, [e.clientX, e.clientY]);
    if (pointers.size === 1) wandered = 0;
  });
  canvas.addEventListener("pointermove", (e) => {
    const before = pointers.get(e.pointerId);
    if (!before) {
      if (e.pointerType === "mouse") hover(e.clientX, e.clientY);
      return;
    }
    const [dx, dy] = [e.clientX - before[0], e.clientY - before[1]];
    wandered += Math.abs(dx) + Math.abs(dy);
    if (pointers.size === 2) {
      const [other] = [...pointers].filter(([id]) => id !== e.pointerId).map(([, spot]) => spot);
      const span = (spot) => Math.hypot(spot[0] - other[0], spot[1] - other[1]) || 1;
      zoom(span(before) / span([e.clientX, e.clientY]));
      pan(dx / 2, dy / 2);
    } else if (e.shiftKey || e.buttons & 2) pan(dx, dy);
    else rotate(dx * HAND, dy * HAND);
    pointers.set(e.pointerId, [e.clientX, e.clientY]);
  });
  const up = (e) => {
    const was = pointers.delete(e.pointerId);
    if (was && wandered >= 5 && !pointers.size) turned();
    if (was && e.type === "pointerup" && wandered < 5 && !pointers.size) {
      const name = at(e.clientX, e.clientY);
      select(name);
      picked(name);
    }
  };
  canvas.addEventListener("pointerup", up);
  canvas.addEventListener("pointercancel", up);
  canvas.addEventListener("contextmenu", (e) => e.preventDefault());
  canvas.addEventListener("pointerleave", () => hovered(null));
  canvas.addEventListener("wheel", (e) => { e.preventDefault(); zoom(Math.exp(Math.sign(e.deltaY) * 0.12)); }, { passive: false });
  canvas.addEventListener("keydown", (e) => {
    const keys = {
      ArrowLeft: () => rotate(-TURN, 0), ArrowRight: () => rotate(TURN, 0), ArrowUp: () => rotate(0, -TURN),
      ArrowDown: () => rotate(0, TURN), "+": () => zoom(0.87), "=": () => zoom(0.87), "-": () => zoom(1.15), Home: whole,
      ",": () => step(-1), ".": () => step(1),
    };
    if (!part || !keys[e.key] || e.ctrlKey || e.metaKey || e.altKey) return;
    e.preventDefault();
    keys[e.key]();
    if (e.key.startsWith("Arrow")) {
      clearTimeout(settling);
      settling = setTimeout(turned, 700);
    }
  });
  let settling = 0;

  function step(by) {
    const now = part.names.indexOf(selected);
    const name = part.names[(now + by + part.names.length + (now < 0 && by < 0 ? 1 : 0)) % part.names.length];
    select(name);
    picked(name);
  }

  let hovering = 0;
  let last = null;
  function hover(x, y) {
    if (hovering) return;
    hovering = requestAnimationFrame(() => {
      hovering = 0;
      const name = at(x, y);
      canvas.style.cursor = name ? "pointer" : "grab";
      if (name !== last) hovered(name);
      last = name;
      canvas.title = name ? words(name) : "";
    });
  }

  new ResizeObserver(() => draw()).observe(host);

  return {
    show, recolour, select, setCut, whole, paint, at, bath,
    /** The part's own direction that points up on the screen. */
    up: () => new three.Vector3(0, 1, 0).applyQuaternion(turn).toArray(),
    /** Turn it so that a direction of its own points up. */
    hang(up) {
      const now = new three.Vector3(0, 1, 0).applyQuaternion(turn);
      turn.premultiply(new three.Quaternion().setFromUnitVectors(now, new three.Vector3(...up).normalize()));
      move.set(0, 0, 0);
      part?.box.getCenter(middle);
      if (part) distance = fitting(part.box);
      draw();
    },
    names(are) { showLabels = are; draw(); },
    /** Hide it where there is nothing to show. */
    empty() { clear(); part = null; labels.replaceChildren(); renderer.clear(); },
  };
}
