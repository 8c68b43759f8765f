// SPDX-License-Identifier: Apache-2.0
// What the program says of an entry while it is typed: asked a moment after the last key. Nothing is
// stored by it.
import { useEffect, useState } from "preact/hooks";

import { ask } from "../ask";

export interface Live<T> {
  told: T | undefined; // of what was typed last, or a moment before
  detail: string; // why there is no answer
}

const kPause = 200; // ms

export function useLive<T>(path: string, body: unknown): Live<T> {
  const [live, set] = useState<Live<T>>({ told: undefined, detail: "" });
  const text = body === undefined ? undefined : JSON.stringify(body);
  useEffect(() => {
    if (text === undefined) {
      set({ told: undefined, detail: "" });
      return;
    }
    let is_over = false;
    const later = setTimeout(async () => {
      const answer = await ask<T>("POST", path, JSON.parse(text) as unknown);
      if (!is_over) set({ told: answer.told, detail: answer.detail });
    }, kPause);
    return () => {
      is_over = true;
      clearTimeout(later);
    };
  }, [path, text]);
  return live;
}
