// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from "preact/hooks";

import { ask } from "../ask";
import { link_is } from "../state/live";
import type { Checked } from "./says";

export interface Checking {
  checked: Checked | undefined; // of the text as it was last checked
  is_present: boolean; // of the text as it is now
  detail: string; // why it could not be checked
}

const kPause = 400; // ms without a key before the program is asked

// A definition on its way, checked as it is typed.
export function useCheck(text: string, name: string): Checking {
  const [of, set] = useState({ text: "", checked: undefined as Checked | undefined, detail: "" });
  useEffect(() => {
    if (!text.trim()) return;
    let is_over = false;
    const timer = setTimeout(async () => {
      const answer = await ask<Checked>("POST", "/api/drives/check", { text, name });
      link_is(answer.status !== 0);
      if (is_over) return;
      set((before) => ({ text, checked: answer.told ?? before.checked, detail: answer.detail }));
    }, kPause);
    return () => {
      is_over = true;
      clearTimeout(timer);
    };
  }, [text, name]);
  return { checked: of.checked, is_present: of.text === text && !of.detail, detail: of.detail };
}
