// SPDX-License-Identifier: Apache-2.0
// Units a reading can be shown in. Factors are exact by definition: inch 25.4 mm (1959), pound
// 0.45359237 kg (1959), standard gravity 9.80665 m/s² (1901). Only what is shown is converted; what
// is sent is what was typed, in the unit it was typed in.
import { number_words } from "../said/said";

export interface Unit {
  name: string;
  kind: string;
  factor: number; // SI of one
  offset: number; // SI = value * factor + offset
}

const kInch = 0.0254;
const kPoundForce = 0.45359237 * 9.80665;
const kDegree = Math.PI / 180;
const kKelvinAtZeroC = 273.15;

function unit(kind: string, name: string, factor: number, offset = 0): Unit {
  return { kind, name, factor, offset };
}

const kUnits: readonly Unit[] = [
  unit("length", "mm", 1e-3),
  unit("length", "in", kInch),
  unit("length", "thou", kInch / 1000),
  unit("length", "µm", 1e-6),
  unit("length", "m", 1),
  unit("length", "km", 1000),
  unit("torque", "N·m", 1),
  unit("torque", "lbf·ft", kPoundForce * 12 * kInch),
  unit("torque", "lbf·in", kPoundForce * kInch),
  unit("pressure", "kPa", 1000),
  unit("pressure", "psi", kPoundForce / (kInch * kInch)),
  unit("pressure", "bar", 1e5),
  unit("temperature", "degC", 1, kKelvinAtZeroC),
  unit("temperature", "degF", 5 / 9, kKelvinAtZeroC - (32 * 5) / 9),
  unit("force", "N", 1),
  unit("force", "lbf", kPoundForce),
  unit("time", "s", 1),
  unit("rotational speed", "1/min", 1 / 60),
  unit("ratio", "%", 0.01),
  unit("crank angle", "deg crank", kDegree),
  unit("cam angle", "deg cam", kDegree),
];

// What is offered to switch between; km and m would help nobody at a journal.
const kOffered: Record<string, string[]> = {
  length: ["mm", "in"],
  torque: ["N·m", "lbf·ft", "lbf·in"],
  pressure: ["kPa", "psi", "bar"],
  temperature: ["degC", "degF"],
};

export function unit_named(name: string): Unit | undefined {
  return kUnits.find((one) => one.name === name.trim());
}

export function offered(kind: string): Unit[] {
  const names = kOffered[kind] ?? kUnits.filter((one) => one.kind === kind).map((one) => one.name);
  return names.flatMap((name) => unit_named(name) ?? []);
}

function to_si(value: number, from: Unit): number {
  return value * from.factor + from.offset;
}

function from_si(si: number, to: Unit): number {
  return (si - to.offset) / to.factor;
}

// Undefined: another kind of quantity.
export function converted(value: number, from: Unit, to: Unit): number | undefined {
  if (from.kind !== to.kind) return undefined;
  return from === to ? value : from_si(to_si(value, from), to);
}

export interface Range {
  lower: number | undefined; // in `unit`
  upper: number | undefined;
  unit: Unit;
  decimals: number; // as written
}

// "at least 27.950 mm", "at most 110 kPa", "0.05..0.20 mm", "650 ± 25 1/min".
export function parsed_range(text: string | undefined): Range | undefined {
  const number = "([0-9]+(?:\\.[0-9]+)?)";
  const is = unit_at_end(text ?? "");
  if (!is || text === undefined) return undefined;
  const body = text.trim().slice(0, -is.name.length).trim();
  const single = new RegExp(`^(at least|at most)\\s+${number}$`).exec(body);
  if (single) {
    const value = Number(single[2]);
    const decimals = decimals_in(single[2]);
    return single[1] === "at least"
      ? { lower: value, upper: undefined, unit: is, decimals }
      : { lower: undefined, upper: value, unit: is, decimals };
  }
  const pair = new RegExp(`^${number}\\s*(\\.\\.|±)\\s*${number}$`).exec(body);
  if (!pair) return undefined;
  const [a, b] = [Number(pair[1]), Number(pair[3])];
  const decimals = Math.max(decimals_in(pair[1]), decimals_in(pair[3]));
  return pair[2] === "±"
    ? { lower: a - b, upper: a + b, unit: is, decimals }
    : { lower: a, upper: b, unit: is, decimals };
}

function unit_at_end(text: string): Unit | undefined {
  return kUnits.find((one) => text.trim().endsWith(` ${one.name}`));
}

function decimals_in(text = ""): number {
  return (text.split(".")[1] ?? "").length;
}

// A single quantity, "0.001 mm" or "2 degC", in its own unit.
export function parsed_quantity(text: string | undefined): { value: number; unit: Unit } | undefined {
  const is = unit_at_end(text ?? "");
  if (!is || text === undefined) return undefined;
  const value = Number(text.trim().slice(0, -is.name.length));
  return Number.isFinite(value) ? { value, unit: is } : undefined;
}

// Decimals that show a step of the other unit: 0.001 mm needs 5 in inches (0.00004 in).
export function decimals_for(decimals: number, from: Unit, to: Unit): number {
  if (from === to) return decimals;
  return Math.max(0, decimals + Math.ceil(Math.log10(to.factor / from.factor) - 1e-9));
}

// A limit in another unit, never rounded wider: the lower one up, the upper one down.
export function range_in(range: Range, to: Unit): Range | undefined {
  if (range.unit === to) return range;
  if (range.unit.kind !== to.kind) return undefined;
  const decimals = decimals_for(range.decimals, range.unit, to);
  const scale = 10 ** decimals;
  const inward = (value: number | undefined, round: (x: number) => number, slack: number) =>
    value === undefined
      ? undefined
      : round((converted(value, range.unit, to) ?? 0) * scale + slack) / scale;
  return {
    lower: inward(range.lower, Math.ceil, -1e-6),
    upper: inward(range.upper, Math.floor, 1e-6),
    unit: to,
    decimals,
  };
}

export function shown_value(value: number, decimals: number, is: Unit): string {
  return `${number_words(value.toFixed(decimals))} ${is.name.replace("degC", "°C").replace("degF", "°F")}`;
}
