// The coating that a shade needs, told where dye and shade are chosen, with the buttons that set it.

import { fill } from "./mend.js";
import { h, quantity, redraw, state } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */

const MICRONS = { um: 1, mil: 25.4 };

/** @param {Desk} desk */
export function shadeLine(desk) {
  const element = h("div", { class: "shade-line", id: "shade-line", role: "status" });
  desk.listen(() => {
    const { finish = {} } = desk.bench.settings.tables;
    const told = say(desk, finish);
    const { repeat: run, certainty } = finish;
    redraw(element, JSON.stringify([told, run, certainty, state.show]), () => [run ? h("p", { class: "soft" }, `Repeats ${run}: thickness, dye and certainty${certainty ? ` (now ${certainty})` : ""} were set to those of that run; what you type here wins. For another thickness set certainty too. `,
      h("button", { type: "button", class: "small", "data-act": "stop repeating", onclick: () => { fill(desk, { "finish.repeat": "" }); } }, "Stop repeating")) : "", h("p", { class: told.short ? "harms" : "soft" }, told.words),
      ...told.ways.map(([words, changes]) => h("button", { type: "button", class: "small", "data-act": words, onclick: () => { fill(desk, changes); } }, words))]);
  });
  return element;
}

/**
 * What is to be said, whether the coating is short of the shade, and the ways to set it.
 * @param {Desk} desk
 * @param {Record<string, string | number>} finish
 * @returns {{words: string, short: boolean, ways: [string, Record<string, string>][]}}
 */
function say(desk, { thickness, shade, dye }) {
  const { shades } = desk.catalogue;
  const named = String(dye ?? "").toLowerCase().split(/\s+/);
  const dyed = Object.keys(shades).reverse().find((name) => named.includes(name)); // the deepest that the dye's name holds
  const um = micronsOf(desk.bench.fields?.["finish thickness"]) ?? (thickness === undefined && shade ? shades[shade] : undefined);
  const wanted = dyed && shades[dyed] > (shade ? shades[shade] : 0) ? dyed : shade;
  if (!wanted) return { words: dye && dye !== "none" && um !== undefined ? taken(shades, um) : "", short: false, ways: [] };
  const needs = shades[wanted];
  /** @type {[string, Record<string, string>]} */
  const set = [`Set the thickness to ${coat(needs)}`, { "finish.thickness": `${needs} um`, "finish.shade": "" }];
  if (shade && thickness !== undefined) {
    const asked = um === undefined ? String(thickness) : coat(um);
    return { words: `A ${wanted} shade needs ${coat(needs)}, and the thickness says ${asked}: give one of the two.`, short: true,
      ways: [set, [`Keep ${asked}, no shade`, { "finish.shade": "" }]] };
  }
  const short = (um ?? shades.dark) < needs; // a load that says neither is planned for a dark shade
  return { words: `A ${wanted} shade needs ${coat(needs)}${short ? `; this load is planned for ${coat(um ?? shades.dark)}, and comes out paler` : ""}.`, short, ways: short ? [set] : [] };
}

const coat = (/** @type {number} */ microns) => quantity(microns, "um", 3);

/** What a coating takes of a dye whose name tells no shade. @param {Record<string, number>} shades @param {number} um */
function taken(shades, um) {
  const names = Object.keys(shades);
  const takes = names.filter((name) => shades[name] <= um).at(-1);
  const deeper = names.find((name) => shades[name] > um);
  return `${coat(um)} ${takes ? `takes a ${takes} shade` : "is too thin to dye well"}${deeper ? `; ${deeper} needs ${coat(shades[deeper])}` : ""}.`;
}

/** A thickness in micrometres. @param {Doc.Field | undefined} field */
function micronsOf(field) {
  const value = Number(field?.number) * (/** @type {Record<string, number>} */ (MICRONS)[field?.unit ?? ""] ?? NaN);
  return Number.isFinite(value) ? value : undefined;
}
