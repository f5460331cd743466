// The logbook: a line for each run, with its pictures, what came out, its remark, and the run struck out or repeated.

import * as api from "./api.js";
import { withValues } from "./fields.js";
import { h, quantity, redraw, say, spelled } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */

const LISTED = 12;
const OVER = ["current", "time", "coating", "start-volts", "end-volts", "acid", "aluminium", "temperature"];

/** A number as typed, with the unit that its field names. @param {string} words @param {string} unit */
export const withUnit = (words, unit) => (/^[\d.,]+$/.test(words) ? `${words} ${unit}` : words);

/** What was measured and seen on the parts, and a remark: for a run in the logbook.
 * @param {Desk} desk @param {{number: number, remark: string}} run @param {(runs: Doc.Run[]) => void} kept */
export function resultForm(desk, { number, remark }, kept) {
  const unit = desk.bench.settings.show === "in" ? "mil" : "um";
  const coating = h("input", { name: "coating", inputMode: "decimal", size: 6 });
  const colour = h("input", { name: "colour", size: 12 });
  const judged = h("select", { name: "judged" }, ["", "good", "bad"].map((each) => h("option", { value: each }, each)));
  const words = h("input", { name: "remark", value: remark, size: 24 });
  const refused = h("p", { class: "harms", role: "alert" });
  /** @param {Event} e */
  async function send(e) {
    e.preventDefault();
    coating.removeAttribute("aria-invalid");
    refused.textContent = "";
    try {
      const found = await api.changeRun(number, { coating: withUnit(coating.value.trim(), unit), colour: colour.value.trim(), judged: judged.value, remark: words.value.trim() });
      say(`Written down with run ${number}.`);
      kept(found.runs);
    } catch (bad) {
      const { error, message } = /** @type {api.Refused} */ (bad);
      if (error.where === "coating") coating.setAttribute("aria-invalid", "true");
      refused.textContent = spelled(message);
    }
  }
  return h("form", { class: "row result", onsubmit: send }, h("label", {}, `coating measured, ${spelled(unit)} `, coating), h("label", {}, "shade ", colour),
    h("label", {}, "parts ", judged), h("label", {}, "remark ", words), h("button", {}, "Keep"), refused);
}

/** @param {Desk} desk */
export function logbookList(desk) {
  const list = h("ul", { class: "notes runs" });
  const search = h("input", { id: "runs-with", type: "search", "aria-label": "Only runs with these words", placeholder: "a colour, a load, a date", oninput: () => { logged(all); } });
  const months = h("select", { id: "months", "aria-label": "One figure over the months", onchange: () => {
    if (months.value) window.open(`api/months/${months.value}`, "_blank", "noopener");
    months.value = "";
  } }, h("option", { value: "" }, "over the months …"), ...OVER.map((name) => h("option", { value: name }, name.replace("-", " "))));
  const finding = h("div", { class: "row" }, search, months);
  /** @type {Doc.Run[]} */
  let all = [];
  /** The run whose form is open. @type {number | null} */
  let open = null;
  /** The forms with what is typed in them, by run and unit. @type {Map<string, HTMLElement>} */
  const forms = new Map();

  async function look() {
    const found = await desk.attempt(api.runs);
    if (found) logged(found.runs);
  }

  /** @param {Doc.Run[]} runs */
  function logged(runs) {
    all = runs;
    finding.hidden = !runs.length;
    const wanted = search.value.toLowerCase().split(/\s+/).filter(Boolean);
    const found = runs.filter((run) => wanted.every((word) => told(run).includes(word))).slice(0, LISTED);
    redraw(list, JSON.stringify([found, open, desk.told && desk.bench.settings.show]), () => (found.length ? found.map(line)
      : [h("li", { class: "soft" }, runs.length ? "No such runs." : "No run is written down yet.")]));
  }

  /** @param {Doc.Run} run */
  function line(run) {
    const { number } = run;
    const words = [`Run ${number}, ${run.when.slice(0, 16).replace("T", " ")}, ${run.load}: `, came(run), run.remark && `; ${run.remark}`];
    return h("li", {}, run.struck ? h("s", {}, ...words) : h("span", {}, ...words), " ",
      h("a", { href: `api/runs/${number}/picture`, target: "_blank", rel: "noopener" }, "picture"), " ",
      h("a", { href: `api/runs/${number}/picture?kind=pdf`, target: "_blank", rel: "noopener" }, "to print"), " ",
      button("result, remark", () => { open = open === number ? null : number; logged(all); }), " ",
      run.struck || run.unfinished || !run.came.colour ? "" : button("repeat", () => { repeat(run); }, "The same coating, dye and times for the load on the bench"), " ",
      button(run.struck ? "struck out: put it back" : "strike out", () => { void strike(run); }),
      open === number && formOf(run));
  }

  /** The form of a run, as it was left. @param {Doc.Run} run */
  function formOf(run) {
    const key = `${run.number} ${desk.bench.settings.show}`;
    const form = forms.get(key) ?? resultForm(desk, run, (runs) => { open = null; forms.clear(); logged(runs); });
    forms.set(key, form);
    return form;
  }

  /** @param {string} words @param {() => void} act */
  const button = (words, act, title = "") => h("button", { type: "button", class: "plain", title, onclick: act }, words);

  /** @param {{number: number, struck: string}} run */
  async function strike({ number, struck }) {
    const found = await desk.attempt(() => api.changeRun(number, { struck: !struck }));
    if (!found) return;
    logged(found.runs);
    say(struck ? `Run ${number} counts again.` : `Run ${number} is struck out: it stays in the list and counts nowhere.`, "note",
      struck ? null : { words: "Put it back", do: () => { void strike({ number, struck: "yes" }); } });
  }

  /** The load on the bench gets what a run got. @param {Doc.Run} run */
  function repeat({ number, when, again: { thickness, certainty, density }, density_a_per_dm2: was, dye }) {
    const { least = 0, most = 0 } = desk.catalogue.windows.find(({ name }) => name === desk.bench.settings.density) ?? {};
    const isInside = least <= was && was <= most;
    const finish = { thickness, certainty, shade: "", repeat: `run ${number}`, ...(dye ? { dye } : {}) };
    const values = Object.fromEntries(Object.entries(finish).map(([key, value]) => [`finish.${key}`, value]));
    desk.set(({ tables }) => ({ ...(isInside ? {} : { density }), tables: withValues(tables, values) }));
    say(`The load on the bench now repeats run ${number} of ${when.slice(0, 10)}: its coating (${spelled(thickness)}), density, dye and times in dye and seal, with certainty ${certainty}: for another thickness set certainty too. Parts, rack and bath stay yours.`);
  }

  /** All that a run is found by. @param {Doc.Run} run */
  function told(run) {
    const out = run.results.flatMap((each) => [each.colour, each.fault, each.remark]);
    return [`run ${run.number}`, run.when, run.load, run.dye, run.shade, run.bath, run.remark, ...out].join(" ").toLowerCase();
  }

  /** What came of a run, in words. @param {Doc.Run} run */
  function came({ came: what, dye, results, planned_ah: planned, unfinished }) {
    if (unfinished) return "unfinished: nobody said yet that it ended";
    const found = results.flatMap((each) => [each.colour && `came out ${each.colour}`, each.judged, each.fault && `fault: ${each.fault}`]).filter(Boolean);
    if (planned && what.charge_ah < 0.001 * planned) return ["no current flowed", ...found].join(", ");
    return [`${quantity(what.run_s, "s", 3)}, ${quantity(what.charge_ah, "Ah", 3)}, coating ${quantity(what.film_um, "um", 3)} ${what.film_from}`,
      what.colour ? `${dye && dye !== "none" ? "dyed " : ""}${what.colour}` : "no colour, hardly any charge", ...found].join(", ");
  }

  /** @param {number} number */
  const openForm = (number) => { open = number; void look(); };
  return { finding, list, look, logged, openForm };
}
