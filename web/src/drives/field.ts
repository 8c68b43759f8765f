// SPDX-License-Identifier: Apache-2.0
// One thing that is asked of a new engine, and a step of them.
import { type Key, t } from "../texts";
import type { Answers } from "./answers";

export interface Field {
  key: string;
  label: string;
  choices?: { value: string; label: string }[];
  example?: string;
  help?: string;
  is_count?: boolean;
  is_unit?: boolean; // the unit of a table, said once
  pieces?: string[]; // what a small keyboard has not
  starts?: boolean; // begins a new group
  row?: { key: string; title: string }; // begins this row of a list, which can be taken away
}

// One tap: these answers are added, a row with what its name says already.
export interface Add {
  label: string;
  sets: Answers;
}

export interface Step {
  key: string;
  title: string;
  help: string;
  fields: Field[];
  adds: Add[];
}

export function field(key: string, label: Key, more: Partial<Field> = {}, values = {}): Field {
  return { key, label: t(label, values), ...more };
}

export function choices(of: Record<string, Key>): { value: string; label: string }[] {
  return Object.entries(of).map(([value, label]) => ({ value, label: t(label) }));
}

// What has a name of its own in the definition, shown as it is.
export function named(all: readonly string[]): { value: string; label: string }[] {
  return all.map((one) => ({ value: one, label: one }));
}

export function units(...all: string[]): Partial<Field> {
  return { is_unit: true, choices: named(all) };
}

export const yes_no = () => choices({ yes: "manual_yes", no: "manual_no" });

// The first field of a row carries its title.
export function row_of(key: string, title: string, fields: Field[]): Field[] {
  return fields.map((each, i) => (i === 0 ? { ...each, starts: true, row: { key, title } } : { ...each, starts: false }));
}
