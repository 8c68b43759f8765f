// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import * as de from "../src/texts/de";
import * as en from "../src/texts/en";

const values = (text: string) => [...text.matchAll(/\{(\w+)\}/g)].map((found) => found[1]).sort();

describe("texts", () => {
  it("are the same in both languages, with the same values in them", () => {
    expect(Object.keys(de.all).sort()).toEqual(Object.keys(en.all).sort());
    for (const [key, text] of Object.entries(en.all)) {
      const other = (de.all as Record<string, string>)[key] ?? "";
      expect(values(other), key).toEqual(values(text));
      expect(text.trim(), key).not.toBe("");
      expect(other.trim(), key).not.toBe("");
    }
  });
});
