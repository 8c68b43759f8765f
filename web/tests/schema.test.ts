// SPDX-License-Identifier: Apache-2.0
// Against the program's own description, docs/formats/openapi.json.
import { readFileSync } from "node:fs";

import { describe, expect, it } from "vitest";

import { enter as words } from "../src/texts/en/enter";
import { type Field, fields_of, head_fields, filled, kinds_of, missing, mistake_path, type OpenApi, path_at } from "../src/enter/schema";

const api = JSON.parse(readFileSync("../docs/formats/openapi.json", "utf8")) as OpenApi;

describe("forms from the program's description", () => {
  it("exist for every kind of entry", () => {
    const kinds = kinds_of(api).map((one) => one.kind);
    expect(kinds).toContain("previous work");
    for (const kind of kinds) {
      const fields = fields_of(api, kind);
      expect(fields.length, kind).toBeGreaterThan(0);
      for (const field of fields) {
        expect(field.says, `${kind} ${field.name}`).not.toBe("");
        expect(["kind", "id", "at", "by", "replaces"]).not.toContain(field.name);
      }
    }
  });
  it("know what a field takes", () => {
    const of = (kind: string, name: string) => fields_of(api, kind).find((one) => one.name === name);
    expect(of("state", "chain")).toMatchObject({ type: "choice", choices: ["on", "off", "unknown"] });
    expect(of("state", "dropped")?.type).toBe("yes or no");
    expect(of("codes", "codes")?.type).toBe("texts");
    expect(of("part", "bank")?.type).toBe("whole number");
    expect(of("marks", "strands")).toMatchObject({ type: "groups" });
    expect(of("marks", "strands")?.fields.map((one) => one.name)).toEqual(["from", "to", "links"]);
    expect(of("reading", "limit_source")).toMatchObject({ type: "group" });
    expect(missing(fields_of(api, "decision"), { about: "x", decided: " " }).map((one) => one.name)).toEqual(["decided", "reason"]);
  });
  it("send nothing that was not filled in", () => {
    expect(filled({ a: "", b: " x ", c: [], d: { e: "" }, f: [{ g: "" }, { g: "1" }], h: false, i: 0 })).toEqual({ b: "x", f: [{ g: "1" }], h: false, i: 0 });
  });
});

describe("mistakes", () => {
  const sent = { key: "k1", entry: { kind: "reading", place: 'bank "1" ½', values: "28.0 zz", sprockets: [{ at: "crank" }, { at: "cam" }], links: 40 } };
  const json = JSON.stringify(sent);
  const at = (text: string) => [...json.slice(0, json.indexOf(text))].length;
  it("belong to the field at their column", () => {
    expect(path_at(json, at('"28.0 zz"'))).toBe("entry/values");
    expect(path_at(json, at("zz"))).toBe("entry/values");
    expect(path_at(json, at('"values"'))).toBe("entry/values");
    expect(path_at(json, at('"cam"'))).toBe("entry/sprockets/1/at");
    expect(path_at(json, at("40"))).toBe("entry/links");
    expect(path_at(json, at('"k1"'))).toBe("key");
    expect(path_at(json, 100000)).toBe("");
  });
  it("without a line belong to the value they quote", () => {
    expect(mistake_path(sent, { line: 0, column: 12, message: 'no place "cam" in this drive' })).toBe("entry/sprockets/1/at");
    expect(mistake_path(sent, { line: 0, column: 12, message: "too late" })).toBe("");
    expect(mistake_path(sent, { line: 1, column: at('"28.0 zz"') + 1, message: "x" })).toBe("entry/values");
  });
});

describe("words of both languages", () => {
  const all = (fields: Field[]): Field[] => fields.flatMap((one) => [one, ...all(one.fields)]);
  const fields = kinds_of(api).flatMap(({ kind }) => all(fields_of(api, kind)));
  const key = (prefix: string, name: string) => prefix + name.replace(/[^a-z0-9]+/gi, "_");
  it("exist for every field and every choice of an entry", () => {
    const wanted = [
      ...kinds_of(api).map(({ kind }) => key("in_kind_", kind)),
      ...fields.map((one) => key("in_f_", one.name)),
      ...fields.flatMap((one) =>
        one.choices.map((choice) => key(one.name === "quantity" ? "in_q_" : "in_c_", choice)),
      ),
    ];
    const head = all(head_fields(api)).flatMap((one) => [
      key("in_f_", one.word), ...one.choices.map((choice) => key("in_c_", choice)),
    ]);
    wanted.push(...head);
    expect(head.length).toBeGreaterThan(15);
    expect([...new Set(wanted)].filter((one) => !(one in words))).toEqual([]);
  });
});
