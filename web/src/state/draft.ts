// SPDX-License-Identifier: Apache-2.0
// What is typed and not yet saved stays on this device, through a closed page too.
import { useEffect, useState } from "preact/hooks";

import { in_store } from "../ask";

function stored_draft<T>(key: string): T | undefined {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "null") ?? undefined;
  } catch {
    return undefined;
  }
}

function store(key: string, draft: unknown): void {
  try {
    if (draft === undefined) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(draft));
  } catch {
    // A device that keeps nothing works as long as the page is open.
  }
}

function key_of(name: string): string {
  return `tautmark.draft.${in_store(`/${name}`)}`;
}

export function kept_draft<T>(name: string): T | undefined {
  return stored_draft(key_of(name));
}

// At once; `undefined` forgets it.
export function keep_draft(name: string, draft: unknown): void {
  store(key_of(name), draft);
}

// All whose name begins so.
export function drafts_of<T>(beginning: string): T[] {
  try {
    const keys = Object.keys(localStorage).filter((key) => key.startsWith(key_of(beginning)));
    return keys.flatMap((key) => stored_draft<T>(key) ?? []);
  } catch {
    return [];
  }
}

// False: one is begun already, or this device keeps nothing.
export function begin_draft(name: string, draft: unknown): boolean {
  if (kept_draft(name) !== undefined) return false;
  keep_draft(name, draft);
  return kept_draft(name) !== undefined;
}

// `undefined` set as the value forgets it.
export function useDraft<T>(name: string): [T | undefined, (value: T | undefined) => void] {
  const key = key_of(name);
  const [draft, set] = useState<T | undefined>(() => stored_draft<T>(key));
  useEffect(() => store(key, draft), [draft, key]);
  // Two tabs have one draft: what is typed in one must not be lost by the next letter in the other.
  useEffect(() => {
    const heard = (event: StorageEvent) => {
      if (event.key === key) set(stored_draft<T>(key));
    };
    addEventListener("storage", heard);
    return () => removeEventListener("storage", heard);
  }, [key]);
  return [draft, set];
}

// Another window has entered or dropped it: what it brought here would be entered twice.
export function useDraftGone(name: string, then: () => void): void {
  useEffect(() => {
    const heard = (event: StorageEvent) => {
      if (event.key === key_of(name) && event.newValue === null) then();
    };
    addEventListener("storage", heard);
    return () => removeEventListener("storage", heard);
  });
}
