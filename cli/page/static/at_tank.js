// The run at the tank, in large type: clock, what to do now, what the meters should show, readings, alarms.
// The server's logbook holds all of it: a page that is opened again, or a server that is started again, goes on.

import * as api from "./api.js";
import { figures, h, redraw, spelled } from "./show.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./plan_keeper.js").PlanKeeper} PlanKeeper */

const LOOK_MS = 1000;
const METERS = /** @type {const} */ ([["Volts", "volts_v", "volts_v", "V"], ["Amperes", "current_a", "current_a", "A"], ["Bath", "bath_c", "temperature_c", "°C"]]);

/** Minutes and seconds. @param {number} s */
const clock = (s) => `${Math.floor(Math.round(s) / 60)}:${String(Math.round(s) % 60).padStart(2, "0")}`;

/** Minutes and seconds in words, which no one takes for the time of day. @param {number} s */
function intoRun(s) {
  const [minutes, seconds] = [Math.floor(Math.round(s) / 60), Math.round(s) % 60];
  return [minutes && `${minutes} min`, (seconds || !minutes) && `${seconds} s`].filter(Boolean).join(" ");
}

/** A value with its least and most. @param {Doc.Estimate} e @param {string} unit */
function bounds(e, unit) {
  const [low, value, high] = [e.low, e.value, e.high].map((x) => figures(x, 3));
  return low === high ? `${value} ${unit}` : `${value} ${unit} (${low} to ${high})`;
}

/** A coating to the hundredth of a micrometre. @param {Doc.Estimate} e */
const grown = ({ low, value, high }) => { const [a, b, c] = [low, value, high].map((um) => Math.round(um * 100) / 100); return { low: a, value: b, high: c }; };

/** @param {Doc.Estimate | null} e null: low in the ramp @param {string} unit */
const due = (e, unit) => (e ? bounds(e, unit) : "known from half the current on");

/** The meters: what is expected now, what was read last, and the coating. @param {Doc.AtTank} run */
function table(run) {
  const coating = h("tr", {}, h("th", { scope: "row" }, "Coating"), h("td", { colSpan: 2 }, `${bounds(grown(run.film_um), "µm")} of ${figures(run.wanted_um, 3)} wanted`));
  if (!run.in_acid) return [h("tbody", {}, coating)]; // no current flows
  const read = run.readings.at(-1);
  const rows = METERS.map(([name, key, was, unit]) => h("tr", {}, h("th", { scope: "row" }, name), h("td", {}, due(run[key], unit)),
    h("td", {}, read && read[was] !== null ? `${figures(read[was], 4)} ${unit}` : "")));
  return [h("thead", {}, h("tr", {}, h("td", {}), h("th", { scope: "col" }, "expected now"), h("th", { scope: "col" }, read ? `read at ${intoRun(read.at_s)}` : "read"))),
    h("tbody", {}, ...rows, coating)];
}

/** The step that is on, and the one after it. @param {Doc.AtTank} run */
function stepsOf({ steps }) {
  const on = steps.filter((step) => step.begun_s !== null).length - 1;
  return [steps[on], steps[on + 1]].map((step) => (step ? step.name : ""));
}

/** What `undo` would take back: the last reading, or the step begun after it. @param {Doc.AtTank} run */
function lastOf({ steps, readings }) {
  const step = steps.slice(1).filter((each) => each.begun_s !== null).at(-1);
  const read = readings.at(-1);
  if (step && !(read && read.at_s > (step.begun_s ?? 0))) return `${step.name} begun at ${intoRun(step.begun_s ?? 0)}`;
  const meters = read && METERS.map(([, , key, unit]) => (read[key] === null ? "" : `${figures(read[key] ?? 0, 4)} ${unit}`)).filter(Boolean).join(", ");
  return read ? `${meters || read.remark} at ${intoRun(read.at_s)}` : "";
}

/** @param {Desk} desk @param {PlanKeeper} keeper @param {(mine: boolean) => void} ended told once the run is over */
export function atTank(desk, keeper, ended) {
  const begin = h("button", { type: "button", id: "begin", onclick: begun }, "The current is on: begin the run");
  const time = h("p", { class: "tank-clock", role: "timer", "aria-label": "Time of the run" });
  const doing = h("p", { class: "tank-do", role: "status" });
  const until = h("p", { class: "tank-until" });
  const alarms = h("div", { role: "alert" });
  const meters = h("table", { class: "tank-meters" });
  const typed = h("input", { id: "typed", autocomplete: "off", inputMode: "text", "aria-label": "Volts, amperes and bath as read", placeholder: "volts amperes bath: 17.9 3 20.1" });
  const stepDone = h("button", { type: "button", id: "step-done", onclick: () => tell("next") });
  const takeBack = h("button", { type: "button", class: "plain", id: "take-back", onclick: () => tell("undo") });
  const form = h("form", { class: "row", onsubmit: sent }, typed, h("button", { id: "keep" }, "Write down"),
    stepDone, takeBack, h("button", { type: "button", class: "plain", id: "run-over", onclick: over }, "End the whole run"));
  const refused = h("p", { class: "harms", id: "not-taken", role: "status" });
  const answer = h("p", { id: "taken", role: "status" });
  const cautions = h("ul", { class: "notes harms" });
  const other = h("p", { class: "harms", id: "other-load" });
  const live = h("div", { class: "tank-live", hidden: true }, other, time, h("div", {}, doing, until, alarms), meters, form, refused, answer, cautions);
  const lost = h("div", { class: "harms", id: "lost-run" });
  const before = h("div", { class: "row" }, lost, begin, h("span", { class: "soft" }, "Press it as you switch on: it starts the clock of the run and takes your readings."));
  const element = h("section", { id: "at-tank", "aria-label": "At the tank" }, before, live);
  /** @type {AudioContext | null} */
  let sound = null;
  let rung = "";
  let asking = false;
  /** @type {Doc.AtTank | null} */
  let now = null;

  setInterval(look, LOOK_MS);
  desk.listen(() => { begin.disabled = !(keeper.plan?.can_run && keeper.current); });
  look();

  async function look() {
    if (asking || element.closest("[hidden]")) return;
    asking = true;
    try { show(await api.atTank()); } catch (bad) { if (!desk.lost) refused.textContent = /** @type {Error} */ (bad).message; }
    asking = false;
  }

  /** @param {Doc.TankNow} found */
  function show({ run, lost: gone, speed }) {
    const was = now;
    now = run;
    if (was && !run) ended(!otherLoad(was));
    live.hidden = !run;
    before.hidden = Boolean(run);
    begin.hidden = Boolean(gone);
    redraw(lost, JSON.stringify(gone), () => (gone ? [h("p", {}, `Run ${gone.run}, ‘${gone.load}’, begun ${gone.when.slice(0, 16).replace("T", " ")}, is at the tank and cannot be followed here: ${gone.why}. `),
      h("button", { type: "button", id: "end-lost", onclick: () => endLost(gone.run) }, `End run ${gone.run}`)] : []));
    if (!run) { rung = ""; return; }
    time.textContent = clock(run.now_s);
    doing.textContent = spelled(run.do);
    doing.classList.toggle("due", run.overdue);
    const isEnd = run.in_acid && Math.abs((run.due_s ?? 0) - run.end_s) < 1; // told as the time to switch off
    const left = run.due_s === null || run.overdue || isEnd ? "" : `until ${intoRun(run.due_s)}${run.then ? `, then: ${spelled(run.then)}` : ""}. `;
    const off = run.in_acid ? `Switch off at ${intoRun(run.end_s)}${run.moved ? ` (planned ${intoRun(run.planned_end_s)}: ${spelled(run.moved)})` : ""}. ` : "";
    until.textContent = `${left}${off}Run ${run.run}, ${run.load}.${speed > 1 ? ` A rehearsal, ${speed} times as fast.` : ""}`;
    redraw(alarms, JSON.stringify(run.alarms), () => run.alarms.map((words) => h("p", { class: "tank-alarm" }, spelled(words))));
    redraw(cautions, JSON.stringify(run.cautions), () => run.cautions.map((words) => h("li", {}, spelled(words))));
    const [done, next] = stepsOf(run);
    stepDone.textContent = `${run.in_acid ? "The current is off" : `${done[0].toUpperCase()}${done.slice(1)} is done`}${next ? `: next, ${next}` : ""}`;
    stepDone.hidden = !done;
    typed.placeholder = run.in_acid ? `V A °C: ${figures(run.volts_v?.value ?? 15, 3)} ${figures(run.current_a.value, 3)} ${figures(run.bath_c.value, 3)}` : "note …";
    const back = lastOf(run);
    takeBack.hidden = !back;
    takeBack.textContent = `Take back: ${back}`;
    redraw(meters, JSON.stringify([run.readings.length, run.now_s]), () => table(run));
    const words = otherLoad(run);
    redraw(other, words, () => (words ? [`${words} `, h("button", { type: "button", class: "small", onclick: over }, `End run ${run.run}`)] : []));
    const told = JSON.stringify([run.do, run.alarms]);
    if (rung && rung !== told) ring();
    rung = told;
  }

  /** What to know where the run at the tank is not of the load on the bench; "" where it is. @param {Doc.AtTank} run */
  function otherLoad(run) {
    if (!desk.told) return "";
    const { name } = desk.bench.settings;
    const mine = keeper.plan?.figures.current?.value;
    const alike = run.load === name && (mine === undefined || Math.abs(mine - run.planned_a) <= 1e-3 * mine);
    return alike ? "" : `Run ${run.run} of another load is at the tank: ‘${run.load}’ with ${figures(run.planned_a, 3)} A; on the bench is ‘${name}’${mine === undefined ? "" : ` with ${figures(mine, 3)} A`}. `
      + `What is told here is of run ${run.run}. Before you begin the load on the bench, end run ${run.run}.`;
  }

  function ring() {
    if (!sound) return;
    const [tone, volume] = [sound.createOscillator(), sound.createGain()];
    volume.gain.value = 0.2;
    tone.connect(volume).connect(sound.destination);
    tone.frequency.value = 880;
    tone.start();
    tone.stop(sound.currentTime + 0.4);
  }

  /** @param {string} line */
  async function tell(line, sure = false) {
    sound ??= "AudioContext" in window ? new AudioContext() : null; // a browser lets a page sound once it was touched
    try {
      refused.textContent = answer.textContent = "";
      const found = await api.tellTank(line, sure);
      show(found);
      answer.textContent = spelled(found.answer ?? "");
      return true;
    } catch (bad) {
      refused.textContent = spelled(/** @type {Error} */ (bad).message);
      return false;
    }
  }

  /** @param {number} run whose load cannot be opened any more */
  async function endLost(run) {
    if (confirm(`End run ${run} now? Its readings stay in the logbook.`)) await tell("end", true);
  }

  async function begun() {
    sound ??= "AudioContext" in window ? new AudioContext() : null;
    const found = await desk.attempt(api.beginRun);
    if (found) { show(found); typed.focus(); }
  }

  /** @param {Event} e */
  async function sent(e) {
    e.preventDefault();
    if (await tell(typed.value)) typed.value = "";
    typed.focus();
  }

  async function over() {
    if (!now) return;
    const left = Math.round((now.end_s - now.now_s) / 60);
    const words = !now.in_acid || !left ? "" : left > 0 ? `The current has ${left} min to go. `
      : `The current was due off ${-left} min ago: if it went off then, cancel, and write down ${clock(now.end_s)} end. `;
    if (confirm(`End run ${now.run}? ${words}Its readings stay in the logbook.`)) await tell("end", true);
  }

  return element;
}
