// SPDX-License-Identifier: Apache-2.0
// Instruments to choose from: those of the case with their own data first, then the kinds the
// program knows. What was used last for a quantity is offered first on this device.
import type { Schemas } from "../ask";
import { converted, parsed_quantity, type Unit } from "./units";

type CaseInstrument = Schemas["instrument"];

export interface Gauge {
  name: string; // as entries say it
  resolution: string | undefined; // "0.001 mm"
  uncertainty: string | undefined; // expanded, k = 2
  is_declared: boolean; // its own data, not the program's default
}

// Program defaults of src/measure/instrument.cc: resolution and expanded uncertainty of shop gauges
// in fair condition; a certificate replaces them.
const kTypes: Record<string, [name: string, resolution: string, uncertainty: string][]> = {
  length: [
    ["micrometer 0.001", "0.001 mm", "0.004 mm"],
    ["micrometer 0.01", "0.005 mm", "0.006 mm"],
    ["bore gauge", "0.005 mm", "0.008 mm"],
    ["caliper", "0.01 mm", "0.05 mm"],
    ["dial indicator", "0.01 mm", "0.02 mm"],
    ["depth gauge", "0.01 mm", "0.03 mm"],
    ["plastic strip", "0.025 mm", "0.025 mm"],
    ["ruler", "0.5 mm", "0.5 mm"],
  ],
  time: [["stopwatch", "0.01 s", "0.4 s"]],
  pressure: [
    ["pressure gauge", "10 kPa", "20 kPa"],
    ["pressure sensor", "1 kPa", "10 kPa"],
  ],
  "cam angle": [
    ["degree wheel", "0.5 deg cam", "1 deg cam"],
    ["scan tool", "0.5 deg cam", "1 deg cam"],
  ],
  "crank angle": [
    ["degree wheel", "0.5 deg crank", "1 deg crank"],
    ["scan tool", "1 deg crank", "2 deg crank"],
  ],
  temperature: [["thermometer", "0.5 degC", "2 degC"]],
};

// Most fitting first, by what the trade measures it with; others stay on offer.
const kUsual: Record<string, string[]> = {
  "journal diameter": ["micrometer"],
  "bore diameter": ["bore gauge"],
  "journal clearance": ["plastic strip"],
  "end play": ["dial indicator"],
  "lock play": ["dial indicator"],
  "chain length": ["caliper"],
  "groove depth": ["depth gauge"],
  "tensioner extension": ["depth gauge", "caliper"],
  "sink time": ["stopwatch"],
  "bolt length": ["caliper"],
  "bolt diameter": ["micrometer"],
  pressure: ["pressure gauge", "pressure sensor"],
};

export function gauges_for(quantity: string, kind: string, own: readonly CaseInstrument[]): Gauge[] {
  const listed = kTypes[kind] ?? [];
  const declared = own.flatMap((one) => gauge_of_case(one, kind));
  const typed = listed
    .filter(([name]) => !declared.some((one) => one.name === name))
    .map(([name, resolution, uncertainty]) => ({ name, resolution, uncertainty, is_declared: false }));
  const usual = kUsual[quantity] ?? [];
  const rank = (one: Gauge) => {
    const at = usual.findIndex((word) => one.name.startsWith(word) || type_of(one.name, own).startsWith(word));
    return (at < 0 ? usual.length : at) * 2 + (one.is_declared ? 0 : 1);
  };
  return [...declared, ...typed].sort((a, b) => rank(a) - rank(b));
}

function type_of(name: string, own: readonly CaseInstrument[]): string {
  return own.find((one) => one.name === name)?.type ?? "";
}

// Of the case, if it measures that kind; what it does not say itself comes from its type.
function gauge_of_case(one: CaseInstrument, kind: string): Gauge[] {
  const type = (kTypes[kind] ?? []).find(([name]) => name === (one.type ?? one.name));
  const said = parsed_quantity(one.uncertainty ?? one.resolution);
  if (said ? said.unit.kind !== kind : !type) return [];
  return [
    {
      name: one.name,
      resolution: one.resolution ?? type?.[1],
      uncertainty: one.uncertainty ?? type?.[2],
      is_declared: one.uncertainty !== undefined,
    },
  ];
}

// In that unit; undefined: not known, or of another kind.
export function in_unit(text: string | undefined, to: Unit): number | undefined {
  const said = parsed_quantity(text);
  return said && converted(said.value, said.unit, to);
}

// A resolution in another unit is no decimal step: the next finer one is taken, so no digit that
// the gauge shows is lost (0.001 mm: 0.00001 in).
export function resolution_in(gauge: Gauge | undefined, to: Unit): number | undefined {
  const said = parsed_quantity(gauge?.resolution);
  const value = in_unit(gauge?.resolution, to);
  if (!said || value === undefined || said.unit === to) return value;
  return 10 ** Math.floor(Math.log10(value) + 1e-9);
}

const kStored = "tautmark.gauges";

export function last_gauge(quantity: string): string | undefined {
  try {
    return (JSON.parse(localStorage.getItem(kStored) ?? "{}") as Record<string, string>)[quantity];
  } catch {
    return undefined;
  }
}

export function remember_gauge(quantity: string, name: string): void {
  let all: Record<string, string> = {};
  try {
    all = JSON.parse(localStorage.getItem(kStored) ?? "{}") as Record<string, string>;
  } catch {
    // Unreadable: begun anew.
  }
  localStorage.setItem(kStored, JSON.stringify({ ...all, [quantity]: name }));
}
