// SPDX-License-Identifier: Apache-2.0
// What was begun of a step and is not entered: ticks, and what was sent for to show its gate. It
// stays on the device, through a closed page too; who comes back is asked how it stands.
import { useEffect, useState } from "preact/hooks";

import { drafts_of, keep_draft, useDraft } from "../state/draft";
import { is_begun, type Ticks } from "./torque";

export interface Begun {
  step: string;
  ticks: Ticks;
  at: string; // of the last tick
  known?: string[]; // entries that were there before a form was opened to show the gate
}

const of_case = (name: string) => `begun/${name}/`;

export function useBegun(name: string, step: string): [Begun | undefined, (next: Partial<Begun> | undefined) => void] {
  const draft = of_case(name) + step;
  const [kept, keep] = useDraft<Begun>(draft);
  const keep_now = (next: Partial<Begun> | undefined) => {
    const told = next && { ticks: {}, at: new Date().toISOString(), ...kept, ...next, step };
    keep_draft(draft, told); // at once: the page may be left by the same tap
    keep(told);
  };
  return [kept, keep_now];
}

// The step that somebody was in the middle of; the last one touched.
export function step_begun(name: string): string | undefined {
  const begun = drafts_of<Begun>(of_case(name)).filter((one) => is_begun(one.ticks));
  return begun.sort((a, b) => a.at.localeCompare(b.at)).at(-1)?.step;
}

const kAway = 20_000; // ms with the page out of sight until it counts as an interruption

// True from the moment somebody comes back to it until it is answered.
export function useReturned(is_in_the_middle: boolean): [boolean, () => void] {
  const [is_asked, ask] = useState(is_in_the_middle);
  useEffect(() => {
    let left: number | undefined;
    const turned = () => {
      if (document.hidden) left = Date.now();
      else if (left !== undefined && Date.now() - left > kAway && is_in_the_middle) ask(true);
    };
    document.addEventListener("visibilitychange", turned);
    return () => document.removeEventListener("visibilitychange", turned);
  }, [is_in_the_middle]);
  return [is_asked && is_in_the_middle, () => ask(false)];
}
