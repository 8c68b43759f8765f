// SPDX-License-Identifier: Apache-2.0
// What the program says of a recorded tightening, and its figures in both systems of units. The
// page computes nothing of its own but units (1 in = 25.4 mm, 1 lb = 0.45359237 kg, exact).
import { case_path, type Schemas } from "../ask";
import { unit_named } from "../enter/units";
import { number_words } from "../said/said";
import type { Verdict } from "../parts/link";

export type TraceSaid = Schemas["tightening_trace"];
export type TraceEntry = Extract<Schemas["entry"], { kind: "torque trace" }>;

export const trace_of_case = (name: string, entry: string): string => case_path(name, "traces", entry);

// A trace fails or stays open; it never passes.
export function verdict_of(trace: Pick<TraceSaid, "take_out">): Verdict {
  return trace.take_out ? "fail" : "open";
}

const in_unit = (value: number, unit: string) => value / (unit_named(unit)?.factor ?? 1);
const digits = (value: number, most: number) => Math.max(0, Math.min(most, most - Math.floor(Math.log10(Math.abs(value) || 1))));
export const fixed = (value: number, decimals: number): string => number_words(value.toFixed(decimals));

// "43.2 N·m"
export function newton_meters(torque: number): string {
  return `${fixed(torque, digits(torque, 2))} N·m`;
}

// "31.9 lbf·ft, 382 lbf·in"
export function pounds(torque: number): string {
  const feet = in_unit(torque, "lbf·ft");
  const inches = in_unit(torque, "lbf·in");
  return `${fixed(feet, digits(feet, 2))} lbf·ft, ${fixed(inches, digits(inches, 2))} lbf·in`;
}

export const torque_words = (torque: number): string => `${newton_meters(torque)} (${pounds(torque)})`;
export const angle_words = (deg: number, decimals = 1): string => `${fixed(deg, decimals)}°`;
export const pound_force = (newtons: number): string => fixed(Math.round(in_unit(newtons, "lbf") / 10) * 10, 0);

// The traces in force, the last first.
export function traces_of(entries: readonly Schemas["entry"][], corrected: ReadonlyMap<string, string>): TraceEntry[] {
  return entries.filter((one): one is TraceEntry => one.kind === "torque trace" && !corrected.has(one.id)).reverse();
}

// Torque of the line through the points at an angle; nothing outside of them.
export function torque_at(points: readonly number[][], angle: number): number | undefined {
  for (let i = 1; i < points.length; ++i) {
    const [a = 0, s = 0] = points[i - 1] ?? [];
    const [b = 0, u = 0] = points[i] ?? [];
    if (a <= angle && angle <= b) return b > a ? s + ((u - s) * (angle - a)) / (b - a) : u;
  }
  return points.find(([a = 0]) => Math.abs(a - angle) < kNear)?.[1];
}

const kNear = 0.5; // degrees beside the first or last point
