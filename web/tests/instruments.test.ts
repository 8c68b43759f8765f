// SPDX-License-Identifier: Apache-2.0
// The page says of a gauge what the program assumes: the list of src/measure/instrument.cc decides.
import { readFileSync } from "node:fs";

import { describe, expect, it } from "vitest";

import { gauges_for } from "../src/enter/instruments";
import { parsed_quantity } from "../src/enter/units";

const source = readFileSync("../src/measure/instrument.cc", "utf8");
const kFactors: Record<string, number> = { kMicrometer: 1e-6, kDegree: Math.PI / 180, kPerMinute: 1 / 60, kLiter: 1e-3 };
const kType = /InstrumentType\{"([^"]+)",\s*Kind::(\w+),\s*(?:true|false),\s*([^,]+),\s*([^,]+),\s*([^,]+),/g;

function number(text: string): number {
  const [value = "", factor] = text.split("*").map((one) => one.trim());
  return Number(value) * (factor ? (kFactors[factor] ?? NaN) : 1);
}

const types = [...source.matchAll(kType)].map(([, name = "", kind = "", U = "", , resolution = ""]) => ({
  name,
  kind: kind.replace(/_/g, " "),
  U: number(U),
  resolution: number(resolution),
}));

// Steps and uncertainties are differences: of a temperature without the zero of its scale.
function si_step(text: string | undefined): number {
  const said = parsed_quantity(text);
  return said ? said.value * said.unit.factor : NaN;
}

describe("instruments", () => {
  it("are read whole from the program's list", () => {
    expect(types.length).toBe(source.split("InstrumentType{").length - 1);
    expect(types.every((one) => one.U > 0 && one.resolution > 0)).toBe(true);
  });
  for (const kind of ["length", "time", "pressure", "cam angle", "crank angle", "temperature"])
    it(`of ${kind} say what the program assumes`, () => {
      const offered = gauges_for("", kind, []);
      expect(offered.length).toBeGreaterThan(0);
      for (const one of offered) {
        const type = types.find((other) => other.kind === kind && other.name === one.name);
        expect(si_step(one.uncertainty) / (type?.U ?? NaN), `${one.name}: uncertainty`).toBeCloseTo(1, 9);
        expect(si_step(one.resolution) / (type?.resolution ?? NaN), `${one.name}: step`).toBeCloseTo(1, 9);
      }
    });
});
