// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { expected, kRangeOfReadings, spread_hint, summary, value_hints } from "../src/enter/hints";
import { parsed_range, type Unit, unit_named } from "../src/enter/units";

const mm = unit_named("mm") as Unit;
const range = (limit?: string, fresh?: string) => expected(parsed_range(limit), parsed_range(fresh), mm);
const bore = range("at most 28.070 mm", "28.020..28.040 mm");
const kinds = (value: number, of = bore) => value_hints(value, of).map((one) => one.is);

describe("hints", () => {
  it("say nothing of a part that fits or is worn", () => {
    for (const value of [28.02, 28.05, 28.07, 28.099, 28.142]) expect(kinds(value), String(value)).toEqual([]);
    const clearance = range("at most 0.110 mm", "0.040..0.080 mm");
    for (const value of [0.05, 0.108, 0.142]) expect(kinds(value, clearance)).toEqual([]);
    expect(value_hints(5, undefined)).toEqual([]);
  });
  it("name the slip and what would fit", () => {
    expect(value_hints(280.5, bore)).toEqual([{ is: "factor", value: "28.050" }]);
    expect(kinds(2.805)).toEqual(["factor"]);
    expect(value_hints(1.1043, bore)).toEqual([{ is: "inch", value: "28.049" }]);
    expect(kinds(14.02)).toEqual(["half"]);
    expect(kinds(56.1)).toEqual(["double"]);
    expect(kinds(21)).toEqual(["far"]);
  });
  it("know that a groove may be nothing", () => {
    const groove = range("at most 1.0 mm");
    expect(kinds(0.6, groove)).toEqual([]);
    expect(kinds(60, groove)).toEqual(["factor"]);
  });
  it("allow the scatter that the instrument explains", () => {
    expect(spread_hint([28.05, 28.052], 0.004, 0.001)).toEqual([]);
    expect(spread_hint([28.05, 28.06], 0.004, 0.001)).toEqual([{ is: "spread" }]);
    expect(spread_hint([28.05, 28.06], undefined, 0.001)).toEqual([]);
    expect(spread_hint([28.05], 0.004, 0.001)).toEqual([]);
  });
  it("take the 95 % range of normal readings, by trial", () => {
    let seed = 12345;
    const uniform = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    for (const n of [2, 3, 6]) {
      let inside = 0;
      const trials = 20000;
      for (let i = 0; i < trials; ++i) {
        const all = Array.from({ length: n }, normal);
        if (Math.max(...all) - Math.min(...all) <= (kRangeOfReadings[n - 2] ?? 0)) ++inside;
      }
      expect(Math.abs(inside / trials - 0.95)).toBeLessThan(0.006);
    }
  });
  it("sum up", () => {
    expect(summary([1, 2, 6])).toEqual({ count: 3, mean: 3, spread: 5 });
    expect(summary([])).toBeUndefined();
  });
});

it("takes a low pressure for no mix-up of inches or radii", () => {
  const psi = unit_named("psi") as Unit;
  const at_least = expected(parsed_range("at least 140 kPa"), undefined, psi);
  expect(value_hints(13.8, at_least)).toEqual([]);
  expect(value_hints(2.03, at_least).map((one) => one.is)).toEqual(["factor"]);
});
