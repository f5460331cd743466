// The fields of a load's tables: a bare number with its unit beside the box, mistakes marked at the field itself.

import { h, spelled, unitSign } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {{element: HTMLElement, show: (mistake: string) => void}} Field */

/** @type {Record<string, string>} */
const INSTEAD = { "finish thickness": "finish.shade", "finish shade": "finish.thickness" }; // one takes the place of the other

/**
 * One field of a table.
 * @param {Desk} desk
 * @param {string} table
 * @param {Doc.Key} key
 * @returns {Field}
 */
export function field(desk, table, key) {
  const id = `${table} ${key.name}`;
  const says = h("span", { class: "says", id: `${table}-${key.name}-says` });
  const name = key.label;
  const common = { name: id, "aria-describedby": says.id };
  const box = key.among.length ? h("select", { ...common, onchange: send }, h("option", { value: "" }, "not said"), key.among.map((w) => h("option", { value: w }, w)))
    : h("input", { ...common, inputMode: key.units.length ? "decimal" : "text", spellcheck: false, autocomplete: "off", onchange: send, oninput: () => {
      editing = true;
      if (typed) offer(""); // the unit went with that number: the next has the page's again
      typed = false;
    }, onblur: () => { if (editing) { editing = false; desk.changed(); } } });
  if (box instanceof HTMLInputElement) box.placeholder = `e.g. ${bare(key.example)}`;
  const unit = key.units.length ? h("select", { class: "unit", "aria-label": `Unit of ${table} ${name}`, onchange: () => { if (box.value.trim()) send(); } }) : null;
  const element = h("div", { class: "field", "data-help": spelled(key.help) }, h("label", { title: key.help }, h("span", { class: "label" }, name), box), unit, says);
  let [offered, typed, editing] = ["", false, false]; // typed: the unit stood in the box; editing: the number is not sent yet

  function send() {
    const text = box.value.trim();
    typed = /[a-z"'%°µ]/i.test(text.replace(/e[+-]?\d+$/i, ""));
    editing = false;
    const value = !text ? "" : unit && !typed ? `${text} ${unit.value}` : key.number && /^\d+$/.test(text) ? Number(text) : text;
    desk.set((/** @type {Doc.Settings} */ { tables }) => ({ tables: withValues(tables, { [`${table}.${key.name}`]: value, ...(value && id in INSTEAD ? { [INSTEAD[id]]: "" } : {}) }) }), id);
  }

  /** The units to choose from, those of what is shown first; the one that is written is set. @param {string} is */
  function offer(is) {
    if (!unit) return;
    const [metric, us] = key.units;
    const ours = desk.bench.settings.show === "in" ? [...us, ...metric] : [...metric, ...us];
    const set = is || ours[0];
    const all = ours.includes(set) ? ours : [set, ...ours];
    if (all.join() !== offered) {
      offered = all.join();
      unit.replaceChildren(...all.map((u) => h("option", { value: u }, unitSign(u))));
    }
    unit.value = set;
    if (box instanceof HTMLInputElement) box.placeholder = key.example.includes(` ${set}`) ? `e.g. ${bare(key.example)}` : "";
    unit.disabled = all.length < 2;
  }

  /** The written value, unless a hand is on it. @param {string | number | undefined} written @param {Doc.Field | undefined} read */
  function fillIn(written, read) {
    if (desk.changes.some((change) => change.field === id)) return;
    if (!editing) offer(written === undefined ? "" : read?.unit ?? "");
    if (document.activeElement !== box) box.value = String((unit ? read?.number ?? bare(String(written ?? "")) : written) ?? "");
  }

  return {
    element,
    show(mistake) {
      const { settings, fields = {} } = desk.bench;
      const written = settings.tables[table]?.[key.name];
      const read = fields[id];
      fillIn(written, read);
      const wrong = read?.wrong || mistake || desk.wrong.get(id) || "";
      box.toggleAttribute("aria-invalid", false);
      if (wrong) box.setAttribute("aria-invalid", "true");
      says.textContent = spelled(wrong || key.help);
      element.classList.toggle("wrong", Boolean(wrong));
    },
  };
}

/** Tables with values by key, such as "bath.acid"; an empty one is taken out. @param {Doc.Tables} tables @param {Record<string, string | number>} values @returns {Doc.Tables} */
export function withValues(tables, values) {
  const all = new Map(Object.entries(tables));
  for (const [key, value] of Object.entries(values)) {
    const [table, name] = key.split(".");
    const now = new Map(Object.entries(all.get(table) ?? {}));
    if (value === "") now.delete(name);
    else now.set(name, value);
    if (now.size) all.set(table, Object.fromEntries(now));
    else all.delete(table);
  }
  return Object.fromEntries(all);
}

/** The number of "180 g/L" as an example. @param {string} text */
const bare = (text) => /^[\d.,/ ]+/.exec(text)?.[0].trim() ?? text;
