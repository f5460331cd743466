// The plan of the load: what to set and to expect, what would spoil it, and where the current goes.

import { amperes } from "./figures.js";
import { mends } from "./mend.js";
import { h, redraw, spelled, state } from "./show.js";
import { explain } from "./strip.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./plan_keeper.js").PlanKeeper} PlanKeeper */

const FIRST = ["current", "voltage-supply", "time", "coating", "bath-end", "heat", "cathode-face", "hydrogen"];
/** @type {Record<string, string>} */
const WEIGHTS = { stops: "stops the run", spoils: "spoils the part", watch: "watch" };

/** @param {Desk} desk @param {PlanKeeper} keeper */
export function planStation(desk, keeper) {
  const title = h("h2", { id: "plan-title" }, "The plan");
  const body = h("div", { class: "sides grow" });
  const element = h("section", { class: "panel whole", id: "plan", "aria-labelledby": "plan-title" },
    h("div", { class: "row head" }, title), body);
  desk.listen(() => {
    const { plan, refused } = keeper;
    if (!element.hidden) keeper.reads();
    title.textContent = titleOf(keeper);
    element.setAttribute("aria-busy", String(keeper.wanted && !keeper.current));
    redraw(body, JSON.stringify([keeper.answered, state.show, Boolean(plan), refused?.message, keeper.wanted, desk.lost]), () => {
      if (plan) return [part("Figures of the plan", figures(desk, plan), bores(plan)), part("Faults and cautions", faults(desk, plan), cautions(plan))];
      const mistakes = [...keeper.mistakes];
      if (mistakes.length) return [h("ul", { class: "harms" }, mistakes.map(([place, what]) => h("li", {}, spelled(`${place}: ${desk.bench.fields?.[place]?.wrong ?? what} `), mends(desk, place, [place.replace(" ", ".")]))))];
      if (refused) return [h("p", { class: "harms" }, refused.message)];
      return [h("p", {}, keeper.wanted ? "Working out the plan …" : "The plan appears here once there is a part, and bath and tank are filled in: ", !keeper.wanted && h("a", { href: "#tank" }, "Rack and tank"))];
    });
  });
  return element;
}

/** @param {PlanKeeper} keeper */
function titleOf(keeper) {
  if (!keeper.plan && !keeper.refused) return "The plan";
  if (!keeper.current) return "The plan is out of date: updating …";
  if (!keeper.plan) return "No plan yet";
  return keeper.plan.can_run ? "The plan" : "The plan: it cannot be run as asked";
}

/** A half of the screen, which scrolls. @param {string} name @param {...(HTMLElement | "")} children */
function part(name, ...children) {
  return h("div", { class: "scroll", tabIndex: 0, role: "region", "aria-label": name }, ...children);
}

/** @param {Desk} desk @param {Doc.Plan} plan */
function figures(desk, plan) {
  const first = FIRST.filter((n) => plan.figures[n]);
  const rows = (/** @type {string[]} */ names, /** @type {string} */ call) => h("table", {}, h("caption", { class: "unseen" }, call),
    h("thead", {}, h("tr", {}, ["Figure", "Value", "Least to most", "Worked out"].map((w, i) => h("th", { scope: "col", class: i === 1 || i === 2 ? "number" : "" }, w)))),
    h("tbody", {}, names.flatMap((name) => {
      const f = plan.figures[name];
      const why = name === "coating" && plan.coating_reason && h("tr", { class: "reason" }, h("td", { colSpan: 4, class: "soft" }, spelled(`${plan.coating_reason} `), mends(desk, "coating", [], { "finish.certainty": "50 %" })));
      return [h("tr", {}, h("th", { scope: "row" }, f.name), h("td", { class: "number" }, spelled(f.text)), h("td", { class: "number" }, spelled(name === "current" ? endsOf(plan) : f.bounds)),
        h("td", {}, h("button", { type: "button", class: "plain", "data-act": `how ${name}`, "aria-label": `How ${f.name} was worked out`, onclick: () => { explain(f.name, f.chain); } }, "how?"))), why];
    })));
  return h("div", {}, rows(first, "Figures of the plan"),
    h("details", {}, h("summary", {}, "All figures"), rows(Object.keys(plan.figures).filter((n) => !first.includes(n)), "All other figures of the plan")));
}

/** The least and the most current that may be set. @param {Doc.Plan} plan */
function endsOf({ figures: { "current-least": least, "current-most": most } }) {
  return least && most ? `${amperes(least.low).split(" ")[0]} to ${amperes(most.high)}` : "";
}

/** @param {Doc.Plan} plan */
function bores(plan) {
  if (!plan.bores_say.length) return "";
  return h("div", {}, h("h3", {}, "Down the bores"), h("ul", { class: "notes" }, plan.bores.map((b) => h("li", {}, spelled(b.says)))),
    plan.bores_say.map((said) => h("p", { class: "soft" }, spelled(said))));
}

/** @param {Desk} desk @param {Doc.Plan} plan */
function faults(desk, plan) {
  if (!plan.faults.length) return h("p", {}, "No fault found.");
  return h("div", {}, h("h3", {}, "Faults"), h("ul", { class: "notes faults" }, plan.faults.map((x) => h("li", { class: x.weight === "watch" ? "" : "harms" },
    h("strong", {}, `${WEIGHTS[x.weight] ?? x.weight}: `), spelled(`${x.text} `), mends(desk, x.text, x.keys, x.changes, x.part)))),
  plan.ways_out.length > 0 && h("h3", {}, "Ways out"), plan.ways_out.length > 0 && h("ul", { class: "notes" }, plan.ways_out.map(({ text, changes }) => h("li", {}, spelled(`${text} `), mends(desk, text, [], changes)))));
}

/** @param {Doc.Plan} plan */
function cautions(plan) {
  return h("div", {}, h("h3", {}, "Cautions"), h("ul", { class: "notes" }, plan.cautions.map((c) => h("li", {}, spelled(c.text), " ", h("span", { class: "soft" }, c.source)))));
}
