// The plan of what lies on the bench: asked for whenever all that it needs is there and something of it changed.

import * as api from "./api.js";
import { missingOf } from "./way.js";

/** @typedef {import("./desk.js").Desk} Desk */

export class PlanKeeper {
  /** @param {Desk} desk */
  constructor(desk) {
    this.desk = desk;
    /** @type {Doc.Plan | null} */
    this.plan = null;
    /** @type {api.Refused | null} */
    this.refused = null;
    this.latest = ""; // what the bench is
    this.asked = ""; // what a plan was last asked of
    this.answered = ""; // what the plan on show is of
    this.seen = sessionStorage.getItem("read") ?? ""; // what the plan was of when it was read
    desk.listen(() => { this.look(); });
  }

  /** Whether bath and tank are told, and no table is half filled in, so that a plan can be made. */
  get wanted() {
    const { parts, settings } = this.desk.bench;
    return parts.some((p) => p.result && !p.refused) && ["bath", "tank", ...Object.keys(settings.tables)].every((name) => !(name in this.desk.catalogue.tables) || !missingOf(this.desk, name));
  }

  /** Whether the plan on show is of the bench as it is. */
  get current() { return this.latest === this.answered && !this.desk.busy; }

  /** Whether the plan on show was read. */
  get read() { return this.seen === this.answered; }

  /** It is on the screen. */
  reads() {
    if (!this.plan || this.read || !this.current) return;
    this.seen = this.answered;
    sessionStorage.setItem("read", this.seen);
    this.desk.changed();
  }

  /** The mistakes that the plan found, by field: "bath acid" -> what to do. @returns {Map<string, string>} */
  get mistakes() {
    const list = this.refused?.error.mistakes ?? [];
    return new Map(list.map((m) => [m.place.replace(/[[\]]/g, ""), `${m.what}; ${m.remedy}`]));
  }

  look() {
    const { parts, settings } = this.desk.bench;
    this.latest = JSON.stringify([settings.show, settings.density, settings.tables,
      parts.map((p) => [p.view, p.refused?.line, p.count, p.alloy, p.name, p.up])]);
    if (!this.wanted) {
      [this.plan, this.refused, this.asked, this.answered] = [null, null, "", ""];
    } else if (!this.desk.busy && !this.desk.lost && this.latest !== this.asked) this.ask(this.latest);
  }

  /** @param {string} of */
  async ask(of) {
    this.asked = of;
    try {
      const plan = await api.plan();
      if (this.asked !== of) return;
      [this.plan, this.refused, this.answered] = [plan, null, of];
    } catch (refused) {
      if (this.asked !== of) return;
      const { status } = /** @type {api.Refused} */ (refused);
      if (status <= 0) this.asked = "";
      else [this.plan, this.refused, this.answered] = [null, /** @type {api.Refused} */ (refused), of];
    }
    this.desk.changed();
  }
}
