// SPDX-License-Identifier: Apache-2.0
// The German of what the program says, over what it said of both demonstration cases, of every
// question of the page and of the example drives (tests/said.json, by tests/page/said_collect.py).
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";

import { type Field, fields_of, head_fields, kinds_of } from "../src/enter/schema";
import { field_word } from "../src/enter/words";
import { measured } from "../src/said/measures";
import { catalogue_of, german_of } from "../src/said/match";
import { is_said, load_said, number_words, parts_of, said, said_choice } from "../src/said/said";
import { phrases } from "../src/texts/de/said";
import * as texts from "../src/texts";
import collected from "./said.json";

const kSaid: Record<string, string[]> = collected;

beforeAll(async () => {
  texts.set_language("de");
  await load_said();
});

describe("what the program says", () => {
  it("is German to the last, of cases, questions, recordings, drawings and drives", () => {
    const groups = Object.entries(kSaid).filter(([group]) => group !== "choices");
    for (const [group, all] of groups) expect(all.length, group).toBeGreaterThan(5);
    expect(groups.flatMap(([group, all]) => all.filter((one) => !is_said(one.trim())).map((one) => `${group}: ${one}`))).toEqual([]);
  });

  it("has a word for every choice", () => {
    const same = new Set(["orange", "1", "2"]);
    const left = (kSaid["choices"] ?? []).filter((one) => said_choice(one) === one && !same.has(one));
    expect(left).toEqual([]);
  });

  it("keeps every number", () => {
    const numbers = (text: string) => [...text.matchAll(/\d+/g)].map((one) => one[0]).sort();
    for (const all of Object.values(kSaid))
      for (const one of all)
        if (!/feet|inches/.test(one)) expect(numbers(said(one.trim())), one).toEqual(numbers(one.trim()));
  });

  it("leaves no English word behind in a German sentence", () => {
    const english = /\b(cam|crank|late|early|the|is|and|of|with|not|from|to|by|tooth|teeth)\b/;
    const quoted = /„[^“]*“|"[^"]*"|Das Programm versteht: .*|Diese Frage nimmt: .*|Bekannt für .*|Sie sagten: .*|cam_teeth|unknown|'[^']*'/g;
    for (const [group, all] of Object.entries(kSaid))
      if (group !== "choices")
        expect(all.map((one) => said(one).replace(quoted, "")).filter((one) => english.test(one)), group).toEqual([]);
  });

  it("says may be turned only where the program does", () => {
    for (const all of Object.values(kSaid))
      for (const one of all) {
        expect(said(one).includes("NUR DREHEN"), one).toBe(one.includes("TURN ONLY"));
        expect(said(one).includes("NICHT DREHEN"), one).toBe(one.includes("DO NOT TURN"));
      }
  });
});

describe("the catalogue", () => {
  it("never drops a negation", () => {
    const denies = /\b(not|never|nobody|nothing|none|cannot|without|DO NOT|NOT)\b/;
    const verneint = /\b(nicht|nie|niemand\w*|nichts|kein\w*|ohne|unsichtbar|Freiläufer|weder|NICHT)\b/i;
    const dropped = phrases.filter(([english, german]) => denies.test(english) && !verneint.test(german));
    expect(dropped).toEqual([]);
  });

  it("fills every hole and names none twice", () => {
    for (const [english, german] of phrases) {
      const holes = [...english.matchAll(/\{[#/=]?(\w)\}/g)].map((one) => one[1]);
      expect(new Set(holes).size, english).toBe(holes.length);
      expect([...german.matchAll(/\{(\w)\}/g)].map((one) => one[1]).sort(), english).toEqual(holes.sort());
    }
  });

  it("has no phrase twice with different words", () => {
    const known = new Map<string, string>();
    for (const [english, german] of phrases) {
      expect(known.get(english) ?? german, english).toBe(german);
      known.set(english, german);
    }
    expect(known.size).toBeGreaterThan(1000);
  });
});

describe("a sentence", () => {
  const all = catalogue_of([
    ["the chain is on", "die Kette liegt auf"],
    ["the chain is not on", "die Kette liegt nicht auf"],
    ["{/0} at {#1}", "{0} bei {1}"],
    ["{=0} said so", "{0} hat es gesagt"],
  ]);
  it("is matched whole or not at all", () => {
    expect(german_of(all, "the chain is on")).toBe("die Kette liegt auf");
    expect(german_of(all, "the chain is not on")).toBe("die Kette liegt nicht auf");
    for (const one of ["the chain is hardly on", "do not say: the chain is on", "the chain is on?"])
      expect(german_of(all, one), one).toBeUndefined();
  });
  it("gets the decimal comma in measures, and only there", () => {
    expect(german_of(all, "rim at 0.058 ± 0.005 mm")).toBe("rim bei 0,058 ± 0,005 mm");
    expect(german_of(all, "J. 1.5 said so")).toBe("J. 1.5 hat es gesagt");
    expect(measured("21.4° late (crank), 10.7° cam")).toBe("21,4° spät (Kurbel), 10,7° Nocke");
    expect(measured("0.05..0.20 mm")).toBe("0,05 bis 0,20 mm");
    expect(measured("crank, 4.74° cam")).toBeUndefined();
    expect(measured("2026-01-15")).toBeUndefined();
    expect(number_words("0.56")).toBe("0,56");
  });
  it("takes nothing with words of its own for the name of a part", () => {
    expect(german_of(all, "it is not at 3 mm")).toBeUndefined();
  });
  it("stays English, marked, where the catalogue has no words", () => {
    expect(parts_of("forecast; entirely unheard of")).toEqual([
      { text: "Vorhersage; ", is_english: false },
      { text: "entirely unheard of", is_english: true },
    ]);
  });
});

describe("forms", () => {
  const api = JSON.parse(readFileSync("../docs/formats/openapi.json", "utf8"));
  const of = (fields: Field[]): Field[] => fields.flatMap((one) => [one, ...of(one.fields)]);
  const fields = [...kinds_of(api).flatMap(({ kind }) => of(fields_of(api, kind))), ...of(head_fields(api))];
  it("have a German title at every field, and German help", () => {
    texts.set_language("en");
    const english = fields.map((one) => field_word(one.word, one.says));
    texts.set_language("de");
    const same = new Set(["Codes", "Thermometer", "Bank"]); // the same word in both
    expect(fields.filter((one, i) => field_word(one.word, one.says) === english[i] && !same.has(english[i] ?? "")).map((one) => one.word)).toEqual([]);
    expect(fields.map((one) => one.says).filter((one) => !is_said(one))).toEqual([]);
  });
});
