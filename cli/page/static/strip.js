// The strip that stays in sight: the figures with how each was worked out, the stations, and what comes next.

import { figuresOf } from "./figures.js";
import { get, h, redraw, spelled } from "./show.js";
import { goTo } from "./mend.js";
import { nextOf, wayOf } from "./way.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./plan_keeper.js").PlanKeeper} PlanKeeper */

const SAID = { current: "", working: "updating", old: "out of date", impossible: "impossible" };
const MARKS = { done: "✓", open: "", busy: "…", wrong: "!" };

/**
 * @param {Desk} desk
 * @param {PlanKeeper} keeper
 * @param {() => string} at the station on show
 */
export function strip(desk, keeper, at) {
  const figures = get("figures");
  const way = get("way");
  const next = get("next");
  let told = 0;

  desk.listen(() => {
    const shown = figuresOf(desk, keeper);
    const missing = shown.length ? "" : desk.bench.answer.missing;
    redraw(figures, JSON.stringify([shown.map(({ how, ...rest }) => [rest, how?.chain.length]), missing]), () => [
      ...shown.map(tile), missing && h("p", { class: "missing" }, missing),
    ]);
    tell(shown[0]);
    const stations = wayOf(desk, keeper);
    redraw(way, JSON.stringify([stations, at()]), () => [h("ol", {}, stations.map((station, i) => h("li", {},
      h("a", { href: `#${station.id}`, class: station.is, "data-act": station.id, "aria-current": at() === station.id ? "step" : null, title: station.says },
        h("span", { class: "mark", "aria-hidden": "true" }, MARKS[station.is] || i + 1), h("span", { class: "station" }, ...firstWord(station.name)),
        h("span", { class: "unseen" }, `: ${station.is}`)))))]);
    /** @type {import("./way.js").Station | null} */
    const first = desk.atTank ? { id: "run", name: "Run", is: "busy", says: desk.atTank.do } : nextOf(stations);
    redraw(next, JSON.stringify([first, at()]), () => [first
      ? h("a", { href: `#${first.id}`, class: first.is, "data-act": "next", onclick: (/** @type {MouseEvent} */ e) => { if (first.part) desk.choose(first.part); if (first.key) { e.preventDefault(); goTo(first.key); } } }, h("strong", {}, first.id === at() ? "Now: " : `Next, ${first.name}: `), first.says)
      : h("span", {}, h("strong", {}, "All done. "), "The run is in the logbook.")]);
  });

  /** The current for those who hear the page, once it has settled. @param {import("./figures.js").Shown | undefined} current */
  function tell(current) {
    clearTimeout(told);
    told = setTimeout(() => {
      const words = current ? `${current.name} ${current.value}, ${SAID[current.trust] || current.says}` : "";
      if (get("told").textContent !== words) get("told").textContent = words;
    }, 400);
  }
}

/** A station's name; on a phone its first word stands. @param {string} name */
function firstWord(name) {
  const [first, ...more] = name.split(" ");
  return [first, more.length > 0 && h("span", { class: "more-words" }, ` ${more.join(" ")}`)];
}

/** @param {import("./figures.js").Shown} shown */
function tile({ key, name, value, says, trust, how }) {
  return h("button", {
    type: "button", class: `tile of-${key}`, "data-figure": key, "data-act": key, "data-trust": trust, disabled: !how,
    onclick: () => { if (how) explain(how.name, how.chain); },
  },
  h("span", { class: "name" }, name, " ", how && h("span", { class: "how" }, "how?")), h("strong", {}, value),
  SAID[trust] && h("span", { class: "unseen" }, ` (${SAID[trust]})`), h("span", { class: "says" }, says));
}

/** The chain of formulas and sources behind a figure. @param {string} title @param {Doc.Link[]} chain */
export function explain(title, chain) {
  const dialog = /** @type {HTMLDialogElement} */ (get("worked"));
  dialog.replaceChildren(
    h("form", { method: "dialog" },
      h("h2", { id: "worked-title" }, `${title}: how this was worked out`),
      h("ul", { class: "chain", tabIndex: 0, "aria-label": "The chain of figures" }, chain.map(link)),
      h("button", { autofocus: true }, "Close")),
  );
  dialog.showModal();
}

/** @param {Doc.Link} link */
function link([depth, name, value, how, because]) {
  return h("li", { class: `depth-${Math.min(depth, 6)}` },
    h("strong", {}, name), ` ${spelled(value)}`,
    h("span", { class: "soft" }, `: ${spelled(how)}`),
    because && h("span", { class: "soft" }, `; why least and most differ: ${because}`));
}
