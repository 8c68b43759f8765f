// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { pasted } from "../src/enter/pasted";
import { offered, unit_named } from "../src/enter/units";

const read = (text: string) => pasted(text, offered("length"));

describe("readings pasted from elsewhere", () => {
  it("takes all of them, in the unit written", () => {
    const mm = unit_named("mm");
    expect(read("28.072 28.071 28.073 mm")).toEqual({ values: ["28.072", "28.071", "28.073"], unit: mm });
    expect(read(" 28,072;28,071\r\n28,073\tmm ")).toEqual({ values: ["28.072", "28.071", "28.073"], unit: mm });
    expect(read("28.072mm")).toEqual({ values: ["28.072"], unit: mm });
    expect(read("1.1052")).toEqual({ values: ["1.1052"], unit: undefined });
  });
  it("takes nothing of what it does not understand whole", () => {
    for (const text of ["", "mm", "28.072 kPa", "28.072 mm 28.071 mm", "-28.072 mm", "28.072 x 28.071 mm", "1,234.5 mm", "1e3"])
      expect(read(text), text).toBeUndefined();
  });
});
