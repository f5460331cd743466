// The words of a sketch and the rows of its tables: each is made of the other.

const UNIT_MM = { mm: 1, cm: 10, m: 1000, in: 25.4, '"': 25.4, ft: 304.8, um: 0.001 };

/** A length word (12, 12.5, 1/2, 1-1/2, 3mm) in the sketch's unit; null where it is none. */
export function lengthOf(word, unit) {
  const found = /^(?:(\d+)-)?(\d+(?:[.,]\d*)?|[.,]\d+)(?:\/(\d+))?([a-z"]*)$/i.exec((word ?? "").trim().replace(/^-/, ""));
  if (!found) return null;
  const own = found[4] ? UNIT_MM[found[4].toLowerCase()] : UNIT_MM[unit];
  if (!own) return null;
  const top = Number(found[2].replace(",", "."));
  const value = Number(found[1] ?? 0) + (found[3] ? top / Number(found[3]) : top);
  if (!Number.isFinite(value)) return null;
  return (word.trim().startsWith("-") ? -value : value) * (own / UNIT_MM[unit]);
}

/** A row of the outside: {at, across, corner: ""|"r"|"c", size, line: ""|"arc"|"thread"|"knurl", detail}. */
export function rowOf(words) {
  const [at = "", across = "", ...rest] = words.trim().split(/\s+/).filter(Boolean);
  const row = { at, across, corner: "", size: "", line: "", detail: "" };
  while (rest.length) {
    const word = rest.shift();
    const low = word.toLowerCase();
    if (/^[rc][\d.,]/.test(low)) [row.corner, row.size] = [low[0], word.slice(1)];
    else if (low === "fillet" || low === "chamfer") [row.corner, row.size] = [low === "fillet" ? "r" : "c", rest.shift() ?? ""];
    else if (low === "arc" || low === "thread" || low === "knurl") {
      row.line = low;
      const detail = [];
      if (low === "arc" && /^cent(re|er)$/i.test(rest[0] ?? "")) detail.push(...rest.splice(0, 3));
      else if (rest.length) detail.push(rest.shift());
      const more = low === "arc" ? /^(in|out|large|small|cw|ccw)$/i : low === "thread" ? /^(UNC|UNF|UNEF|UN)$/i : /^$/;
      while (rest.length && more.test(rest[0])) detail.push(rest.shift());
      row.detail = detail.join(" ");
    } else row.detail = `${row.detail} ${word}`.trim();
  }
  return row;
}

/** The words of a row; "" for one that is still empty. */
export function wordsOf(row) {
  const parts = [row.at.trim(), row.across.trim()];
  if (!parts.some(Boolean)) return "";
  if (row.corner && row.size.trim()) parts.push(row.corner + row.size.trim());
  if (row.line && row.detail.trim()) parts.push(row.line, row.detail.trim());
  return parts.filter(Boolean).join(" ");
}

const TAIL = /\s+(flat|drill\s+\S+|chamfer\s+\S+|c[\d./]\S*)$/i;

/** A bore: {side, steps: [{across, deep, thread}], end: "point"|"flat", angle, chamfer}. */
export function boreOf(words) {
  let text = words.trim();
  const head = /^(through\s+(?:left|right)|through|left|right)\b\s*/i.exec(text);
  const bore = { side: head ? head[1].toLowerCase().replace(/\s+/, " ") : "left", steps: [], end: "point", angle: "118", chamfer: "" };
  text = ` ${text.slice(head ? head[0].length : 0)}`;
  for (let tail = TAIL.exec(text); tail; tail = TAIL.exec(text)) {
    text = text.slice(0, tail.index);
    const [word, value] = tail[1].toLowerCase().split(/\s+/);
    if (word === "flat") bore.end = "flat";
    else if (word === "drill") bore.angle = value.replace("°", "");
    else bore.chamfer = value ?? word.slice(1);
  }
  for (const part of text.split(",").map((x) => x.trim()).filter(Boolean)) {
    const [, across = "", deep = "", thread = ""] = /^(\S+?)\s*(?:[x×]\s*(\S+))?(?:\s+thread\s+(.+))?$/i.exec(part) ?? [null, part];
    bore.steps.push({ across, deep, thread });
  }
  if (!bore.steps.length) bore.steps.push({ across: "", deep: "", thread: "" });
  return bore;
}

export function boreWords(bore) {
  const steps = bore.steps.filter((s) => s.across.trim() || s.deep.trim()).map((s) => (
    [s.across.trim(), s.deep.trim() && `x ${s.deep.trim()}`, s.thread.trim() && `thread ${s.thread.trim()}`].filter(Boolean).join(" ")));
  const through = bore.side.startsWith("through");
  const end = through ? "" : bore.end === "flat" ? "flat" : bore.angle.trim() && `drill ${bore.angle.trim()}`;
  return [bore.side, steps.join(", "), end, bore.chamfer.trim() && `chamfer ${bore.chamfer.trim()}`].filter(Boolean).join(" ");
}
