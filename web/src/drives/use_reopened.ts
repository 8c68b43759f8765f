// SPDX-License-Identifier: Apache-2.0
// An existing definition for the guided steps. What reads and merges its text is loaded when it is
// first wanted.
import { useEffect, useState } from "preact/hooks";

import type { Answers } from "./answers";
import { useText } from "./use_text";
import type { Written } from "./yaml_lines";

export interface Reopened {
  text: string;
  sha256: string | undefined;
  begun: Answers; // what its text says already
  merged: (text: string, before: Written, after: Written) => Written;
}

interface Reopening {
  opened?: Reopened;
  base?: string; // it is a variant of this one
  why: string;
}

export function useReopened(name: string): Reopening {
  const stored = useText(name);
  const [now, set] = useState<Reopening>({ why: "" });
  useEffect(() => {
    let is_over = false;
    if (!stored.text) return set({ why: stored.detail });
    void Promise.all([import("./merged"), import("./answers_of")])
      .then(([{ merged, tree_of }, { answers_of }]): Reopening => {
        const tree = tree_of(stored.text);
        const base = tree && typeof tree === "object" && !Array.isArray(tree) ? tree["based_on"] : undefined;
        if (typeof base === "string") return { base, why: "" };
        return { opened: { text: stored.text, sha256: stored.sha256, begun: answers_of(tree), merged }, why: "" };
      })
      .catch((error: unknown): Reopening => ({ why: String(error) }))
      .then((next) => is_over || set(next));
    return () => {
      is_over = true;
    };
  }, [stored.text, stored.detail]);
  return now;
}
