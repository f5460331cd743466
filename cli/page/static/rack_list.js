// What hangs on the rack: files dropped or chosen, samples, and a card for every kind of part.

import * as api from "./api.js";
import { bounds, h, quantity, say } from "./show.js";

export function rackList({ attempt, choose, catalogue, bench }) {
  const list = document.getElementById("parts");
  const coming = document.getElementById("coming");
  const cards = new Map();

  document.getElementById("suffixes").textContent = catalogue.suffixes.map((x) => x.slice(1).toUpperCase()).join(" ");
  const files = document.getElementById("files");
  files.accept = catalogue.suffixes.join(",");
  files.addEventListener("change", () => { take([...files.files]); files.value = ""; });
  dropping(take);

  const samples = document.getElementById("samples");
  document.getElementById("sample-buttons").append(...catalogue.samples.map((name) => h("button", {
    type: "button", class: "small", onclick: async () => {
      const added = await attempt(() => api.sample(name));
      if (added) choose(added.id);
    },
  }, name)));
  let empty = null;

  document.getElementById("new-sketch").addEventListener("click", async () => {
    const taken = bench().parts.map((p) => p.name);
    let name = "turned part";
    for (let n = 2; taken.includes(name); n += 1) name = `turned part ${n}`;
    const first = { name, unit: bench().settings.show, outside: bench().settings.show === "mm"
      ? ["0 12", "40 12"] : ["0 1/2", "2 1/2"], bores: [] };
    const added = await attempt(() => api.sketch(first));
    if (added) choose(added.id);
  });

  const density = document.getElementById("density");
  document.getElementById("windows").append(...catalogue.windows.map((w) => h("option", { value: w.name }, w.use)));
  density.addEventListener("change", () => attempt(() => api.settings(bench().settings.revision, { density: density.value })));

  async function take(dropped) {
    for (const file of dropped) {
      const bar = h("progress", { max: 1, value: 0, "aria-label": `Reading ${file.name}` });
      const sending = api.upload(file, (share) => { bar.value = share; });
      const card = h("li", {}, h("span", {}, file.name), bar,
        h("button", { type: "button", onclick: sending.stop }, "Stop"));
      coming.append(card);
      const id = await attempt(() => sending.done);
      card.remove();
      if (id) choose(id);
    }
  }

  return {
    show({ parts, settings }, chosen) {
      if (empty !== (parts.length === 0)) {
        empty = parts.length === 0;
        samples.open = empty;
        document.querySelector("main").classList.toggle("empty", empty);
      }
      for (const [id, card] of cards) if (!parts.some((p) => p.id === id)) { card.element.remove(); cards.delete(id); }
      for (const part of parts) {
        if (!cards.has(part.id)) {
          const card = partCard(part.id, { attempt, choose, bench });
          cards.set(part.id, card);
          list.append(card.element);
        }
        cards.get(part.id).show(part, part.id === chosen);
      }
      if (document.activeElement !== density) density.value = settings.density;
      const found = catalogue.windows.find((w) => w.name === settings.density);
      document.getElementById("density-says").textContent = found ? `${found.use}; ${found.source}` : "your own, such as 12 to 15 A/ft2";
    },
  };
}

function dropping(take) {
  const over = document.getElementById("over");
  let depth = 0;
  const shown = (is) => { over.hidden = !is; };
  addEventListener("dragenter", (e) => { e.preventDefault(); depth += 1; shown(true); });
  addEventListener("dragleave", () => { depth = Math.max(0, depth - 1); shown(depth > 0); });
  addEventListener("dragover", (e) => e.preventDefault());
  addEventListener("drop", (e) => {
    e.preventDefault();
    depth = 0;
    shown(false);
    if (e.dataTransfer.files.length) take([...e.dataTransfer.files]);
    else say("That was no file. Drop a part file from a folder.", "harms");
  });
}

function partCard(id, { attempt, choose, bench }) {
  const part = () => bench().parts.find((p) => p.id === id);
  const change = (values) => attempt(() => api.change(part(), values));
  const name = h("button", { type: "button", class: "name", onclick: () => choose(id) });
  const area = h("span", { class: "area" });
  const count = h("input", { type: "number", min: 1, max: 10000, step: 1, onchange: () => {
    const number = Number(count.value);
    if (Number.isInteger(number) && number >= 1) change({ count: number });
    else count.value = part().count;
  } });
  const unit = h("select", { onchange: () => change({ unit: unit.value || null }) },
    h("option", { value: "" }, "as the file says"), ["mm", "cm", "m", "in", "ft", "um"].map((u) => h("option", { value: u }, u)));
  const unitField = h("label", {}, "unit ", unit);
  const says = h("p", { class: "says" });
  const off = h("button", { type: "button", class: "plain", onclick: async () => {
    const gone = part().name;
    await attempt(() => api.remove(id));
    say(`${gone} was taken off.`, "note", { words: "Put it back", do: () => attempt(() => api.putBack(id)) });
  } });
  const element = h("li", { class: "card" }, h("div", { class: "row" }, name, off), area, says,
    h("div", { class: "row" }, h("label", {}, "count ", count), unitField));
  return {
    element,
    show(now, chosen) {
      element.classList.toggle("chosen", chosen);
      name.textContent = now.name;
      name.setAttribute("aria-pressed", String(chosen));
      const found = now.result && !now.refused ? now.result.wetted_area_mm2 : null;
      area.textContent = now.stage ? `${now.stage} …` : found ? `${quantity(found.value, "mm2", 5)} wetted` : "";
      area.title = found ? bounds(found.low, found.high, "mm2", 5, true) : "";
      element.classList.toggle("busy", Boolean(now.stage));
      off.textContent = now.stage ? "Stop" : "Take off";
      off.setAttribute("aria-label", `${now.stage ? "Stop" : "Take off"} ${now.name}`);
      count.setAttribute("aria-label", `How many of ${now.name}`);
      if (document.activeElement !== count) count.value = now.count;
      unitField.hidden = Boolean(now.sketch);
      unit.value = now.unit ?? "";
      const how = now.result?.unit;
      unit.options[0].textContent = how && !now.unit ? `${how.name}, ${how.how}` : "as the file says";
      unit.setAttribute("aria-label", `Unit of ${now.name}`);
      says.textContent = now.refused ? now.refused.line : "";
      says.className = `says ${now.refused ? "harms" : ""}`;
    },
  };
}
