// Elements made without markup in strings, and figures put into words.

/** @typedef {Node | string | number | null | undefined | false} Child */

/**
 * h("button", {type: "button", onclick}, "text", child): an element; empty children are left out.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Record<string, any>} props
 * @param {...(Child | Child[])} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function h(tag, props = {}, ...children) {
  const element = document.createElement(tag);
  for (const [key, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (key === "class") element.className = value;
    else if (key in element && !key.startsWith("aria") && key !== "list") Object.assign(element, { [key]: value });
    else element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...kept(children));
  return element;
}

/**
 * An SVG element.
 * @param {string} tag
 * @param {Record<string, any>} props
 * @param {...(Child | Child[])} children
 * @returns {SVGElement}
 */
export function s(tag, props = {}, ...children) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [key, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else element.setAttribute(key, value);
  }
  element.append(...kept(children));
  return element;
}

/** @param {(Child | Child[])[]} children @returns {(Node | string)[]} */
function kept(children) {
  const list = /** @type {Child[]} */ (children.flat());
  return list.filter((c) => c !== null && c !== undefined && c !== false).map((c) => (typeof c === "number" ? String(c) : c));
}

/** An element of index.html. @param {string} id @returns {HTMLElement} */
export function get(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no ${id}`);
  return found;
}

/** A number with so many significant figures and no exponent. @param {number} value @param {number} count */
export function figures(value, count) {
  if (value === 0 || !Number.isFinite(value)) return value === 0 ? "0" : "-";
  const number = Number(value.toPrecision(count));
  if (Math.abs(number) >= 1e15 || Math.abs(number) < 1e-9) return number.toExponential(2);
  const places = Math.max(0, count - 1 - Math.floor(Math.log10(Math.abs(number))));
  return number.toFixed(Math.min(places, 12)).replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "");
}

/** @type {{show: "mm" | "in"}} */
export const state = { show: "mm" };

/** @type {Record<"mm" | "in", Record<string, [number, string]>>} */
const SHOWN = {
  mm: { mm2: [0.01, "cm²"], mm3: [0.001, "cm³"], mm: [1, "mm"], s: [1 / 60, "min"] },
  in: { mm2: [1 / 645.16, "in²"], mm3: [1 / 16387.064, "in³"], mm: [1 / 25.4, "in"], um: [1 / 25.4, "mil"], s: [1 / 60, "min"] },
};
/** @type {Record<string, string>} */
const SPELLED = { "A/dm2": "A/dm²", "A/ft2": "A/ft²", "mA/in2": "mA/in²", mm2: "mm²", cm2: "cm²", in2: "in²", m3: "m³", ft3: "ft³",
  C: "°C", F: "°F", um: "µm", deg: "°" };

/** A unit with the signs of print. @param {string} unit */
export const unitSign = (unit) => SPELLED[unit] ?? unit;

/** @type {Record<string, string>} */
const TITLES = { supply: "Power supply" };
/** What a table of the load is called here. @param {string} table */
export const titleOf = (table) => TITLES[table] ?? (table[0].toUpperCase() + table.slice(1)).replaceAll("_", " ");
/** What the server says, with the signs of print. @param {string} text */
export function spelled(text) {
  return text.replace(/\b(ft|in|mm|cm|dm|m)([23])\b/g, (_, unit, power) => unit + (power === "2" ? "²" : "³"))
    .replace(/(\d) ([CF])\b/g, "$1 °$2").replace(/\bum\b/g, "µm");
}

/** A figure's factor and unit as people read it. @param {string} unit @returns {[number, string]} */
export function shown(unit) {
  return SHOWN[state.show][unit] ?? [1, unitSign(unit)];
}

/** "12.3 cm²" of a figure in its canonical unit. @param {number} value @param {string} unit @param {number} count */
export function quantity(value, unit, count = 4) {
  const [factor, name] = shown(unit);
  return `${figures(value * factor, count)} ${name}`.trim();
}

/**
 * "12.1 to 12.5", with the unit if asked and digits enough to part them; "" where both are one.
 * @param {number} low
 * @param {number} high
 * @param {string} unit
 */
export function bounds(low, high, unit, count = 4, named = false) {
  const [factor, name] = shown(unit);
  if (high - low <= 1e-6 * Math.abs(high)) return ""; // nothing measures it
  let [a, b] = ["", ""];
  for (let digits = count; a === b && digits < 12; digits += 1) {
    [a, b] = [figures(low * factor, digits), figures(high * factor, digits)];
  }
  return `${a} to ${b}${named ? ` ${name}` : ""}`;
}

/** A sentence of the command line without its dashes. @param {string} text */
export function plain(text) {
  return text.replace(/--([a-z][a-z-]*)/g, "$1");
}

/** What a note says, in the units shown. @param {Doc.Note} note */
export const noteWords = ({ text, us }) => spelled(plain(state.show === "in" ? us ?? text : text));

/** The area of a feature, cm² or in², bare. @param {number} mm2 */
export const areaCell = (mm2) => figures(mm2 * shown("mm2")[0], 4);
export const areaUnit = () => shown("mm2")[1];

/** A length, bare. @param {number | null | undefined} mm */
export const lengthCell = (mm) => (mm === null || mm === undefined ? "" : figures(state.show === "mm" ? mm : mm / 25.4, 4));

/**
 * Say a line to everyone, the screen reader too; with a button where something can be done about it.
 * @param {string} line
 * @param {"note" | "harms"} weight
 * @param {{words: string, do: () => void} | null} action
 */
export function say(line, weight = "note", action = null) {
  const place = get("say");
  place.replaceChildren(
    h("p", { class: weight }, h("span", {}, line), action && h("button", { type: "button", class: "small", onclick: action.do }, action.words),
      h("button", { type: "button", class: "plain", "aria-label": "Close this line", onclick: () => { place.replaceChildren(); } }, "✕")),
  );
  clearTimeout(silence);
  if (weight === "note" && !action) silence = setTimeout(() => { place.replaceChildren(); }, 12000);
}
let silence = 0;

/** Replace what an element holds only where it changed, so that focus and selection stay. @param {HTMLElement} element @param {string} key @param {() => (Child | Child[])[]} made */
export function redraw(element, key, made) {
  element.dataset.wanted = key;
  if (element.dataset.drawn === key) return;
  if (element.matches(":active")) { // drawn again under a finger, what is pressed would be gone before it is let go
    setTimeout(() => { if (element.dataset.wanted === key) redraw(element, key, made); }, 50);
    return;
  }
  element.dataset.drawn = key;
  const held = element.contains(document.activeElement) ? /** @type {HTMLElement} */ (document.activeElement).dataset.act : undefined;
  element.replaceChildren(...kept(made()));
  if (held) /** @type {HTMLElement | null} */ (element.querySelector(`[data-act="${CSS.escape(held)}"]`))?.focus();
}
