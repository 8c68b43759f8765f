// SPDX-License-Identifier: Apache-2.0
// The last record of each case that this page knows of, by the program's own number: from receipts
// and from the stream of changes. An answer computed from fewer records is old, whatever any clock
// says.
const last = new Map<string, number>();
let missed = 0;

const key = (name: string, practice: boolean) => `${practice ? "practice" : "shop"}/${name}`;

export function record_told(name: string, practice: boolean, number: number): void {
  last.set(key(name, practice), Math.max(number, last_record(name, practice)));
}

// 0: none is known.
export function last_record(name: string, practice: boolean): number {
  return last.get(key(name, practice)) ?? 0;
}

// It is gone: another case may come under its name, and begin anew.
export function case_is_gone(name: string, practice: boolean): void {
  last.delete(key(name, practice));
}

// Changes may have gone by unheard: what was asked before may be old.
export function much_is_missed(): void {
  last.clear();
  ++missed;
}

export function times_missed(): number {
  return missed;
}
