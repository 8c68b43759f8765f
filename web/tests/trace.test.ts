// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import type { Schemas } from "../src/ask";
import { angle_words, newton_meters, pound_force, pounds, torque_at, traces_of, verdict_of } from "../src/trace/says";

describe("a recorded tightening", () => {
  it("fails or stays open, and never passes", () => {
    expect(verdict_of({ take_out: true })).toBe("fail");
    expect(verdict_of({ take_out: false })).toBe("open");
  });
  // Source: 1 lbf·ft = 1.3558179483 N·m, 1 lbf·in = 0.1129848290 N·m, 1 lbf = 4.4482216 N (NIST SP 811, B.8).
  it("is shown in both systems of units", () => {
    expect(newton_meters(12)).toBe("12.0 N·m");
    expect(pounds(12)).toBe("8.85 lbf·ft, 106 lbf·in");
    expect(pounds(271.163589666)).toBe("200 lbf·ft, 2400 lbf·in");
    expect(newton_meters(1.234)).toBe("1.23 N·m");
    expect(pound_force(44482.216)).toBe("10000");
    expect(angle_words(75)).toBe("75.0°");
  });
  it("is read between its points, and not outside of them", () => {
    const points = [[0, 0], [10, 5], [20, 25]];
    expect(torque_at(points, 5)).toBeCloseTo(2.5);
    expect(torque_at(points, 15)).toBeCloseTo(15);
    expect(torque_at(points, 20)).toBe(25);
    expect(torque_at(points, 20.3)).toBe(25);
    expect(torque_at(points, 30)).toBeUndefined();
    expect(torque_at([], 1)).toBeUndefined();
  });
  it("of a case is what is in force, the last first", () => {
    const entries = [
      { kind: "torque trace", id: "e1", fastener: "a", file: "1" },
      { kind: "note", id: "e2", words: "x" },
      { kind: "torque trace", id: "e3", fastener: "a", file: "2", replaces: "e1" },
      { kind: "torque trace", id: "e4", fastener: "b", file: "3" },
    ] as Schemas["entry"][];
    expect(traces_of(entries, new Map([["e1", "e3"]])).map((one) => one.id)).toEqual(["e4", "e3"]);
  });
});
