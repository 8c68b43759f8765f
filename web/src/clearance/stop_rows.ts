// SPDX-License-Identifier: Apache-2.0
// Readings of a form as rows of numbers, and as the entry holds them.
import { value_parts } from "../enter/decimal_sign";
import type { Values } from "../enter/form";

export interface Pair {
  before: string;
  after: string;
}

const kCrank = "deg crank";
const numbers = (text: unknown) => value_parts(String(text ?? "").replaceAll(",", ".")).values;

// "24.5 24.4 deg crank" and "22.1 22.2 deg crank" -> two pairs; at least one, to be typed into.
export function pairs_of(values: Values): Pair[] {
  const [before, after] = [numbers(values["before"]), numbers(values["after"])];
  const n = Math.max(before.length, after.length, 1);
  return Array.from({ length: n }, (_, i) => ({ before: before[i] ?? "", after: after[i] ?? "" }));
}

// Whole pairs only: half of one says nothing.
export function with_pairs(values: Values, pairs: readonly Pair[]): Values {
  const whole = pairs.filter((one) => one.before !== "" && one.after !== "");
  const text = (name: keyof Pair) => (whole.length > 0 ? `${whole.map((one) => one[name]).join(" ")} ${kCrank}` : undefined);
  return { ...values, before: text("before"), after: text("after") };
}

// Rows of a table of groups: {at: "60 deg crank", lift: "4.31 mm"} <-> ["60", "4.31"].
export interface Column {
  name: string;
  unit: string; // as it goes out
}

export function rows_of(groups: unknown, columns: readonly Column[]): string[][] {
  return (Array.isArray(groups) ? (groups as Values[]) : []).map((one) => columns.map(({ name }) => numbers(one[name])[0] ?? ""));
}

export function groups_of(rows: readonly string[][], columns: readonly Column[]): Values[] | undefined {
  const whole = rows.filter((row) => row.length === columns.length && row.every((cell) => cell !== ""));
  if (whole.length === 0) return undefined;
  return whole.map((row) => Object.fromEntries(columns.map(({ name, unit }, i) => [name, `${row[i]} ${unit}`])));
}

// Where the wheel is read at even steps, the next angle is the last one and a step.
export function next_angle(rows: readonly string[][]): string {
  const [one, other] = rows.slice(-2).map((row) => row[0] ?? "");
  if (!one || !other) return "";
  const places = Math.max(...[one, other].map((each) => (each.split(".")[1] ?? "").length));
  const next = 2 * Number(other) - Number(one);
  return Number.isFinite(next) && next !== Number(other) ? next.toFixed(places) : "";
}
