// SPDX-License-Identifier: Apache-2.0
// Which step is shown, what is withheld and why, and the entry that a step makes. Nothing here allows
// anything that the program's own answer, in force, does not.
import type { Verdict } from "../parts/link";
import type { NewEntry, Waiting } from "../state/outbox";
import type { Key } from "../texts";
import type { ProcedureSaid, StepSaid } from "./says";

export interface Standing {
  says: Key;
  verdict: Verdict;
}

// A step as a link of the chain: closed only where nothing is left to be shown.
export function standing(step: StepSaid, waits: boolean): Standing {
  if (waits) return { says: "work_is_waiting", verdict: "open" };
  switch (step.status) {
    case "done":
      return step.gate_open
        ? { says: "work_is_gate_open", verdict: "open" }
        : { says: step.late ? "work_is_done_late" : "work_is_done", verdict: "pass" };
    case "interrupted":
      return { says: "work_is_interrupted", verdict: "fail" };
    case "entered while blocked":
      return { says: "work_is_entered_blocked", verdict: "fail" };
    case "done against its condition":
      return { says: "work_is_against", verdict: "open" };
    case "left out":
      return { says: "work_is_left_out", verdict: "open" };
  }
  return { says: step.missing?.length ? "work_is_blocked" : "work_is_to_do", verdict: "open" };
}

// Steps entered on this device that the program has not taken yet, by name; the last one counts.
export function steps_waiting(waiting: readonly Waiting[]): Map<string, { is_done: boolean }> {
  const steps = new Map<string, { is_done: boolean }>();
  for (const { entry, refused } of waiting)
    if (entry.kind === "step" && !refused) steps.set(entry.step, { is_done: !entry.interrupted });
  return steps;
}

// The one that was asked for; else the interrupted one, else the next one, past those that wait here.
export function shown_step(
  procedure: ProcedureSaid,
  asked: string | undefined,
  waiting: ReadonlyMap<string, { is_done: boolean }> = new Map(),
): StepSaid | undefined {
  const steps = procedure.steps;
  const named = (name: string | undefined) => steps.find((one) => one.name === name);
  const found = named(asked);
  if (found) return found;
  const is_done = (name: string) => waiting.get(name)?.is_done ?? false;
  const begun = [...waiting].reverse().find(([, one]) => !one.is_done)?.[0] ?? procedure.interrupted?.step;
  if (begun !== undefined && !is_done(begun)) return named(begun);
  const next = procedure.next?.find((name) => !is_done(name));
  if (next !== undefined) return named(next);
  const last = named(procedure.next?.at(-1)) ?? named(procedure.last_done);
  const after = steps.slice(last ? steps.indexOf(last) + 1 : 0);
  return after.find((one) => !is_done(one.name)) ?? steps.at(-1);
}

export interface Around {
  why_not: Key | undefined; // why the answer of the work is not in force
  may_turn: boolean; // the turning answer, in force, begins with TURN ONLY
  waiting: ReadonlyMap<string, { is_done: boolean }>;
  steps: readonly StepSaid[];
}

// Done, and nothing of it is left to be shown.
export function is_over(step: StepSaid): boolean {
  return step.status === "done" && !step.gate_open;
}

// What keeps a step from being entered as done now; undefined: nothing.
export function why_not_done(step: StepSaid, around: Around): Key | undefined {
  if (step.turns) {
    if (around.why_not) return "work_no_turn_withheld";
    if (!around.may_turn) return "work_no_turn";
  }
  if (around.why_not && step.gate) return "work_no_gate_withheld";
  const missing = (step.missing ?? []).filter((one) => !(around.why_not && is_given(one.fact, around)));
  return missing.length > 0 ? "work_no_blocked" : undefined;
}

// Through a lost link: by a step that was entered here since the program answered.
function is_given(fact: string, { waiting, steps }: Around): boolean {
  return steps.some(
    (one) =>
      waiting.get(one.name)?.is_done &&
      one.gives.some((give) => fact === give || (one.bank !== undefined && fact === `bank ${one.bank}: ${give}`)),
  );
}

// A gate is passed open, or a condition left open, only by name and reason; never a turn, and never
// where the program knows no override.
export function why_not_against(step: StepSaid, around: Around): Key | undefined {
  if (around.why_not) return "work_no_gate_withheld";
  if (step.turns) return "work_no_override";
  return (step.missing ?? []).some((one) => !one.may_override) ? "work_no_override" : undefined;
}

// What stays open when a step is done against its gate.
export function left_open(step: StepSaid): string[] {
  return (step.missing ?? []).map((one) => one.fact);
}

const person = (name: string) => name.replace(/\./g, "").trim().replace(/\s+/g, " ").toLowerCase();

// A second pair of eyes is somebody else's: neither who is logged in here nor how the entry says it.
export function is_second(name: string, first: readonly (string | undefined)[]): boolean {
  const second = person(name);
  return second !== "" && !first.some((one) => one !== undefined && person(one) === second);
}

export interface Shown {
  tick?: boolean;
  second?: string;
  shown_by?: readonly string[];
  fasteners?: number;
}

export function is_gate_shown(step: StepSaid, shown: Shown, first: readonly (string | undefined)[]): boolean {
  switch (step.gate) {
    case "tick":
      return shown.tick === true;
    case "reading":
    case "photo":
      return (shown.shown_by?.length ?? 0) > 0;
    case "second name":
      return is_second(shown.second ?? "", first);
  }
  return true;
}

export type Done =
  | { how: "done" | "late" | "interrupted" }
  | { how: "against"; reason: string; allowed_by: string };

export function step_entry(step: StepSaid, done: Done, shown: Shown): NewEntry {
  const entry: Record<string, unknown> = { kind: "step", step: step.name };
  if (done.how === "interrupted") entry["interrupted"] = true;
  if (done.how === "late") entry["late"] = true;
  if (done.how !== "interrupted") {
    if (shown.second?.trim() && step.gate === "second name") entry["second_name"] = shown.second.trim();
    if (shown.shown_by?.length) entry["shown_by"] = [...shown.shown_by];
  }
  if (shown.fasteners) entry["fasteners"] = shown.fasteners;
  if (done.how === "against") {
    entry["against_gate"] = done.reason.trim();
    entry["allowed_by"] = done.allowed_by.trim();
  }
  return entry as unknown as NewEntry;
}

// What shows a gate: readings of every kind, or photos; the newest first.
const kShows: Record<string, readonly string[]> = {
  reading: ["reading", "marks", "pressure", "recording"],
  photo: ["attachment"],
};

// Those that another step rests on already stand behind the others.
export function shown_elsewhere(in_force: readonly { kind: string; step?: string | number; shown_by?: readonly string[] }[], step: string): Set<string> {
  return new Set(in_force.flatMap((one) => (one.kind === "step" && one.step !== step ? (one.shown_by ?? []) : [])));
}

export function showing<T extends { kind: string }>(gate: string | undefined, in_force: readonly T[]): T[] {
  const kinds = kShows[gate ?? ""] ?? [];
  return in_force.filter((entry) => kinds.includes(entry.kind)).reverse();
}
