// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from "preact/hooks";

import { ask } from "../ask";
import { useHeard } from "../state/heard";
import { link_is, link_lost_since } from "../state/live";
import { usePulse } from "../state/pulse";
import { t } from "../texts";
import type { InputText, Outcome } from "./says";

export interface Answered {
  outcome: Outcome | undefined; // to exactly what is said now; never to what was said before
  detail: string; // why there is none
}

const kAsking: Answered = { outcome: undefined, detail: "" };

export function useAnswer(question: string, typed: InputText[]): Answered & { again: () => void } {
  useHeard("link");
  usePulse();
  // Whether the engine may be turned is withheld while the link is lost, and asked anew after it.
  const is_withheld = question === "turn" && link_lost_since() !== undefined;
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
  }, [said, tries, is_withheld]);
  const known = answered.said === said ? answered.is : kAsking;
  const is = is_withheld ? { outcome: undefined, detail: t("no_answer") } : known;
  return { ...is, again: () => set_tries((n) => n + 1) };
}
