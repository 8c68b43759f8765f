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

// `undefined` set as the value forgets it.
export function useDraft<T>(name: string): [T | undefined, (value: T | undefined) => void] {
  const key = `tautmark.draft.${in_store(`/${name}`)}`;
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
