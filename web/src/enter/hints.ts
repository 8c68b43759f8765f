// SPDX-License-Identifier: Apache-2.0
// Hints while typing: a reading that looks like a slip. They never block and are no verdict; the
// program's own check (readings-plausible) answers afterwards, from the whole case.
import { type Range, range_in, type Unit } from "./units";

export interface Hint {
  is: "factor" | "inch" | "double" | "half" | "far" | "spread";
  value?: string; // what it would be
}

interface Summary {
  count: number;
  mean: number;
  spread: number; // largest less smallest
}

export function summary(values: readonly number[]): Summary | undefined {
  if (values.length === 0) return undefined;
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return { count: values.length, mean, spread: Math.max(...values) - Math.min(...values) };
}

// Where a usable part is expected, in `unit`: from the limits of a used and of a new part together.
// A range open on one side is closed by the other limit, or not at all.
export function expected(limit: Range | undefined, fresh: Range | undefined, unit: Unit): Range | undefined {
  const ranges = [limit, fresh].flatMap((range) => (range && range_in(range, unit)) ?? []);
  if (ranges.length === 0) return undefined;
  const lower = ranges.flatMap((range) => range.lower ?? []);
  const upper = ranges.flatMap((range) => range.upper ?? []);
  return {
    lower: lower.length > 0 ? Math.min(...lower) : undefined,
    upper: upper.length > 0 ? Math.max(...upper) : undefined,
    unit,
    decimals: Math.max(...ranges.map((range) => range.decimals)),
  };
}

// How far a value may lie outside before it looks like a slip and not like wear: three times the
// limit itself or, between two limits, three times what is between them.
function reach(range: Range): number {
  if (range.lower !== undefined && range.upper !== undefined && range.lower > 0)
    return 3 * (range.upper - range.lower);
  return 3 * Math.abs(range.upper ?? range.lower ?? 0);
}

function distance_outside(value: number, range: Range): number {
  if (range.upper !== undefined && value > range.upper) return value - range.upper;
  if (range.lower !== undefined && value < range.lower) return range.lower - value;
  return 0;
}

// Near enough to be what was meant: inside, or outside by no more than the range allows for wear.
function would_fit(value: number, range: Range): boolean {
  const width =
    range.lower !== undefined && range.upper !== undefined
      ? range.upper - range.lower
      : 0.1 * Math.abs(range.upper ?? range.lower ?? 0);
  if (range.lower === undefined && value < 0.02 * (range.upper ?? 0)) return false;
  return distance_outside(value, range) <= width;
}

const kSlips: [is: Hint["is"], factor: number][] = [
  ["inch", 25.4],
  ["inch", 1 / 25.4],
  ["double", 2],
  ["half", 0.5],
  ["factor", 10],
  ["factor", 0.1],
  ["factor", 100],
  ["factor", 0.01],
  ["factor", 1000],
  ["factor", 0.001],
];

export function value_hints(value: number, range: Range | undefined): Hint[] {
  if (!range || would_fit(value, range)) return [];
  const ratio_ends = [range.lower, range.upper].filter((end): end is number => !!end && end > 0);
  // Inches, radii and two gaps together are slips of lengths. Elsewhere only the point slips, and a
  // value that is merely low is what a worn part gives.
  const is_length = range.unit.kind === "length";
  const gross = is_length ? 1.4 : 5;
  const is_gross = ratio_ends.every((end) => value > gross * end || value < end / gross);
  const slips = is_length ? kSlips : kSlips.filter(([is]) => is === "factor");
  const slip = is_gross ? slips.find(([, factor]) => would_fit(value / factor, range)) : undefined;
  if (slip) return [{ is: slip[0], value: (value / slip[1]).toFixed(range.decimals) }];
  const is_far = distance_outside(value, range) > reach(range);
  return is_far ? [{ is: "far" }] : [];
}

// 95 % points of the range of n normal readings over their standard deviation (studentized range,
// infinite degrees of freedom): scipy.stats.studentized_range.ppf(0.95, n, 1e6), n = 2 to 10.
export const kRangeOfReadings = [2.772, 3.314, 3.633, 3.858, 4.03, 4.17, 4.286, 4.387, 4.474];

// More than the instrument explains: U is expanded with k = 2, one step of the display comes on top.
export function spread_hint(values: readonly number[], U: number | undefined, step: number): Hint[] {
  const all = summary(values);
  if (!all || all.count < 2 || U === undefined) return [];
  const q = kRangeOfReadings[Math.min(all.count, 10) - 2] ?? 4.474;
  return all.spread > q * (U / 2) + step * 1.000001 ? [{ is: "spread" }] : [];
}
