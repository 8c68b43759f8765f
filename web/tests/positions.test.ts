// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { gauges_for } from "../src/enter/instruments";
import { type AnyEntry, first_wanted, in_force, matches, next_open, places_of, positions_of, to_do } from "../src/enter/positions";

const drive = {
  tautmark: "drive/1", name: "x",
  chains: [{ name: "bank 1 chain", pitch: "8.00 mm", tensioner: {}, guides: ["fixed guide", { name: "arm" }] }],
  banks: [1, 2].map((number) => ({
    number,
    camshafts: [{ name: "camshaft", journals: 2, phaser: {} }],
  })),
  oil: { ports: ["main gallery", { name: "head port", bank: 2 }] },
  fits: [
    { quantity: "journal diameter", at: "every journal", service: "at least 27.950 mm" },
    { quantity: "bore diameter", at: "bank 2 / every journal", service: "at most 28.070 mm" },
    { quantity: "chain elongation", at: "every chain", service: "at most 0.35 %" },
    { quantity: "phase scatter", at: "every camshaft", service: "at most 0.5 deg crank" },
  ],
} as unknown as Parameters<typeof positions_of>[0];

const reading = (id: string, place: string, more = {}): AnyEntry => ({
  kind: "reading", id, quantity: "journal diameter", place, values: "27.96 mm", ...more,
});

describe("positions", () => {
  it("are named as the program names places", () => {
    expect(places_of(drive).map((one) => one.path)).toEqual([
      "bank 1 / camshaft", "bank 1 / camshaft / journal 1", "bank 1 / camshaft / journal 2", "bank 1 / camshaft / phaser",
      "bank 2 / camshaft", "bank 2 / camshaft / journal 1", "bank 2 / camshaft / journal 2", "bank 2 / camshaft / phaser",
      "bank 1 chain", "bank 1 chain / tensioner", "bank 1 chain / fixed guide", "bank 1 chain / arm",
      "main gallery", "bank 2 / head port",
    ]);
  });
  it("match as in src/drive/places_test.cc", () => {
    const matched = (pattern: string) => places_of(drive).filter((one) => matches(pattern, one)).map((one) => one.path);
    expect(matched("every journal")).toHaveLength(4);
    expect(matched("bank 2 / every journal")).toEqual(["bank 2 / camshaft / journal 1", "bank 2 / camshaft / journal 2"]);
    expect(matched("every bank / camshaft / every journal")).toHaveLength(4);
    expect(matched("every chain")).toEqual(["bank 1 chain"]);
    expect(matched("every head port")).toEqual(["bank 2 / head port"]);
    expect(matched("every port")).toHaveLength(2);
    for (const none of ["", "/", "every", "every ", "every jurnal", "bank 3 / every journal"]) expect(matched(none), none).toEqual([]);
  });
  it("are those the drive can judge by readings", () => {
    const all = positions_of(drive).map((one) => `${one.quantity} ${one.place}`);
    expect(all).toEqual([
      "journal diameter bank 1 / camshaft / journal 1", "journal diameter bank 1 / camshaft / journal 2",
      "journal diameter bank 2 / camshaft / journal 1", "journal diameter bank 2 / camshaft / journal 2",
      "bore diameter bank 2 / camshaft / journal 1", "bore diameter bank 2 / camshaft / journal 2",
      "chain length bank 1 chain",
    ]);
  });
  it("of a clearance are bore and journal too", () => {
    const only = { ...drive, fits: [{ quantity: "journal clearance", at: "bank 1 / every journal", service: "at most 0.11 mm" }] } as typeof drive;
    const names = positions_of(only).map((one) => one.quantity);
    expect(new Set(names)).toEqual(new Set(["journal diameter", "bore diameter", "journal clearance"]));
    const place = "bank 1 / camshaft / journal 1";
    const open = { check: "journal-clearance", subject: place, verdict: "open", open_because: "not measured" };
    const wanted = (entries: AnyEntry[]) => first_wanted({ findings: [open as never], not_looked_at: [] }, positions_of(only), entries)?.quantity;
    expect(wanted([])).toBe("journal diameter");
    expect(wanted([reading("e1", place)])).toBe("bore diameter");
    expect(wanted([reading("e1", place), reading("e2", place, { quantity: "bore diameter" })])).toBeUndefined();
  });
  it("go on to the next one without a reading, round and round", () => {
    const list = to_do(positions_of(drive).filter((one) => one.quantity === "journal diameter"), []);
    const entries = [reading("e1", "bank 1 / camshaft / journal 2"), reading("e2", "bank 2 / camshaft / journal 2")];
    expect(next_open(list, 0, entries)).toBe(2);
    expect(next_open(list, 2, entries)).toBe(0);
    const all = list.map((one, i) => reading(`e${i}`, one.position.place));
    expect(next_open(list, 0, all)).toBeUndefined();
    const both = to_do(list.map((one) => one.position), ["vertical", "horizontal"]);
    expect(both).toHaveLength(8);
    expect(next_open(both, 0, [reading("e1", "bank 1 / camshaft / journal 1", { direction: "vertical" })])).toBe(1);
  });
  it("of a bolt that may go in again are its numbers, with its own limits", () => {
    const bolts = [
      { name: "head bolts", count: 2, single_use: false, longest: "at most 160.5 mm", thinnest: "at least 9.7 mm" },
      { name: "crank bolt", single_use: false, bank: 2, longest: "at most 60 mm" },
      { name: "phaser bolt", count: 2, single_use: true, longest: "at most 60 mm" }, { name: "not said", longest: "at most 60 mm" }, { name: "no limit", single_use: false },
    ];
    const found = positions_of({ ...drive, fits: [], fasteners: bolts } as never);
    expect(found.map((one) => `${one.quantity}: ${one.place}: ${one.limit}`)).toEqual([
      "bolt length: head bolts / no. 1: at most 160.5 mm", "bolt length: head bolts / no. 2: at most 160.5 mm", "bolt length: bank 2 / crank bolt: at most 60 mm",
      "bolt diameter: head bolts / no. 1: at least 9.7 mm", "bolt diameter: head bolts / no. 2: at least 9.7 mm",
    ]);
    expect(gauges_for("bolt length", "length", [])[0]?.name).toMatch(/^caliper/);
    expect(gauges_for("bolt diameter", "length", [])[0]?.name).toMatch(/^micrometer/);
  });
  it("do not count what was corrected", () => {
    const entries = [reading("e1", "a"), reading("e2", "b", { replaces: "e1" })];
    expect(in_force(entries).map((one) => one.id)).toEqual(["e2"]);
  });
  it("begin with what the findings ask for", () => {
    const positions = positions_of(drive);
    const finding = (check: string, subject: string, open_because: string) =>
      ({ check, subject, verdict: "open", open_because }) as never;
    const found = (findings: never[], not_looked_at: { check: string; places: string }[] = []) => ({ findings, not_looked_at });
    expect(first_wanted(found([finding("what-if-hot", "x", "forecast"), finding("bore-diameter", "bank 2 / camshaft / journal 2", "not measured")]), positions, [])?.place).toBe("bank 2 / camshaft / journal 2");
    expect(first_wanted(found([], [{ check: "chain-elongation", places: "bank 1 chain" }]), positions, [])?.quantity).toBe("chain length");
    expect(first_wanted(undefined, positions, [])).toBeUndefined();
  });
});
