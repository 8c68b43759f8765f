// SPDX-License-Identifier: Apache-2.0
// Live updates: one stream for the whole page. Listeners hear which case changed, or "" for: much
// may have changed, ask again. Also knows whether the program is reached.
import { ask, in_store } from "../ask";
import { case_is_gone, much_is_missed, record_told } from "./records";

type Listener = (changed_case: string) => void;

const kAgain = 10_000; // ms until a stream that was refused is asked for again

const listeners = new Set<Listener>();
let stream: EventSource | undefined;
let streamed = "";
let lost_since: Date | undefined;

export function on_change(listener: Listener): () => void {
  listeners.add(listener);
  open_stream();
  return () => listeners.delete(listener);
}

export function link_lost_since(): Date | undefined {
  return lost_since;
}

// Told by whoever asked the program.
export function link_is(good: boolean): void {
  if (good === (lost_since === undefined)) return;
  lost_since = good ? undefined : new Date();
  dispatchEvent(new Event("link"));
  if (good) tell("");
}

// Sent from here: known without the stream, which a silent network can leave hanging.
export function changed_from_here(name: string): void {
  tell(name);
}

function tell(changed_case: string): void {
  if (changed_case === "") much_is_missed();
  for (const listener of [...listeners]) listener(changed_case);
}

interface Change {
  case?: string;
  seq?: number; // of its last record
  gone?: boolean;
}

function hear({ case: name = "", seq, gone }: Change): void {
  const practice = streamed.startsWith("/practice");
  if (gone) case_is_gone(name, practice);
  else if (seq !== undefined) record_told(name, practice, seq);
  tell(name);
}

// Somebody has logged in: what was refused before is asked for again.
export function ask_again(): void {
  open_stream(true);
}

function open_stream(is_again = false): void {
  const address = in_store("/api/events");
  if (stream && streamed === address && !is_again) return;
  stream?.close();
  streamed = address;
  const opened = new EventSource(address);
  stream = opened;
  stream.onopen = () => {
    if (lost_since) link_is(true);
    else if (is_again) tell(""); // what changed while there was no stream was not heard
  };
  stream.onerror = () => {
    // Through a lost link the browser tries again by itself, after a refusal it does not. Refused
    // is who is not logged in, while the program is there.
    if (opened.readyState !== EventSource.CLOSED) return link_is(false);
    void ask("GET", "/api/status").then((answer) => stream === opened && link_is(answer.status !== 0));
    setTimeout(() => stream === opened && open_stream(true), kAgain);
  };
  stream.onmessage = (event: MessageEvent<string>) => hear(JSON.parse(event.data) as Change);
  stream.addEventListener("reload", () => tell(""));
}
