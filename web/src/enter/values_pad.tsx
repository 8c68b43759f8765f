// SPDX-License-Identifier: Apache-2.0
// Several values of one field on the number pad, "184 186 kPa": the last one is on the pad, those
// before it stand. The unit is that of the instrument; below it the same in the other units, with
// the limit. Where a value has a direction it is said as early or late; early is sent as positive.
import { useLayoutEffect, useState } from "preact/hooks";

import { number_words } from "../said/said";
import { t } from "../texts";
import { Choices } from "./choices";
import { value_parts } from "./decimal_sign";
import { HintList } from "./hint_list";
import { value_hints } from "./hints";
import { type Gauge, resolution_in } from "./instruments";
import { empty_pad, number_of, type Pad, pressed, refitted, text_of } from "./pad";
import { PadKeys } from "./pad_keys";
import { range_words } from "./reading_told";
import { converted, decimals_for, parsed_range, type Range, range_in, shown_value, type Unit } from "./units";
import { shown_words, unit_words } from "./words";

interface Props {
  label: string;
  text: string;
  on_text: (text: string) => void;
  units: Unit[]; // the first one where nothing else is known
  gauge?: Gauge | undefined;
  limit?: string | undefined;
  signed?: boolean;
  single?: boolean; // one value only
  wrong?: string | undefined;
}

export function ValuesPad({ label, text, on_text, units, gauge, limit, signed = false, single = false, wrong }: Props) {
  const begun = value_parts(text);
  const written = begun.unit || parsed_range(limit)?.unit.name;
  const [unit, set_unit] = useState(() => units.find((one) => one.name === written) ?? (units[0] as Unit));
  const [kept, set_kept] = useState(begun.values);
  const resolution = resolution_in(gauge, unit);
  const [pad, set_pad] = useState<Pad>(() => empty_pad(resolution));
  useLayoutEffect(() => set_pad((old) => refitted(old, resolution)), [resolution]);
  const is_whole = pad.digits !== "" && (!signed || pad.way !== undefined || number_of(pad) === 0);
  const all = (now: Pad) => (now.digits === "" ? kept : [...(single ? [] : kept), signed_text(now)]);
  const tell = (values: string[], is = unit) => on_text(values.length > 0 ? `${values.join(" ")} ${is.name}` : "");
  const keyed = (key: string) => {
    const next = pressed(pad, key);
    set_pad(next);
    tell(!signed || next.way || number_of(next) === 0 ? all(next) : kept);
  };
  const again = () => {
    if (!is_whole || single) return;
    set_kept(all(pad));
    set_pad(empty_pad(resolution));
  };
  const range = parsed_range(limit);
  const value = number_of(pad);
  return (
    <fieldset class="field_group stack">
      <legend>{label}</legend>
      {units.length > 1 ? (
        <Choices
          label={t("in_gauge_unit")}
          choices={units.map((one) => one.name)}
          word={unit_words}
          value={unit.name}
          on_value={(name) => {
            const next = units.find((one) => one.name === name) ?? unit;
            set_unit(next);
            tell(all(pad), next);
          }}
        />
      ) : null}
      <p class="display" aria-live="polite">
        <span class="kept">{kept.map(worded).join("  ")}</span> <output>{shown_words(pad) || "–"}</output>{" "}
        <span>
          {pad.way ? `${t(pad.way === "early" ? "in_early" : "in_late")} ` : ""}
          {unit_words(unit.name)}
        </span>
      </p>
      <Elsewhere value={value} decimals={pad.decimals ?? 0} unit={unit} units={units} range={range} />
      <HintList hints={value === undefined ? [] : value_hints(value, range && range_in(range, unit))} unit={unit} />
      {signed && pad.digits !== "" && !is_whole ? <p class="wrong">{t("in_lacks_way")}</p> : null}
      <PadKeys pad={pad} on_key={keyed} on_enter={again} step={gauge?.resolution ?? ""} signed={signed} listens={!single} />
      <div class="row">
        {single ? null : (
          <button type="button" onClick={again} disabled={!is_whole}>
            {t("in_again")}
          </button>
        )}
        {kept.length > 0 ? (
          <button
            type="button"
            class="quiet"
            onClick={() => {
              set_kept([]);
              set_pad(empty_pad(resolution));
              on_text("");
            }}
          >
            {t("in_clear_all")}
          </button>
        ) : null}
      </div>
      {wrong ? <p class="wrong">{wrong}</p> : null}
    </fieldset>
  );
}

function signed_text(pad: Pad): string {
  return pad.way === "late" && number_of(pad) !== 0 ? `-${text_of(pad)}` : text_of(pad);
}

// Shown never with a bare sign.
export function worded(value: string): string {
  return value.startsWith("-") ? `${number_words(value.slice(1))} ${t("in_late")}` : number_words(value);
}

interface ElsewhereProps {
  value: number | undefined;
  decimals: number;
  unit: Unit;
  units: Unit[];
  range: Range | undefined;
}

function Elsewhere({ value, decimals, unit, units, range }: ElsewhereProps) {
  const sorted = [unit, ...units.filter((one) => one !== unit)];
  const told = sorted.flatMap((one) => {
    const is = value === undefined || one === unit ? undefined : converted(value, unit, one);
    const limit = range && range_in(range, one);
    const words = [
      is === undefined ? "" : `= ${shown_value(is, decimals_for(decimals, unit, one), one)}`,
      limit ? t("in_limit_is", { limit: range_words(limit) }) : "",
    ];
    return words.some(Boolean) ? [words.filter(Boolean).join(" · ")] : [];
  });
  return (
    <ul class="other_units faint">
      {told.map((one) => (
        <li key={one}>{one}</li>
      ))}
    </ul>
  );
}
