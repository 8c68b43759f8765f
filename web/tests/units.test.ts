// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { converted, decimals_for, parsed_quantity, parsed_range, range_in, type Unit, unit_named } from "../src/enter/units";

const unit = (name: string) => unit_named(name) as Unit;
const into = (value: number, from: string, to: string) => converted(value, unit(from), unit(to));

describe("units", () => {
  it("are exact by definition", () => {
    // NIST Special Publication 811 (2008), appendix B.8 and its footnotes.
    expect(into(1, "in", "mm")).toBeCloseTo(25.4, 12);
    expect(into(1, "thou", "µm")).toBeCloseTo(25.4, 12);
    expect(into(1, "lbf·ft", "N·m")).toBeCloseTo(1.355818, 6);
    expect(into(1, "lbf·in", "N·m")).toBeCloseTo(0.1129848, 7);
    expect(into(1, "lbf·ft", "lbf·in")).toBeCloseTo(12, 12);
    expect(into(1, "psi", "kPa")).toBeCloseTo(6.894757, 6);
    expect(into(1, "bar", "kPa")).toBeCloseTo(100, 12);
    expect(into(1, "lbf", "N")).toBeCloseTo(4.448222, 6);
    expect(into(212, "degF", "degC")).toBeCloseTo(100, 10);
    expect(into(-40, "degF", "degC")).toBeCloseTo(-40, 10);
    expect(into(20, "degC", "degF")).toBeCloseTo(68, 10);
  });
  it("come back as they went, and are never of another kind", () => {
    for (const [a, b] of [["mm", "in"], ["N·m", "lbf·in"], ["kPa", "psi"], ["degC", "degF"]] as const)
      for (const value of [0, 0.001, 28.072, 145.3])
        expect(converted(into(value, a, b) ?? NaN, unit(b), unit(a))).toBeCloseTo(value, 10);
    expect(into(1, "mm", "kPa")).toBeUndefined();
    expect(into(1, "deg crank", "deg cam")).toBeUndefined();
  });
  it("read limits as drives write them", () => {
    expect(parsed_range("at least 27.950 mm")).toMatchObject({ lower: 27.95, upper: undefined, decimals: 3 });
    expect(parsed_range("at most 110 kPa")).toMatchObject({ lower: undefined, upper: 110, decimals: 0 });
    expect(parsed_range("0.05..0.20 mm")).toMatchObject({ lower: 0.05, upper: 0.2, decimals: 2 });
    expect(parsed_range("650 ± 25 1/min")).toMatchObject({ lower: 625, upper: 675 });
    expect(parsed_range("at most 0.35 %")?.unit.name).toBe("%");
    expect(parsed_range("at most 1.0 deg cam")?.unit.name).toBe("deg cam");
    for (const text of [undefined, "", "about 3 mm", "at most mm", "3 mm", "at most 3 furlong"])
      expect(parsed_range(text), text).toBeUndefined();
    expect(parsed_quantity("0.001 mm")).toMatchObject({ value: 0.001 });
    expect(parsed_quantity("2 K")).toBeUndefined();
  });
  it("never round a limit wider", () => {
    for (let n = 1; n < 400; ++n) {
      const mm = n * 0.137;
      const written = parsed_range(`${mm.toFixed(3)}..${(mm + 0.02).toFixed(3)} mm`);
      const there = written && range_in(written, unit("in"));
      const back = (value: number | undefined) => (value ?? NaN) * 25.4;
      expect(back(there?.lower)).toBeGreaterThanOrEqual(Number(mm.toFixed(3)) - 1e-6);
      expect(back(there?.upper)).toBeLessThanOrEqual(Number((mm + 0.02).toFixed(3)) + 1e-6);
      expect(back(there?.lower)).toBeLessThan(Number(mm.toFixed(3)) + 0.0003);
    }
  });
  it("lose no step of the gauge", () => {
    expect(decimals_for(3, unit("mm"), unit("in"))).toBe(5);
    expect(decimals_for(4, unit("in"), unit("mm"))).toBe(3);
    expect(decimals_for(0, unit("kPa"), unit("psi"))).toBe(1);
    expect(decimals_for(2, unit("mm"), unit("mm"))).toBe(2);
  });
});
