// SPDX-License-Identifier: Apache-2.0
// Times that run on while other screens are open and after the page was loaded anew: they are kept
// as the moment they began, not as a count.
import { useEffect, useState } from "preact/hooks";

interface Timer {
  id: string;
  name: string;
  began: number; // ms since 1970
  lasts?: number; // ms; absent: counts up
  stopped?: number; // ms since 1970
}

const kStored = "tautmark.timers";

export function timers(): Timer[] {
  try {
    return JSON.parse(localStorage.getItem(kStored) ?? "[]") as Timer[];
  } catch {
    return [];
  }
}

function store(all: Timer[]): void {
  localStorage.setItem(kStored, JSON.stringify(all));
  dispatchEvent(new Event("timers"));
}

export function start_timer(name: string, lasts?: number): Timer {
  const now = Date.now();
  const one: Timer = { id: `${now}-${timers().length}`, name, began: now, ...(lasts ? { lasts } : {}) };
  store([...timers(), one]);
  return one;
}

export function stop_timer(id: string): void {
  store(timers().map((one) => (one.id === id && !one.stopped ? { ...one, stopped: Date.now() } : one)));
}

export function remove_timer(id: string): void {
  store(timers().filter((one) => one.id !== id));
}

// Seconds gone, or still to go of a timer that lasts; below 0 when it is over.
export function seconds_of(one: Timer, now = Date.now()): number {
  const gone = ((one.stopped ?? now) - one.began) / 1000;
  return one.lasts === undefined ? gone : one.lasts / 1000 - gone;
}

export function is_over(one: Timer, now = Date.now()): boolean {
  return one.lasts !== undefined && seconds_of(one, now) <= 0;
}

// 4.2 s below a minute counting up, else 12:05 or 1:02:05.
export function shown_time(seconds: number, fine: boolean): string {
  if (fine && seconds < 60) return `${seconds.toFixed(1)} s`;
  const whole = Math.max(0, fine ? Math.floor(seconds) : Math.ceil(seconds));
  const two = (n: number) => String(n).padStart(2, "0");
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  return h > 0 ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}

// Draws anew as time goes, only while one runs.
export function useTimers(): Timer[] {
  const [all, set] = useState(timers);
  const [, tick] = useState(0);
  const runs = all.some((one) => !one.stopped && !is_over(one));
  useEffect(() => {
    const heard = () => set(timers());
    addEventListener("timers", heard);
    addEventListener("storage", heard);
    return () => {
      removeEventListener("timers", heard);
      removeEventListener("storage", heard);
    };
  }, []);
  useEffect(() => {
    if (!runs) return;
    const beat = setInterval(() => tick((n) => n + 1), 200);
    return () => clearInterval(beat);
  }, [runs]);
  return all;
}
