// What is written down at the tank: a field for each meter, a note, and the time it is of where that is not now.

import { withUnit } from "./logbook_list.js";
import { figures, h, state } from "./show.js";

const KEYS = /** @type {const} */ (["volts_v", "current_a", "bath_c"]);

/** @param {(line: string, sure?: boolean) => Promise<boolean>} tell @param {HTMLElement[]} buttons beside the fields */
export function tankForm(tell, buttons) {
  /** @param {string} id @param {string} words @param {number} size */
  const field = (id, words, size) => h("input", { id, autocomplete: "off", size, inputMode: id === "note" ? "text" : "decimal", "aria-label": words });
  const meters = [field("typed", "Volts as read", 5), field("typed-amps", "Amperes as read", 5), field("typed-bath", "Bath as read", 5)];
  const [note, at] = [field("note", "Note", 14), field("typed-at", "Minutes and seconds of it, now unless given", 5)];
  const boxes = [...meters, note, at];
  const bathUnit = h("span", {}, "°C");
  const read = h("span", { class: "row" }, h("label", {}, meters[0], " V"), h("label", {}, meters[1], " A"), h("label", {}, meters[2], " ", bathUnit));
  const element = h("form", { class: "row", onsubmit: sent }, read, h("label", {}, "note ", note), h("label", { class: "soft" }, "at ", at),
    h("button", { id: "keep" }, "Write down"), ...buttons);

  /** Show the fields of the step that is on. @param {Doc.AtTank} run */
  function show(run) {
    read.hidden = !run.in_acid;
    if (read.hidden) for (const box of meters) box.value = "";
    bathUnit.textContent = state.show === "in" ? "°F" : "°C";
    meters.forEach((each, i) => {
      const value = run[KEYS[i]]?.value;
      each.placeholder = value === undefined ? "" : figures(i === 2 && state.show === "in" ? 1.8 * value + 32 : value, 3);
    });
  }

  /** @param {Event} e */
  async function sent(e) {
    e.preventDefault();
    const units = ["V", "A", state.show === "in" ? "F" : "C"];
    const said = read.hidden ? [] : meters.map((box, i) => withUnit(box.value.trim(), units[i]));
    const words = note.value.trim();
    const line = [...said, words && `note ${words}`].join(" ").trim();
    if (!line || !await tell(`${at.value} ${line}`)) return;
    for (const box of boxes) box.value = "";
    (read.hidden ? note : meters[0]).focus();
  }

  /** The time that was given for what is pressed; "" where it belongs to a reading that is not written down yet. */
  const given = () => (boxes.some((box) => box !== at && box.value.trim()) ? "" : at.value.trim());

  /** Tell a word, of the time given. @param {string} word */
  async function press(word, sure = false) {
    const when = given();
    if (await tell(`${when} ${word}`, sure) && when) at.value = "";
  }

  return { element, show, given, press, focus: () => { meters[0].focus(); } };
}
