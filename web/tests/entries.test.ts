// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { value_parts, with_sign } from "../src/enter/decimal_sign";
import { gauges_for, resolution_in } from "../src/enter/instruments";
import { with_count } from "../src/enter/marks_form";
import { without_orphans } from "../src/enter/state_form";
import { type Unit, unit_named } from "../src/enter/units";
import { worded } from "../src/enter/values_pad";
import { value_words } from "../src/enter/words";

describe("entries", () => {
  it("are written with the decimal sign of their case", () => {
    const entry = { kind: "reading", values: "27.957 27.958 mm", place: "bank 1 / camshaft / journal 1", speed: "650 1/min", links: 40, words: "see 3.2 again" };
    expect(with_sign(entry, "point")).toBe(entry);
    expect(with_sign(entry, "comma")).toEqual({ ...entry, values: "27,957 27,958 mm" });
    expect(value_parts("-3.1 2.9 deg crank")).toEqual({ values: ["-3.1", "2.9"], unit: "deg crank" });
    expect(value_parts("650 1/min")).toEqual({ values: ["650"], unit: "1/min" });
  });
  it("never show a bare sign", () => {
    expect(worded("-3.1")).toBe("3.1 late");
    expect(worded("2.9")).toBe("2.9");
    expect(value_words("-52 deg crank")).toBe("52 deg crank late");
    expect(value_words("-3.1 2.9 deg cam")).toBe("3.1 late, 2.9 deg cam");
    expect(value_words("-27.9 mm")).toBe("27.9 mm below zero");
    expect(value_words("-5 degC")).toBe("5 °C below zero");
    expect(value_words("184 186 kPa")).toBe("184, 186 kPa");
    expect(value_words("bank 2 phaser")).toBe("bank 2 phaser");
  });
  it("say how something was proven only with what it proves", () => {
    const locked = { phaser: "locked", phaser_checked_how: "lock tool fitted and engages" };
    expect(without_orphans(locked)).toEqual(locked);
    expect(without_orphans({ ...locked, phaser: "unknown" })).toEqual({ phaser: "unknown" });
    expect(without_orphans({ apart: "no", apart_by: "x", crank_proven_how: "y" })).toEqual({ apart: "no" });
  });
  it("count only what was counted", () => {
    const strand = { from: "crank", to: "cam" };
    expect(with_count([], strand, "60")).toEqual([{ ...strand, links: 60 }]);
    expect(with_count([{ ...strand, links: 60 }], strand, "61")).toEqual([{ ...strand, links: 61 }]);
    expect(with_count([{ ...strand, links: 60 }], strand, "")).toEqual([]);
    expect(with_count([], strand, "6o")).toEqual([]);
  });
});

describe("instruments", () => {
  const own = [
    { name: "mike A", type: "micrometer 0.001", resolution: "0.001 mm", uncertainty: "0.003 mm" },
    { name: "gauge", type: "pressure gauge", uncertainty: "3 kPa" },
    { name: "old caliper", type: "caliper" },
  ];
  it("of the case come first, with their own data; those of another kind never", () => {
    const all = gauges_for("journal diameter", "length", own);
    expect(all[0]).toEqual({ name: "mike A", resolution: "0.001 mm", uncertainty: "0.003 mm", is_declared: true });
    expect(all.some((one) => one.name === "gauge")).toBe(false);
    expect(all.find((one) => one.name === "old caliper")).toMatchObject({ resolution: "0.01 mm", is_declared: false });
  });
  it("lose no digit in another unit", () => {
    const inch = unit_named("in") as Unit;
    expect(resolution_in(gauges_for("journal diameter", "length", own)[0], inch)).toBeCloseTo(0.00001, 12);
  });
});
