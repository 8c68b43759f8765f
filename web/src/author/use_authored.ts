// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from "preact/hooks";

import { ask } from "../ask";
import { link_is } from "../state/live";
import type { Authored } from "./says";

export interface Authoring {
  now: Authored | undefined; // of the text as it was last looked at
  last: Authored | undefined; // of the last text that could be read
  is_present: boolean; // `now` is of the text as it is
  detail: string;
}

const kPause = 300; // ms without a change before the program is asked

export function useAuthored(text: string, name: string): Authoring {
  const [of, set] = useState<Omit<Authoring, "is_present"> & { text: string }>({ text: "", now: undefined, last: undefined, detail: "" });
  useEffect(() => {
    if (!text.trim()) return;
    let is_over = false;
    const timer = setTimeout(async () => {
      const { told, detail, status } = await ask<Authored>("POST", "/api/drives/author", { text, name });
      link_is(status !== 0);
      if (is_over) return;
      set((before) => ({ text, now: told ?? before.now, last: told?.is_readable ? told : before.last, detail }));
    }, kPause);
    return () => {
      is_over = true;
      clearTimeout(timer);
    };
  }, [text, name]);
  return { now: of.now, last: of.last, is_present: of.text === text && !of.detail, detail: of.detail };
}
