// SPDX-License-Identifier: Apache-2.0
// A file or folder let go anywhere on the page. A field for files, or a screen with a place of its
// own for them, takes it first; the rest is brought to the cases. Never in the middle of an entry:
// what was typed would be lost. Without this the browser would leave the page for the file.
import { go, here, type Route } from "../route";

export interface Taken {
  entry: FileSystemEntry | null;
  file: File | undefined;
  of_case: string; // over whose sheet it was let go; empty: none
}

const kEntering = ["enter", "about", "count", "new-engine"];

let is_over = false;
let is_refused = false;
let taken: Taken | undefined;

export const is_dragged_over = (): boolean => is_over;
export const is_drop_refused = (): boolean => is_refused;

// For the screen of the cases: what it has to bring in, once.
export function taken_drop(): Taken | undefined {
  const one = taken;
  taken = undefined;
  return one;
}

function is_entering({ path, query }: Route): boolean {
  return kEntering.includes(path[0] ?? "") || query["edit"] !== undefined || query["add"] !== undefined;
}

function say(over: boolean, refused: boolean): void {
  if (over === is_over && refused === is_refused) return;
  [is_over, is_refused] = [over, refused];
  dispatchEvent(new Event("drop-said"));
}

function takes_itself(event: DragEvent): boolean {
  return event.defaultPrevented || (event.target instanceof HTMLInputElement && event.target.type === "file");
}

// The entry must be taken before anything is waited for: the browser empties the list after the event.
function bring(transfer: DataTransfer): void {
  const { path } = here();
  taken = {
    entry: transfer.items[0]?.webkitGetAsEntry?.() ?? null,
    file: transfer.files[0],
    of_case: ["case", "turn", "recording"].includes(path[0] ?? "") ? (path[1] ?? "") : "",
  };
  if (path[0] === "cases") dispatchEvent(new Event("dropped"));
  else go(["cases"]);
}

export function start_drops(): void {
  const over = (event: DragEvent) => {
    if (!event.dataTransfer?.types.includes("Files") || takes_itself(event)) return say(false, false);
    event.preventDefault();
    say(true, false);
  };
  addEventListener("dragenter", over);
  addEventListener("dragover", over);
  addEventListener("dragleave", (event: DragEvent) => {
    if (event.relatedTarget === null) say(false, false);
  });
  addEventListener("drop", (event: DragEvent) => {
    if (takes_itself(event)) return say(false, false);
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    const refused = is_entering(here());
    say(false, refused);
    if (!refused) bring(event.dataTransfer);
  });
  addEventListener("hashchange", () => say(false, false));
}
