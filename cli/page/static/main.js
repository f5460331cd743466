// The page: asks for the bench, shows it, and asks again as soon as anything on it changes.

import * as api from "./api.js";
import { showAnswer } from "./answer_strip.js";
import { loadForm } from "./load_form.js";
import { partPanel } from "./part_panel.js";
import { planPanel } from "./plan_panel.js";
import { rackList } from "./rack_list.js";
import { say, state } from "./show.js";
import { theme } from "./theme.js";

const page = { bench: null, catalogue: null, chosen: null, plan: null };
let rack, panel, form, plans;

/** Do something that changes the bench; a refusal is said, a clash with another window shows what is there now. */
async function attempt(doing) {
  try {
    return await doing();
  } catch (refused) {
    if (refused.status === -1) return null;
    say(refused.message, "harms");
    if (refused.bench) show(refused.bench);
    return null;
  }
}

function choose(id) {
  page.chosen = id;
  sessionStorage.setItem("chosen", id ?? "");
  render();
}

function show(bench) {
  if (page.bench && bench.revision < page.bench.revision) return;
  page.bench = bench;
  state.show = bench.settings.show;
  if (!bench.parts.some((p) => p.id === page.chosen)) page.chosen = bench.parts.at(-1)?.id ?? null;
  render();
  if (bench.notice) say(bench.notice, "harms");
}

function render() {
  const { bench, chosen } = page;
  if (!bench) return;
  for (const radio of document.querySelectorAll('input[name="show"]')) radio.checked = radio.value === state.show;
  rack.show(bench, chosen);
  panel.show(bench.parts.find((p) => p.id === chosen) ?? null);
  form.show(bench.settings);
  plans.show(bench);
  showAnswer(bench.answer, plans.found());
}

async function follow() {
  let wait = 0;
  for (;;) {
    try {
      const found = await api.bench(page.bench?.revision ?? 0, wait);
      if (found) show(found);
      wait = 25;
    } catch (refused) {
      say(refused.message, "harms");
      await new Promise((done) => setTimeout(done, 3000));
      wait = 0;
      if (page.bench) page.bench.revision = 0;
    }
  }
}

async function start() {
  theme(document.getElementById("theme"));
  const strip = document.querySelector(".strip");
  new ResizeObserver(() => document.documentElement.style.setProperty("--strip", `${strip.offsetHeight}px`)).observe(strip);
  try {
    page.catalogue = await api.catalogue();
  } catch (refused) {
    say(refused.message, "harms");
    return;
  }
  page.chosen = sessionStorage.getItem("chosen") || null;
  const tools = { attempt, choose, catalogue: page.catalogue, bench: () => page.bench };
  rack = rackList(tools);
  panel = partPanel(tools);
  form = loadForm(tools);
  plans = planPanel(tools, () => showAnswer(page.bench.answer, plans.found()), form.wrong);
  for (const radio of document.querySelectorAll('input[name="show"]')) {
    radio.addEventListener("change", () => attempt(() => api.settings(page.bench.settings.revision, { show: radio.value })));
  }
  await follow();
}

start();
