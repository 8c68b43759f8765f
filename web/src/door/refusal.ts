// SPDX-License-Identifier: Apache-2.0
// What is refused at the door, in the words of the page: never which part of it was wrong, and never
// whether there is an account of that name.
import { useState } from "preact/hooks";

import type { Told } from "../ask";
import { type Key, t } from "../texts";

// `wrong`: for the status of the program that means "this is not right here".
export function refusal(answer: Told<unknown>, wrong: Partial<Record<number, Key>>): string {
  if (answer.status === 429) return t("door_wait", { time: wait_words(answer.wait) });
  const key = wrong[answer.status];
  return key ? t(key) : answer.detail;
}

function wait_words(seconds: number): string {
  return seconds < 100 ? t("door_seconds", { n: seconds }) : t("door_minutes", { n: Math.ceil(seconds / 60) });
}

// Sends once at a time; after too many tries its buttons rest as long as the program says.
export function useSending(): [boolean, (act: () => Promise<Told<unknown> | undefined>) => void] {
  const [is_resting, rest] = useState(false);
  const send = async (act: () => Promise<Told<unknown> | undefined>) => {
    if (is_resting) return;
    rest(true);
    const wait = (await act())?.wait ?? 0;
    if (wait > 0) setTimeout(() => rest(false), wait * 1000);
    else rest(false);
  };
  return [is_resting, (act) => void send(act)];
}
