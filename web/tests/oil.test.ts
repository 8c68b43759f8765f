// SPDX-License-Identifier: Apache-2.0
// What of the oil comes first, what is asked next, and what a slider sends.
import { expect, it } from "vitest";

import { clearances_asked, type DriveOil, gauges_of, has_oil, headline_of, type Journal, missing_of, type Network, next_of, range_words, slid_journals, slider_range, stepped } from "../src/oil/says";
import * as texts from "../src/texts";

const journal = (bank: number, n: number, mm: number, measured = true): Journal => ({ place: `bank ${bank} / camshaft / journal ${n}`, bank, mm, U_mm: 0.01, measured });
const gauge = (place: string, kPa: number) => ({ place, kPa, U_kPa: 3, entry: "e1" });
const place = (name: string, likely: number, least_kPa?: number) => ({ name, kPa: { likely, low: likely, high: likely }, ...(least_kPa === undefined ? {} : { least_kPa }) });

const network = {
  condition: "650 1/min", places: [place("main gallery", 185), place("bank 1 / head port", 140, 110), place("bank 2 / head port", 88, 110)],
  options: [], measure_next: ["the journals again"], bank: null,
  gauges: { gallery: gauge("main gallery", 185), heads: [gauge("bank 1 / head port", 140), gauge("bank 2 / head port", 88)], lowest: "bank 2 / head port" },
  journals: [journal(1, 1, 0.066), journal(1, 2, 0.06, false), journal(2, 1, 0.142), journal(2, 2, 0.06, false)],
} as unknown as Network;
const finding = (check: string, subject: string, next: string[] = []) => ({ check, subject, why: subject, next, verdict: "open" });
const thin = { ports: [], limits: [], network: null, banks: null, findings: [], missing: ["a port"], network_missing: [] } as unknown as DriveOil;
const full = { ...thin, network, findings: [finding("head-pressure", "bank 1 / head port"), finding("head-pressure", "bank 2 / head port", ["journal 1", "journal 1"]), finding("oil-pressure", "main gallery", ["again"])] } as unknown as DriveOil;

it("the lowest head comes first, the gallery last, each with the limit that holds there", () => {
  const told = gauges_of(full);
  expect(told?.gauges.map((one) => [one.kPa, one.least, one.is_lowest])).toEqual([[88, 110, true], [140, 110, false], [185, undefined, false]]);
  expect(headline_of(full)?.subject).toBe("bank 2 / head port");
  expect(gauges_of(thin)).toBeUndefined();
});

it("an engine with nothing of the oil has no card; one with a port or a limit says what is missing", () => {
  expect(has_oil(thin)).toBe(false);
  expect(has_oil({ ...thin, limits: ["main gallery: at least 140 kPa"] })).toBe(true);
  expect(missing_of(thin)).toEqual(["a port"]);
  expect(missing_of({ ...thin, missing: ["a", "b"], network_missing: ["b"] })).toEqual(["b", "a"]);
  expect(missing_of({ ...full, missing: ["journal 1"] })).toEqual(["journal 1"]); // a network without options
});

it("each thing to measure is asked once", () => {
  expect(next_of(full)).toEqual(["the journals again", "journal 1"]);
  const measured = { ...full, network: { ...network, options: [{}] } } as unknown as DriveOil;
  expect(next_of(measured)).toEqual(["the journals again"]); // what a low head asks for is measured
});

it("sliders are of the lowest bank, known by its port where no option names it, and of what else was measured", () => {
  const { first, others } = slid_journals(network);
  expect(first.map((one) => one.place)).toEqual(["bank 2 / camshaft / journal 1", "bank 2 / camshaft / journal 2"]);
  expect(others.map((one) => one.place)).toEqual(["bank 1 / camshaft / journal 1"]);
});

it("a slider goes in steps, stops at its ends, and finds back to what was measured", () => {
  expect(stepped(0.1037, 0.142)).toBeCloseTo(0.105, 9);
  expect(stepped(0.1432, 0.142)).toBe(0.142);
  expect([stepped(0, 0.142), stepped(9, 0.142)]).toEqual([0.02, 0.25]);
  expect(slider_range(0.4)).toEqual({ min: 0.02, max: 0.4 });
  expect(slider_range(0.012)).toEqual({ min: 0.012, max: 0.25 });
});

it("only what stands elsewhere than found is sent", () => {
  const at = (n: number) => network.journals[n]?.place ?? "";
  expect(clearances_asked({ [at(2)]: 0.1, [at(0)]: 0.066, "no such": 0.1 }, network.journals)).toEqual([{ place: at(2), mm: 0.1 }]);
});

it("numbers have the sign of the language", () => {
  texts.set_language("de");
  expect(range_words({ likely: 1.31, low: 1.04, high: 1.72 }, 1, "bis")).toBe("1,3 (1,0 bis 1,7)");
  texts.set_language("en");
});
