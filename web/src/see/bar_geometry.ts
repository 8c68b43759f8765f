// SPDX-License-Identifier: Apache-2.0
// Where a value, its uncertainty and its limits stand on one axis, 0 at its left end and 1 at its
// right. Nothing is judged here.
import type { Schemas } from "../ask";

export interface BarGeometry {
  lower?: number; // limits, 0 to 1
  upper?: number;
  // The interval value - U to value + U; its ends are cut at the axis where `opens` says so.
  bar?: { from: number; to: number; value: number; opens: ("left" | "right")[] };
  far?: "left" | "right"; // the value lies past a break in the axis
}

const kFarEnd = 0.04; // a value past the break stands this far from the end of the axis

export function bar_geometry(finding: Pick<Schemas["finding"], "value" | "limit">): BarGeometry {
  const { value, limit } = finding;
  const on_scale = limit && (!value || value.unit === limit.unit) ? limit : undefined;
  const [from, to] = axis_of(value ?? undefined, on_scale?.lower, on_scale?.upper);
  const place = (x: number) => (x - from) / (to - from);
  const found: BarGeometry = {};
  if (on_scale?.lower !== undefined) found.lower = place(on_scale.lower);
  if (on_scale?.upper !== undefined) found.upper = place(on_scale.upper);
  if (!value) return found;
  const at = place(value.value);
  const half = value.U / (to - from);
  if (at < 0 || at > 1) return { ...found, ...far_bar(at, half) };
  const opens: ("left" | "right")[] = [];
  if (at - half < 0) opens.push("left");
  if (at + half > 1) opens.push("right");
  return {
    ...found,
    bar: { from: Math.max(0, at - half), to: Math.min(1, at + half), value: at, opens },
  };
}

// Past the break the bar keeps its width as far as there is room; it never reaches the limits.
function far_bar(at: number, half: number): BarGeometry {
  const shown = Math.min(half, kFarEnd);
  const value = at < 0 ? kFarEnd : 1 - kFarEnd;
  const bar = { from: value - shown, to: value + shown, value, opens: [] };
  return { bar, far: at < 0 ? "left" : "right" };
}

// Two limits fill the middle half. One limit leaves room on the side of the value; what lies further
// from it than it is large itself (or three times its interval) is far.
function axis_of(
  value: { value: number; U: number } | undefined,
  lower: number | undefined,
  upper: number | undefined,
): [number, number] {
  if (lower !== undefined && upper !== undefined && upper > lower) {
    const span = upper - lower;
    const past = value ? Math.max(lower - value.value, value.value - upper, 0) : 0;
    const reach = past + (value?.U ?? 0);
    const is_near = reach < 1.5 * span || past < 2 * (value?.U ?? 0);
    const margin = reach > 0.45 * span && is_near ? reach * 1.1 : 0.5 * span;
    return [lower - margin, upper + margin];
  }
  const limit = lower ?? upper;
  if (limit === undefined) {
    const half = value ? 3 * value.U || Math.abs(value.value) || 1 : 1;
    return around(value?.value ?? 0, half);
  }
  if (!value) return around(limit, Math.abs(limit) || 1);
  const near = 4 * value.U;
  const most = Math.max(Math.abs(limit), near);
  const half = Math.min(Math.max(1.6 * Math.abs(value.value - limit) + value.U, near), most);
  return around(limit, half || 1);
}

function around(middle: number, half: number): [number, number] {
  return [middle - half, middle + half];
}
