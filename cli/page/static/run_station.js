// The run: the sheet to print, the steps to tick off, and the logbook.

import * as api from "./api.js";
import { atTank } from "./at_tank.js";
import { h, quantity, redraw, say, spelled, state } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./plan_keeper.js").PlanKeeper} PlanKeeper */

const LISTED = 12;
const OVER = ["current", "time", "coating", "start-volts", "end-volts", "acid", "aluminium", "temperature"];
const SET = [["current", "Set"], ["time", "for"], ["voltage-supply", "Volts at the end, about"]];

/** @param {Desk} desk @param {PlanKeeper} keeper */
export function runStation(desk, keeper) {
  const steps = h("ol", { class: "steps" });
  const sheet = h("a", { class: "button main", id: "sheet", href: "api/sheet", target: "_blank", rel: "noopener", onclick: (/** @type {MouseEvent} */ e) => { desk.afterSent(e); } }, "Run sheet to print");
  const settings = h("dl", { class: "settings" });
  const refusal = h("p", { class: "harms" });
  const remark = h("input", { "aria-label": "Remark for the logbook", placeholder: "even, deep" });
  const write = h("button", { id: "write" }, "Write it down as planned");
  const list = h("ul", { class: "notes runs" });
  const search = h("input", { id: "runs-with", type: "search", "aria-label": "Only runs with these words", placeholder: "a colour, a load, a date", oninput: () => logged(all) });
  const months = h("select", { id: "months", "aria-label": "One figure over the months", onchange: () => {
    if (months.value) window.open(`api/months/${months.value}`, "_blank", "noopener");
    months.value = "";
  } }, h("option", { value: "" }, "over the months …"), ...OVER.map((name) => h("option", { value: name }, name.replace("-", " "))));
  const form = h("form", { class: "row", onsubmit: written }, h("label", {}, "remark ", remark), write);
  const finding = h("div", { class: "row" }, search, months);
  const element = h("section", { class: "panel whole", id: "run", "aria-labelledby": "run-title" },
    h("div", { class: "row head" }, h("h2", { id: "run-title" }, "The run"), sheet), refusal, atTank(desk, keeper, ended),
    h("div", { class: "sides grow" }, h("div", { class: "scroll", tabIndex: 0, role: "region", "aria-label": "Steps" }, steps),
      h("div", { class: "scroll", tabIndex: 0, role: "region", "aria-label": "Settings and logbook" }, settings, h("h3", {}, "Logbook"), form, finding, list)));
  /** @type {Set<string>} */
  const ticked = new Set();
  /** @type {Doc.Run[]} */
  let all = [];
  let of = "";
  listRuns();
  desk.listen(show);

  async function listRuns() {
    const found = await desk.attempt(api.runs);
    if (found) logged(found.runs);
  }

  /** The run at the tank is over, and in the logbook. @param {boolean} mine whether it was of the load on the bench */
  function ended(mine) {
    if (mine) sessionStorage.setItem("written", keeper.answered);
    listRuns();
    desk.changed();
  }

  function show() {
    const { plan } = keeper;
    const can = Boolean(plan?.can_run && keeper.current);
    if (of !== keeper.answered) { of = keeper.answered; ticked.clear(); }
    sheet.hidden = !plan?.can_run;
    write.disabled = !can;
    refusal.textContent = !plan ? "There is no plan yet: see the stations before this one."
      : !keeper.current ? "The plan is out of date: updating …" : can ? "" : "This load cannot be run as asked: see the plan. There is no run to write down.";
    redraw(settings, JSON.stringify([keeper.answered, can, state.show]), () => (plan && can ? SET.flatMap(([name, words]) => (plan.figures[name]
      ? [h("dt", {}, words), h("dd", {}, spelled(plan.figures[name].text))] : [])) : []));
    redraw(steps, JSON.stringify([keeper.answered, Boolean(plan)]), () => (plan?.can_run ? plan.steps.map(step) : []));
    element.setAttribute("aria-busy", String(Boolean(plan) && !keeper.current));
  }

  /** @param {Doc.PlanStep} each */
  function step(each) {
    const box = h("input", { type: "checkbox", checked: ticked.has(each.name), onchange: () => { if (box.checked) ticked.add(each.name); else ticked.delete(each.name); } });
    const minutes = each.minutes ? ` (${Number(each.minutes.toPrecision(3))} min)` : "";
    return h("li", {}, h("label", {}, box, h("strong", {}, ` ${each.name}${minutes}`)), h("p", {}, spelled(each.does)),
      each.look_for && h("p", { class: "soft" }, spelled(`Look for: ${each.look_for}`)), each.cautions.map((c) => h("p", { class: "harms caution" }, spelled(c))));
  }

  /** @param {Event} e */
  async function written(e) {
    e.preventDefault();
    const found = await desk.attempt(() => api.logRun(remark.value.trim()));
    if (!found) return;
    remark.value = "";
    sessionStorage.setItem("written", keeper.answered);
    logged(found.runs);
    say("Written into the logbook.");
    desk.changed();
  }

  /** @param {Doc.Run[]} runs */
  function logged(runs) {
    all = runs;
    finding.hidden = !runs.length;
    const wanted = search.value.toLowerCase().split(/\s+/).filter(Boolean);
    const found = runs.filter((run) => wanted.every((word) => told(run).includes(word)));
    list.replaceChildren(...(found.length ? found.slice(0, LISTED).map((run) => h("li", {}, `${run.when.slice(0, 16).replace("T", " ")}, ${run.load}: `, came(run), run.remark && `; ${run.remark}`, " ",
      h("a", { href: `api/runs/${run.number}/picture`, target: "_blank", rel: "noopener" }, "picture"), " ",
      h("a", { href: `api/runs/${run.number}/picture?kind=pdf`, target: "_blank", rel: "noopener" }, "to print"), " ",
      h("button", { type: "button", class: "plain", title: "The same coating, dye and times for the load on the bench", onclick: () => { repeat(run); } }, "repeat"))) : [h("li", { class: "soft" }, runs.length ? "No such runs." : "No run is written down yet.")]));
  }

  /** The load on the bench gets what a run got. @param {Doc.Run} run */
  function repeat({ number }) {
    desk.set(({ tables }) => ({ tables: { ...tables, finish: { ...tables.finish, repeat: `run ${number}` } } }));
    say(`The load on the bench repeats run ${number}: the same coating, dye and times.`);
  }

  /** All that a run is found by. @param {Doc.Run} run */
  function told(run) {
    const out = run.results.flatMap((each) => [each.colour, each.fault, each.remark]);
    return [`run ${run.number}`, run.when, run.load, run.dye, run.shade, run.bath, run.remark, ...out].join(" ").toLowerCase();
  }

  /** What came of a run, in words. @param {Doc.Run} run */
  function came({ came: what, results, planned_ah: planned }) {
    const found = results.flatMap((each) => [each.colour, each.fault && `fault: ${each.fault}`]).filter(Boolean);
    if (planned && what.charge_ah < 0.001 * planned) return ["no current flowed", ...found].join(", ");
    return [`${quantity(what.run_s, "s", 3)}, ${quantity(what.charge_ah, "Ah", 3)}, coating ${quantity(what.film_um, "um", 3)} ${what.film_from}`,
      what.colour ?? "no colour, hardly any charge", ...found].join(", ");
  }

  return element;
}
