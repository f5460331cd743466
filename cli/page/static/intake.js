// Files that come in: chosen, or dropped anywhere on the page; each with a bar and a way to stop it.

import * as api from "./api.js";
import { get, h, say } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */

/** @param {Desk} desk @param {HTMLElement} coming where files on their way are shown */
export function intake(desk, coming) {
  dropping(take);

  /** @param {File[]} files */
  async function take(files) {
    for (const file of files) {
      const bar = h("progress", { max: 1, value: 0, "aria-label": `Reading ${file.name}` });
      const sending = api.upload(file, (share) => { bar.value = share; });
      const card = h("li", {}, h("span", {}, file.name), bar, h("button", { type: "button", class: "small", onclick: sending.stop }, "Stop"));
      coming.append(card);
      const became = await desk.attempt(() => sending.done);
      card.remove();
      if (became?.id) desk.choose(became.id);
      if (became?.awaited) opened(desk, became);
    }
  }

  return { take };
}

/** What a load file that was opened still wants, and what hangs beside it. @param {Desk} desk @param {{awaited?: string[], beside?: string[]}} load */
export function opened(desk, { awaited = [], beside = [] }) {
  const names = desk.bench.parts.filter(({ id }) => beside.includes(id)).map(({ name }) => name);
  say(["The load is open.", awaited.length && `Now drop ${awaited.join(", ")}.`,
    names.length && `${names.join(", ")} stood here before and ${names.length === 1 ? "stays" : "stay"} in the load with it.`].filter(Boolean).join(" "), "note",
  names.length ? { words: "Take off what hung before", do: async () => { for (const id of beside) await desk.attempt(() => api.remove(id)); say("Taken off; Undo puts it back."); } } : null);
}

/** @param {(files: File[]) => void} take */
function dropping(take) {
  const over = get("over");
  let depth = 0;
  const files = (/** @type {DragEvent} */ e) => e.dataTransfer?.types.includes("Files");
  addEventListener("dragenter", (e) => { e.preventDefault(); depth += 1; over.hidden = !files(e) && e.isTrusted; });
  addEventListener("dragleave", () => { depth = Math.max(0, depth - 1); if (!depth) over.hidden = true; });
  addEventListener("dragover", (e) => { e.preventDefault(); });
  addEventListener("drop", (e) => {
    e.preventDefault();
    depth = 0;
    over.hidden = true;
    if (e.dataTransfer?.files.length) take([...e.dataTransfer.files]);
    else say("That was not a file. Drop a part file from a folder.", "harms");
  });
}
