// SPDX-License-Identifier: Apache-2.0
// Where the crank of the picture stands, in words: never a bare sign.
import { number_words } from "../said/said";
import { t } from "../texts";

export function crank_words(turns: number): string {
  const degrees = Math.round(Math.abs(turns) * 3600) / 10;
  if (degrees === 0) return t("crank_at_marks");
  const whole = Math.floor(degrees / 360);
  const rest = Math.round((degrees - 360 * whole) * 10) / 10;
  const values = { n: whole, deg: rest === 0 ? "0" : number_words(rest.toFixed(1)) };
  if (turns < 0) return t(whole ? "crank_before_turns" : "crank_before", values);
  return t(whole ? "crank_after_turns" : "crank_after", values);
}

export interface Cost {
  ms: number; // script and layout of one frame, the 95th of 100
  rate: number; // frames a second
}

// Two turns, frame by frame; `turn` moves the drawing, `settle` makes the browser lay it out.
export function measured_cost(turn: (turns: number) => void, settle: () => void): Promise<Cost> {
  const kFrames = 120;
  const costs: number[] = [];
  return new Promise((resolve) => {
    const begun = performance.now();
    const step = () => {
      const before = performance.now();
      turn((2 * costs.length) / kFrames);
      settle();
      costs.push(performance.now() - before);
      if (costs.length < kFrames) return void requestAnimationFrame(step);
      const seconds = (performance.now() - begun) / 1000;
      costs.sort((a, b) => a - b);
      resolve({ ms: costs[Math.floor(0.95 * kFrames)] ?? 0, rate: kFrames / seconds });
    };
    requestAnimationFrame(step);
  });
}
