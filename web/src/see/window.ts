// SPDX-License-Identifier: Apache-2.0
// The stretch of time that is looked at, and how it moves. Never beyond the recording.
import { number_words } from "../said/said";

export interface Stretch {
  from: number; // s
  to: number;
}

const kLeast = 1e-7; // s

export function kept_inside(stretch: Stretch, whole: Stretch): Stretch {
  const length = Math.min(Math.max(stretch.to - stretch.from, kLeast), whole.to - whole.from || kLeast);
  const from = Math.min(Math.max(stretch.from, whole.from), whole.to - length);
  return { from, to: from + length };
}

// `at`: 0 to 1, the place in the stretch that stays; `by` over 1 shows less.
export function zoomed(stretch: Stretch, by: number, at: number, whole: Stretch): Stretch {
  const length = stretch.to - stretch.from;
  const fixed = stretch.from + at * length;
  const next = Math.min(Math.max(length / by, kLeast), whole.to - whole.from);
  return kept_inside({ from: fixed - at * next, to: fixed + (1 - at) * next }, whole);
}

export function moved(stretch: Stretch, by: number, whole: Stretch): Stretch {
  const step = by * (stretch.to - stretch.from);
  return kept_inside({ from: stretch.from + step, to: stretch.to + step }, whole);
}

// Round numbers for an axis with about `count` of them.
export function ticks_of({ from, to }: Stretch, count: number): number[] {
  const rough = (to - from) / Math.max(count, 1);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((n) => n * power >= rough) ?? 10);
  const ticks: number[] = [];
  for (let i = Math.ceil(from / step); i * step <= to; ++i) ticks.push(i * step);
  return ticks;
}

export function time_words(seconds: number, length: number): string {
  const [unit, name] = length < 0.002 ? [1e6, "µs"] : length < 2 ? [1e3, "ms"] : [1, "s"];
  const decimals = Math.max(0, Math.ceil(-Math.log10((length * unit) / 20)));
  return `${number_words((seconds * unit).toFixed(Math.min(decimals, 6)))} ${name}`;
}

// Lays another recording over this one so that a turn of its crank covers a turn of this one's:
// its time = at + (this time - begin) * stretch. Turns begin at the tooth after the largest gap.
export interface Laid {
  begin: number;
  at: number;
  stretch: number;
}

export function laid_by_turn(zeros: number[], others: number[]): Laid | undefined {
  const k = Math.max(Math.floor(zeros.length / 2) - 1, 0);
  const [a, b] = [zeros[k], zeros[k + 1]];
  const [c, d] = [others[0], others[1]];
  if (a === undefined || b === undefined || c === undefined || d === undefined) return undefined;
  if (b <= a || d <= c) return undefined;
  return { begin: a, at: c, stretch: (d - c) / (b - a) };
}
