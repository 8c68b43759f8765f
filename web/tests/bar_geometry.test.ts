// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { bar_geometry } from "../src/see/bar_geometry";

const value = (v: number, U: number) => ({ value: v, unit: "mm", U, k: 2, shown: "" });
const limit = (bounds: { lower?: number; upper?: number }) => ({
  unit: "mm",
  applies_to: null,
  origin: "maker" as const,
  source: "",
  checked_by: null,
  shown: "",
  ...bounds,
});

describe("a value on its limit's scale", () => {
  it("stands between two limits as it does in numbers", () => {
    const { lower, upper, bar } = bar_geometry({
      value: value(0.25, 0.05),
      limit: limit({ lower: 0.2, upper: 0.4 }),
    });
    expect(lower).toBeCloseTo(0.25);
    expect(upper).toBeCloseTo(0.75);
    expect(bar?.value).toBeCloseTo(0.375);
    expect(bar?.from).toBeCloseTo(0.25); // value - U is the lower limit
    expect(bar?.to).toBeCloseTo(0.5);
  });
  it("keeps order and ratio on every scale, unless it is said to be far", () => {
    for (let n = 0; n < 600; ++n) {
      const low = -5 + (n % 11);
      const v = value(low + ((n * 37) % 100) / 5 - 9, ((n % 13) + 0.1) / 4);
      const bounds = [{ lower: low }, { upper: low }, { lower: low, upper: low + 2 }][n % 3] ?? {};
      const found = bar_geometry({ value: v, limit: limit(bounds) });
      const bar = found.bar;
      if (!bar) throw new Error("no bar");
      expect([bar.from, bar.to, bar.value].every((end) => end >= 0 && end <= 1)).toBe(true);
      for (const side of ["lower", "upper"] as const) {
        const at = found[side];
        const bound = (bounds as { lower?: number; upper?: number })[side];
        if (at === undefined || bound === undefined) continue;
        expect(at > 0 && at < 1).toBe(true);
        if (Math.abs(v.value - bound) > 1e-9)
          expect(bar.value > at, JSON.stringify([v, bounds])).toBe(v.value > bound);
        // Whether the interval reaches over the limit shows, also when it is far away.
        expect(bar.from < at - 1e-9).toBe(v.value - v.U < bound - 1e-9);
        expect(bar.to > at + 1e-9).toBe(v.value + v.U > bound + 1e-9);
      }
    }
  });
  it("goes past a break when it is far outside, never into the limits", () => {
    const found = bar_geometry({ value: value(5, 0.01), limit: limit({ upper: 0.3 }) });
    expect(found.far).toBe("right");
    expect(found.bar?.from).toBeGreaterThan(found.upper ?? 1);
    expect(bar_geometry({ value: value(-9, 1), limit: limit({ lower: 0, upper: 1 }) }).far).toBe("left");
  });
  it("has a limit without a value, and a value without a limit", () => {
    expect(bar_geometry({ value: null, limit: limit({ lower: 2 }) })).toEqual({ lower: 0.5 });
    const alone = bar_geometry({ value: value(3, 0.2), limit: null });
    expect(alone.bar?.value).toBeCloseTo(0.5);
    expect(alone.lower ?? alone.upper).toBeUndefined();
    expect(bar_geometry({ value: null, limit: null })).toEqual({});
  });
  it("draws no limit of another unit", () => {
    const other = { ...limit({ upper: 1 }), unit: "deg" };
    expect(bar_geometry({ value: value(3, 0.2), limit: other }).upper).toBeUndefined();
  });
});
