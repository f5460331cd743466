// The 3-D view with its tools: cut open, names, and which way the part hangs.

import * as api from "./api.js";
import { partView } from "./part_view.js";
import { h, say } from "./show.js";
import * as three from "./vendor/three/three.min.js";

const AXES = ["x", "y", "z"];

export function viewPanel({ catalogue, change, part, choose }) {
  const stage = h("div", { class: "view" });
  const tip = h("div", { class: "tip", hidden: true });
  const colours = Object.fromEntries(Object.entries(catalogue.states).map(([name, style]) => [name, style.colour]));
  let view = null;
  let shown = null; // the picture on show
  let loading = null;

  const names = h("input", { type: "checkbox", checked: true, onchange: () => view?.names(names.checked) });
  const open = h("input", { type: "checkbox", onchange: cut });
  const axis = h("select", { "aria-label": "Cut across", onchange: cut }, AXES.map((a, i) => h("option", { value: i }, a)));
  const share = h("input", { type: "range", min: 0, max: 1, step: 0.005, value: 0.5, "aria-label": "Where it is cut", oninput: cut });
  const up = h("select", { onchange: hang });
  const tools = h("div", { class: "tools" },
    h("button", { type: "button", onclick: () => view?.whole() }, "Show whole"),
    h("label", {}, open, " cut open"), h("span", { class: "cutting" }, axis, share),
    h("label", {}, names, " names"),
    h("label", {}, "up in the bath ", up));
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

  function hang() {
    if (up.value === "") change({ up: null, liquid_line: null });
    else if (up.value === "seen") change({ up: view.up().map((x) => Number(x.toFixed(4))).join(",") });
    else change({ up: up.value });
  }

  function showUp(now) {
    const bores = (now.result?.features ?? []).filter((f) => f.kind.endsWith("bore")).map((f) => f.name);
    const options = [["", "not considered"], ["seen", "as it is on the screen now"],
      ...["x+", "x-", "y+", "y-", "z+", "z-"].map((a) => [a, a]),
      ...[...new Set(bores)].flatMap((b) => [[b, `${b}, mouth up`], [`${b} down`, `${b}, mouth down`]])];
    if (now.up && !options.some(([value]) => value === now.up)) options.push([now.up, `up ${now.up}`]);
    if (document.activeElement === up) { up.value = now.up ?? ""; return; }
    up.replaceChildren(...options.map(([value, words]) => h("option", { value }, words)));
    up.value = now.up ?? "";
  }

  function begin() {
    if (view) return true;
    try {
      view = partView(three, stage, {
        colours, picked: choose, hovered: (name) => { tip.hidden = !name; tip.textContent = name ?? ""; },
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
      const { readPicture } = await import("./part_view.js");
      const picture = readPicture(await api.view(now.view));
      if (loading !== asked || !begin()) return;
      const kept = shown?.id === now.id && shown?.file === now.file;
      const odd = !now.result.closed || now.result.notes.some((n) => n.code === "turned");
      view.show(picture, { twoSided: odd, kept });
      if (!kept) { open.checked = false; cut(); const size = now.result.size_mm; axis.value = size.indexOf(Math.min(...size)); }
      if (now.result.up && shown?.up !== String(now.result.up)) view.hang(now.result.up);
      shown = { ...asked, up: String(now.result.up ?? "") };
      stage.dataset.view = now.view;
    } catch (refused) {
      if (loading === asked) say(refused.message, "harms");
    }
  }

  return {
    element,
    select: (name) => view?.select(name),
    show(now) {
      const ready = Boolean(now?.view && now.result && !now.refused);
      element.hidden = !ready;
      if (!ready) return;
      showUp(now);
      if (loading?.view !== now.view || loading?.id !== now.id) load(now);
    },
  };
}
