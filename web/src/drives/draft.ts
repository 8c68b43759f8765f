// SPDX-License-Identifier: Apache-2.0
// What is typed and not yet saved stays on this device, through a closed page too.
import { useEffect, useState } from "preact/hooks";

import { in_store } from "../ask";

function kept_draft<T>(key: string): T | undefined {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "null") ?? undefined;
  } catch {
    return undefined;
  }
}

function key_of(name: string): string {
  return `tautmark.draft.${in_store(`/${name}`)}`;
}

// False: one is begun already, or this device keeps nothing.
export function begin_draft(name: string, draft: unknown): boolean {
  try {
    if (kept_draft(key_of(name)) !== undefined) return false;
    localStorage.setItem(key_of(name), JSON.stringify(draft));
    return true;
  } catch {
    return false;
  }
}

// `undefined` set as the value forgets it.
export function useDraft<T>(name: string): [T | undefined, (value: T | undefined) => void] {
  const key = key_of(name);
  const [draft, set] = useState<T | undefined>(() => kept_draft<T>(key));
  useEffect(() => {
    try {
      if (draft === undefined) localStorage.removeItem(key);
      else localStorage.setItem(key, JSON.stringify(draft));
    } catch {
      // A device that keeps nothing works as long as the page is open.
    }
  }, [draft, key]);
  return [draft, set];
}
