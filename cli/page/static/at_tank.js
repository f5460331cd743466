// The run at the tank, in large type: clock, what to do now, what the meters should show, readings, alarms.
// The server's logbook holds all of it: a page that is opened again, or a server that is started again, goes on.

import * as api from "./api.js";
import { resultForm } from "./logbook_list.js";
import { figures, h, redraw, spelled } from "./show.js";
import { tankForm } from "./tank_form.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./plan_keeper.js").PlanKeeper} PlanKeeper */

const [LOOK_MS, TICK_MS, LATE_MS] = [1000, 250, 5000];
const WHOLE = 0.9; // of the coating wanted: with less a run broke off
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

/** A value as a meter shows it: to hundredths, of currents below 1 A to three figures. @param {Doc.Estimate} e @param {boolean} fine */
const metered = (e, fine) => (fine ? e : grown(e));

/** What a meter should show. @param {Doc.AtTank} run @param {"volts_v" | "current_a" | "bath_c"} key @param {string} unit */
function expected(run, key, unit) {
  const e = run[key];
  return e ? bounds(metered(e, run.planned_a < 1), unit) : `not foretold below ${figures(run.planned_a / 2, 2)} A`;
}

/** The time of day in so many seconds. @param {number} s */
const dayTime = (s) => new Date(Date.now() + 1000 * s).toTimeString().slice(0, 8);

/** The meters: what is expected now, what was read last, and the coating. @param {Doc.AtTank} run */
function table(run) {
  const coating = h("tr", {}, h("th", { scope: "row" }, "Coating"), h("td", { colSpan: 3 }, `${bounds(grown(run.film_um), "µm")}; ${run.aimed ? spelled(run.aimed) : `${figures(run.wanted_um, 3)} µm wanted`}`));
  if (!run.in_acid) return [h("tbody", {}, coating)]; // no current flows
  const read = run.readings.filter((each) => METERS.some(([, , key]) => each[key] !== null)).at(-1);
  const rows = METERS.map(([name, key, was, unit]) => h("tr", {}, h("th", { scope: "row" }, name), h("td", {}, expected(run, key, unit)),
    h("td", {}, read && read[was] !== null ? `${figures(read[was], 4)} ${unit}` : "")));
  return [h("thead", {}, h("tr", {}, h("td", {}), h("th", { scope: "col" }, "expected now"), h("th", { scope: "col" }, read ? `read at ${intoRun(read.at_s)}` : "read"))),
    h("tbody", {}, ...rows, coating)];
}

/** The number of the step that is on. @param {Doc.AtTank} run */
const stepOn = ({ steps }) => steps.filter((step) => step.begun_s !== null).length - 1;

/** The clock of the step that is on, and the time left, so many seconds after the server told. @param {Doc.AtTank} run @param {number} speed @param {number} gone_s */
function timeOf(run, speed, gone_s) {
  const { in_acid, steps, due_s, end_s } = run;
  const run_s = run.now_s + speed * gone_s;
  const due = in_acid ? end_s : due_s;
  const left_s = (due ?? 0) - run_s;
  const at = speed > 1 ? "" : `, ${in_acid ? "off at" : "until"} ${dayTime(left_s)}`;
  const words = left_s < 0 ? `was due ${clock(-left_s)} ago` : `${clock(left_s)} left${at}`;
  const isStale = due_s !== null && run.now_s < due_s && run_s >= due_s; // what to do is another by now
  return { clock: clock(run_s - (steps[stepOn(run)]?.begun_s ?? 0)), left: due === null ? "" : words, isOver: left_s < 0, isStale };
}

/** When what comes next, and of which run. @param {Doc.AtTank} run @param {number} speed */
function untilWords(run, speed) {
  const isEnd = run.in_acid && run.end_s !== null && Math.abs((run.due_s ?? 0) - run.end_s) < 1; // told as the time to switch off
  const then = run.then && !run.overdue && !isEnd ? (run.in_acid && run.due_s !== null ? `until ${intoRun(run.due_s)}, then: ` : "Then: ") + `${spelled(run.then)}. ` : "";
  const off = run.in_acid && run.end_s !== null ? `${run.overdue ? "The current was due off" : "Switch off"} at ${intoRun(run.end_s)}${run.moved ? ` (planned ${intoRun(run.planned_end_s)}: ${spelled(run.moved)})` : ""}. ` : "";
  return `${then}${off}${speed > 1 ? `A rehearsal of ${run.load}, ${speed} times as fast: the logbook gets nothing of it.` : `Run ${run.run}, ${run.load}.`}`;
}

/** @param {Doc.AtTank} run @param {string} done @param {string} next @param {string} given the time typed for it */
const doneWords = (run, done, next, given) => `${run.in_acid ? `The current ${given ? "went" : "is"} off` : `${done.charAt(0).toUpperCase()}${done.slice(1)} is done`}${given && ` at ${given} of the run`}${next ? `: next, ${next}` : ""}`;

/** What was read and noted. @param {Doc.AtTank["readings"][number]} read */
const readWords = (read) => `${[...METERS.map(([, , key, unit]) => (read[key] === null ? "" : `${figures(read[key] ?? 0, 4)} ${unit}`)), read.remark].filter(Boolean).join(", ")} at ${intoRun(read.at_s)}`;

/** Every line written down, with a button that takes it back. @param {HTMLElement} lines @param {Doc.AtTank} run @param {(line: string) => Promise<boolean>} tell */
function showLines(lines, { readings }, tell) {
  lines.hidden = !readings.length;
  redraw(lines, JSON.stringify(readings), () => [h("summary", {}, "All that was written down"), h("ul", {}, [...readings].reverse().map((read) => h("li", {}, readWords(read), " ",
    h("button", { type: "button", class: "plain", "aria-label": `Take back ${readWords(read)}`, onclick: () => tell(`${clock(Math.floor(read.at_s))} undo`) }, "take back"))))]);
}

/** All that was written down in a rehearsal, once it is over. @param {Doc.AtTank} run */
const practisedLines = ({ readings }) => (readings.length ? [h("summary", {}, "What you wrote down in the rehearsal"), h("ul", {}, readings.map((read) => h("li", {}, readWords(read))))] : []);

/** What to do in the step after the acid. @param {Doc.AtTank} run */
function doesWords(run) {
  const step = run.in_acid ? null : run.steps[stepOn(run)];
  return step ? spelled(`${step.does}${step.look_for ? ` Look for: ${step.look_for}` : ""}`) : "";
}

/** What the end of a run is asked with. @param {Doc.AtTank} run @param {boolean} rehearsed */
function endWords(run, rehearsed) {
  const end_s = run.end_s ?? run.now_s;
  const minutes = Math.round((end_s - run.now_s) / 60);
  const words = !run.in_acid || !minutes ? "" : minutes > 0 ? `The current has ${minutes} min to go. `
    : `The current was due off ${-minutes} min ago: if it went off then, cancel, write ${clock(end_s)} beside ‘at’, and end it again. `;
  return rehearsed ? `End the rehearsal? ${words}The logbook has nothing of it.` : `End run ${run.run}? ${words}Its readings stay in the logbook.`;
}

/** What `undo` would take back: the last reading, or the step begun after it. @param {Doc.AtTank} run */
function lastOf({ steps, readings }) {
  const step = steps.slice(1).filter((each) => each.begun_s !== null).at(-1);
  const read = readings.at(-1);
  if (step && !(read && read.at_s > (step.begun_s ?? 0))) return `${step.name} begun at ${intoRun(step.begun_s ?? 0)}`;
  return read ? readWords(read) : "";
}

/** What to know where the run at the tank is not of the load on the bench; "" where it is. @param {Doc.AtTank} run @param {Desk} desk @param {PlanKeeper} keeper */
function otherLoad(run, desk, keeper) {
  if (!desk.told) return "";
  const { name } = desk.bench.settings;
  const mine = keeper.plan?.figures.current?.value;
  const alike = run.load === name && (mine === undefined || Math.abs(mine - run.planned_a) <= 1e-3 * mine);
  return alike ? "" : `Run ${run.run} of another load is at the tank: ‘${run.load}’ with ${figures(run.planned_a, 3)} A; on the bench is ‘${name}’${mine === undefined ? "" : ` with ${figures(mine, 3)} A`}. `
    + `What is told here is of run ${run.run}. Before you begin the load on the bench, end run ${run.run}.`;
}

/** A bell that rings once a hand has touched the page: browsers let none sound before. */
function newBell() {
  /** @type {AudioContext | null} */
  let sound = null;
  const touched = () => { sound ??= "AudioContext" in window ? new AudioContext() : null; };
  function ring() {
    if (!sound) return;
    const [tone, volume] = [sound.createOscillator(), sound.createGain()];
    volume.gain.value = 0.2;
    tone.connect(volume).connect(sound.destination);
    tone.frequency.value = 880;
    tone.start();
    tone.stop(sound.currentTime + 0.4);
  }
  return { touched, ring };
}

/** @param {Desk} desk @param {PlanKeeper} keeper @param {HTMLElement} over what came of a run that has ended @param {(run: number, mine: boolean, rehearsed: boolean) => void} ended told once the run is over */
export function atTank(desk, keeper, over, ended) {
  const begin = h("button", { type: "button", id: "begin", onclick: begun }, "The current is on: begin the run");
  const time = h("p", { class: "tank-clock", role: "timer", "aria-label": "Time of the step" });
  const left = h("p", { class: "tank-left" });
  const doing = h("p", { class: "tank-do", role: "status" });
  const does = h("p", { class: "tank-until", id: "step-does" });
  const until = h("p", { class: "tank-until" });
  const alarms = h("div", { role: "alert" });
  const meters = h("table", { class: "tank-meters" });
  const stepDone = h("button", { type: "button", id: "step-done", onclick: () => form.press("next") });
  const takeBack = h("button", { type: "button", class: "plain", id: "take-back", onclick: () => tell("undo") });
  const lines = h("details", {});
  const form = tankForm(tell, [takeBack, h("button", { type: "button", class: "plain", id: "run-over", onclick: endRun }, "End the whole run")]);
  const refused = h("p", { class: "tank-ask", id: "not-taken", role: "status" });
  const answer = h("p", { id: "taken", role: "status" });
  const result = h("div", { id: "tank-result" });
  const cautions = h("ul", { class: "notes harms" });
  const other = h("p", { class: "harms", id: "other-load" });
  const live = h("div", { class: "tank-live", hidden: true }, h("div", {}, time, left), h("div", {}, doing, stepDone, does, until, alarms), other, meters, form.element, refused, answer, lines, result, cautions);
  const lost = h("div", { class: "harms", id: "lost-run" });
  const real = h("p", { class: "harms", id: "real-run" });
  const practised = h("details", { id: "practised", open: true });
  const before = h("div", { class: "row" }, over, practised, lost, begin, h("span", { class: "soft" }, "Press it as you switch on: it starts the clock of the run and takes your readings."));
  const element = h("section", { id: "at-tank", "aria-label": "At the tank" }, real, before, live);
  const bell = newBell();
  /** @type {Doc.AtTank | null} */
  let now = null;
  let [rung, asking, alone] = ["", false, false];
  let [got_ms, speed] = [0, 1]; // when the run was told, and how fast its clock goes

  setInterval(look, LOOK_MS);
  setInterval(tick, TICK_MS);
  desk.listen(() => { begin.disabled = !(keeper.plan?.can_run && keeper.current); });
  look();

  async function look() {
    if (asking || (!now && element.closest("[hidden]"))) return;
    asking = true;
    try { show(await api.atTank()); } catch { alone = true; }
    asking = false;
  }

  /** The clock goes on by itself between two answers of the server, and without them. */
  function tick() {
    if (!now) return;
    const told = timeOf(now, speed, (performance.now() - got_ms) / 1000);
    time.textContent = told.clock;
    left.textContent = told.left;
    alone ||= performance.now() - got_ms > LATE_MS;
    live.classList.toggle("alone", alone);
    if (told.isStale) look();
    if (!alone) return;
    until.textContent = "The server does not answer: this clock goes on by itself; readings cannot be written down.";
    if (told.isOver && now.in_acid) doing.textContent = "Switch off now, at the power supply";
  }

  /** @param {Doc.TankNow} found */
  function show({ run, lost: gone, real: earnest, speed: fast }) {
    const was = now;
    [now, speed, got_ms, alone] = [run, fast, performance.now(), false];
    const on = run ? { do: spelled(run.do), mine: !otherLoad(run, desk, keeper), step: stepOn(run), steps: run.steps.length } : null;
    if (JSON.stringify(on) !== JSON.stringify(desk.atTank)) { desk.atTank = on; desk.changed(); }
    redraw(real, JSON.stringify(earnest), () => (earnest ? [`Run ${earnest.run}, ‘${earnest.load}’, goes on at the tank since ${earnest.when.slice(11, 16)}: this page rehearses and does not touch it. To follow it, start the page without --speed.`] : []));
    if (was && !run && speed > 1) practised.replaceChildren(...practisedLines(was));
    if (was && !run) ended(was.run, !otherLoad(was, desk, keeper) && was.film_um.value > WHOLE * was.wanted_um, speed > 1);
    [live.hidden, before.hidden, begin.hidden] = [!run, Boolean(run), Boolean(gone)];
    redraw(lost, JSON.stringify(gone), () => (gone ? [h("p", {}, `Run ${gone.run}, ‘${gone.load}’, begun ${gone.when.slice(0, 16).replace("T", " ")}, is at the tank and cannot be followed here: ${gone.why}. `),
      h("button", { type: "button", id: "end-lost", onclick: () => endLost(gone.run) }, `End run ${gone.run}`)] : []));
    if (!run) { rung = ""; return; }
    over.textContent = practised.textContent = "";
    doing.textContent = spelled(run.do);
    doing.classList.toggle("due", run.overdue);
    does.textContent = doesWords(run);
    until.textContent = untilWords(run, speed);
    redraw(alarms, JSON.stringify([run.alarms, run.early]), () => [...run.alarms.map((words) => h("p", { class: "tank-alarm" }, spelled(words))),
      run.early && h("p", { class: "tank-alarm", id: "off-early" }, `${run.early} `, h("button", { type: "button", onclick: () => tell("on") }, "The current is still on"))]);
    redraw(cautions, JSON.stringify(run.cautions), () => run.cautions.map((words) => h("li", {}, spelled(words))));
    const [done, next] = [stepOn(run), stepOn(run) + 1].map((i) => run.steps[i]?.name ?? "");
    stepDone.textContent = doneWords(run, done, next, form.given());
    stepDone.hidden = !done;
    form.show(run);
    const last = !next && speed === 1;
    redraw(result, JSON.stringify([last, run.run]), () => (last && desk.told ? [resultForm(desk, { number: run.run, remark: "" }, () => { result.replaceChildren(); })] : []));
    const back = lastOf(run);
    takeBack.hidden = !back;
    takeBack.textContent = `Take back: ${back}`;
    redraw(meters, JSON.stringify([run.readings.length, run.now_s]), () => table(run));
    showLines(lines, run, tell);
    const words = otherLoad(run, desk, keeper);
    redraw(other, words, () => (words ? [`${words} `, h("button", { type: "button", class: "small", onclick: endRun }, `End run ${run.run}`)] : []));
    const told = JSON.stringify([run.do, run.alarms]);
    if (rung && rung !== told) bell.ring();
    rung = told;
  }

  /** @param {string} line */
  async function tell(line, sure = false) {
    bell.touched();
    try {
      refused.textContent = answer.textContent = "";
      const found = await api.tellTank(line.trim(), sure);
      show(found);
      (found.run ? answer : over).textContent = spelled(found.answer ?? "");
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
    bell.touched();
    const words = begin.textContent;
    [begin.disabled, begin.textContent] = [true, "Starting …"];
    const found = await desk.attempt(api.beginRun);
    [begin.disabled, begin.textContent] = [false, words];
    if (found) { show(found); form.focus(); }
  }

  async function endRun() {
    if (now && confirm(endWords(now, speed > 1))) await form.press("end", true);
  }

  return element;
}
