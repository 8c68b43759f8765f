// SPDX-License-Identifier: Apache-2.0
// Hints beside the number, in words; they block nothing.
import { number_words } from "../said/said";
import { t } from "../texts";
import { expected, type Hint, spread_hint, value_hints } from "./hints";
import { is_between_steps, type Pad } from "./pad";
import type { Position } from "./positions";
import { converted, parsed_quantity, parsed_range, type Range, type Unit } from "./units";

export type Shown = Hint | { is: "between" };

export function hints_of(
  position: Position,
  values: number[],
  unit: Unit,
  U: number | undefined,
  pad: Pad,
  radius: string,
): Shown[] {
  const limit = on_rim(parsed_range(position.limit), unit, radius) ?? parsed_range(position.limit);
  const range = expected(limit, parsed_range(position.fresh), unit) ?? by_pitch(position, unit);
  const last = values.at(-1);
  const step = pad.decimals === undefined ? 0 : pad.step * 10 ** -pad.decimals;
  return [
    ...(is_between_steps(pad) ? [{ is: "between" } as const] : []),
    ...(last === undefined ? [] : value_hints(last, range)),
    ...spread_hint(values, U, step),
  ];
}

// Lock play limited in cam degrees, read as a length on the rim: an arc at that radius.
function on_rim(limit: Range | undefined, unit: Unit, radius: string): Range | undefined {
  const at = parsed_quantity(radius);
  if (limit?.unit.kind !== "cam angle" || unit.kind !== "length" || !at) return undefined;
  const arc = (end: number | undefined) =>
    end === undefined ? undefined : ((end * Math.PI) / 180) * (converted(at.value, at.unit, unit) ?? 0);
  return { lower: arc(limit.lower), upper: arc(limit.upper), unit, decimals: 2 };
}

// A chain has no limit of length of its own: n links of its pitch, up to 2 % longer.
function by_pitch(position: Position, unit: Unit): Range | undefined {
  const pitch = parsed_quantity(position.chain_pitch);
  const links = position.fit?.links;
  if (position.quantity !== "chain length" || !pitch || !links) return undefined;
  const length = links * (converted(pitch.value, pitch.unit, unit) ?? 0);
  return { lower: 0.99 * length, upper: 1.02 * length, unit, decimals: 2 };
}

export function HintList({ hints, unit }: { hints: Shown[]; unit: Unit }) {
  if (hints.length === 0) return null;
  return (
    <ul class="hints caution" role="status">
      {hints.map((hint) => (
        <li key={hint.is}>{worded(hint, unit)}</li>
      ))}
    </ul>
  );
}

function worded(hint: Shown, unit: Unit): string {
  const value = "value" in hint && hint.value ? `${number_words(hint.value)} ${unit.name}` : "";
  switch (hint.is) {
    case "between":
      return t("in_hint_between");
    case "factor":
      return t("in_hint_factor", { value });
    case "inch":
      return t("in_hint_inch", { value });
    case "double":
      return t("in_hint_double", { value });
    case "half":
      return t("in_hint_half", { value });
    case "far":
      return t("in_hint_far");
    case "spread":
      return t("in_hint_spread");
  }
}
