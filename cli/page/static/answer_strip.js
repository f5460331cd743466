// The answer that stays in sight: what to set, and how each figure was worked out.

import { bounds, h, plain, quantity } from "./show.js";

const NAMES = { current: "Set the current to", area: "Wetted area", cathode: "Cathode face", time: "Time" };

export function showAnswer(answer, plan) {
  const place = document.getElementById("answer");
  const stale = answer.updating.length > 0;
  const figures = Object.fromEntries(Object.entries(answer.figures).map(([key, figure]) => [key, { ...figure, stale }]));
  if (plan) {
    for (const [ours, theirs] of [["current", "current"], ["cathode", "cathode-face"], ["time", "time"]]) {
      if (plan.figures[theirs]) figures[ours] = planned(plan, theirs);
    }
  }
  const held = document.activeElement?.dataset?.figure;
  const tiles = Object.keys(NAMES).filter((key) => figures[key]).map((key) => tile(key, figures[key], answer.first_look.length > 0));
  const warning = worst(answer, plan);
  place.replaceChildren(
    ...tiles,
    ...(tiles.length ? [] : [h("p", { class: "missing" }, answer.missing)]),
    ...(warning ? [h("p", { class: `warning ${warning.weight}` }, plain(warning.text),
      warning.more > 0 && h("span", { class: "soft" }, ` and ${warning.more} more below`))] : []),
  );
  tell(figures.current);
  if (held) place.querySelector(`[data-figure="${held}"]`)?.focus();
}

let telling = 0;
/** The new current for those who hear the page, once it has settled. */
function tell(current) {
  clearTimeout(telling);
  telling = setTimeout(() => {
    const place = document.getElementById("told");
    const words = current ? `Set the current to ${quantity(current.value, current.unit, 3)}` : "";
    if (place.textContent !== words) place.textContent = words;
  }, 400);
}

/** A plan's figure in the shape of the answer's. */
function planned(plan, name) {
  const figure = plan.figures[name];
  const chain = figure.chain.map(([depth, title, value, formula, source, because]) => (
    { depth, name: title, text: value, formula, source, because }));
  if (name !== "current") return { ...figure, chain, stale: plan.stale };
  return { ...figure, stale: plan.stale, low: plan.figures["current-least"].value, high: plan.figures["current-most"].value, chain };
}

function worst(answer, plan) {
  const faults = (plan?.faults ?? []).filter((x) => x.weight !== "watch");
  const harms = answer.warnings.filter((x) => x.weight === "harms");
  const all = [...faults, ...(plan ? [] : harms)];
  const watched = plan?.faults ?? answer.warnings;
  const first = all[0] ?? watched.find((x) => x.code === "first-look") ?? watched.find((x) => x.code === "hanging-not-considered") ?? watched[0];
  if (!first) return null;
  return { weight: all.length ? "harms" : "note", text: first.text, more: Math.max(all.length, 1) - 1 };
}

function tile(key, figure, first) {
  const between = bounds(figure.low, figure.high, figure.unit, key === "current" ? 3 : 4, true);
  const range = key === "current" && between ? `least ${between.replace(" to ", ", most ")}` : between;
  return h("button", {
    type: "button", class: `tile ${key}`, "data-figure": key, onclick: () => explain(NAMES[key], figure),
  },
  h("span", { class: "name" }, NAMES[key]),
  h("strong", {}, quantity(figure.value, figure.unit, key === "current" ? 3 : 4)),
  h("span", { class: "range" }, figure.stale ? "of before; being worked out again" : first ? "a first look; bounds are coming" : range || "exact"),
  h("span", { class: "how" }, "how?"));
}

/** The chain of formulas and sources behind a figure. */
export function explain(title, figure) {
  const dialog = document.getElementById("worked");
  dialog.replaceChildren(
    h("form", { method: "dialog" },
      h("h2", { id: "worked-title" }, `${title}: how this was worked out`),
      h("ul", { class: "chain", tabIndex: 0, "aria-label": "The chain of figures" }, figure.chain.map(link)),
      h("button", { autofocus: true }, "Close")),
  );
  dialog.showModal();
}

function link(each) {
  const range = each.text ? "" : bounds(each.low, each.high, each.unit, 4);
  const value = each.text ?? quantity(each.value, each.unit, 4) + (range ? ` (${range})` : "");
  return h("li", { class: `depth-${Math.min(each.depth, 6)}` },
    h("strong", {}, each.name), ` ${value}`,
    h("span", { class: "soft" }, ` = ${each.formula}; ${each.source}`),
    each.because && h("span", { class: "soft" }, `; why least and most differ: ${each.because}`));
}
