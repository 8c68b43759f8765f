// SPDX-License-Identifier: Apache-2.0
// Oil pressure: a number on the pad, and the conditions without which no limit applies.
import { useEffect, useState } from "preact/hooks";

import { t } from "../texts";
import { Choices } from "./choices";
import type { FormProps } from "./entry_form";
import { value_hints } from "./hints";
import { HintList } from "./hint_list";
import { gauges_for, resolution_in } from "./instruments";
import { empty_pad, number_of, type Pad, pressed, refitted, shown, text_of } from "./pad";
import { PadKeys } from "./pad_keys";
import { matches, places_of } from "./positions";
import { range_words } from "./reading_told";
import { Measured } from "./reading_with";
import { converted, decimals_for, offered, parsed_range, type Range, range_in, shown_value, type Unit, unit_named } from "./units";
import { choice_word, field_word } from "./words";

export function PressureForm({ values, on_values, mistakes, drive, view }: FormProps) {
  const set = (name: string) => (value: unknown) => on_values({ ...values, [name]: value === "" ? undefined : value });
  const ports = drive ? places_of(drive).filter((one) => one.type === "port") : [];
  const own = view.case.instruments ?? [];
  const gauges = gauges_for("pressure", "pressure", own);
  const gauge = gauges.find((one) => one.name === values["instrument"]);
  const port = ports.find((one) => one.path === values["place"]);
  const limits = (drive?.oil?.pressures ?? []).filter((one) => port && matches(one.at, port));
  return (
    <>
      {ports.length > 0 ? (
        <Choices label={field_word("place", "")} choices={ports.map((one) => one.path)} value={String(values["place"] ?? "")} on_value={set("place")} wrong={mistakes["entry/place"]} />
      ) : (
        <label>
          {field_word("place", "")}
          <input value={String(values["place"] ?? "")} onInput={(event) => set("place")(event.currentTarget.value)} />
        </label>
      )}
      {limits.length > 0 ? (
        <p class="faint">{limits.map((one) => [one.limit, one.speed, one.oil_temperature].filter(Boolean).join(", ")).join("; ")}</p>
      ) : null}
      <Choices label={field_word("instrument", "")} choices={gauges.map((one) => one.name)} value={String(values["instrument"] ?? "")} on_value={set("instrument")} wrong={mistakes["entry/instrument"]} />
      <Pressures text={String(values["values"] ?? "")} on_text={set("values")} gauge={gauge} limit={limits[0]?.limit} wrong={mistakes["entry/values"]} />
      <Measured label={field_word("speed", "")} unit="1/min" value={String(values["speed"] ?? "")} on_value={set("speed")} />
      <Measured label={field_word("oil_temperature", "")} unit="degC" other="degF" value={String(values["oil_temperature"] ?? "")} on_value={set("oil_temperature")} />
      <Choices label={field_word("oil", "")} choices={["as specified", "other", "unknown"]} value={String(values["oil"] ?? "")} on_value={set("oil")} word={choice_word} />
      <label>
        {field_word("thermometer", "")}
        <input value={String(values["thermometer"] ?? "")} onInput={(event) => set("thermometer")(event.currentTarget.value)} />
      </label>
    </>
  );
}

interface PressuresProps {
  text: string; // "184 186 kPa"
  on_text: (text: string) => void;
  gauge: ReturnType<typeof gauges_for>[number] | undefined;
  limit: string | undefined;
  wrong: string | undefined;
}

function Pressures({ text, on_text, gauge, limit, wrong }: PressuresProps) {
  const units = offered("pressure");
  const words = text.split(" ").filter(Boolean);
  const unit = units.find((one) => one.name === words.at(-1)) ?? parsed_range(limit)?.unit ?? (unit_named("kPa") as Unit);
  const numbers = words.filter((one) => /^[0-9]/.test(one));
  const resolution = resolution_in(gauge, unit);
  // The last one is the one on the pad; the others stand.
  const [pad, set_pad] = useState<Pad>(() => empty_pad(resolution));
  const [kept, set_kept] = useState<string[]>(numbers);
  useEffect(() => set_pad((old) => refitted(old, resolution)), [resolution]);
  const tell = (all: string[], is: Unit) => on_text(all.length > 0 ? `${all.join(" ")} ${is.name}` : "");
  const typed = (key: string) => {
    const next = pressed(pad, key);
    set_pad(next);
    tell(next.digits === "" ? kept : [...kept, text_of(next)], unit);
  };
  const again = () => {
    if (pad.digits === "") return;
    set_kept([...kept, text_of(pad)]);
    set_pad(empty_pad(resolution));
  };
  const range = parsed_range(limit);
  const hints = pad.digits === "" ? [] : value_hints(Number(text_of(pad)), range && range_in(range, unit));
  return (
    <fieldset class="group stack">
      <legend>{field_word("values", "")}</legend>
      <Choices label={t("in_gauge_unit")} choices={units.map((one) => one.name)} value={unit.name}
        on_value={(name) => {
          const next = unit_named(name);
          if (next) tell([...kept, ...(pad.digits === "" ? [] : [text_of(pad)])], next);
        }} />
      <p class="display" aria-live="polite">
        {kept.join("  ")} <output>{shown(pad) || "–"}</output> <span>{unit.name}</span>
      </p>
      <Elsewhere pad={pad} unit={unit} units={units} range={range} />
      <HintList hints={hints} unit={unit} />
      <PadKeys pad={pad} on_key={typed} on_enter={again} step={gauge?.resolution ?? ""} />
      <div class="row">
        <button type="button" onClick={again} disabled={pad.digits === ""}>{t("in_again")}</button>
        {kept.length > 0 ? (
          <button type="button" class="quiet" onClick={() => { set_kept([]); set_pad(empty_pad(resolution)); on_text(""); }}>
            {t("in_clear_all")}
          </button>
        ) : null}
      </div>
      {wrong ? <p class="wrong">{wrong}</p> : null}
    </fieldset>
  );
}

// The reading and the limit together in the other units; the limit never rounded wider.
function Elsewhere({ pad, unit, units, range }: { pad: Pad; unit: Unit; units: Unit[]; range: Range | undefined }) {
  const value = number_of(pad);
  const shown_in = (one: Unit) => {
    const is = value === undefined ? undefined : converted(value, unit, one);
    const limit = range && range_in(range, one);
    return [
      is === undefined ? "" : `= ${shown_value(is, decimals_for(pad.decimals ?? 0, unit, one), one)}`,
      limit ? `(${range_words(limit)})` : "",
    ].join(" ");
  };
  return (
    <ul class="elsewhere faint">
      {units.filter((one) => one !== unit || range?.unit !== unit).map((one) => (
        <li key={one.name}>{shown_in(one)}</li>
      ))}
    </ul>
  );
}
