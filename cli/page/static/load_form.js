// Bath, tank, cathodes, supply, rack and finish, as they stand in a load file; save and open one.

import * as api from "./api.js";
import { h, say } from "./show.js";

const OPEN = ["bath", "tank", "supply", "finish"];

export function loadForm({ attempt, catalogue, bench }) {
  const form = document.getElementById("tables");
  const fields = new Map(); // "bath acid" -> input
  form.addEventListener("submit", (e) => e.preventDefault());
  for (const [name, table] of Object.entries(catalogue.tables)) {
    const keys = table.keys.filter((k) => !(name === "finish" && k.name === "density"));
    const common = keys.filter((k) => k.common).map((k) => field(name, k));
    const rare = keys.filter((k) => !k.common).map((k) => field(name, k));
    form.append(h("details", { open: OPEN.includes(name), class: "table" }, h("summary", {}, name[0].toUpperCase() + name.slice(1)),
      h("p", { class: "soft" }, table.help), h("div", { class: "fields" }, common),
      rare.length && h("details", { class: "rare" }, h("summary", {}, "More"), h("div", { class: "fields" }, rare))));
  }

  function field(table, key) {
    const id = `${table} ${key.name}`;
    const says = `${table}-${key.name}-says`;
    const input = key.among.length
      ? h("select", { "aria-describedby": says, onchange: send }, h("option", { value: "" }, "not said"), key.among.map((w) => h("option", { value: w }, w)))
      : h("input", { placeholder: key.example, "aria-describedby": says, spellcheck: false, onchange: send });
    input.name = id;
    fields.set(id, { input, key, says: h("span", { class: "soft", id: says }, key.help) });
    return h("label", { class: "field" }, h("span", {}, key.name.replaceAll("_", " ")), input, fields.get(id).says);
  }

  function send() {
    const tables = {};
    for (const [id, { input, key }] of fields) {
      const [table, name] = id.split(" ");
      const value = input.value.trim();
      if (value) (tables[table] ??= {})[name] = key.number && /^\d+$/.test(value) ? Number(value) : value;
    }
    attempt(() => api.settings(bench().settings.revision, { tables }));
  }

  document.getElementById("example").addEventListener("click", () => {
    const tables = structuredClone(catalogue.example);
    const density = tables.finish?.density ?? "small-tank";
    delete tables.finish?.density;
    attempt(() => api.settings(bench().settings.revision, { tables, density }));
  });
  const chooser = document.getElementById("load-in");
  chooser.addEventListener("change", async () => {
    const [file] = chooser.files;
    chooser.value = "";
    if (!file) return;
    const done = await attempt(async () => api.openLoad(await file.text()));
    if (done) say(done.awaited.length ? `Opened. Now drop ${done.awaited.join(", ")}.` : "Opened.");
  });

  return {
    show(settings) {
      for (const [id, { input }] of fields) {
        const [table, name] = id.split(" ");
        if (document.activeElement !== input) input.value = settings.tables[table]?.[name] ?? "";
      }
    },
    /** Mark the fields that the plan found wrong: [{place: "[bath] acid", what, remedy}]. */
    wrong(mistakes) {
      const by = new Map(mistakes.map((m) => [m.place.replace(/[[\]]/g, ""), m]));
      for (const [id, { input, key, says }] of fields) {
        const bad = by.get(id);
        input.toggleAttribute("aria-invalid", Boolean(bad));
        if (bad) input.setAttribute("aria-invalid", "true");
        says.textContent = bad ? `${bad.what}; ${bad.remedy}` : key.help;
        says.className = bad ? "harms" : "soft";
      }
    },
  };
}
