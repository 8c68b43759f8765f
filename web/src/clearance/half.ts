// SPDX-License-Identifier: Apache-2.0
// What is half typed in the forms of the clearance: it stays with the draft, under a name that no entry
// has, and never goes out. What would be lost by entering now is said instead.
import type { Values } from "../enter/form";
import { number_words, said } from "../said/said";
import { t } from "../texts";
import type { Pair } from "./stop_rows";

export type Way = "right" | "early" | "late";
export type Mode = "pairs" | "table";
export interface Row {
  cells: string[];
  unit: "mm" | "in"; // of its lift, as it was typed
}

export interface Half {
  numbers?: Record<"crank" | "within" | "wanted", string>;
  ways?: Record<string, Way | "">; // of camshafts, early or late without teeth yet
  pairs?: Pair[];
  mode?: Mode;
  unit?: "mm" | "in";
  rows?: Partial<Record<Mode, Row[]>>;
  gap?: { value: string; within: string; unit: "mm" | "in" };
}

export const kHalf = "half";

export function half_of(values: Values): Half {
  return (values[kHalf] ?? {}) as Half;
}

export function with_half(values: Values, more: Half): Values {
  return { ...values, [kHalf]: { ...half_of(values), ...more } };
}

// Why it cannot be entered as it stands; nothing: it can.
export function half_typed(kind: string, values: Values): string[] {
  if (kind === "standing") return of_standing(values);
  if (kind === "stop") return of_stop(half_of(values).pairs ?? []);
  if (kind === "indicator") return of_indicator(half_of(values));
  return kind === "valve gap" ? of_gap(half_of(values)) : [];
}

export const kMostCrank = 720; // deg: two turns

function of_standing(values: Values): string[] {
  const { numbers, ways = {} } = half_of(values);
  const stands = (values["camshafts"] ?? []) as Values[];
  const why: string[] = [];
  if (numbers && numbers.crank === "" && numbers.within !== "") why.push(t("cl_lacks_crank"));
  for (const name of ["crank", "wanted"] as const)
    if (Number(numbers?.[name] || 0) > kMostCrank) why.push(t("cl_past_two_turns", { deg: number_words(numbers?.[name] ?? "") }));
  for (const [at, way] of Object.entries(ways))
    if ((way === "early" || way === "late") && !stands.find((one) => one["at"] === at)?.["stands"])
      why.push(t("cl_lacks_teeth_of", { at: said(at), way: t(way === "early" ? "in_early" : "in_late") }));
  if (values["wanted"] !== undefined && values["wanted_after"] === undefined) why.push(t("cl_lacks_wanted_after"));
  return why;
}

function of_stop(pairs: readonly Pair[]): string[] {
  return pairs.flatMap(({ before, after }, i) => {
    if ((before === "") === (after === "")) return [];
    return [t(before === "" ? "cl_lacks_before" : "cl_lacks_after", { n: i + 1 })];
  });
}

// The angle of the next row of a table is offered before anything of it is typed.
function of_indicator({ mode = "pairs", rows }: Half): string[] {
  return (rows?.[mode] ?? []).flatMap(({ cells }, i) => {
    const typed = cells.filter((cell) => cell !== "").length;
    const is_offered = mode === "table" && typed === 1 && cells[0] !== "" && i + 1 === rows?.[mode]?.length;
    return typed === 0 || typed === cells.length || is_offered ? [] : [t("cl_lacks_cell", { n: i + 1 })];
  });
}

function of_gap({ gap }: Half): string[] {
  return gap && gap.value !== "" && gap.within === "" ? [t("cl_gap_lacks_within")] : [];
}
