// SPDX-License-Identifier: Apache-2.0
// A reading without its form: where a series begins, what it lacks, the entry it becomes.
import type { Schemas } from "../ask";
import { waiting_of } from "../state/outbox";
import { t } from "../texts";
import { value_parts } from "./decimal_sign";
import { type Gauge, last_gauge } from "./instruments";
import { type AnyEntry, next_open, type Position, type ToDo } from "./positions";
import type { With } from "./reading_with";
import { offered, parsed_range, type Unit, unit_named } from "./units";

// Units a quantity can be read in; lock play is read in degrees or on the rim.
function kinds_of_quantity(quantity: string): string[] {
  if (quantity === "lock play") return ["length", "cam angle"];
  return [quantity === "sink time" ? "time" : "length"];
}

export function units_of_quantity(quantity: string): Unit[] {
  return kinds_of_quantity(quantity).flatMap(offered);
}

const kWithNothing: With = { directions: [], section: "", temperature: "", cap: "", links: "", radius: "", drop: "", force: "" };

export function entries_of(view: Schemas["case_view"], name: string): AnyEntry[] {
  const stored = (view.case.entries ?? []) as unknown as AnyEntry[];
  return [...stored, ...waiting_of(name).map((one) => one.entry as unknown as AnyEntry)];
}

// That of the limit; but lock play is limited as an angle and read on the rim.
export function first_unit(quantity: string, positions: Position[], units: Unit[]): Unit {
  if (quantity === "lock play") return units[0] as Unit;
  const written = parsed_range(positions[0]?.limit)?.unit;
  return units.find((one) => one === written) ?? units[0] ?? (unit_named("mm") as Unit);
}

// The one used last, or the only one of the case that fits; else nothing is chosen.
export function first_gauge(quantity: string, gauges: Gauge[]): string {
  const last = last_gauge(quantity);
  if (gauges.some((one) => one.name === last)) return last ?? "";
  const first = gauges[0];
  return first?.is_declared ? first.name : "";
}

export function with_fit(position: Position | undefined): With {
  const fit = position?.fit;
  return {
    ...kWithNothing,
    links: fit?.links ? String(fit.links) : "",
    drop: fit?.drop ?? "",
    force: fit?.force ?? "",
  };
}

export function first_at(list: ToDo[], place: string | undefined, is_given: boolean, entries: AnyEntry[]): number {
  const at = list.findIndex((one) => one.position.place === place);
  if (is_given && at >= 0) return at;
  return next_open(list, (at < 0 ? list.length : at) - 1, entries) ?? Math.max(0, at);
}

export function lacking(quantity: string, unit: Unit, also: With, gauge: string): string | undefined {
  if (gauge === "") return t("in_lacks_instrument");
  if (quantity === "chain length" && !/^[0-9]+$/.test(also.links)) return t("in_lacks_links");
  if (quantity === "lock play" && unit.kind === "length" && !also.radius) return t("in_lacks_radius");
  return undefined;
}

export function entry_of(position: Position, direction: string | undefined, values: string, instrument: string, also: With, unit: Unit): AnyEntry {
  const is_journal = /diameter$/.test(position.quantity);
  const all: Record<string, unknown> = {
    quantity: position.quantity,
    place: position.place,
    direction,
    section: is_journal ? also.section : "",
    values,
    instrument,
    temperature: also.temperature,
    cap: position.quantity === "bore diameter" || position.quantity === "journal clearance" ? also.cap : "",
    links: position.quantity === "chain length" ? Number(also.links) : undefined,
    radius: position.quantity === "lock play" && unit.kind === "length" ? also.radius : "",
    drop: position.quantity === "sink time" ? also.drop : "",
    force: position.quantity === "sink time" ? also.force : "",
  };
  const is_told = Object.entries(all).filter(([, one]) => one !== undefined && one !== "");
  return { kind: "reading", ...Object.fromEntries(is_told) };
}

// What the pad has a place for; blades and reported means have more, and are corrected in the form.
const kOnPad = [
  "kind", "id", "at", "by", "replaces", "quantity", "place", "direction", "section", "values", "instrument", "temperature", "cap", "links",
  "radius", "drop", "force", "remark",
];

// The reading that is corrected, if the pad can: its values are bare figures of a unit it knows.
export function on_pad(entry: AnyEntry | undefined, positions: readonly Position[]): entry is AnyEntry {
  if (!entry || entry.kind !== "reading" || Object.keys(entry).some((key) => !kOnPad.includes(key))) return false;
  const { values, unit } = value_parts(String(entry["values"] ?? ""));
  const quantity = String(entry["quantity"]);
  return (
    values.length > 0 &&
    values.every((value) => /^[0-9]+([.,][0-9]+)?$/.test(value)) &&
    units_of_quantity(quantity).some((one) => one.name === unit) &&
    positions.some((one) => one.quantity === quantity && one.place === entry["place"])
  );
}

// A correction begins with what it corrects; of several values all stand, to take the wrong one away.
export function begun_from(old: AnyEntry, position: Position | undefined): { also: With; unit: Unit | undefined; values: string[]; gauge: string } {
  const text = (key: string) => (old[key] === undefined ? "" : String(old[key]));
  const { values, unit } = value_parts(text("values"));
  const told = Object.fromEntries(Object.keys(kWithNothing).filter((key) => text(key)).map((key) => [key, text(key)]));
  return {
    also: { ...with_fit(position), ...told, directions: text("direction") ? [text("direction")] : [] },
    unit: unit_named(unit),
    values: values.length > 1 ? values.map((one) => one.replace(",", ".")) : [],
    gauge: text("instrument"),
  };
}

// What the pad does not ask for stays as it was.
export function correction_of(old: AnyEntry, entry: AnyEntry): AnyEntry {
  return { ...(old["remark"] ? { remark: old["remark"] } : {}), ...entry, replaces: old["id"] } as AnyEntry;
}

export function last_words(place: string): string {
  return place.split(" / ").slice(-1)[0] ?? place;
}

