// The figures that stay in sight, each with how far it can be trusted: current, updating, out of date, impossible.

import { bounds, figures, quantity, spelled } from "./show.js";
import { coatingSaid } from "./way.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./plan_keeper.js").PlanKeeper} PlanKeeper */
/** @typedef {"current" | "working" | "old" | "impossible"} Trust */
/**
 * @typedef {object} Shown a figure as the strip shows it; how: what "how?" opens
 * @property {string} key
 * @property {string} name
 * @property {string} value
 * @property {string} says its range, or why it cannot be trusted
 * @property {Trust} trust
 * @property {{name: string, chain: Doc.Link[]} | null} how
 */

const NAMES = { current: "Set the current to", area: "Wetted area", time: "Time", "voltage-supply": "Volts at the end", cathode: "Cathode area facing the part" };
const SETTINGS = ["current", "time", "voltage-supply"]; // a run that cannot be has none of these
const ENDS = ["time", "voltage-supply"]; // told once it is said how thick the coating is to be
const WORDS = { working: "updating …", old: "out of date" };

/**
 * @param {Desk} desk
 * @param {PlanKeeper} keeper
 * @returns {Shown[]}
 */
export function figuresOf(desk, keeper) {
  const { answer } = desk.bench;
  const plan = keeper.plan;
  return Object.keys(NAMES).flatMap(/** @returns {Shown[]} */ (key) => {
    const name = /** @type {Record<string, string>} */ (NAMES)[key];
    const planned = plan?.figures[key === "cathode" ? "cathode-face" : key];
    const figure = answer.figures[key];
    const trust = trustOf(desk, keeper, key);
    if (trust.is === "impossible") return [{ key, name, value: "none", says: trust.why, trust: trust.is, how: null }];
    if ((!planned && !figure) || (ENDS.includes(key) && !coatingSaid(desk.bench.settings.tables))) return [];
    const found = planned ?? figure;
    const told = key === "area" ? null : planned; // an area has the same digits before the plan and in it
    const value = valueOf(key, found, told);
    const range = told ? rangeOf(key, plan, told, desk.bench.fields?.["supply current"]) : ranged(key, found);
    const less = key === "current" && !planned && answer.warnings.some((w) => w.code === "long-bore") ? "; long bores take less: the plan sets it" : "";
    const called = less ? "Current, about" : name;
    return [{ key, name: called, value, says: trust.why || (range || "exact") + less, trust: trust.is, how: { name: called, chain: found.chain } }];
  });
}

/** @param {string} key @param {Doc.Plan | null} plan @param {Doc.PlanFigure} figure @param {Doc.Field | undefined} supply */
function rangeOf(key, plan, figure, supply) {
  const [least, most] = [plan?.figures["current-least"], plan?.figures["current-most"]];
  if (key === "current" && plan?.faults.some((fault) => fault.kind === "volts hold the current down")) {
    return "the power supply's volts drive less: see the plan";
  }
  if (key === "current" && least && most) {
    const gives = supply ? Number(supply.number) * (supply.unit === "mA" ? 0.001 : 1) : Infinity;
    const ends = gives >= least.low && gives < most.high;
    return `least ${amperes(least.low)}, most ${ends ? `${supply?.number} ${supply?.unit}, all that the power supply gives` : amperes(most.high)}`;
  }
  const hung = key === "cathode" && plan?.figures["cathode-hung"];
  return [spelled(figure.bounds), hung ? `yours ${spelled(hung.text)}` : ""].filter(Boolean).join("; ");
}

/** A figure in words; the cathodes are for the most that the area may be, as the plan's rule has it. @param {string} key @param {Doc.Figure} figure @param {Doc.PlanFigure | null | undefined} told */
function valueOf(key, { value, high, unit }, told) {
  if (key === "current") return amperes(value);
  if (key === "cathode") return quantity(high, unit, 3);
  return told ? spelled(told.text) : quantity(value, unit);
}

/** A current in three figures, its last naught too: 1.50 A between 1.36 and 1.65. @param {number} value */
export const amperes = (value) => `${value >= 1 && value < 100 ? value.toPrecision(3) : figures(value, 3)} A`;

/** @param {string} key @param {Doc.Figure} figure */
function ranged(key, figure) {
  const range = bounds(figure.low, figure.high, figure.unit, key === "current" ? 3 : 4, true);
  return key === "current" && range ? `least ${range.replace(" to ", ", most ")}` : range;
}

/**
 * How far a figure can be trusted, and why not wholly.
 * @param {Desk} desk
 * @param {PlanKeeper} keeper
 * @param {string} key
 * @returns {{is: Trust, why: string}}
 */
function trustOf(desk, keeper, key) {
  const { answer, settings } = desk.bench;
  const set = SETTINGS.includes(key);
  if (desk.lost) return { is: "old", why: WORDS.old };
  if (desk.busy || (keeper.wanted && !keeper.current && (set || key === "cathode"))) {
    return { is: "working", why: answer.first_look.length && key === "area" ? "a first look, updating …" : WORDS.working };
  }
  const stop = keeper.plan && !keeper.plan.can_run ? keeper.plan.faults.find((x) => x.weight === "stops") : null;
  if (keeper.plan && !keeper.plan.can_run && set) {
    return { is: "impossible", why: key === "current" ? `cannot be run as asked${stop ? `: ${spelled(stop.text)}` : ""}` : "no such run" };
  }
  if (desk.wrong.has("density") && set) return { is: "old", why: `${WORDS.old}: still for '${settings.density}'` };
  if (answer.without?.length) return { is: "current", why: `without ${answer.without.join(", ")}` };
  return { is: "current", why: "" };
}
