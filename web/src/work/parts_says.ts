// SPDX-License-Identifier: Apache-2.0
// What the program says of parts, and the entry that a box opened makes.
import { case_path, type Schemas } from "../ask";
import type { NewEntry } from "../state/outbox";
import type { Key } from "../texts";

export type PartsOfDrive = Schemas["parts_of_drive"];
export type PartRow = Schemas["part_row"];
export type SetSaid = Schemas["part_set"];

export const parts_path = (of: string, name: string): string =>
  of === "drive" ? `/api/drives/${encodeURIComponent(name)}/parts` : case_path(name, "parts");

export const kAspects: Record<string, Key> = {
  links: "parts_links",
  teeth: "parts_teeth",
  marks: "parts_marks",
  "feed hole": "parts_feed_hole",
  "plunger side": "parts_plunger_side",
};

export const kStandings: Record<string, Key> = {
  "to order": "parts_to_order",
  ordered: "parts_ordered",
  "in the box": "parts_in_the_box",
  fitted: "parts_fitted",
};

export type Beside = "alike" | "differs";

// What is ticked of one box before it is entered; kept on the device.
export interface BoxTicks {
  found: string[];
  beside: Record<string, Beside>;
  edition: string;
  date: string;
}
export const kNoTicks: BoxTicks = { found: [], beside: {}, edition: "", date: "" };

export interface BoxOf {
  name: string;
  bank: number | null;
  holds: readonly string[]; // of a single part nothing
}

// Only what somebody ticked or typed is entered: what is not said stays open.
export function box_entry(box: BoxOf, ticks: BoxTicks): NewEntry {
  const beside = (which: Beside) => Object.keys(ticks.beside).filter((one) => ticks.beside[one] === which);
  const entry: Record<string, unknown> = { kind: "part", part: box.name, action: "in the box" };
  if (box.bank !== null) entry["bank"] = box.bank;
  const found = box.holds.filter((one) => ticks.found.includes(one));
  if (found.length > 0) entry["found"] = found;
  if (ticks.edition.trim()) entry["edition"] = ticks.edition.trim();
  if (ticks.date) entry["date"] = ticks.date;
  if (beside("alike").length > 0) entry["beside_old"] = beside("alike");
  if (beside("differs").length > 0) entry["differs"] = beside("differs");
  return entry as unknown as NewEntry;
}

export const count_words = (row: PartRow): string =>
  `${row.count ?? "?"}${row.only_if > 0 ? ` (+${row.only_if})` : ""}`;
