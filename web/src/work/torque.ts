// SPDX-License-Identifier: Apache-2.0
// The figures of a tightening step out of the program's own words, and how the order is drawn. No
// figure is computed here: each is shown as the program wrote it.
import type { Key } from "../texts";
import type { FastenerSaid, TargetSaid } from "./says";

type TorqueKind = "newton" | "foot" | "inch" | "other";

export interface Figure {
  number: string;
  unit: string;
  kind: TorqueKind;
}

const kUnits: Record<string, TorqueKind> = { "N·m": "newton", Nm: "newton", "lbf·ft": "foot", "lbf·in": "inch" };
export const kSpelled: Record<TorqueKind, Key | undefined> = {
  newton: "work_newton_meters",
  foot: "work_foot_pounds",
  inch: "work_inch_pounds",
  other: undefined,
};

// "35 N·m (25.8 lbf·ft, 309 lbf·in)" -> three figures; what follows "then" is an angle.
export function figures(target: string): Figure[] {
  const torque = target.replace(/(^|, )then .*$/, "");
  return [...torque.matchAll(/(\d[\d.,]*)\s*((?:N·m|Nm|lbf·ft|lbf·in|kgf·c?m|[a-zA-Z·-]+))/g)].map(([, number = "", unit = ""]) => ({
    number,
    unit,
    kind: kUnits[unit] ?? "other",
  }));
}

// The wrench that the sentence says to take, out of the instruments of the case.
export function wrench_named<T extends { name: string }>(says: string, instruments: readonly T[]): T | undefined {
  return instruments
    .filter((one) => says === `take ${one.name}` || says.startsWith(`take ${one.name} (`))
    .sort((a, b) => b.name.length - a.name.length)[0];
}

// What to set: the figure in the unit that is on the scale of the wrench.
export function setting(all: readonly Figure[], range: string | undefined): Figure | undefined {
  const unit = Object.keys(kUnits).find((one) => range?.includes(one));
  const kind = unit && kUnits[unit];
  return kind ? all.find((one) => one.kind === kind) : undefined;
}

// A figure that cannot be meant, or that the step and the fastener write differently: nothing but
// "check" and what was typed is shown.
export function is_to_check(card: FastenerSaid, typed: readonly TargetSaid[]): boolean {
  return card.steps.some((one) => one.to_check) || is_other(card, typed);
}

export function is_other(card: FastenerSaid, typed: readonly TargetSaid[]): boolean {
  return stretch_of(card, typed) === undefined;
}

// The passes of the card that the step writes: a stretch of them ("to 30 N·m", later "90 deg"), all
// where it writes none; undefined: it writes others. As the program compares them (figures_agree).
export function stretch_of(card: FastenerSaid, typed: readonly TargetSaid[]): FastenerSaid["steps"] | undefined {
  if (typed.length === 0) return card.steps;
  const begins = card.steps.findIndex((_, from) => typed.every((one, i) => is_same(card.steps[from + i], one)));
  return begins < 0 ? undefined : card.steps.slice(begins, begins + typed.length);
}

const kSame = 0.01; // of a figure: more than any rounding of what is typed

function is_same(own: FastenerSaid["steps"][number] | undefined, { torque, angle }: TargetSaid): boolean {
  const agree = (a: number | undefined, b: number | null) =>
    a === undefined || b === null ? (a ?? null) === b : Math.abs(a - b) <= kSame * Math.abs(b);
  return own !== undefined && agree(torque?.value, own.torque_Nm) && agree(angle && (angle.value * 180) / Math.PI, own.angle_deg);
}

// "30 N·m, then 90 deg": one pass as it was typed.
export function as_typed(one: TargetSaid): string {
  return [one.torque?.typed, one.angle?.typed].filter(Boolean).join(", then ");
}

export interface Bolt {
  bolt: number; // its number on the part
  turn: number; // when it is tightened, from 1
  x: number; // from 0 to 1
  y: number;
}

export interface Order {
  shape: "circle" | "rows" | "list";
  bolts: Bolt[]; // in the order of tightening
}

// "drawn from the pattern (numbered round the circle), …: 1, 3, 2, 4"
export function drawn_order(order: string): Order | undefined {
  const found = /: ((?:\d+, )+\d+)$/.exec(order);
  const numbers = found?.[1]?.split(", ").map(Number);
  if (!numbers) return undefined;
  const shape = order.includes("round the circle") ? "circle" : order.includes("along one row") ? "rows" : "list";
  const n = numbers.length;
  return { shape, bolts: numbers.map((bolt, i) => ({ bolt, turn: i + 1, ...place_of(shape, bolt - 1, n) })) };
}

function place_of(shape: Order["shape"], i: number, n: number): { x: number; y: number } {
  if (shape === "circle") {
    const angle = (2 * Math.PI * i) / n;
    return { x: 0.5 + 0.5 * Math.sin(angle), y: 0.5 - 0.5 * Math.cos(angle) };
  }
  const in_row = shape === "rows" ? n / 2 : n;
  const x = in_row > 1 ? (i % in_row) / (in_row - 1) : 0.5;
  return { x, y: shape === "rows" ? Math.floor(i / in_row) : 0.5 };
}

// Which bolts of a card have been ticked, pass by pass, in the order in which they were.
export type Ticks = Record<string, number[][]>;

export function bolts_ticked(ticks: Ticks, fastener: string, pass: number): readonly number[] {
  return ticks[fastener]?.[pass] ?? [];
}

export function ticked(ticks: Ticks, fastener: string, pass: number): number {
  return bolts_ticked(ticks, fastener, pass).length;
}

function with_pass(ticks: Ticks, fastener: string, pass: number, bolts: number[]): Ticks {
  const old = [...(ticks[fastener] ?? [])];
  for (let i = 0; i <= pass; ++i) old[i] ??= [];
  old[pass] = bolts;
  return { ...ticks, [fastener]: old };
}

export function with_tick(ticks: Ticks, fastener: string, pass: number, bolt: number): Ticks {
  const old = bolts_ticked(ticks, fastener, pass);
  return old.includes(bolt) ? ticks : with_pass(ticks, fastener, pass, [...old, bolt]);
}

// A bolt that has not had this pass has not had those after it.
export function without_bolt(ticks: Ticks, fastener: string, bolt: number, from_pass = 0): Ticks {
  const passes = (ticks[fastener] ?? []).map((bolts, pass) => (pass < from_pass ? bolts : bolts.filter((one) => one !== bolt)));
  return { ...ticks, [fastener]: passes };
}

// The bolt that comes next: in the order, else by its number; undefined: every one is ticked.
export function next_bolt(done: readonly number[], order: Order | undefined, count: number | undefined): number | undefined {
  if (order) return order.bolts.find((one) => !done.includes(one.bolt))?.bolt;
  for (let bolt = 1; count === undefined || bolt <= count; ++bolt) if (!done.includes(bolt)) return bolt;
  return undefined;
}

// Those that have had every pass, over all fasteners of the step.
export function all_ticked(ticks: Ticks, of: readonly { fastener: string; passes: number }[]): number {
  return of.reduce((sum, one) => {
    const counts = Array.from({ length: one.passes }, (_, pass) => ticked(ticks, one.fastener, pass));
    return sum + (counts.length > 0 ? Math.min(...counts) : 0);
  }, 0);
}

export function is_begun(ticks: Ticks): boolean {
  return Object.values(ticks).some((passes) => passes.some((bolts) => bolts.length > 0));
}
