// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from "preact/hooks";

import { ask } from "../ask";

interface StoredText {
  text: string;
  sha256: string | undefined; // unknown where the browser computes none and the program says none
  detail: string;
}

const kNone: StoredText = { text: "", sha256: undefined, detail: "" };

// The text of a definition as the program has it.
export function useText(name: string): StoredText {
  const [stored, set] = useState<StoredText>(kNone);
  useEffect(() => {
    let is_over = false;
    set(kNone);
    if (name)
      void ask<string | { text: string; sha256?: string }>("GET", `/api/drives/${encodeURIComponent(name)}/text`)
        .then(async ({ told, detail }) => {
          const text = typeof told === "string" ? told : (told?.text ?? "");
          const said = typeof told === "object" ? told.sha256 : undefined;
          return { text, sha256: said ?? (await sha256_of(text)), detail };
        })
        .then((next) => is_over || set(next));
    return () => {
      is_over = true;
    };
  }, [name]);
  return stored;
}

async function sha256_of(text: string): Promise<string | undefined> {
  if (!text || !globalThis.crypto?.subtle) return undefined;
  const sum = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  return [...new Uint8Array(sum)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
