// SPDX-License-Identifier: Apache-2.0
// Entries on their way. Each is kept on the device before it is sent, with a key of its own, and
// stays until the program has given its receipt: sent twice, it is stored once. They go in the order
// in which they were entered, and only one tab sends at a time. What the program refuses stays too,
// with the reason, until somebody mends or drops it; it holds up nothing behind it. Who sends may be
// somebody else than who entered, at a tablet that goes from hand to hand: the entry itself says who.
// What somebody entered who may not write is refused too: the next person sends it only on purpose.
import { ask, case_path, type Schemas, type Told } from "../ask";
import { here } from "../route";
import { changed_from_here, link_is, on_change } from "./live";
import * as local from "./local";
import { record_told } from "./records";

export type NewEntry = Schemas["new_entry"];

export interface Waiting {
  key: string;
  practice: boolean;
  case: string;
  entry: NewEntry;
  entered: string; // when it was entered on this device
  number: number; // order on this device
  file?: { name: string; bytes: Blob }; // put beside the case first
  is_only_in_memory?: boolean; // this device could not keep it
  refused?: { status: number; detail: string; mistakes: Schemas["mistake"][] };
}

// Where entries are kept; another one in tests.
export interface Keeping {
  all: () => Promise<Waiting[]>;
  keep: (one: Waiting) => Promise<void>;
  forget: (key: string) => Promise<void>;
}

const on_device: Keeping = {
  all: () => local.all_kept<Waiting>("outbox"),
  keep: (one) => local.keep("outbox", one.key, one),
  forget: (key) => local.forget("outbox", key),
};

const kLock = "tautmark.outbox";
let keeping = on_device;
let waiting: Waiting[] = [];
let running: Promise<void> | undefined;
let is_wanted = false;
let tabs: BroadcastChannel | undefined;
let seat: string | undefined; // who enters here now, as the program writes it
let held_up = ""; // why the program takes none of them now
let is_read = false;

function changed(): void {
  dispatchEvent(new Event("outbox"));
}

function changed_everywhere(): void {
  changed();
  tabs?.postMessage("changed");
}

export function all_waiting(): readonly Waiting[] {
  return waiting;
}

// False: what waits on this device was not read yet.
export function is_outbox_read(): boolean {
  return is_read;
}

export function why_held_up(): string {
  return held_up;
}

// Undefined: not known; then the program writes down who sends.
export function entered_by(now: string | undefined): void {
  seat = now;
}

export function waiting_of(name: string): Waiting[] {
  const practice = here().practice;
  return waiting.filter((one) => one.case === name && one.practice === practice);
}

export async function start_outbox(kept_in: Keeping = on_device): Promise<void> {
  keeping = kept_in;
  waiting = [];
  await look_again();
  if (!tabs && "BroadcastChannel" in globalThis) {
    tabs = new BroadcastChannel(kLock);
    tabs.onmessage = () => void look_again();
    on_change(() => void send_all());
    addEventListener("online", () => void send_all());
    addEventListener("hashchange", () => void send_all());
  }
  await send_all();
}

// What is kept now: another tab may have added, sent or dropped some.
async function look_again(): Promise<void> {
  let kept: Waiting[];
  try {
    kept = await keeping.all();
  } catch {
    kept = waiting.filter((one) => !one.is_only_in_memory); // a device that keeps nothing
  }
  is_read = true;
  const in_memory = waiting.filter((one) => one.is_only_in_memory);
  waiting = [...kept, ...in_memory].sort(
    (a, b) => a.entered.localeCompare(b.entered) || a.number - b.number,
  );
  changed();
}

// Asks the browser not to throw away what is kept here when the disk gets full.
export async function ask_to_persist(): Promise<boolean> {
  try {
    return (await navigator.storage.persisted()) || (await navigator.storage.persist());
  } catch {
    return false;
  }
}

// Kept first, then sent. Resolves when it is kept; the receipt comes by the event "outbox". The
// entry says when it was made and by whom: it may be sent hours later.
export async function enter(
  name: string,
  entry: NewEntry,
  file?: Waiting["file"],
): Promise<Waiting> {
  const now = new Date();
  const one: Waiting = {
    key: crypto.randomUUID(),
    practice: here().practice,
    case: name,
    entry: {
      ...entry,
      at: entry.at ?? `${now.toISOString().slice(0, 19)}Z`,
      ...(seat && !entry.by ? { by: seat } : {}),
    },
    entered: now.toISOString(),
    number: waiting.reduce((most, other) => Math.max(most, other.number), 0) + 1,
    ...(file ? { file } : {}),
  };
  try {
    await keeping.keep(one);
  } catch {
    one.is_only_in_memory = true;
  }
  waiting = [...waiting.filter((other) => other.key !== one.key), one];
  changed_everywhere();
  void send_all();
  return one;
}

export async function drop(key: string): Promise<void> {
  if (!waiting.find((one) => one.key === key)?.is_only_in_memory) await keeping.forget(key);
  waiting = waiting.filter((one) => one.key !== key);
  changed_everywhere();
}

// A refused one as it was mended: a new entry with a new key in its place.
export async function mend(key: string, entry: NewEntry): Promise<Waiting> {
  const old = waiting.find((one) => one.key === key);
  const fresh = await enter(old?.case ?? "", entry, old?.file);
  await drop(key);
  return fresh;
}

// Once more: what stood against it may be gone.
export async function retry(key: string): Promise<void> {
  const old = waiting.find((one) => one.key === key);
  if (!old) return;
  const { refused: _, ...again } = old;
  if (!again.is_only_in_memory) await keeping.keep(again);
  waiting = waiting.map((one) => (one.key === key ? again : one));
  changed_everywhere();
  await send_all();
}

// In their order; ends at the first that finds nobody. Asked for while it runs, it runs once more.
export function send_all(): Promise<void> {
  is_wanted = true;
  running ??= alone(send_while_wanted).finally(() => (running = undefined));
  return running;
}

// One tab at a time. Where the browser has no locks the program itself stores each key once.
async function alone(run: () => Promise<void>): Promise<void> {
  if (globalThis.navigator?.locks) await navigator.locks.request(kLock, run);
  else await run();
}

async function send_while_wanted(): Promise<void> {
  while (is_wanted) {
    is_wanted = false;
    await look_again();
    const sent = new Set<string>();
    for (;;) {
      const one = waiting.find((other) => is_to_send(other) && !sent.has(other.key));
      if (!one) break;
      sent.add(one.key);
      if (!(await send(one))) break;
    }
  }
}

// The store is that of the page as it is now; the other one's wait until it is open.
function is_to_send(one: Waiting): boolean {
  return !one.refused && one.practice === here().practice;
}

// False: nobody there, or not now; the rest waits too.
async function send(one: Waiting): Promise<boolean> {
  const answer = (await sent_file(one)) ?? (await sent_entry(one));
  link_is(answer.status !== 0);
  // A lost link and a log-in that is needed are said by the sheet.
  held_up = is_for_later(answer) && ![0, 401].includes(answer.status) ? answer.detail : "";
  if (answer.ok) await drop(one.key);
  else if (is_for_later(answer)) return changed(), false;
  else await refuse(one, answer);
  return true;
}

// While its file went the page may have turned to the other store: then later.
async function sent_entry(one: Waiting): Promise<Told<unknown>> {
  if (one.practice !== here().practice)
    return { ok: false, status: 503, told: undefined, detail: "", mistakes: [], wait: 0 };
  const answer = await ask<{ seq: number }>("POST", case_path(one.case, "entries"), { key: one.key, entry: one.entry });
  if (answer.told) {
    record_told(one.case, one.practice, answer.told.seq);
    changed_from_here(one.case);
  }
  return answer;
}

// Undefined: there is none, or it lies there: its name is its own, so 409 is its own earlier try.
async function sent_file(one: Waiting): Promise<Told<unknown> | undefined> {
  if (!one.file) return undefined;
  const path = `${case_path(one.case, "files")}?name=${encodeURIComponent(one.file.name)}`;
  const bytes = new Blob([one.file.bytes], { type: "application/octet-stream" });
  const answer = await ask("POST", path, bytes);
  return answer.ok || answer.status === 409 ? undefined : answer;
}

function is_for_later(answer: Told<unknown>): boolean {
  return [0, 401, 408, 429, 502, 503, 504].includes(answer.status);
}

async function refuse(one: Waiting, answer: Told<unknown>): Promise<void> {
  const { status, detail, mistakes } = answer;
  const refused = { ...one, refused: { status, detail, mistakes } };
  waiting = waiting.map((other) => (other.key === one.key ? refused : other));
  if (!one.is_only_in_memory) await keeping.keep(refused);
  changed_everywhere();
}
