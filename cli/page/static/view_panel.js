// The 3-D view with its tools: cut open, names, and what it looks like as it hangs.

import * as api from "./api.js";
import { PartView } from "./picture/part_view.js";
import { readPicture } from "./picture/read_picture.js";
import { h, say } from "./show.js";
import * as three from "./vendor/three/three.min.js";

const AXES = ["x", "y", "z"];

export function viewPanel({ catalogue, choose, turned, following }) {
  const stage = h("div", { class: "view" });
  const tip = h("div", { class: "tip", hidden: true });
  const colours = Object.fromEntries(Object.entries(catalogue.states).map(([name, style]) => [name, style.colour]));
  let view = null;
  let shown = null; // the picture on show
  let loading = null;

  const names = h("input", { type: "checkbox", checked: true, onchange: () => view?.showNames(names.checked) });
  const open = h("input", { type: "checkbox", onchange: cut });
  const axis = h("select", { "aria-label": "Cut across", onchange: cut }, AXES.map((a, i) => h("option", { value: i }, a)));
  const share = h("input", { type: "range", min: 0, max: 1, step: 0.005, value: 0.5, "aria-label": "Where it is cut", oninput: cut });
  const hung = h("button", { type: "button", hidden: true, onclick: () => view?.hang(shown.up.split(",").map(Number)) }, "Turn it as it hangs");
  const tools = h("div", { class: "tools" },
    h("button", { type: "button", onclick: () => view?.whole() }, "Show whole"),
    h("label", {}, open, " cut open"), h("span", { class: "cutting" }, axis, share),
    h("label", {}, names, " names"), hung);
  const element = h("div", { class: "viewing" }, stage, tools, h("ul", { class: "key" },
    Object.entries(catalogue.states).map(([name, style]) => {
      const swatch = h("span", { class: "swatch" });
      swatch.style.background = style.colour;
      return h("li", {}, swatch, style.words);
    })));
  stage.append(tip);
  document.addEventListener("themed", () => view?.paint());

  function cut() {
    element.classList.toggle("open", open.checked);
    view?.setCut(open.checked ? { axis: Number(axis.value), share: Number(share.value) } : null);
  }

  function begin() {
    if (view) return true;
    try {
      view = new PartView(three, stage, {
        colours, turned, rested: () => { stage.dataset.drawn = stage.dataset.view ?? ""; }, picked: choose,
        hovered: (name) => { tip.hidden = !name; tip.textContent = name ?? ""; },
      });
      return true;
    } catch {
      stage.replaceChildren(h("p", { class: "soft" }, "This browser draws no 3-D here; the table below has everything."));
      return false;
    }
  }

  async function load(now) {
    const asked = { id: now.id, view: now.view, file: now.file };
    loading = asked;
    try {
      const picture = readPicture(await api.view(now.view));
      if (loading !== asked || !begin()) return;
      const kept = shown?.id === now.id && shown?.file === now.file;
      const odd = !now.result.closed || now.result.notes.some((n) => n.code === "turned");
      view.show(picture, { twoSided: odd, kept });
      if (!kept) { open.checked = false; cut(); const size = now.result.size_mm; axis.value = size.indexOf(Math.min(...size)); }
      view.hangBy(now.result.up ?? null, (now.result.pockets ?? []).slice(0, 6).map((p, i) => [`air ${i + 1}`, p.top_mm]));
      if (now.result.up && !following() && (!kept || shown?.up !== String(now.result.up))) view.hang(now.result.up);
      hung.hidden = !now.result.up;
      shown = { ...asked, up: String(now.result.up ?? "") };
      stage.dataset.view = now.view;
    } catch (refused) {
      if (loading === asked) say(refused.message, "harms");
    }
  }

  return {
    element,
    select: (name) => view?.select(name ? [name] : []),
    up: () => view?.up() ?? [0, 0, 1],
    show(now) {
      const ready = Boolean(now?.view && now.result && !now.refused);
      element.hidden = !ready;
      if (!ready) return;
      if (loading?.view !== now.view || loading?.id !== now.id) load(now);
    },
  };
}
