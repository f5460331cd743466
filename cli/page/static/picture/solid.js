// The part as three draws it: one mesh coloured by state, the metal seen where it is cut open, the lines between faces,
// and the same mesh in plain numbers, by which the pointer finds its feature.

import { parted } from "./read_picture.js";

/** @typedef {typeof import("../vendor/three/three.min.js")} Three */
/** @typedef {import("../vendor/three/three.min.js").Plane} Plane */
/** @typedef {import("../vendor/three/three.min.js").Material} Material */

const UNKNOWN = "#8b979c"; // of a part whose features are not found yet
const GOLDEN = (Math.sqrt(5) - 1) / 2; // multiples of it keep no step with the rows of a mesh
const [SURFACE, METAL] = [0, 1]; // in the stencil: what is nearest at a pixel, a surface or the inside of the metal
const LIT = { hovered: 0.07, chosen: 0.12 }; // share of white, or of black on what is pale

/**
 * @param {Three} three
 * @param {import("./read_picture.js").Picture} picture
 * @param {Record<string, string>} colours state -> CSS colour
 * @param {boolean} twoSided
 */
export function solid(three, picture, colours, twoSided) {
  const { head } = picture;
  const { points, corners, starts } = parted(picture);
  const names = [...new Set(head.groups.map((g) => g.feature))];
  const place = new three.BufferAttribute(points, 3);
  const index = new three.BufferAttribute(corners, 1);
  const shade = new three.BufferAttribute(new Float32Array(points.length), 3);
  const number = new three.BufferAttribute(new Uint8Array(points.length), 3, true);
  /** @param {import("../vendor/three/three.min.js").BufferAttribute} colour */
  const shaped = (colour) => {
    const geometry = new three.BufferGeometry();
    geometry.setAttribute("position", place);
    geometry.setAttribute("color", colour);
    geometry.setIndex(index);
    return geometry;
  };
  const geometry = shaped(shade);
  geometry.computeBoundingBox();
  const box = /** @type {import("../vendor/three/three.min.js").Box3} */ (geometry.boundingBox);
  const behind = { polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 };

  const skin = new three.MeshLambertMaterial({
    vertexColors: true, flatShading: true, side: twoSided ? three.DoubleSide : three.FrontSide, ...behind, ...marks(SURFACE),
  });
  const metal = new three.MeshBasicMaterial({ side: three.BackSide, ...behind, ...marks(METAL) });
  const face = new three.MeshBasicMaterial({ side: three.DoubleSide, ...behind, stencilWrite: true, stencilFunc: 514, stencilRef: METAL }); // 514: WebGL's EQUAL
  const ink = new three.LineBasicMaterial({ transparent: true, opacity: 0.8 });
  const plain = new three.MeshBasicMaterial({ vertexColors: true, side: twoSided ? three.DoubleSide : three.FrontSide });
  const nothing = new three.MeshBasicMaterial({ side: three.BackSide, color: 0x000000 });
  const fine = new three.Mesh(geometry, skin);
  const inside = new three.Mesh(geometry, metal); // of the far wall: seen only where the part is cut open
  const section = new three.Mesh(square(three), face); // in the plane of the cut, wherever the inside is seen: it hides what lies behind
  section.renderOrder = 1;
  const edge = new three.LineSegments(new three.BufferGeometry(), new three.LineBasicMaterial()); // round the section
  inside.visible = section.visible = edge.visible = false;
  const lines = new three.LineSegments(new three.BufferGeometry().setAttribute("position", new three.BufferAttribute(picture.lines, 3)), ink);
  const faint = new three.LineBasicMaterial({ transparent: true, opacity: 0.35 });
  const away = new three.LineSegments(lines.geometry, faint); // what the cut takes away, in outline
  away.visible = false;
  const found = [new three.Mesh(shaped(number), plain), ...(twoSided ? [] : [new three.Mesh(geometry, nothing)])];
  const coarse = coarseOf(three, picture);
  const shown = [fine, inside, section, edge, lines, away, ...(coarse ? [coarse.mesh] : [])];

  head.groups.forEach((g, i) => {
    const id = names.indexOf(g.feature) + 1;
    for (let k = starts[i]; k < starts[i + 1]; k += 1) number.array.set([id & 255, id >> 8], 3 * k);
  });

  const colour = new three.Color();
  const towards = new three.Color();
  /** @type {string[]} */
  const painted = [];
  /**
   * Colour the groups by state; what is chosen or hovered stands out. Only what changed is sent to the card.
   * @param {Set<string>} chosen
   * @param {string | null} hovered
   */
  function paint(chosen, hovered) {
    shade.clearUpdateRanges();
    head.groups.forEach((g, i) => {
      const lit = chosen.has(g.feature) ? LIT.chosen : g.feature === hovered ? LIT.hovered : 0;
      const is = `${colours[g.state] ?? UNKNOWN} ${lit}`;
      if (painted[i] === is) return;
      painted[i] = is;
      colour.set(colours[g.state] ?? UNKNOWN);
      colour.lerp(towards.set(colour.g > 0.45 ? "#000000" : "#ffffff"), colour.g > 0.45 ? lit / 2 : lit);
      for (let k = starts[i]; k < starts[i + 1]; k += 1) colour.toArray(shade.array, 3 * k);
      shade.addUpdateRange(3 * starts[i], 3 * (starts[i + 1] - starts[i]));
    });
    shade.needsUpdate = true;
    head.few.runs.forEach((run, i) => coarse?.materials[i].color.set(colours[run.state] ?? UNKNOWN));
  }

  /** @type {Map<number, {area: number, box: import("../vendor/three/three.min.js").Box3}>} */
  const reaches = new Map();
  /** The area of a feature's triangles and the box around them. @param {number} name its place among the names */
  function reach(name) {
    const known = reaches.get(name);
    if (known) return known;
    const [a, b, c] = [new three.Vector3(), new three.Vector3(), new three.Vector3()];
    const made = { area: 0, box: new three.Box3() };
    for (const g of head.groups.filter((one) => one.feature === names[name])) {
      for (let i = 3 * g.start; i < 3 * (g.start + g.count); i += 3) {
        [a, b, c].forEach((corner, k) => { made.box.expandByPoint(corner.fromArray(points, 3 * corners[i + k])); });
        made.area += b.sub(a).cross(c.sub(a)).length() / 2;
      }
    }
    reaches.set(name, made);
    return made;
  }

  /** Some hundred points strewn over the part and its farthest ones, by which it is fitted into the picture. */
  const few = [...Array.from({ length: 800 }, (_, i) => Math.floor((((i + 0.5) * GOLDEN) % 1) * (points.length / 3))), ...farthest(points)]
    .map((i) => new three.Vector3().fromArray(points, 3 * i));

  const radius = Math.max(box.getSize(new three.Vector3()).length() / 2, 1e-6);
  section.scale.setScalar(radius);

  return {
    head, names, box, few, shown, found, coarse, ink, reach, radius, paint,
    /** @param {string} metalColour @param {string} inkColour @param {string} softColour */
    theme(metalColour, inkColour, softColour) {
      metal.color.set(metalColour);
      face.color.set(metalColour);
      ink.color.set(inkColour);
      edge.material.color.set(inkColour);
      faint.color.set(softColour);
    },
    /** @param {Plane[]} planes */
    clip(planes) {
      away.visible = planes.length > 0;
      faint.clippingPlanes = planes.map((plane) => plane.clone().negate());
      inside.visible = section.visible = edge.visible = planes.length > 0 && !twoSided;
      for (const plane of planes) {
        plane.projectPoint(box.getCenter(section.position), section.position);
        section.quaternion.setFromUnitVectors(new three.Vector3(0, 0, 1), plane.normal);
        edge.geometry.dispose();
        edge.geometry = new three.BufferGeometry().setAttribute("position", new three.BufferAttribute(crossed(points, corners, plane), 3));
      }
      for (const material of [skin, metal, ink, plain, nothing, ...(coarse?.materials ?? [])]) material.clippingPlanes = planes;
    },
    /** Draw the coarse part in the place of the whole one. @param {boolean} is @param {boolean} withLines */
    lighter(is, withLines) {
      if (!coarse) return;
      coarse.mesh.visible = is;
      fine.visible = !is;
      lines.visible = !is || withLines;
    },
    /** @param {Record<string, string>} states of features, for pictures whose groups are whole features */
    recolour(states) {
      for (const g of head.groups) if (states[g.feature]) g.state = states[g.feature];
    },
    dispose() {
      for (const { geometry: one, material } of [...shown, ...found]) {
        one.dispose();
        for (const m of /** @type {Material[]} */ ([material].flat())) m.dispose();
      }
    },
  };
}

/** What a surface writes into the stencil wherever it is the nearest. @param {number} what */
const marks = (what) => ({ stencilWrite: true, stencilRef: what, stencilZPass: /** @type {7681} */ (7681) }); // WebGL's REPLACE

/** A square from -1 to 1 across z. @param {Three} three */
function square(three) {
  const geometry = new three.BufferGeometry();
  geometry.setAttribute("position", new three.BufferAttribute(new Float32Array([-1, -1, 0, 1, -1, 0, 1, 1, 0, -1, 1, 0]), 3));
  return geometry.setIndex([0, 1, 2, 0, 2, 3]);
}

/**
 * Where a plane crosses the triangles: the two ends of each line.
 * @param {Float32Array} points @param {Uint32Array} corners @param {Plane} plane
 */
function crossed(points, corners, { normal: { x, y, z }, constant }) {
  const ends = [];
  const away = (/** @type {number} */ i) => x * points[3 * i] + y * points[3 * i + 1] + z * points[3 * i + 2] + constant;
  for (let t = 0; t < corners.length; t += 3) {
    for (let k = 0; k < 3; k += 1) {
      const [a, b] = [corners[t + k], corners[t + ((k + 1) % 3)]];
      const [from, to] = [away(a), away(b)];
      if ((from < 0) === (to < 0)) continue;
      const share = from / (from - to);
      for (let axis = 0; axis < 3; axis += 1) ends.push(points[3 * a + axis] + share * (points[3 * b + axis] - points[3 * a + axis]));
    }
  }
  return new Float32Array(ends);
}

/** The points that lie farthest along the axes and between them. @param {Float32Array} points */
function farthest(points) {
  const found = [];
  for (let k = 0; k < 27; k += 1) {
    const [x, y, z] = [k % 3 - 1, (Math.floor(k / 3) % 3) - 1, Math.floor(k / 9) - 1];
    let [most, best] = [-Infinity, 0];
    for (let i = 0; i < points.length; i += 3) {
      const far = x * points[i] + y * points[i + 1] + z * points[i + 2];
      if (far > most) [most, best] = [far, i / 3];
    }
    found.push(best);
  }
  return found;
}

/**
 * The part in few triangles, drawn while it is being turned.
 * @param {Three} three
 * @param {import("./read_picture.js").Picture} picture
 */
function coarseOf(three, { head, fewPoints, fewCorners }) {
  if (!fewCorners.length) return null;
  const geometry = new three.BufferGeometry();
  geometry.setAttribute("position", new three.BufferAttribute(fewPoints, 3));
  geometry.setIndex(new three.BufferAttribute(fewCorners, 1));
  const materials = head.few.runs.map(({ start, count }, i) => {
    geometry.addGroup(3 * start, 3 * count, i);
    return new three.MeshLambertMaterial({ flatShading: true, side: three.DoubleSide, ...marks(SURFACE) });
  });
  const mesh = new three.Mesh(geometry, materials);
  mesh.visible = false;
  return { mesh, materials };
}
