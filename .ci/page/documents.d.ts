// What the page's server sends and takes, as cli/page/openapi.json describes it; for the check of types alone.

declare namespace Doc {
  type Estimate = { value: number; low: number; high: number };
  type Refusal = { line: string; where?: string; what?: string; remedy?: string; mistakes?: Mistake[] };
  type Mistake = { place: string; what: string; remedy: string };
  type Note = { code: string; text: string; warns: boolean; us?: string };
  type Choices = Record<string, string[]>;

  interface Feature {
    name: string; kind: string; state: string;
    area_mm2: number; area_low_mm2: number; area_high_mm2: number;
    diameter_mm: number | null; depth_mm: number | null; width_mm?: number; length_mm?: number; axis?: number[] | null; mouths_mm?: number[][];
    steps?: { name: string; kind: string; diameter_mm: number }[];
  }
  interface Pocket { area_mm2: number; volume_mm3: number; depth_mm: number; top_mm: number[]; vent_width_mm: number | null }
  interface Result {
    triangles: number; bodies: number; closed: boolean; size_mm: number[]; because: string[];
    unit: { name: string; how: string }; wetted_area_mm2: Estimate; features: Feature[]; notes: Note[];
    up?: number[]; hung?: string; comes_to?: Told; air?: Told[]; narrow?: { features: string[]; fills: string; helps: string[] }[]; airlocked_area_mm2: Estimate; trapped_air_mm3: Estimate; carried_out_mm3: number; pockets: Pocket[];
    unit_fits?: string[]; too_large: boolean; long_bores: { mm: string; in: string }[]; unused?: { key: string; words: string; line: string }[];
  }
  interface Row { at: string; across: string; corner: string; size: string; line: string; detail: string }
  interface Step { across: string; deep: string; thread: string }
  interface Bore { side: string; end: string; angle: string; chamfer: string; steps: Step[] }
  interface Cells { rows: Row[]; bores: Bore[] }
  interface Sketch { name: string; unit: string; measure: string; outside: string[]; bores: string[] }
  interface Part {
    id: string; name: string; count: number; unit: string | null; choices: Choices; up: string | null;
    liquid_line: string | null; alloy: string | null; sketch: Sketch | null; cells?: Cells | null; revision: number;
    checked?: string[]; result: Result | null; refused: Refusal | null; view: string | null; file: string;
    stage: string | null; share?: number | null; search?: number | null; look?: { view: string | null; area_mm2: number; triangles: number } | null;
  }
  type Tables = Record<string, Record<string, string | number>>;
  interface Settings { revision: number; name: string; density: string; show: "mm" | "in"; tables: Tables }
  type Link = [depth: number, name: string, value: string, how: string, because: string];
  interface Figure extends Estimate { unit: string; name: string; chain: Link[] }
  interface Answer {
    figures: Record<string, Figure>; missing: string; first_look: string[]; without?: string[]; updating?: string[];
    warnings: { weight: string; text: string; code: string }[];
  }
  interface Field { number: string; unit: string; mm?: number | null; litres?: number | null; wrong?: string }
  interface Bench {
    revision: number; parts: Part[]; settings: Settings; answer: Answer; awaited: string[];
    removed: { id: string; name: string }[]; notice: string; fields?: Record<string, Field>;
    history?: { undo: string | null; redo: string | null };
    shop?: Record<string, Record<string, Record<string, string | number>>>;
  }
  interface AtTank {
    run: number; load: string; when: string; ended: boolean; changed: boolean; in_acid: boolean; now_s: number;
    do: string; due_s: number | null; overdue: boolean; then: string; end_s: number | null; planned_end_s: number; planned_a: number; moved: string; early: string; aimed: string;
    current_a: Estimate; volts_v: Estimate | null; bath_c: Estimate; charge_ah: Estimate; film_um: Estimate; wanted_um: number;
    alarms: string[]; cautions: string[]; steps: { name: string; does: string; look_for: string; begun_s: number | null }[];
    readings: { at_s: number; volts_v: number | null; current_a: number | null; temperature_c: number | null; remark: string }[];
  }
  interface Lost { run: number; load: string; when: string; why: string }
  interface TankNow { run: AtTank | null; lost: Lost | null; real: { run: number; load: string; when: string } | null; speed: number; answer?: string }
  interface PlanFigure extends Estimate {
    unit: string; name: string; text: string; bounds: string; chain: Link[];
  }
  interface PlanStep { name: string; does: string; takes: string; minutes: number | null; look_for: string; cautions: string[] }
  interface Rack { says: string; places: { part: string; kind: number; row: number; tier: number; column: number; at_mm: number[]; size_mm: number[] }[]; strands: Strand[]; outlines_mm: number[][][][] }
  interface Strand { piece: string; corners_mm: number[][] }
  interface Rehung { says: string; stops: string[]; warns: string[]; strands: Strand[] }
  interface Plan {
    can_run: boolean; rack: Rack | null; figures: Record<string, PlanFigure>; bores: { says: string }[]; bores_say: string[];
    coating_reason: string;
    faults: { weight: string; kind: string; text: string; part: string; keys: string[]; changes: Record<string, string> }[]; ways_out: { text: string; changes: Record<string, string> }[]; steps: PlanStep[]; cautions: { text: string; source: string }[];
  }
  interface Key {
    name: string; label: string; from_runs: boolean; example: string; help: string; needed: boolean; number: boolean; among: string[]; common: boolean;
    units: string[][];
  }
  interface Catalogue {
    samples: string[]; suffixes: string[]; windows: { name: string; use: string; source: string; least: number; most: number }[];
    tables: Record<string, { help: string; keys: Key[] }>; states: Record<string, { colour: string; words: string }>;
    example: Tables; shades: Record<string, number>; hanging: Record<string, string>;
  }
  interface Run { number: number; when: string; load: string; remark: string; dye: string | null; shade: string | null; bath: string | null; planned_ah: number | null; again: { thickness: string; certainty: string; density: string }; density_a_per_dm2: number; struck: string; unfinished: boolean; came: { run_s: number; charge_ah: number; film_um: number; film_from: string; colour: string | null }; results: { fault: string; colour: string; judged: string; photo: string; remark: string }[] }
  type Told = { mm: string; in: string };
  interface Way { up: number[]; words: string; comes_to: Told; best: boolean }
  type Rings = [number, number][][];
  interface Under { box: number[]; metal: Rings; frames: { words: string; liquid: Rings; air: Rings }[] }
  interface Measured {
    area_mm2?: Estimate; volume_mm3?: number; unit_mm?: number; refused?: Refusal; spots_mm: ([number, number] | null)[];
    segments?: { feature: string; dressed: boolean; points: [number, number][] }[];
  }
}
