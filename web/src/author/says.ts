// SPDX-License-Identifier: Apache-2.0
// What the program says of a procedure that is being written.
import type { Schemas } from "../ask";
import { block_at, same_name } from "./step_blocks";

export type Authored = Schemas["authored"];
export type Finding = Schemas["authored_finding"];
export type AuthoredStep = Schemas["authored_step"];

export interface Row {
  name: string;
  step: AuthoredStep | undefined; // as it was last readable
  findings: Finding[];
}

// The steps in the order of the program; of a text that cannot be read in the order in which it was
// last readable. What is wrong is counted at the step in whose lines it stands.
export function rows_of(text: string, file: string, now: Authored | undefined, last: Authored | undefined): Row[] {
  const steps = last?.steps ?? [];
  const rows = steps.map((step): Row => ({ name: step.name, step, findings: [] }));
  for (const finding of now?.findings ?? []) {
    const name = finding.step ? now?.steps[finding.step - 1]?.name : finding.file === file ? block_at(text, finding.line)?.name : undefined;
    const row = name === undefined ? undefined : rows.find((one) => same_name(one.name, name));
    row?.findings.push(finding);
  }
  return rows;
}

// What belongs to no single step.
export function rest_of(rows: readonly Row[], now: Authored | undefined): Finding[] {
  const told = new Set(rows.flatMap((row) => row.findings));
  return (now?.findings ?? []).filter((finding) => !told.has(finding));
}

export function count_of(findings: readonly Finding[]): { errors: number; warnings: number } {
  const errors = findings.filter((one) => one.is_error).length;
  return { errors, warnings: findings.length - errors };
}

// Facts of the state after a step that were not there before it, and the other way round.
export function changed(before: readonly string[], after: readonly string[]): { new_ones: string[]; gone: string[] } {
  return {
    new_ones: after.filter((one) => !before.includes(one)),
    gone: before.filter((one) => !after.includes(one)),
  };
}
