// SPDX-License-Identifier: Apache-2.0
// A torque in both unit systems, each unit in words, to be read from two meters. Foot-pounds are a
// dark block with a long rule of twelve divisions, inch-pounds a broken frame with one: a factor of
// twelve between the two bends bolts. What the wrench in hand is set to leads, else what was typed.
import { number_words } from "../said/said";
import { t } from "../texts";
import { type Figure, kSpelled } from "./torque";

const kRules = { foot: 12, inch: 1, newton: 0, other: 0 };

export function Targets({ all, set }: { all: readonly Figure[]; set: Figure | undefined }) {
  const first = set ?? all[0];
  const in_order = first ? [first, ...all.filter((one) => one !== first)] : [];
  return (
    <ul class="targets">
      {in_order.map((one) => (
        <li key={one.unit} class={`target_${one.kind}${one === first ? " leads" : ""}`}>
          <b>{number_words(one.number)}</b>
          <span>
            {spelled(one) || one.unit} <small>{one.unit}</small>
            <Rule divisions={kRules[one.kind]} />
          </span>
        </li>
      ))}
    </ul>
  );
}

export function spelled(one: Figure): string {
  const key = kSpelled[one.kind];
  return key ? t(key) : "";
}

function Rule({ divisions }: { divisions: number }) {
  if (divisions === 0) return null;
  const ticks = Array.from({ length: divisions + 1 }, (_, i) => `M${2 + 8 * i} 3v${i === 0 || i === divisions ? 10 : 6}`);
  return (
    <svg viewBox="0 0 100 16" width="100" height="16" aria-hidden="true">
      <path d={`M2 3H${2 + 8 * divisions}${ticks.join("")}`} />
    </svg>
  );
}
