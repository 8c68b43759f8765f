// SPDX-License-Identifier: Apache-2.0
// What is half typed stays out of the entry, and is refused with a reason instead of dropped.
import { beforeAll, expect, it } from "vitest";

import { gap_of, gap_text } from "../src/clearance/gap_form";
import { half_of, half_typed, kHalf, with_half } from "../src/clearance/half";
import { give_or_take } from "../src/clearance/says";
import * as texts from "../src/texts";

beforeAll(() => texts.set_language("en"));

it("early or late without teeth is refused, as not known it is not", () => {
  const kAt = "bank 1 / intake camshaft";
  const late = with_half({}, { ways: { [kAt]: "late" } });
  expect(half_typed("standing", late).join()).toMatch(/intake camshaft: late, but by how many teeth/);
  expect(half_typed("standing", { ...late, camshafts: [{ at: kAt, stands: "2 teeth late" }] })).toEqual([]);
  expect(half_typed("standing", { ...late, camshafts: [{ at: kAt, within: "1 deg crank" }] })).toHaveLength(1);
  expect(half_typed("standing", with_half(late, { ways: { [kAt]: "" } }))).toEqual([]);
});

it("a place past two turns, one wanted without its dead center, and ± without a place are refused", () => {
  const numbers = { crank: "75", within: "1", wanted: "" };
  const of = (more: Partial<typeof numbers>, values = {}) => half_typed("standing", with_half(values, { numbers: { ...numbers, ...more } }));
  expect(of({})).toEqual([]);
  expect(of({ crank: "720" })).toEqual([]);
  expect(of({ crank: "720.5" }).join()).toMatch(/720\.5° is more than two turns/);
  expect(of({ crank: "" }).join()).toMatch(/not where/);
  expect(of({ wanted: "0" }, { wanted: "0 deg crank" }).join()).toMatch(/which top dead center/);
  expect(of({ wanted: "0" }, { wanted: "0 deg crank", wanted_after: "firing" })).toEqual([]);
});

it("half a pair of a stop asks for its other side", () => {
  const of = (before: string, after: string) => half_typed("stop", with_half({}, { pairs: [{ before: "24.5", after: "22.1" }, { before, after }] }));
  expect(of("24.6", "").join()).toMatch(/2\. time: what the wheel read after/);
  expect(of("", "22.0").join()).toMatch(/2\. time: what the wheel read before/);
  expect([of("", ""), of("24.6", "22.0")]).toEqual([[], []]);
});

it("half a row is refused, but not an angle that was only offered, nor rows of the other way", () => {
  const row = (...cells: string[]) => ({ cells, unit: "mm" as const });
  const pairs = [row("6", "70.6", "174.4"), row("6", "", "")];
  expect(half_typed("indicator", with_half({}, { mode: "pairs", rows: { pairs } })).join()).toMatch(/Row 2/);
  expect(half_typed("indicator", with_half({}, { mode: "table", rows: { pairs, table: [row("5", "0.1"), row("10", "")] } }))).toEqual([]);
  expect(half_typed("indicator", with_half({}, { mode: "table", rows: { table: [row("5", ""), row("10", "0.1")] } })).join()).toMatch(/Row 1/);
});

it("what is half typed adds up under a name that no entry has", () => {
  const values = with_half(with_half({ place: "x" }, { mode: "table" }), { unit: "in" });
  expect(half_of(values)).toEqual({ mode: "table", unit: "in" });
  expect(Object.keys(values)).toEqual(["place", kHalf]);
});

it("a gap goes out with its unit and its ±, and comes back", () => {
  for (const text of ["5.1 ± 0.2 mm", "0.2 ± 0.01 in", "5.1 mm"]) expect(gap_text(gap_of(text))).toBe(text);
  expect(gap_text({ value: "", within: "0.2", unit: "mm" })).toBeUndefined();
});

it("an uncertainty is never shown as nothing", () => {
  expect([0.6, 0.04, 0.004, 0.0001].map(give_or_take)).toEqual(["± 0.6°", "± 0.04°", "± 0.004°", "less than 0.001°"]);
});
