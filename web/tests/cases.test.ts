// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { sorted_file, with_mistakes } from "../src/case/dropped";
import { corrections, entry_words } from "../src/case/entry_words";
import { begun_name, free_name } from "../src/case/new_case";
import type { Entry } from "../src/case/stages";

describe("what is brought in", () => {
  it("is told apart by the end of its name", () => {
    const is = (name: string) => sorted_file(new File(["x"], name)).is;
    expect(is("bay 3.ZIP")).toBe("pack");
    for (const name of ["a.csv", "b.VCD", "c.wav", "d.sr", "e.mat", "f.h5"])
      expect(is(name)).toBe("recording");
    for (const name of ["a.exe", "csv", "photo.jpg"]) expect(is(name)).toBe("wrong");
  });
  it("says the program's mistakes", () => {
    expect(with_mistakes("Not taken.", [{ line: 1, column: 1, message: "no drive" }])).toBe("Not taken. no drive");
  });
});

describe("a new case", () => {
  it("gets a name that is not taken", () => {
    const begun = begun_name("quellmere", new Date(2026, 2, 5));
    expect(free_name(begun, new Set())).toBe("quellmere 03-05");
    expect(free_name(begun, new Set([begun, `${begun} 2`]))).toBe("quellmere 03-05 3");
  });
});

describe("an entry in words", () => {
  it("says what it is about, what was found, and leaves nothing out", () => {
    const words = entry_words({
      kind: "reading",
      by: "bay 3",
      quantity: "bore diameter",
      place: "bank 2 / camshaft / journal 1",
      direction: "vertical",
      values: "28.099 28.098 mm",
      instrument: "bore gauge",
      cap: "torqued",
      limit_source: { origin: "maker", document: "manual" },
    } as Entry);
    expect(words.about).toBe("bore diameter, bank 2 / camshaft / journal 1, vertical");
    expect(words.says).toBe("28.099 28.098 mm");
    expect(words.rest).toEqual([
      { name: "cap", says: "torqued" },
      { name: "limit source", says: "maker manual" },
    ]);
  });
  it("names a value that would not speak for itself", () => {
    const gauge = { kind: "reading", quantity: "end play", place: "bank 1", passes: "0.20 mm", stops: "0.28 mm" };
    expect(entry_words(gauge as Entry).says).toBe("passes 0.20 mm, stops 0.28 mm");
    const strands = [{ from: "crank", to: "bank 1 / camshaft", links: 60 }];
    const marks = { kind: "marks", chain: "bank 1 chain", counted: "pitches", strands };
    const none = { kind: "codes", id: "e1", none_stored: true, read_from: ["engine"] };
    expect(entry_words(none as Entry).says).toBe("none stored");
    expect(entry_words({ ...none, none_stored: false, codes: ["P0016"] } as Entry).says).toBe("P0016");
    expect(entry_words(marks as Entry).says).toBe("crank → bank 1 / camshaft: 60");
    const state = { kind: "state", pin: "in", resistance: false };
    expect(entry_words(state as Entry).rest).toEqual([
      { name: "pin", says: "in" },
      { name: "resistance", says: "no" },
    ]);
  });
  it("is corrected by the one that names it", () => {
    const entries = [{ id: "e1" }, { id: "e2", replaces: "e1" }] as Entry[];
    expect([...corrections(entries)]).toEqual([["e1", "e2"]]);
  });
});
