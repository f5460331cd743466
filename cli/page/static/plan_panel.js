// The plan of the load: what to set and to expect, its faults, the steps and the cautions.

import * as api from "./api.js";
import { explain } from "./answer_strip.js";
import { bounds, h, quantity, spelled, state } from "./show.js";
import { logbookPanel } from "./logbook_panel.js";
import { tankDrawing } from "./tank_drawing.js";

const FIRST = ["current", "voltage-end", "time", "film", "bath-end", "heat", "cathode-face", "hydrogen"];

export function planPanel({ bench, attempt }, told, wrong) {
  const place = document.getElementById("plan");
  let found = null;
  let refused = null;
  let latest = ""; // what is on the page now, what a plan was last asked of, and what the one that is shown is of
  let asked = "";
  let answered = "";
  let drawn = "";
  let book = null;

  const wanted = ({ parts, settings }) => parts.length > 0 && settings.tables.bath && settings.tables.tank
    && parts.every((p) => p.result && !p.refused && !p.stage);
  const key = ({ parts, settings }) => JSON.stringify([settings.show, settings.density, settings.tables, parts.map((p) => [p.view, p.count, p.alloy, p.name])]);

  async function ask(of) {
    asked = of;
    try {
      const plan = await api.plan();
      if (asked !== of) return;
      [found, refused, answered] = [plan, null, of];
    } catch (bad) {
      if (asked !== of) return;
      [found, refused, answered] = [null, bad, of];
    }
    wrong(refused?.error.mistakes ?? []);
    draw();
    told();
  }

  function draw() {
    const looks = JSON.stringify([answered, state.show, Boolean(found), refused?.message]);
    place.hidden = !found && !refused;
    place.setAttribute("aria-busy", latest !== answered);
    if (looks !== drawn) {
      drawn = looks;
      drawAfresh();
    }
    const title = document.getElementById("plan-title");
    if (title && !place.hidden) title.textContent = titled();
  }

  function drawAfresh() {
    if (refused) {
      const mistakes = refused.error.mistakes ?? [];
      place.replaceChildren(h("h2", { id: "plan-title" }),
        mistakes.length ? h("ul", { class: "harms" }, mistakes.map((m) => h("li", {}, `${m.place}: ${m.what}; ${m.remedy}`)))
          : h("p", { class: "harms" }, refused.message));
    } else if (found) {
      book ??= logbookPanel({ attempt });
      book.again();
      place.replaceChildren(
        h("div", { class: "row head" }, h("h2", { id: "plan-title" }),
          h("a", { class: "button", href: "api/sheet", target: "_blank", rel: "noopener" }, "Run sheet to print")),
        figures(), bores(), faults(),
        h("div", { class: "two" },
          h("div", {}, h("h3", {}, "Steps"), h("ol", { class: "steps" }, found.steps.map(step)), book.element),
          h("div", {}, h("h3", {}, "The tank, to scale"), tankDrawing(bench()) ?? h("p", { class: "soft" }, "Give the tank's length, width and depth to see it."),
            h("h3", {}, "Cautions"), h("ul", { class: "notes" }, found.cautions.map((c) => h("li", {}, `${c.text} (${c.source})`))))));
    }
  }

  function titled() {
    if (latest !== answered) return "The plan as it was: it is being worked out again";
    if (refused) return "No plan yet";
    return found.can_run ? "The plan" : "The plan: it cannot be run as asked";
  }

  function figures() {
    const names = [...FIRST.filter((n) => found.figures[n]), ...Object.keys(found.figures).filter((n) => !FIRST.includes(n))];
    const rows = (list) => h("table", {}, h("caption", { class: "unseen" }, "Figures of the plan"),
      h("thead", {}, h("tr", {}, ["Figure", "Value", "Least to most", ""].map((w, i) => h("th", { scope: "col", class: i === 1 || i === 2 ? "number" : "" }, w)))),
      h("tbody", {}, list.map((name) => {
        const f = found.figures[name];
        const us = state.show === "in";
        return h("tr", {}, h("th", { scope: "row" }, f.name), h("td", { class: "number" }, us ? spelled(f.text) : quantity(f.value, f.unit, 3)),
          h("td", { class: "number" }, us ? f.bounds : bounds(f.low, f.high, f.unit, 3)),
          h("td", {}, h("button", { type: "button", class: "plain", "aria-label": `How ${f.name} was worked out`, onclick: () => explain(f.name, withChain(f)) }, "how?")));
      })));
    return h("div", { class: "scroll", tabIndex: 0, role: "region", "aria-label": "Figures of the plan" }, rows(names.slice(0, FIRST.length)),
      h("details", {}, h("summary", {}, "All figures"), rows(names.slice(FIRST.length))));
  }

  const withChain = (f) => ({ ...f, chain: f.chain.map(([depth, name, text, formula, source, because]) => ({ depth, name, text, formula, source, because })) });

  function bores() {
    if (!found.bores_say.length) return "";
    return h("div", {}, h("h3", {}, "Down the bores"),
      h("ul", { class: "notes" }, found.bores.map((b) => h("li", {}, b.says))),
      found.bores_say.map((said) => h("p", { class: "soft" }, said)));
  }

  function faults() {
    if (!found.faults.length) return h("p", {}, "No faults were found.");
    return h("div", {}, h("h3", {}, "Faults, worst first"),
      h("ul", { class: "notes" }, found.faults.map((x) => h("li", { class: x.weight === "watch" ? "" : "harms" }, h("strong", {}, `${x.weight}: `), x.text))),
      found.ways_out.length > 0 && h("ul", { class: "notes" }, found.ways_out.map((w) => h("li", {}, w))));
  }

  function step(each) {
    const minutes = each.minutes ? ` (${Number(each.minutes.toPrecision(3))} min)` : "";
    return h("li", {}, h("strong", {}, `${each.name}${minutes}: `), each.does,
      each.look_for && h("span", { class: "soft" }, ` Look for: ${each.look_for}`),
      each.cautions.map((c) => h("span", { class: "harms caution" }, ` ${c}`)));
  }

  return {
    show(now) {
      const of = latest = key(now);
      if (!wanted(now)) {
        const working = now.parts.some((p) => p.stage);
        if (!working) { [found, refused, asked, answered] = [null, null, "", ""]; wrong([]); }
      } else if (of !== asked) ask(of);
      draw();
    },
    found: () => found && { ...found, stale: latest !== answered },
  };
}
