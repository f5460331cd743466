// Elements made without markup in strings, and figures put into words.

/** h("button", {type: "button", onclick}, "text", child): an element; null children are left out. */
export function h(tag, props = {}, ...children) {
  const element = document.createElement(tag);
  for (const [key, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (key === "class") element.className = value;
    else if (key in element && !key.startsWith("aria") && key !== "list") element[key] = value;
    else element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...children.flat().filter((c) => c !== null && c !== undefined && c !== false));
  return element;
}

/** An SVG element. */
export function s(tag, props = {}, ...children) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [key, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else element.setAttribute(key, value);
  }
  element.append(...children.flat().filter((c) => c !== null && c !== undefined));
  return element;
}

/** A number with so many significant figures and no exponent. */
export function figures(value, count) {
  if (value === 0 || !Number.isFinite(value)) return value === 0 ? "0" : "-";
  const text = Number(value.toPrecision(count));
  if (Math.abs(text) >= 1e15 || Math.abs(text) < 1e-9) return text.toExponential(2);
  const places = Math.max(0, count - 1 - Math.floor(Math.log10(Math.abs(text))));
  return text.toFixed(Math.min(places, 12)).replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "");
}

export const state = { show: "mm" };

const SHOWN = {
  mm: { mm2: [0.01, "cm²"], mm3: [0.001, "cm³"], mm: [1, "mm"], s: [1 / 60, "min"] },
  in: { mm2: [1 / 645.16, "in²"], mm3: [1 / 16387.064, "in³"], mm: [1 / 25.4, "in"], um: [1 / 25.4, "mil"], s: [1 / 60, "min"] },
};
const SPELLED = { "A/dm2": "A/dm²", mm2: "mm²", C: "°C", um: "µm" };

/** A quantity as the server words it, with the signs of print. */
export function spelled(text) {
  return text.replace(/(ft|in)([23])\b/g, (_, unit, power) => unit + (power === "2" ? "²" : "³")).replace(/ F$/, " °F");
}

/** A figure's factor and unit as people read it. */
export function shown(unit) {
  return SHOWN[state.show][unit] ?? [1, SPELLED[unit] ?? unit];
}

/** "12.3 cm²" of a figure in its canonical unit. */
export function quantity(value, unit, count = 4) {
  const [factor, name] = shown(unit);
  return `${figures(value * factor, count)} ${name}`.trim();
}

/** "12.1 to 12.5", with the unit if asked and digits enough to part them; "" where both are one. */
export function bounds(low, high, unit, count = 4, named = false) {
  const [factor, name] = shown(unit);
  if (high - low <= 1e-9 * Math.abs(high)) return "";
  let [a, b] = ["", ""];
  for (let digits = count; a === b && digits < 12; digits += 1) {
    [a, b] = [figures(low * factor, digits), figures(high * factor, digits)];
  }
  return `${a} to ${b}${named ? " " + name : ""}`;
}

/** A sentence of the command line without its dashes. */
export function plain(text) {
  return text.replace(/--([a-z][a-z-]*)/g, "$1");
}

/** The area of one feature: mm² or in², bare. */
export function areaCell(value) {
  return state.show === "mm" ? figures(value, 5) : figures(value / 645.16, 5);
}

export function lengthCell(value) {
  return value === null || value === undefined ? "" : figures(state.show === "mm" ? value : value / 25.4, 4);
}

let silence;
/** Say a line to everyone, the screen reader too; with a button where something can be done about it. */
export function say(line, weight = "note", action = null) {
  const place = document.getElementById("say");
  place.replaceChildren(
    h("p", { class: weight }, line, " ", action && h("button", { type: "button", onclick: action.do }, action.words),
      h("button", { type: "button", class: "plain", "aria-label": "Close this line", onclick: () => place.replaceChildren() }, "✕")),
  );
  clearTimeout(silence);
  if (weight === "note") silence = setTimeout(() => place.replaceChildren(), 12000);
}
