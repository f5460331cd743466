// The bytes of a part's picture, as view_file.py lays them out.

/**
 * @typedef {{feature: string, state: string, start: number, count: number}} Group a run of corners
 * @typedef {{points: number, triangles: number, lines: number, groups: Group[],
 *   few: {points: number, triangles: number, runs: {state: string, start: number, count: number}[]},
 *   labels: Record<string, [number, number, number]>}} Head
 * @typedef {{head: Head, points: Float32Array, corners: Uint32Array, lines: Float32Array,
 *   fewPoints: Float32Array, fewCorners: Uint32Array}} Picture
 */

/**
 * Take apart the bytes of a picture.
 * @param {ArrayBuffer} buffer
 * @returns {Picture}
 */
export function readPicture(buffer) {
  const length = new DataView(buffer).getUint32(0, true);
  /** @type {Head} */
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length)));
  let at = 4 + length;
  /** @param {number} count */
  const floats = (count) => {
    const array = new Float32Array(buffer, at, count);
    at += array.byteLength;
    return array;
  };
  /** @param {number} count */
  const whole = (count) => {
    const array = new Uint32Array(buffer, at, count);
    at += array.byteLength;
    return array;
  };
  return {
    head,
    points: floats(head.points * 3),
    corners: whole(head.triangles * 3),
    lines: floats(head.lines * 6),
    fewPoints: floats(head.few.points * 3),
    fewCorners: whole(head.few.triangles * 3),
  };
}

/**
 * The picture with no point shared between groups, each group's points one after the other, so that a group is coloured
 * by its run of points: `starts` says where each begins, and where the last ends.
 * @param {Picture} picture
 */
export function parted({ head, points, corners }) {
  const owner = new Int32Array(points.length / 3).fill(-1);
  const place = new Uint32Array(points.length / 3);
  const own = new Uint32Array(corners.length);
  /** @type {number[]} */
  const from = [];
  const starts = [0];
  head.groups.forEach(({ start, count }, group) => {
    for (let i = 3 * start; i < 3 * (start + count); i += 1) {
      const point = corners[i];
      if (owner[point] !== group) {
        owner[point] = group;
        place[point] = from.length;
        from.push(point);
      }
      own[i] = place[point];
    }
    starts.push(from.length);
  });
  const places = new Float32Array(3 * from.length);
  from.forEach((point, i) => {
    for (let k = 0; k < 3; k += 1) places[3 * i + k] = points[3 * point + k];
  });
  return { points: places, corners: own, starts };
}
