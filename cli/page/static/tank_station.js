// Bath, tank, cathodes, power supply, rack and finish, as they stand in a load file; kept, saved and opened.

import * as api from "./api.js";
import { field } from "./fields.js";
import { opened } from "./intake.js";
import { fill } from "./mend.js";
import { judge, numbered, withMove } from "./rack_drag.js";
import { shadeLine } from "./shade_line.js";
import { figures, h, quantity, redraw, state, titleOf } from "./show.js";
import { tankDrawing } from "./tank_drawing.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./plan_keeper.js").PlanKeeper} PlanKeeper */

const FT2 = 9.290304; // dm²
const KEPT = ["bath", "tank"];
const COLUMNS = [["bath", "tank"], ["cathodes", "supply"], ["rack", "finish"]];

/** @param {Desk} desk @param {PlanKeeper} keeper */
export function tankStation(desk, keeper) {
  /** @type {Map<string, import("./fields.js").Field>} */
  const fields = new Map();
  const density = densityField(desk);
  const drawing = h("figure", { class: "drawing-of" });
  const said = h("p", { class: "soft", id: "rack-says", "aria-live": "polite" });
  /** @type {Doc.Rack | null} */
  let held = null; // the rack on show, while the plan of the bench as it is comes
  let heldOf = "";
  /** @type {ReturnType<typeof tankDrawing>} */
  let drawn = null;
  const ask = judge(({ says, stops, warns, strands }) => {
    said.textContent = [...stops, `${says}.`, ...warns].join(" ");
    said.classList.toggle("wrong", stops.length > 0);
    drawn?.strands(strands);
  });
  const moves = (/** @type {string} */ part, /** @type {number[]} */ at) => withMove(String(desk.bench.settings.tables.rack?.moved ?? ""), part, at);
  const drop = (/** @type {string} */ part, /** @type {number[]} */ at) => {
    const names = held ? numbered(held) : [];
    if (held) held = { ...held, places: held.places.map((place, i) => (names[i] === part ? { ...place, at_mm: [...at] } : place)) };
    const moved = moves(part, at);
    desk.set(({ tables }) => ({ tables: { ...tables, rack: { ...tables.rack, moved } } }));
  };
  const { tables } = desk.catalogue;
  const columns = COLUMNS.map((names) => h("div", { class: "column" }, names.filter((name) => tables[name]).map((name) => group(name))));
  const rest = Object.keys(tables).filter((name) => !COLUMNS.flat().includes(name));
  columns[0].append(h("details", { class: "rare" }, h("summary", {}, `Measured: ${rest.map(titleOf).join(", ").toLowerCase()}`),
    rest.flatMap((name) => [group(name), h("p", { class: "soft" }, tables[name].help)])));
  const chooser = h("input", { id: "load-in", type: "file", accept: ".toml,.zip" });
  chooser.addEventListener("change", async () => {
    const file = chooser.files?.[0];
    chooser.value = "";
    const done = file && await desk.attempt(() => api.upload(file, () => {}).done);
    if (done?.awaited) opened(desk, done);
  });
  const element = h("section", { class: "panel whole", id: "tank", "aria-labelledby": "tank-title" },
    h("div", { class: "row head" }, h("h2", { id: "tank-title" }, "Rack and tank"),
      h("div", { class: "row" }, h("button", { type: "button", class: "small", id: "example", onclick: example }, "Fill in the sample's tank"),
        h("label", { class: "button small", for: "load-in" }, "Open a load file"), chooser,
        h("a", { class: "button small", href: "api/load.zip", download: "load.zip", id: "save-load", onclick: (/** @type {MouseEvent} */ e) => { desk.afterSent(e); } }, "Save the load and its files"))),
    h("form", { class: "tables grow scroll", autocomplete: "off", onsubmit: (/** @type {Event} */ e) => { e.preventDefault(); } },
      columns, h("div", { class: "column" }, drawing)));
  desk.listen(() => {
    for (const [id, each] of fields) each.show(keeper.mistakes.get(id) ?? "");
    density.show();
    const { parts, settings, fields: read } = desk.bench;
    const of = JSON.stringify(parts.map((p) => [p.name, p.count, p.up]));
    if (keeper.current) [held, heldOf] = [keeper.plan?.rack ?? null, of];
    const rack = heldOf === of ? held : null;
    const { part, view } = /** @type {HTMLElement} */ (document.activeElement ?? document.body).dataset;
    redraw(drawing, JSON.stringify([read, rack, settings.tables.cathodes, settings.show, parts.map((p) => [p.name, p.count, p.result?.size_mm, p.up, p.result?.up])]),
      () => {
        drawn = tankDrawing(desk.bench, rack, (name, at) => { ask(moves(name, at)); }, drop);
        return [drawn?.svg ?? h("p", { class: "soft" }, "Give the tank's length, width and depth to see it to scale."),
          drawn && h("figcaption", { class: "soft" }, rack ? `The tank to scale, from the front, the side and above: ${rack.says}. Drag a part, or move it with the arrow keys, to hang it elsewhere.` : "The tank from the front, to scale."), said];
      });
    if (part) /** @type {SVGElement | null} */ (drawing.querySelector(`[data-part="${CSS.escape(part)}"][data-view="${view}"]`))?.focus();
  });

  /** @param {string} name */
  function group(name) {
    const keys = tables[name].keys.filter((k) => !(name === "finish" && k.name === "density"));
    const made = keys.map((key) => {
      const each = field(desk, name, key);
      fields.set(`${name} ${key.name}`, each);
      return { key, element: each.element };
    });
    const those = (/** @type {(key: Doc.Key) => boolean} */ which) => made.filter(({ key }) => which(key)).map((each) => each.element);
    const [rare, runs] = [those((key) => !key.common && !key.from_runs), those((key) => key.from_runs)];
    const help = h("p", { class: "soft help", "aria-hidden": "true" }); // has its room, so that nothing jumps
    const common = h("div", { onfocusin: (/** @type {FocusEvent} */ e) => {
      help.textContent = /** @type {HTMLElement} */ (e.target).closest(".field")?.getAttribute("data-help") ?? "";
    }, onfocusout: () => { help.textContent = ""; } }, name === "finish" && density.element, those((key) => key.common));
    return h("fieldset", { class: "table" }, h("legend", {}, titleOf(name)), KEPT.includes(name) && kept(desk, name), common, name === "tank" && depthLine(desk), help,
      rare.length > 0 && h("details", { class: "rare" }, h("summary", {}, "More"), rare),
      runs.length > 0 && h("details", { class: "rare" }, h("summary", {}, "From measured runs"), runs),
      name === "finish" && shadeLine(desk));
  }

  function example() {
    const own = structuredClone(desk.catalogue.example);
    const window = String(own.finish?.density ?? "small-tank");
    delete own.finish?.density;
    desk.set({ tables: own, density: window });
  }

  return element;
}

/** The depth at which a told volume stands, where the sizes hold another. @param {Desk} desk */
function depthLine(desk) {
  const element = h("div", { class: "shade-line", id: "depth-line", role: "status" });
  desk.listen(() => {
    const { "tank volume": volume, "tank length": length, "tank width": width, "tank depth": depth, "tank freeboard": board } = desk.bench.fields ?? {};
    const deep = volume?.litres && length?.mm && width?.mm ? Math.round((volume.litres * 1e6) / (length.mm * width.mm)) : 0;
    const off = deep && depth?.mm ? deep / depth.mm : 1;
    const below = deep && depth?.mm && !board ? depth.mm - deep : 0; // the rim, where the depth was that of the tank
    redraw(element, JSON.stringify([deep, off, below, state.show]), () => [off < 0.9 || off > 1.1 ? h("button", { type: "button", class: "small", "data-act": "depth", onclick: () => {
      fill(desk, { "tank.depth": `${deep} mm`, ...(below > 0 ? { "tank.freeboard": `${below} mm` } : {}) });
    } }, `${volume?.number} ${volume?.unit} stand ${quantity(deep, "mm")} deep${below > 0 ? `, ${quantity(below, "mm")} below the rim` : ""}: use that`) : ""]);
  });
  return element;
}

/** The density window: one by name, or a person's own. @param {Desk} desk */
function densityField(desk) {
  const says = h("span", { class: "says", id: "density-says" });
  const box = h("input", { id: "density", list: "windows", autocomplete: "off", spellcheck: false, "aria-describedby": says.id,
    onchange: () => { desk.set({ density: box.value.trim() }, "density"); } });
  const yes = h("button", { type: "button", class: "small", id: "density-checked", hidden: true,
    onclick: () => { desk.set({ density: `${box.value.trim()}, checked` }, "density"); } }, "Yes, it is right");
  const element = h("div", { class: "field density" }, h("label", {}, h("span", { class: "label" }, "current density"), box),
    h("datalist", { id: "windows" }, desk.catalogue.windows.map((w) => h("option", { value: w.name }, w.use))), says, yes);
  return {
    element,
    show() {
      const { settings } = desk.bench;
      const wrong = desk.wrong.get("density");
      if (document.activeElement !== box && !wrong) box.value = settings.density;
      const found = desk.catalogue.windows.find((w) => w.name === settings.density);
      box.toggleAttribute("aria-invalid", false);
      if (wrong) box.setAttribute("aria-invalid", "true");
      element.classList.toggle("wrong", Boolean(wrong));
      yes.hidden = !wrong || !/^\d/.test(box.value);
      const range = found && (state.show === "in" ? `${figures(found.least * FT2, 3)} to ${figures(found.most * FT2, 3)} A/ft²` : `${figures(found.least, 3)} to ${figures(found.most, 3)} A/dm²`);
      says.textContent = wrong ? `${wrong} The figures are still for '${settings.density}'.` : range ?? "your own";
      element.dataset.help = found ? `${found.use}; ${found.source}` : "your own, such as 12 to 15 A/ft²";
    },
  };
}

/** The shop's baths or tanks: one taken up again, or this one kept. @param {Desk} desk @param {string} table */
function kept(desk, table) {
  const list = h("select", { "aria-label": `The shop's ${table}s`, onchange: () => {
    const values = desk.bench.shop?.[table]?.[list.value];
    if (values) desk.set(({ tables }) => ({ tables: { ...tables, [table]: values } }));
    list.value = "";
  } });
  const keep = h("button", { type: "button", class: "plain", onclick: async () => {
    const values = desk.bench.settings.tables[table];
    const name = values && prompt(`Keep this ${table} as`, `the ${table}`)?.trim();
    if (name && values) await desk.attempt(() => api.keep(table, name, values));
  } }, "Keep for next time");
  keep.setAttribute("aria-label", `Keep for next time: this ${table}`);
  desk.listen(() => {
    const names = Object.keys(desk.bench.shop?.[table] ?? {});
    list.hidden = !names.length;
    keep.hidden = !desk.bench.settings.tables[table] || !desk.bench.shop;
    redraw(list, names.join("\n"), () => [h("option", { value: "" }, `the shop's ${table}s …`), ...names.map((name) => h("option", { value: name }, name))]);
  });
  return h("div", { class: "row kept" }, list, keep);
}
