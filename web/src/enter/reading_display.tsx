// SPDX-License-Identifier: Apache-2.0
// What is being typed, large, and the readings before it at the same place.
import { number_words } from "../said/said";
import { t } from "../texts";
import { summary } from "./hints";
import { number_of, type Pad } from "./pad";
import { shown_words, unit_words } from "./words";
import { converted, decimals_for, type Unit } from "./units";

// In the unit chosen; below it what was typed, where that is another one.
export function Display({ pad, typing, unit }: { pad: Pad; typing: Unit; unit: Unit }) {
  const value = number_of(pad);
  const other = value === undefined ? undefined : converted(value, typing, unit);
  const is_same = typing === unit || other === undefined;
  const decimals = decimals_for(pad.decimals ?? 3, typing, unit);
  return (
    <p class="display" aria-live="polite">
      <output>{is_same ? shown_words(pad) || "–" : number_words(other.toFixed(decimals))}</output> <span>{unit_words(unit.name)}</span>
      {is_same ? null : <small>{t("in_typed", { value: `${shown_words(pad)} ${unit_words(typing.name)}` })}</small>}
    </p>
  );
}

export function Repeats(props: { values: string[]; all: string[]; typing: Unit; unit: Unit; decimals: number | undefined; on_without: (i: number) => void }) {
  if (props.values.length === 0) return null;
  const all = summary(props.all.map(Number));
  const { typing, unit } = props;
  const decimals = props.decimals ?? 3;
  // As in the display: in the unit chosen, whatever it was typed in.
  const shown_in = (value: number, more: number) => {
    const is = converted(value, typing, unit);
    return number_words((is ?? value).toFixed(Math.min(6, decimals_for(decimals, typing, unit) + more)));
  };
  const told = (one: string) => (typing === unit ? number_words(one) : shown_in(Number(one), 0));
  const last = unit_words(typing.kind === unit.kind ? unit.name : typing.name);
  return (
    <div class="repeats">
      <ul>
        {props.values.map((one, i) => (
          <li key={i}>
            <button type="button" class="quiet" aria-label={t("in_without", { value: told(one) })} onClick={() => props.on_without(i)}>
              {told(one)} ×
            </button>
          </li>
        ))}
      </ul>
      {all && all.count > 1 ? (
        <p>
          {t("in_mean", { n: all.count, mean: `${shown_in(all.mean, 1)} ${last}`, spread: `${shown_in(all.spread, 0)} ${last}` })}
        </p>
      ) : null}
    </div>
  );
}
