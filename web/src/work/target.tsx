// SPDX-License-Identifier: Apache-2.0
// A torque in both unit systems, each unit in words. Foot-pounds are a dark block with a long rule of
// twelve divisions, inch-pounds a broken frame with one: a factor of twelve between the two bends bolts.
import { number_words } from "../said/said";
import { t } from "../texts";
import { type Figure, kSpelled } from "./torque";

const kRules = { foot: 12, inch: 1, newton: 0, other: 0 };

export function Targets({ all }: { all: readonly Figure[] }) {
  return (
    <ul class="targets">
      {all.map((one) => (
        <li key={one.unit} class={`target_${one.kind}`}>
          <b>{number_words(one.number)}</b>
          <span>
            {one.unit} <small>{spelled(one)}</small>
          </span>
          <Rule divisions={kRules[one.kind]} />
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
