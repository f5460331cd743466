// How a part hangs: which way points up, the air that traps, the liquid it carries out, and the part going under.

import * as api from "./api.js";
import { bounds, figures, h, lengthCell, quantity, s, say, state } from "./show.js";

const AXES = ["x+", "x-", "y+", "y-", "z+", "z-"];
const SNAP = Math.cos((5 * Math.PI) / 180); // nearer than 5 degrees to an axis or a bore is taken as that
const NOTHING_MM2 = 0.5;

/** mL of a volume in mm3. */
const millilitres = (mm3) => `${figures(mm3 / 1000, 2)} mL`;

export function hangPanel({ attempt, change, view }) {
  const up = h("select", { id: "up-in-bath", onchange: () => { follow(false); set(up.value); } });
  const line = h("input", { class: "short", placeholder: "wholly under", spellcheck: false, autocomplete: "off",
    onchange: () => change({ liquid_line: line.value.trim() || null }) });
  const turning = h("button", { type: "button", "aria-pressed": "false", onclick: () => {
    follow(!following());
    if (following()) seen();
  } }, "Turn it to hang it");
  const best = h("button", { type: "button", onclick: findWays }, "Find the best way");
  const lineField = h("label", {}, "liquid line ", line);
  const outcome = h("div", { class: "outcome", role: "status" });
  const ways = h("ol", { class: "ways" });
  const pictures = h("ol", { class: "under", "aria-label": "The part going under and lifted out, cut upright" });
  const element = h("section", { class: "hanging", "aria-label": "How it hangs" }, h("h3", {}, "How it hangs in the bath"),
    h("div", { class: "row" }, h("label", {}, "up ", up), turning, best, lineField), outcome, ways, pictures);
  let now = null;
  let drawn = ""; // what the pictures show
  let searching = null;

  const following = () => turning.getAttribute("aria-pressed") === "true";
  const follow = (is) => turning.setAttribute("aria-pressed", String(is));

  function set(to) {
    ways.replaceChildren();
    change(to === "" ? { up: null, liquid_line: null } : { up: to });
  }

  /** Hang it as it is on the screen. */
  function seen() {
    const [x, y, z] = view.up();
    const near = (axis) => axis[0] * x + axis[1] * y + axis[2] * z;
    let words = [x, y, z].map((v) => Number(v.toFixed(4))).join(",");
    for (const bore of bores()) {
      if (-near(bore.axis) > SNAP) words = bore.name;
      if (near(bore.axis) > SNAP) words = `${bore.name} down`;
    }
    AXES.forEach((axis, i) => { if ([x, y, z][i >> 1] * (i & 1 ? -1 : 1) > SNAP) words = axis; });
    if (words !== now?.up) set(words);
  }

  const bores = () => [...new Map((now?.result?.features ?? []).filter((f) => f.axis && f.mouths_mm?.length).map((f) => [f.name, f])).values()];

  async function findWays() {
    if (searching) { searching.abort(); return; }
    const mine = new AbortController();
    searching = mine;
    best.textContent = "Stop looking";
    ways.replaceChildren(h("li", { class: "soft" }, "Trying some hundred ways to hang it …"));
    const found = await attempt(() => api.ways(now.id, mine.signal));
    searching = null;
    best.textContent = "Find the best way";
    ways.replaceChildren(...(found?.ways ?? []).map((way, i) => h("li", {},
      h("button", { type: "button", class: "small", "aria-label": `Hang it so: ${way.words}`, onclick: () => { follow(false); change({ up: way.up.map((v) => Number(v.toFixed(4))).join(",") }); } }, "Hang it so"),
      h("span", {}, i === 0 && h("strong", {}, "best: "), `${way.words}; `, way.airlocked_area_mm2 < NOTHING_MM2 ? "no trapped air" : `${quantity(way.airlocked_area_mm2, "mm2", 3)} bare under ${millilitres(way.trapped_air_mm3)} of air`,
        `, ${way.carried_out_mm3 < 1 ? "nothing" : millilitres(way.carried_out_mm3)} carried out`))));
  }

  function showOutcome(result) {
    if (!result.up) {
      outcome.replaceChildren(h("p", { class: "soft" }, "Air in a bore that opens downward keeps the acid off. Say which way points up, or turn the part as you will hang it."));
      return;
    }
    const dry = result.airlocked_area_mm2;
    const air = result.trapped_air_mm3;
    const bare = Math.max(dry.value, dry.high) >= NOTHING_MM2;
    const leaning = dry.value < NOTHING_MM2 && bare;
    const range = bounds(dry.low, dry.high, "mm2", 3, true);
    outcome.replaceChildren(
      h("p", { class: bare ? "harms" : "" }, h("strong", {}, leaning ? "Air may be trapped: " : bare ? "Trapped air: " : "No trapped air. "),
        bare && `${leaning ? "none if it hangs dead true, else up to " + quantity(dry.high, "mm2", 3) : quantity(dry.value, "mm2", 3) + (range ? ` (${range})` : "")} stays bare`
          + (air.value > 0 ? `, ${millilitres(air.value)} of air. ` : ". "),
        `It carries out ${result.carried_out_mm3 < 1 ? "nothing" : millilitres(result.carried_out_mm3)} besides what clings.`),
      result.pockets.length > 0 && h("ul", { class: "notes" }, result.pockets.slice(0, 6).map((p, i) => h("li", {},
        `air ${i + 1}: ${millilitres(p.volume_mm3)}, ${lengthCell(p.depth_mm)} ${state.show} deep, over ${quantity(p.area_mm2, "mm2", 3)}`
        + (p.vent_width_mm ? `; its way out is ${lengthCell(p.vent_width_mm)} ${state.show} wide` : "")))) || "");
  }

  async function draw() {
    const wanted = now?.result?.up && !now.stage ? `${now.id} ${now.view}` : "";
    if (wanted === drawn) return;
    drawn = wanted;
    if (!wanted) { pictures.replaceChildren(); return; }
    try {
      const made = await api.goingUnder(now.id);
      if (drawn === wanted) pictures.replaceChildren(...made.frames.map((frame) => h("li", {}, picture(made, frame), h("span", { class: "soft" }, frame.words))));
    } catch (refused) {
      if (drawn === wanted) { drawn = ""; if (refused.status > 0 && refused.status !== 404) say(refused.message, "harms"); }
    }
  }

  return {
    element,
    /** The part was turned by hand in the view. */
    turned() { if (following() && now) seen(); },
    following,
    show(given) {
      const other = given?.id !== now?.id;
      now = given;
      element.hidden = !(now?.result && !now.refused);
      if (other) { ways.replaceChildren(); searching?.abort(); follow(false); }
      if (element.hidden) return;
      const options = [["", "not considered"], ...AXES.map((a) => [a, `${a} up`]),
        ...bores().flatMap((b) => (b.mouths_mm.length > 1 ? [[b.name, `${b.name} upright`]] : [[b.name, `${b.name}, mouth up`], [`${b.name} down`, `${b.name}, mouth down`]]))];
      if (now.up && !options.some(([value]) => value === now.up)) options.push([now.up, `${now.up} up`]);
      if (JSON.stringify(options) !== up.dataset.options) {
        up.dataset.options = JSON.stringify(options);
        up.replaceChildren(...options.map(([value, words]) => h("option", { value }, words)));
      }
      up.value = now.up ?? "";
      lineField.hidden = !now.up;
      if (document.activeElement !== line) line.value = now.liquid_line ?? "";
      showOutcome(now.result);
      draw();
    },
  };
}

/** One picture of the strip: metal, liquid and air, y up. */
function picture({ box: [left, bottom, right, top], metal }, { words, liquid, air }) {
  const path = (rings) => rings.map((ring) => `M${ring.map(([x, y]) => `${x - left} ${top - y}`).join("L")}Z`).join("");
  const part = (rings, kind) => (rings.length ? s("path", { d: path(rings), class: kind, "fill-rule": "evenodd", "vector-effect": "non-scaling-stroke" }) : null);
  const told = air.length ? "; air is trapped" : "";
  return s("svg", { viewBox: `0 0 ${right - left} ${top - bottom}`, role: "img", "aria-label": `${words}${told}` },
    part(liquid, "bath"), part(metal, "metal-cut"), part(air, "air"));
}
