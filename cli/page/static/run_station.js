// The run: the sheet to print, the steps to tick off, and the logbook.

import * as api from "./api.js";
import { atTank } from "./at_tank.js";
import { logbookList } from "./logbook_list.js";
import { h, redraw, say, spelled, state } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./plan_keeper.js").PlanKeeper} PlanKeeper */

const SET = [["current", "Set"], ["time", "for"], ["voltage-supply", "Volts at the end, about"]];

/** @param {Desk} desk @param {PlanKeeper} keeper */
export function runStation(desk, keeper) {
  const steps = h("ol", { class: "steps" });
  const sheet = h("a", { class: "button main", id: "sheet", href: "api/sheet", target: "_blank", rel: "noopener", onclick: (/** @type {MouseEvent} */ e) => { desk.afterSent(e); } }, "Run sheet to print");
  const settings = h("dl", { class: "settings" });
  const over = h("p", { id: "run-done", role: "status" });
  const refusal = h("p", { class: "harms" });
  const spoils = h("ul", { class: "notes", id: "spoils" });
  const remark = h("input", { "aria-label": "Remark for the logbook", placeholder: "even, deep" });
  const write = h("button", { id: "write" }, "Write it down as planned");
  const book = logbookList(desk);
  const form = h("form", { class: "row", onsubmit: written }, h("span", { class: "soft" }, "A run done without the clock: "), h("label", {}, "remark ", remark), write);
  const element = h("section", { class: "panel whole", id: "run", "aria-labelledby": "run-title" },
    h("div", { class: "row head" }, h("h2", { id: "run-title" }, "The run"), sheet), refusal, spoils, atTank(desk, keeper, over, ended),
    h("div", { class: "sides grow" }, h("div", { class: "scroll", tabIndex: 0, role: "region", "aria-label": "Steps" }, steps),
      h("div", { class: "scroll", tabIndex: 0, role: "region", "aria-label": "Settings and logbook" }, settings, h("h3", {}, "Logbook"), book.finding, book.list, form)));
  let overOf = ""; // what the plan was of when the run ended
  void book.look();
  desk.listen(show);

  /** The run at the tank is over, and in the logbook. @param {number} run @param {boolean} mine whether it was of the load on the bench, and made its coating @param {boolean} rehearsed */
  function ended(run, mine, rehearsed) {
    overOf = keeper.answered;
    localStorage.removeItem(kept());
    if (!rehearsed) {
      if (mine) sessionStorage.setItem("written", keeper.answered);
      book.openForm(run);
    }
    desk.changed();
  }

  /** Where the boxes ticked by hand are kept. */
  const kept = () => `ticked ${desk.bench.settings.name}`;
  /** @returns {string[]} */
  const ticked = () => /** @type {string[]} */ (JSON.parse(localStorage.getItem(kept()) ?? "[]"));

  function show() {
    const { plan } = keeper;
    const can = Boolean(plan?.can_run && keeper.current);
    if (overOf !== keeper.answered) over.textContent = "";
    const run = desk.atTank?.mine ? desk.atTank : null;
    sheet.hidden = !plan?.can_run;
    write.disabled = !can;
    form.hidden = Boolean(desk.atTank);
    refusal.textContent = !plan ? "There is no plan yet: see the stations before this one."
      : !keeper.current ? "The plan is out of date: updating …" : can ? "" : "This load cannot be run as asked: see the plan. There is no run to write down.";
    const harms = can && !desk.atTank ? plan?.faults.filter(({ weight }) => weight === "spoils") ?? [] : [];
    redraw(spoils, JSON.stringify(harms), () => harms.map(({ text }) => h("li", { class: "harms" }, h("strong", {}, "spoils the part: "), spelled(text))));
    redraw(settings, JSON.stringify([keeper.answered, can, state.show]), () => (plan && can ? SET.flatMap(([name, words]) => (plan.figures[name]
      ? [h("dt", {}, words), h("dd", {}, spelled(plan.figures[name].text))] : [])) : []));
    const on = plan && run ? plan.steps.length - run.steps + run.step : -1; // the steps at the tank are the last ones
    redraw(steps, JSON.stringify([keeper.answered, Boolean(plan), on]), () => (plan?.can_run ? plan.steps.map((each, i) => step(each, on < 0 ? ticked().includes(each.name) : i < on, i === on)) : []));
    element.setAttribute("aria-busy", String(Boolean(plan) && !keeper.current));
  }

  /** @param {Doc.PlanStep} each @param {boolean} done @param {boolean} isOn the step that a run is at */
  function step(each, done, isOn) {
    const box = h("input", { type: "checkbox", checked: done, disabled: Boolean(desk.atTank?.mine), onchange: () => {
      localStorage.setItem(kept(), JSON.stringify([...ticked().filter((name) => name !== each.name), ...(box.checked ? [each.name] : [])]));
    } });
    return h("li", { "aria-current": isOn ? "step" : null }, h("label", {}, box, h("strong", {}, ` ${each.name}${each.takes && `, ${each.takes} min`}`)), h("p", {}, spelled(each.does)),
      each.look_for && h("p", { class: "soft" }, spelled(`Look for: ${each.look_for}`)), each.cautions.map((c) => h("p", { class: "harms caution" }, spelled(c))));
  }

  /** @param {Event} e */
  async function written(e) {
    e.preventDefault();
    const found = await desk.attempt(() => api.logRun(remark.value.trim()));
    if (!found) return;
    remark.value = over.textContent = "";
    sessionStorage.setItem("written", keeper.answered);
    book.logged(found.runs);
    say("Written into the logbook.");
    desk.changed();
  }

  return element;
}
