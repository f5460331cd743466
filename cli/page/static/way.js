// The way through the job: six stations, each done, open or wrong, and what to do next.

import { spelled, titleOf } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./plan_keeper.js").PlanKeeper} PlanKeeper */
/** @typedef {"done" | "open" | "busy" | "wrong"} Is */
/** @typedef {[Is, string, string?, string?]} Found the state, the words, the key of the load, and the part's id */
/** @typedef {{id: string, name: string, is: Is, says: string, key?: string, part?: string}} Station says: what is to be done there, or was; key: of the load that is wrong or missing; part: the id of the one it is about */

export const STATIONS = { part: "Parts", cover: "Plug and mask", hang: "Hang", tank: "Rack and tank", plan: "Plan", run: "Run" };
export const SPOT_MM2 = 1; // a smaller bare spot is not seen, and no fault of the plan
const UNIT = ["unit-implausible", "unit-overruled"]; // notes that doubt the unit

/** Whether a part's note doubts its unit. @param {Doc.Note} note */
export const doubtsUnit = (note) => note.warns && UNIT.includes(note.code);

/** Whether trapped air leaves some of it bare as it hangs. @param {Doc.Part} part */
export const leavesBare = ({ result }) => Boolean(result?.up && result.airlocked_area_mm2.value >= SPOT_MM2);

/** The words that could not be used, of one part. @param {Doc.Part} part @param {boolean} hanging */
export const unused = (part, hanging) => (part.result?.unused ?? []).filter(({ key }) => ["up", "liquid_line"].includes(key) === hanging);

/** @param {Desk} desk @param {PlanKeeper} keeper @returns {Station[]} */
export function wayOf(desk, keeper) {
  const { parts } = desk.bench;
  const good = parts.filter((p) => p.result && !p.refused).sort((a, b) => Number(b === desk.part) - Number(a === desk.part)); // the open one first
  /** @type {[string, (parts: Doc.Part[]) => Found][]} */
  const ways = [["part", () => partIs(desk.bench)], ["cover", coverIs], ["hang", hangIs], ["tank", () => tankIs(desk, keeper)],
    ["plan", () => planIs(keeper)], ["run", () => runIs(desk, keeper)]];
  return ways.map(([id, is]) => {
    const [state, says, key, part] = id === "part" || good.length ? is(good) : /** @type {Found} */ (["open", "Bring a part first."]);
    return { id, name: /** @type {Record<string, string>} */ (STATIONS)[id], is: state, says, key, part };
  });
}

/** The first station that is wrong, the plan's faults aside; else the first that is open. @param {Station[]} stations */
export function nextOf(stations) {
  return stations.find(({ id, is }) => is === "wrong" && id !== "plan") ?? stations.find(({ is }) => is !== "done") ?? null;
}

/** @param {Doc.Bench} bench @returns {Found} */
function partIs({ parts, awaited, answer: { warnings } }) {
  if (!parts.length && !awaited.length) return ["open", "Drop the file of a part, sketch one, or take a sample."];
  const bad = parts.find((p) => p.refused);
  if (bad?.refused) return ["wrong", bad.refused.line];
  const doubtful = parts.find((p) => p.result?.notes.some(doubtsUnit));
  if (doubtful) return ["wrong", `Say what unit ${doubtful.name} is in.`];
  const doubt = warnings.find((w) => w.weight === "harms" && ["", "area-unsure"].includes(w.code));
  if (doubt) return ["wrong", doubt.text];
  if (awaited.length) return ["open", `Drop ${awaited.join(", ")}: the load names ${awaited.length === 1 ? "it" : "them"}.`];
  const busy = parts.find((p) => p.stage || !p.result);
  if (busy) return ["busy", `Measuring ${busy.name}.`];
  return ["done", `${parts.length === 1 ? parts[0].name : `${parts.length} kinds of parts`} measured.`];
}

/** @param {Doc.Part[]} parts @returns {Found} */
function coverIs(parts) {
  const bad = parts.find((p) => unused(p, false).length);
  if (bad) return ["wrong", `${bad.name}: ${unused(bad, false)[0].line}`, undefined, bad.id];
  const open = parts.find((p) => p.result?.features.some((f) => f.kind !== "void" && f.mouths_mm?.length)
    && !Object.values(p.choices).some((list) => list.length) && !(p.checked ?? []).includes("cover"));
  if (open) return ["open", `Plug or mask what ${open.name} must not have coated, or leave all of it wet.`, undefined, open.id];
  return ["done", "Every surface is wet, plugged or masked as you want it."];
}

/** @param {Doc.Part[]} parts @returns {Found} */
function hangIs(parts) {
  const bad = parts.find((p) => unused(p, true).length);
  if (bad) return ["wrong", `${bad.name}: ${unused(bad, true)[0].line}`, undefined, bad.id];
  const bare = parts.filter(leavesBare);
  const unsaid = bare.find((p) => !p.checked?.includes("hang"));
  if (unsaid) return ["wrong", `Trapped air leaves some of ${unsaid.name} bare. Hang it another way, plug the bore, or let it stay bare.`, undefined, unsaid.id];
  const open = parts.find((p) => !p.up);
  if (open) return ["open", `Say which way up ${open.name} hangs.`, undefined, open.id];
  if (bare.length) return ["done", `Trapped air leaves some of ${bare.map((p) => p.name).join(", ")} bare, as you want it.`];
  return ["done", "Every part hangs so that no air is trapped."];
}

/** Whether the load says how thick it is to be coated. @param {Doc.Tables} tables */
export const coatingSaid = ({ finish = {} }) => ["thickness", "shade", "repeat"].some((key) => key in finish);

/** The first key that a table of the load still needs; of a tank its volume, or all of its sizes. @param {Desk} desk @param {string} name @returns {Doc.Key | undefined} */
export function missingOf(desk, name) {
  const table = desk.bench.settings.tables[name] ?? {};
  const sizes = name === "tank" && !("volume" in table) ? ["length", "width", "depth"] : [];
  return desk.catalogue.tables[name].keys.find((key) => (key.needed || sizes.includes(key.name)) && !(key.name in table));
}

/** @param {Desk} desk @param {PlanKeeper} keeper @returns {Found} */
function tankIs(desk, keeper) {
  if (desk.wrong.size && [...desk.wrong.keys()].some((field) => field === "density" || field.includes(" "))) {
    return ["wrong", "A field is not understood: see the line below it."];
  }
  const { tables } = desk.bench.settings;
  const bad = Object.entries(desk.bench.fields ?? {}).find(([, field]) => field.wrong);
  if (bad) return ["wrong", spelled(`${bad[0]}: ${bad[1].wrong}`), bad[0].replace(" ", ".")];
  /** @param {string} name @returns {Found} */
  const wants = (name) => { const key = missingOf(desk, name); return ["open", `Fill in the ${titleOf(name).toLowerCase()}: ${key?.label}.`, `${name}.${key?.name}`]; };
  const half = ["bath", "tank", "cathodes", "supply"].find((name) => (tables[name] || name === "bath" || name === "tank") && missingOf(desk, name));
  if (half) return wants(half);
  const mistakes = [...keeper.mistakes.entries()];
  if (mistakes.length) return ["wrong", spelled(`${mistakes[0][0]}: ${mistakes[0][1]}`), mistakes[0][0].replace(" ", ".")];
  const next = ["cathodes", "supply"].find((name) => !tables[name]);
  if (next) return wants(next);
  const unsaid = desk.catalogue.tables.rack.keys.find(({ name }) => ["metal", "wire"].includes(name) && !(name in (tables.rack ?? {})));
  if (unsaid) return ["open", `Fill in the rack: ${unsaid.label}.`, `rack.${unsaid.name}`];
  if (!coatingSaid(tables)) return ["open", "Say the thickness of the coating, or its shade.", "finish.thickness"];
  return ["done", "Bath, tank, cathodes, power supply and rack are filled in."];
}

/** @param {PlanKeeper} keeper @returns {Found} */
function planIs(keeper) {
  if (!keeper.wanted) return ["open", "The plan appears once bath and tank are filled in."];
  if (!keeper.current) return ["busy", "Working out the plan."];
  if (!keeper.plan) return ["wrong", keeper.refused?.message ?? "There is no plan."];
  const { can_run, faults } = keeper.plan;
  const worst = faults.find((x) => x.weight !== "watch" && x.kind !== "air trapped"); // Hang tells of that
  if (!can_run || worst) return ["wrong", spelled(worst?.text ?? "The load cannot be run as asked.")];
  if (faults.length && !keeper.read) return ["open", `Read the plan: ${faults.length === 1 ? "1 thing" : `${faults.length} things`} to watch.`];
  return ["done", "The plan can be run."];
}

/** @param {Desk} desk @param {PlanKeeper} keeper @returns {Found} */
function runIs(desk, keeper) {
  const written = sessionStorage.getItem("written");
  if (written && written === keeper.answered && keeper.current) return ["done", "This run is in the logbook."];
  return ["open", "Print the sheet, run the load, and write it into the logbook."];
}
