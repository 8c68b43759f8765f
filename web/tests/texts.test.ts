// SPDX-License-Identifier: Apache-2.0
import { readdirSync, readFileSync } from "node:fs";

import { describe, expect, it } from "vitest";

import * as de from "../src/texts/de";
import * as en from "../src/texts/en";

const values = (text: string) => [...text.matchAll(/\{(\w+)\}/g)].map((found) => found[1]).sort();
const page = `${__dirname}/../src/`;
const program = `${__dirname}/../../docs/formats/openapi.json`;
const facts = `${__dirname}/../../src/procedure/facts.cc`; // conditions that the program knows

// Keys that are put together: the rest is a word of the page or of the program's own description.
const kPrefixes = [
  "in_kind_", "in_q_", "in_c_", "in_f_case_", "in_f_",
  "work_f_", "work_v_",
  "manual_step_", "manual_help_", "manual_q_", "manual_also_", "manual_add_second", "manual_bolt_",
];

function sources(): string {
  const files = (readdirSync(page, { recursive: true }) as string[])
    .filter((path) => /\.tsx?$/.test(path) && !path.startsWith("texts/"))
    .filter((path) => !path.endsWith("api.d.ts"));
  return files.map((path) => readFileSync(page + path, "utf8")).join("\n");
}

describe("texts", () => {
  it("have a word for every condition that the program knows", () => {
    const known = [...readFileSync(facts, "utf8").matchAll(/\{Item::\w+, \d, "([^"]+)"/g)].map((found) => found[1] ?? "");
    expect(known.length).toBeGreaterThan(30);
    for (const fact of known) expect(en.all).toHaveProperty(`work_f_${fact.replace(/[^a-z0-9]+/gi, "_")}`);
  });
  it("are the same in both languages, with the same values in them", () => {
    expect(Object.keys(de.all).sort()).toEqual(Object.keys(en.all).sort());
    for (const [key, text] of Object.entries(en.all)) {
      const other = (de.all as Record<string, string>)[key] ?? "";
      expect(values(other), key).toEqual(values(text));
      expect(text.trim(), key).not.toBe("");
      expect(other.trim(), key).not.toBe("");
    }
  });
  it("are all said somewhere", () => {
    const source = sources();
    const named = new Set(source.match(/(?<=")\w+(?=")/g));
    const words = new Set(
      [...[source, readFileSync(program, "utf8"), readFileSync(facts, "utf8")].join("\n").matchAll(/"([^"\n]*)"|\b(\w+):/g)].map(
        (found) => (found[1] ?? found[2] ?? "").replace(/[^a-z0-9]+/gi, "_"),
      ),
    );
    const is_said = (key: string) =>
      named.has(key) ||
      kPrefixes.some((prefix) => key.startsWith(prefix) && words.has(key.slice(prefix.length)));
    expect(Object.keys(en.all).filter((key) => !is_said(key))).toEqual([]);
  });
});
