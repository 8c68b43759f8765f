// SPDX-License-Identifier: Apache-2.0
// Where everything of a case belongs: the one table of stages, kinds of entry and checks.
// Once a part was fitted the drive is going together again: the same kind of entry then proves
// instead of finding out.
import type { Schemas } from "../ask";
import type { Key } from "../texts";

export type Entry = Schemas["entry"];
export type Kind = Entry["kind"];
export type Finding = Schemas["finding"];
export type Stage =
  | "complaint"
  | "tests"
  | "open"
  | "measure"
  | "decide"
  | "assemble"
  | "prove"
  | "hand-over";

export interface StageRow {
  name: Stage;
  says: Key;
  now: Key;
  why: Key;
  cautions: Key[];
  enters: Kind[]; // what is offered to be entered, most wanted first
  needs: string[]; // checks that must each have passed here before the link is closed
}

export const kStages: StageRow[] = [
  {
    name: "complaint",
    says: "stage_complaint",
    now: "now_complaint",
    why: "why_complaint",
    cautions: [],
    enters: ["complaint", "previous work", "oil", "identification", "attachment", "note"],
    needs: [],
  },
  {
    name: "tests",
    says: "stage_tests",
    now: "now_tests",
    why: "why_tests",
    cautions: ["caution_hot", "caution_fuel", "caution_leak_down"],
    enters: ["codes", "pressure", "scan", "recording", "reading", "observation"],
    needs: ["oil-pressure", "cam-timing"],
  },
  {
    name: "open",
    says: "stage_open",
    now: "now_open",
    why: "why_open",
    cautions: ["caution_start", "caution_springs", "caution_tensioner", "caution_dropped"],
    enters: ["state", "attachment", "marks", "standing", "observation", "step"],
    needs: ["link-counts"],
  },
  {
    name: "measure",
    says: "stage_measure",
    now: "now_measure",
    why: "why_measure",
    cautions: ["caution_springs", "caution_tensioner", "caution_caps"],
    enters: ["reading", "observation", "attachment", "indicator", "valve gap"],
    needs: [],
  },
  {
    name: "decide",
    says: "stage_decide",
    now: "now_decide",
    why: "why_decide",
    cautions: [],
    enters: ["decision", "part"],
    needs: [],
  },
  {
    name: "assemble",
    says: "stage_assemble",
    now: "now_assemble",
    why: "why_assemble",
    cautions: ["caution_start", "caution_tensioner", "caution_caps", "caution_blind", "caution_torque"],
    enters: ["step", "state", "part", "marks", "standing", "torque trace"],
    needs: [],
  },
  {
    name: "prove",
    says: "stage_prove",
    now: "now_prove",
    why: "why_prove",
    cautions: ["caution_start", "caution_no_start", "caution_fuel", "caution_hot"],
    enters: ["state", "marks", "stop", "indicator", "recording", "pressure", "scan", "reading"],
    needs: ["link-counts", "cam-timing", "oil-pressure"],
  },
  {
    name: "hand-over",
    says: "stage_hand_over",
    now: "now_hand_over",
    why: "why_hand_over",
    cautions: [],
    enters: ["note", "part", "attachment"],
    needs: [],
  },
];

type Placed = Stage | { before: Stage; after: Stage };

export const kEntryStage: Record<Kind, Placed> = {
  complaint: "complaint",
  identification: "complaint",
  "previous work": "complaint",
  oil: "complaint",
  codes: { before: "tests", after: "prove" },
  pressure: { before: "tests", after: "prove" },
  recording: { before: "tests", after: "prove" },
  scan: { before: "tests", after: "prove" },
  quick: "tests",
  state: { before: "open", after: "assemble" },
  marks: { before: "open", after: "prove" },
  standing: { before: "open", after: "assemble" },
  stop: { before: "measure", after: "prove" },
  indicator: { before: "measure", after: "prove" },
  "valve gap": { before: "measure", after: "prove" },
  "torque trace": "assemble",
  step: { before: "open", after: "assemble" },
  attachment: { before: "open", after: "hand-over" },
  observation: "measure",
  reading: "measure",
  decision: "decide",
  part: { before: "decide", after: "assemble" },
  note: { before: "complaint", after: "hand-over" },
};

interface CheckRow {
  at: Placed;
  enter: Kind; // what answers it
  quantity?: string; // of a reading
}

const kSensed: Placed = { before: "tests", after: "prove" };
const reading = (quantity: string): CheckRow => ({ at: "measure", enter: "reading", quantity });

export const kChecks: Record<string, CheckRow> = {
  "oil-pressure": { at: kSensed, enter: "pressure" },
  "head-pressure": { at: kSensed, enter: "pressure" },
  "oil-wear": { at: kSensed, enter: "pressure" },
  "pressure-at-reference": { at: kSensed, enter: "pressure" },
  "oil-in-it": { at: kSensed, enter: "oil" },
  "phaser-again": { at: kSensed, enter: "pressure" },
  "phaser-oil": { at: kSensed, enter: "pressure" },
  "tensioner-oil": { at: kSensed, enter: "pressure" },
  "journal-diameter": reading("journal diameter"),
  "bore-diameter": reading("bore diameter"),
  "journal-clearance": reading("journal clearance"),
  "journal-out-of-round": reading("journal diameter"),
  "journal-taper": reading("journal diameter"),
  "end-play": reading("end play"),
  "phaser-lock-play": reading("lock play"),
  "chain-elongation": reading("chain length"),
  "guide-groove": reading("groove depth"),
  "tensioner-sink-time": reading("sink time"),
  "tensioner-extension": reading("tensioner extension"),
  "cam-timing": { at: kSensed, enter: "recording" },
  "timing-meaning": { at: kSensed, enter: "recording" },
  "phase-stability": { at: kSensed, enter: "scan" },
  "phaser-behaviour": { at: kSensed, enter: "recording" },
  "phaser-slew": { at: kSensed, enter: "recording" },
  "no-codes": { at: kSensed, enter: "recording" },
  "sensor-signals": { at: kSensed, enter: "recording" },
  "link-counts": { at: { before: "open", after: "prove" }, enter: "marks" },
  "marks-seen": { at: { before: "open", after: "prove" }, enter: "marks" },
  "top-dead-center": { at: { before: "measure", after: "prove" }, enter: "stop" },
  "lobe-center": { at: { before: "measure", after: "prove" }, enter: "indicator" },
  compression: { at: kSensed, enter: "reading", quantity: "compression" },
  "leak-down": { at: kSensed, enter: "reading", quantity: "leak-down" },
  "torque-trace": { at: "assemble", enter: "torque trace" },
  "fastener-reuse": { at: "assemble", enter: "part" },
  "bolt-length": reading("bolt length"),
  "bolt-diameter": reading("bolt diameter"),
  parts: { at: { before: "decide", after: "assemble" }, enter: "part" },
  "procedure-gates": { at: "prove", enter: "step" },
  "readings-plausible": { at: "measure", enter: "reading" },
  "what-if": { at: "decide", enter: "reading" }, // and all that begins with it
};

// A check that this page does not know yet is shown with the measurements, never left out.
export function check_row(check: string): CheckRow {
  const name = check.startsWith("what-if") ? "what-if" : check;
  return kChecks[name] ?? { at: "measure", enter: "reading" };
}

export function stage_row(name: string | undefined): StageRow | undefined {
  return kStages.find((row) => row.name === name);
}

function placed(at: Placed, is_after: boolean): Stage {
  return typeof at === "string" ? at : is_after ? at.after : at.before;
}

// What is measured with the engine whole belongs to the tests, not to the parts on the bench.
function entry_place(entry: Entry): Placed {
  const is_test = entry.kind === "reading" && Object.values(kChecks).some((row) => row.at === kSensed && row.quantity === entry.quantity);
  return is_test ? kSensed : kEntryStage[entry.kind];
}

// By id, in the order of the entries.
export function stages_of_entries(entries: readonly Entry[]): Map<string, Stage> {
  const stages = new Map<string, Stage>();
  let is_after = false;
  for (const entry of entries) {
    is_after ||= entry.kind === "part" && (entry.action === "fitted" || entry.action === "reused");
    stages.set(entry.id, placed(entry_place(entry), is_after));
  }
  return stages;
}

// A finding proves only when nothing it rests on is older than the fitting. The oil found stands at
// its own stage and does not count.
export function stage_of_finding(finding: Finding, stages: Map<string, Stage>): Stage {
  const { at } = check_row(finding.check);
  if (typeof at === "string") return at;
  const rests_on = finding.evidence.map((id) => stages.get(id));
  return rests_on.includes(at.after) && !rests_on.includes(at.before) ? at.after : at.before;
}

export interface StageState {
  link: "closed" | "broken" | "open";
  says: Key;
  n: number;
}

interface Held {
  entries: readonly Entry[]; // of the stage
  findings: readonly Finding[];
  is_unasked: boolean; // something of the stage was not looked at, or cannot be known
  is_judged: boolean;
}

// A link is closed only by what is proven: with anything open, missing or old it stays open, and
// where nothing is judged, always.
export function stage_state(row: StageRow, held: Held): StageState {
  if (!held.is_judged) return { link: "open", says: "stage_not_judged", n: 0 };
  const of = (verdict: Finding["verdict"]) =>
    held.findings.filter((one) => one.verdict === verdict && !one.forecast).length;
  const [failed, open, passed] = [of("fail"), of("open"), of("pass")];
  if (failed > 0) return { link: "broken", says: "stage_failed", n: failed };
  if (open > 0) return { link: "open", says: "stage_unanswered", n: open };
  if (passed > 0) {
    const is_proven =
      !held.is_unasked &&
      row.needs.every((check) => held.findings.some((one) => one.check === check));
    return is_proven
      ? { link: "closed", says: "stage_passed", n: passed }
      : { link: "open", says: "stage_passed_only", n: passed };
  }
  const n = held.entries.length;
  return { link: "open", says: n > 0 ? "stage_entered" : "stage_nothing", n };
}
