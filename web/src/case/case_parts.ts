// SPDX-License-Identifier: Apache-2.0
// A case and its findings, sorted into the stages.
import type { Schemas } from "../ask";
import { corrections } from "./entry_words";
import type { Judged } from "./judged";
import {
  check_row,
  type Entry,
  type Finding,
  kStages,
  type Stage,
  type StageRow,
  type StageState,
  stage_of_finding,
  stage_state,
  stages_of_entries,
} from "./stages";

export interface CaseParts {
  is_read: boolean; // false: what was entered is not known here
  all: readonly Entry[];
  in_force: Entry[]; // not corrected by a later one
  corrected: Map<string, string>; // id of the corrected -> id of its correction
  receipts: Map<string, Schemas["receipt"]>;
  entries: Map<Stage, Entry[]>;
  findings: Map<Stage, Finding[]>;
  states: Map<Stage, StageState>;
}

export function case_parts(view: Schemas["case_view"] | undefined, judged: Judged): CaseParts {
  const all = view?.case.entries ?? [];
  const stages = stages_of_entries(all);
  const corrected = corrections(all);
  const entries = sorted(all, (entry) => stages.get(entry.id) ?? "complaint");
  const findings = sorted(judged.told?.findings ?? [], (one) => stage_of_finding(one, stages));
  return {
    is_read: view !== undefined,
    all,
    in_force: all.filter((entry) => !corrected.has(entry.id)),
    corrected,
    receipts: new Map((view?.receipts ?? []).flatMap((one) => (one.id ? [[one.id, one]] : []))),
    entries,
    findings,
    states: states_of(entries, findings, judged),
  };
}

function sorted<T>(all: readonly T[], stage_of: (one: T) => Stage): Map<Stage, T[]> {
  const by = new Map<Stage, T[]>(kStages.map((row) => [row.name, []]));
  for (const one of all) by.get(stage_of(one))?.push(one);
  return by;
}

function states_of(
  entries: Map<Stage, Entry[]>,
  findings: Map<Stage, Finding[]>,
  judged: Judged,
): Map<Stage, StageState> {
  // Without one drive nobody knows all that there is to look at.
  const is_known = judged.told?.drives.length === 1;
  const unasked = new Set(
    (judged.told?.not_looked_at ?? []).flatMap(({ check }) => {
      const { at } = check_row(check);
      return typeof at === "string" ? [at] : [at.before, at.after];
    }),
  );
  const state = (row: (typeof kStages)[number]) =>
    stage_state(row, {
      entries: entries.get(row.name) ?? [],
      findings: findings.get(row.name) ?? [],
      is_unasked: !is_known || unasked.has(row.name) || is_left_elsewhere(row, findings),
      is_judged: judged.is_in_force,
    });
  return new Map(kStages.map((row) => [row.name, state(row)]));
}

// What one bank has proven after the fitting proves nothing of the bank that was seen only before.
function is_left_elsewhere(row: StageRow, findings: Map<Stage, Finding[]>): boolean {
  const here = findings.get(row.name) ?? [];
  const place = (one: Finding) => one.subject.replace(/, as found$/, "");
  const is_here = (one: Finding) =>
    here.some((other) => other.check === one.check && place(other) === place(one));
  return [...findings.values()]
    .flat()
    .some((one) => row.needs.includes(one.check) && !is_here(one));
}
