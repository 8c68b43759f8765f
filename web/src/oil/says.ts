// SPDX-License-Identifier: Apache-2.0
// What the program says of the oil of an engine, and what of it comes first.
import { case_path, type Schemas } from "../ask";
import { number_words } from "../said/said";

export type Oil = Schemas["case_oil"];
export type DriveOil = Schemas["drive_oil"];
export type Network = Schemas["oil_network"];
export type Range = Schemas["oil_range"];
export type Journal = Network["journals"][number];
export type Circuit = Schemas["oil_circuit"];

export const oil_of_case = (name: string, paper: string): string => `${case_path(name, "oil")}?paper=${paper}`;
export const circuit_of_case = (name: string, paper: string): string => `${case_path(name, "oil", "circuit")}?paper=${paper}`;

export const fixed = (value: number, decimals = 0): string => number_words(value.toFixed(decimals));

// "88 (85 to 91)", of kPa; the words between are the page's own.
export function range_words(of: Range, decimals: number, to: string): string {
  return `${fixed(of.likely, decimals)} (${fixed(of.low, decimals)} ${to} ${fixed(of.high, decimals)})`;
}

// There is something to say: a gauge can be put to it, or its ways are known.
export function has_oil(drive: DriveOil): boolean {
  return drive.ports.length > 0 || drive.limits.length > 0 || drive.network !== null || drive.banks !== null;
}

export interface Gauge {
  place: string;
  kPa: number;
  U_kPa: number;
  least?: number; // the limit that holds there under this condition
  is_lowest: boolean;
}

// The gauges that were read beside each other: the lowest head, the others, the gallery.
export function gauges_of(drive: DriveOil): { condition: string; gauges: Gauge[] } | undefined {
  const { network, banks } = drive;
  if (network) {
    const least = new Map(network.places.map((one) => [one.name, one.least_kPa]));
    const { lowest, heads, gallery } = network.gauges;
    const all = [...heads.filter((one) => one.place === lowest), ...heads.filter((one) => one.place !== lowest), gallery];
    return { condition: network.condition, gauges: all.map((one) => gauge(one, lowest, least.get(one.place))) };
  }
  if (!banks) return undefined;
  const all = [banks.head, banks.better_head, banks.gallery];
  return { condition: banks.condition, gauges: all.map((one) => gauge(one, banks.head.place)) };
}

function gauge({ place, kPa, U_kPa }: Schemas["oil_gauge"], lowest: string, least?: number): Gauge {
  return { place, kPa, U_kPa, is_lowest: place === lowest, ...(least === undefined ? {} : { least }) };
}

// What the heads beside each other mean: of the lowest head, else of the first that was looked at.
export function headline_of(drive: DriveOil): Schemas["finding"] | undefined {
  const heads = drive.findings.filter((one) => one.check === "head-pressure");
  return heads.find((one) => one.subject === drive.network?.gauges.lowest) ?? heads[0];
}

// What is to be measured or stated next, each once, in the program's order. Where the options are
// known the journals that a low head asks for are measured.
export function next_of(drive: DriveOil): string[] {
  const { network, banks } = drive;
  const is_told = (network?.options.length ?? 0) > 0;
  const is_known = is_told || banks !== null;
  const has_asked = (check: string) => (check === "oil-pressure" ? network === null : check !== "head-pressure" || !is_known);
  const asked = drive.findings.filter((one) => has_asked(one.check)).flatMap((one) => one.next);
  const beside = !is_told && banks && !banks.explained ? banks.from_better_bank.measure_next : [];
  return [...new Set([...(network?.measure_next ?? []), ...beside, ...asked])];
}

export function missing_of(drive: DriveOil): string[] {
  if (drive.network?.options.length || drive.banks) return [];
  return [...new Set([...drive.network_missing, ...drive.missing])];
}

// Journals that have a slider: of the lowest bank, and what else was measured.
export function slid_journals(network: Network): { first: Journal[]; others: Journal[] } {
  const bank = network.bank ?? bank_of(network.gauges.lowest);
  const journals = [...network.journals].sort((a, b) => a.place.localeCompare(b.place, "en", { numeric: true }));
  const first = journals.filter((one) => one.bank === bank);
  return { first, others: journals.filter((one) => one.bank !== bank && one.measured) };
}

function bank_of(place: string): number | null {
  const found = /^bank (\d+)\b/.exec(place);
  return found ? Number(found[1]) : null;
}

export const kNarrowest = 0.02;
export const kWidest = 0.25; // mm
export const kStep = 0.005;

// What a slider may stand at: as found is always one of them.
export function slider_range(found: number): { min: number; max: number } {
  return { min: Math.min(kNarrowest, found), max: Math.max(kWidest, found) };
}

// From what it stands at to the next one that a key or a finger chooses: full steps, inside.
export function stepped(value: number, found: number): number {
  const { min, max } = slider_range(found);
  if (Math.abs(value - found) < kStep / 2) return found;
  return Math.min(max, Math.max(min, Math.round(value / kStep) * kStep));
}

// What is sent: only those that stand elsewhere than found.
export function clearances_asked(set: Readonly<Record<string, number>>, journals: readonly Journal[]): { place: string; mm: number }[] {
  return journals.flatMap(({ place, mm }) => {
    const asked = set[place];
    return asked === undefined || Math.abs(asked - mm) < 1e-6 ? [] : [{ place, mm: Number(asked.toFixed(4)) }];
  });
}
