// SPDX-License-Identifier: Apache-2.0
// What may still be said of an answer of the program, and what it asks to be measured.
import { useEffect, useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { here } from "../route";
import type { Asked } from "../state/asked";
import { useHeard } from "../state/heard";
import { link_lost_since, on_change } from "../state/live";
import { is_outbox_read, waiting_of } from "../state/outbox";
import { last_record, times_missed } from "../state/records";
import { usePulse } from "../state/pulse";
import type { Key } from "../texts";
import { check_row, type Finding } from "./stages";

export type Findings = Schemas["findings"];

export interface Judged {
  told: Findings | undefined;
  at: Date | undefined;
  is_in_force: boolean; // false: nothing that allows anything may be read from it
  why_not: Key | undefined;
}

export interface Around {
  is_lost: boolean;
  is_read: boolean; // what waits on this device is known
  waits: number;
  last_record: number; // the last one of this case that is known of
  missed: number; // how often changes have been missed by now
}

export function judged(asked: Asked<Findings>, around: Around): Judged {
  const why_not = why_not_in_force(asked, around);
  return { told: asked.told, at: asked.at, is_in_force: why_not === undefined, why_not };
}

// Of every answer that is computed from the records of a case.
export function why_not_in_force(asked: Asked<{ after_record?: number | null }>, around: Around): Key | undefined {
  if (!around.is_read) return "turning_unread";
  if (around.waits > 0) return "turning_waits";
  if (around.is_lost) return "turning_lost";
  if (!asked.told) return "turning_unread";
  if (!asked.is_present) return "turning_old";
  const is_old = (asked.told.after_record ?? 0) < around.last_record || asked.missed < around.missed;
  return is_old ? "turning_waits" : undefined;
}

export function useJudged(asked: Asked<Findings>, name: string): Judged {
  return judged(asked, useAround(name));
}

export function useAround(name: string): Around {
  useHeard("link", "outbox");
  usePulse();
  const [, again] = useState(0);
  useEffect(
    () => on_change((which) => (which === "" || which === name ? again((n) => n + 1) : undefined)),
    [name],
  );
  return {
    is_lost: link_lost_since() !== undefined,
    is_read: is_outbox_read(),
    waits: waiting_of(name).length,
    last_record: last_record(name, here().practice),
    missed: times_missed(),
  };
}

export interface Wanted {
  says: string;
  check: string;
  subjects: string[];
}

// In the program's order, each measurement once, with all it would answer.
export function wanted_next(findings: readonly Finding[]): Wanted[] {
  const wanted = new Map<string, Wanted>();
  for (const one of findings) {
    if (one.verdict !== "open" || one.forecast) continue;
    for (const says of one.next) {
      const same = wanted.get(says);
      if (same) same.subjects.push(one.subject);
      else wanted.set(says, { says, check: one.check, subjects: [one.subject] });
    }
  }
  return [...wanted.values()];
}

// The path and query of the screen where what answers a check is entered.
export function enter_address(
  name: string,
  check: string,
  subject: string,
): { path: string[]; query: Record<string, string> } {
  const { enter, quantity } = check_row(check);
  if (enter === "torque trace") return { path: ["case", name, "trace"], query: {} };
  return { path: ["enter", name, enter], query: quantity ? { subject, quantity } : { subject } };
}

// "bank 1 chain / tensioner (no limit in the drive)" is a place and a remark.
export function places_of(missing: Schemas["findings"]["not_looked_at"][number]): string[] {
  return missing.places.split("; ").filter(Boolean);
}

export function place_only(place: string): string {
  return place.replace(/ \([^)]*\)$/, "");
}

// How many findings read otherwise than before: for those who hear the page.
export function changed_findings(before: Findings | undefined, now: Findings | undefined): number {
  if (!before || !now || before.case_sha256 === now.case_sha256) return 0;
  const said = (of: Findings) =>
    new Map(of.findings.map((one) => [`${one.check} ${one.subject}`, `${one.verdict} ${one.why}`]));
  const [old, fresh] = [said(before), said(now)];
  const names = new Set([...old.keys(), ...fresh.keys()]);
  return [...names].filter((name) => old.get(name) !== fresh.get(name)).length;
}
