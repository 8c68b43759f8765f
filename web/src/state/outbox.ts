// SPDX-License-Identifier: Apache-2.0
// Entries on their way. Each is kept on the device before it is sent, with a key of its own, and
// stays until the program has given its receipt: sent twice, it is stored once. What the program
// refuses stays too, with the reason, until somebody mends or drops it.
import { ask, case_path, type Schemas, type Told } from "../ask";
import { here } from "../route";
import { link_is, on_change } from "./live";
import { all_kept, forget, keep } from "./local";

export type NewEntry = Schemas["new_entry"];

export interface Waiting {
  key: string;
  practice: boolean;
  case: string;
  entry: NewEntry;
  entered: string; // when it was entered on this device
  refused?: { detail: string; mistakes: Schemas["mistake"][] };
}

let waiting: Waiting[] = [];
let is_sending = false;

function changed(): void {
  dispatchEvent(new Event("outbox"));
}

export function all_waiting(): readonly Waiting[] {
  return waiting;
}

export function waiting_of(name: string): Waiting[] {
  const practice = here().practice;
  return waiting.filter((one) => one.case === name && one.practice === practice);
}

export async function start_outbox(): Promise<void> {
  try {
    waiting = (await all_kept<Waiting>("outbox")).sort((a, b) => (a.entered < b.entered ? -1 : 1));
  } catch {
    waiting = [];
  }
  changed();
  on_change(() => void send_all());
  addEventListener("online", () => void send_all());
  await send_all();
}

// Kept first, then sent. Resolves when it is kept; the receipt comes by the event "outbox".
export async function enter(name: string, entry: NewEntry): Promise<Waiting> {
  const one: Waiting = {
    key: crypto.randomUUID(),
    practice: here().practice,
    case: name,
    entry,
    entered: new Date().toISOString(),
  };
  await keep("outbox", one.key, one);
  waiting = [...waiting, one];
  changed();
  void send_all();
  return one;
}

export async function drop(key: string): Promise<void> {
  await forget("outbox", key);
  waiting = waiting.filter((one) => one.key !== key);
  changed();
}

// In their order; ends at the first that finds nobody.
export async function send_all(): Promise<void> {
  if (is_sending) return;
  is_sending = true;
  try {
    for (const one of waiting) {
      if (one.refused || one.practice !== here().practice) continue;
      const path = case_path(one.case, "entries");
      const answer = await ask("POST", path, { key: one.key, entry: one.entry });
      link_is(answer.status !== 0);
      if (answer.ok) await drop(one.key);
      else if (is_for_later(answer)) break;
      else await refuse(one, answer);
    }
  } finally {
    is_sending = false;
  }
}

function is_for_later(answer: Told<unknown>): boolean {
  return [0, 401, 403, 429, 502, 503].includes(answer.status);
}

async function refuse(one: Waiting, answer: Told<unknown>): Promise<void> {
  const refused = { ...one, refused: { detail: answer.detail, mistakes: answer.mistakes } };
  await keep("outbox", one.key, refused);
  waiting = waiting.map((other) => (other.key === one.key ? refused : other));
  changed();
}
