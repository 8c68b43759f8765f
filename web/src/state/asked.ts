// SPDX-License-Identifier: Apache-2.0
// An answer of the program as a screen sees it: at once what was seen last, then the present one,
// and anew whenever the case changes. Through a lost link the last answer stays, with its time.
import { useEffect, useState } from "preact/hooks";

import { ask, in_store, type Told } from "../ask";
import { link_is, on_change } from "./live";
import { forget_answers, keep, kept } from "./local";
import { times_missed } from "./records";

export interface Asked<T> {
  told: T | undefined;
  at: Date | undefined; // when the program was asked, to be shown
  missed: number; // how often changes had been missed by then
  is_present: boolean; // false: kept from an earlier time
  detail: string; // why there is none, or why it is old
  status: number;
}

interface Kept<T> {
  told: T;
  at: string;
}

const kNothing = { told: undefined, at: undefined, missed: 0, is_present: false, detail: "", status: 0 };

// `of_case`: asked again when that case changes; absent: when any does.
export function useAsked<T>(path: string | undefined, of_case?: string): Asked<T> {
  const [asked, set] = useState<Asked<T>>(kNothing);
  const key = path && in_store(path);
  useEffect(() => {
    set(kNothing);
    if (path === undefined || key === undefined) return;
    let is_over = false;
    let last: Asked<T> = kNothing;
    const take = (next: Asked<T>) => {
      if (!is_over) set((last = next));
    };
    let asked_last = 0;
    let answered_last = 0;
    let later: ReturnType<typeof setTimeout> | undefined; // "not now" is asked again
    const again = async () => {
      if (in_store(path) !== key) return; // the page has turned to the other store
      const number = ++asked_last;
      const asked_at = new Date();
      const missed = times_missed();
      const answer = await ask<T>("GET", path);
      // Answers may overtake each other: an older one never takes the place of a newer.
      if (is_over || number < answered_last) return;
      answered_last = number;
      take(merged(last, answer, asked_at, missed));
      clearTimeout(later);
      if (answer.status === 503) later = setTimeout(() => void again(), 1000 * (answer.wait || 2));
      if (answer.ok) void keep_quietly(key, answer.told, asked_at);
      if (answer.status === 401) void forget_answers().catch(() => undefined);
    };
    void kept<Kept<T>>("answers", key)
      .catch(() => undefined)
      .then((old) => {
        if (old && last.told === undefined)
          take({ ...kNothing, told: old.told, at: new Date(old.at) });
      });
    void again();
    const off = on_change((changed) => {
      if (!of_case || changed === "" || changed === of_case) void again();
    });
    return () => {
      is_over = true;
      clearTimeout(later);
      off();
    };
  }, [key, of_case]);
  return asked;
}

// No answer, or "not now": what was said before stays, marked as old.
export function merged<T>(last: Asked<T>, answer: Told<T>, at: Date, missed: number): Asked<T> {
  link_is(answer.status !== 0);
  if (answer.ok)
    return { told: answer.told, at, missed, is_present: true, detail: "", status: answer.status };
  const is_away = answer.status === 0 || answer.status === 503;
  return {
    told: is_away ? last.told : undefined,
    at: is_away ? last.at : undefined,
    missed,
    is_present: false,
    detail: answer.detail,
    status: answer.status,
  };
}

async function keep_quietly(key: string, told: unknown, at: Date): Promise<void> {
  try {
    await keep("answers", key, { told, at: at.toISOString() });
  } catch {
    // A device that keeps nothing works as long as the link holds.
  }
}

// What a screen not opened yet will need when the link is gone by then: asked once, then kept.
export async function ready_offline(path: string): Promise<void> {
  try {
    const key = in_store(path);
    if (await kept("answers", key)) return;
    if (in_store(path) !== key) return;
    const asked_at = new Date();
    const answer = await ask("GET", path);
    if (answer.ok) await keep_quietly(key, answer.told, asked_at);
  } catch {
    // A device that keeps nothing works as long as the link holds.
  }
}
