// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from "preact/hooks";

import { ask } from "../ask";
import { link_is } from "../state/live";
import type { InputText, Outcome } from "./says";

export interface Answered {
  outcome: Outcome | undefined; // to exactly what is said now; never to what was said before
  detail: string; // why there is none
}

const kAsking: Answered = { outcome: undefined, detail: "" };

export function useAnswer(question: string, typed: InputText[]): Answered & { again: () => void } {
  const [tries, set_tries] = useState(0);
  const said = JSON.stringify([question, typed]);
  const [answered, set] = useState<{ said: string; is: Answered }>({ said: "", is: kAsking });
  useEffect(() => {
    let is_over = false;
    void ask<Outcome>("POST", `/api/quick/${encodeURIComponent(question)}`, { typed }).then((a) => {
      link_is(a.status !== 0);
      if (!is_over) set({ said, is: { outcome: a.told, detail: a.detail } });
    });
    return () => {
      is_over = true;
    };
  }, [said, tries]);
  const is = answered.said === said ? answered.is : kAsking;
  return { ...is, again: () => set_tries((n) => n + 1) };
}
