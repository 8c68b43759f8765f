// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { dropped, sorted_file, with_mistakes } from "../src/case/dropped";
import { corrections, entry_words } from "../src/case/entry_words";
import { begun_name, free_name } from "../src/case/new_case";
import type { Entry } from "../src/case/stages";

describe("what is brought in", () => {
  it("is told apart by the end of its name", async () => {
    const is = async (name: string) => (await sorted_file(new File(["x"], name))).is;
    expect(await is("bay 3.ZIP")).toBe("pack");
    for (const name of ["a.csv", "b.VCD", "c.wav", "d.sr", "e.mat", "f.h5"])
      expect(await is(name)).toBe("recording");
    for (const name of ["a.exe", "csv", "photo.jpg"]) expect(await is(name)).toBe("wrong");
  });
  it("is told apart by its first words where the end says too little", async () => {
    const of = (text: string, name = "a.yaml", type = "") => sorted_file(new File([text], name, { type }));
    expect(await of("# ours\ntautmark: drive/1\nname: x\n")).toMatchObject({ is: "drive", name: "a.yaml" });
    expect(await of('{"tautmark": "drive/1"}', "a.json")).toMatchObject({ is: "drive" });
    const said = async (...given: Parameters<typeof of>) => JSON.stringify(await of(...given));
    expect(await said("tautmark: case/1\n")).toContain("whole folder");
    expect(await said("x: 1\n")).toContain("none of what is known");
    expect(await said("x", "plate.jpg", "image/jpeg")).toContain("a picture");
    expect(await said("x", "manual.pdf")).toContain("a document");
    expect(await said("", "a.zip")).toContain("empty");
  });
  it("is a whole folder, which a browser hands out in pieces", async () => {
    const file = (name: string, text: string) => ({ name, isDirectory: false, file: (good: (one: File) => void) => good(new File([text], name)) });
    const folder = (name: string, pieces: object[][]) => ({
      name,
      isDirectory: true,
      createReader: () => {
        const left = [...pieces];
        return { readEntries: (good: (some: object[]) => void) => good(left.shift() ?? []) };
      },
    });
    const sensors = folder("recordings", [[file("a.csv", "1,2\n")], [file("b.csv", "3,4\n")]]);
    const whole = folder("bay 3", [[file("case.yaml", "tautmark: case/1\nname: bay 3\n"), file(".DS_Store", "x")], [sensors]]);
    const entry = (one: object) => ({ entry: one as unknown as FileSystemEntry, file: undefined });
    const told = await dropped(entry(whole));
    expect(told).toMatchObject({ is: "pack", name: "bay 3" });
    const bytes = told.is === "pack" ? Buffer.from(await told.file.arrayBuffer()).toString("latin1") : "";
    for (const name of ["manifest.json", "case.yaml", "recordings/a.csv", "recordings/b.csv"]) expect(bytes).toContain(name);
    expect(bytes).not.toContain("DS_Store");
    const none = await dropped(entry(folder("photos", [[file("a.jpg", "x")]])));
    expect(none).toMatchObject({ is: "wrong" });
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
