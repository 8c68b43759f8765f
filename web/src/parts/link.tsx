// SPDX-License-Identifier: Apache-2.0
import { t } from "../texts";

export type Verdict = "pass" | "fail" | "open";

// A verdict is a chain link seen from the side: closed = pass, broken = fail, open = open. Always
// with its word, also for those who hear the page.
// `says`: a closer word in its place.
export function VerdictLink({ verdict, word = true, says }: { verdict: Verdict; word?: boolean; says?: string }) {
  return (
    <span class={`verdict ${verdict}`}>
      <svg viewBox="0 0 44 22" width="44" height="22" aria-hidden="true">
        <path class="plate" d={kPlate[verdict]} />
        <circle cx="11" cy="11" r="3.5" />
        {verdict === "open" ? null : <circle cx="33" cy="11" r="3.5" />}
      </svg>
      <span class={word ? "" : "heard"}>{says ?? t(verdict)}</span>
    </span>
  );
}

const kPlate: Record<Verdict, string> = {
  pass: "M11 2a9 9 0 0 0 0 18q11-5 22 0a9 9 0 0 0 0-18q-11 5-22 0z",
  fail: "M19 4.5q-4-.9-8-2.5a9 9 0 0 0 0 18q4-1.600 6-2.200l3-4-4-3.300zM25 17.600q4 .800 8 2.400a9 9 0 0 0 0-18q-3 1.300-6 2l-3.500 4 4.500 3.600z",
  open: "M26 4.300q-7 .900-15-2.300a9 9 0 0 0 0 18q8-3.200 15-2.300",
};
