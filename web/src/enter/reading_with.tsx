// SPDX-License-Identifier: Apache-2.0
// What goes with every reading of a series: the instrument, the unit, where on the part, and how
// warm it was. Nothing here has a default that nobody chose.
import { useState } from "preact/hooks";

import { decimal_mark, said } from "../said/said";
import { t } from "../texts";
import { Choices } from "./choices";
import type { Gauge } from "./instruments";
import { can_speak, set_speaks, speaks } from "./speech";
import type { Unit } from "./units";
import { choice_word, unit_words } from "./words";

export interface With {
  directions: string[]; // none: not told
  section: string;
  temperature: string; // "21 degC"
  cap: string;
  links: string;
  radius: string;
  drop: string;
  force: string;
}

interface Props {
  quantity: string;
  unit: Unit;
  units: Unit[];
  on_unit: (unit: Unit) => void;
  gauges: Gauge[];
  gauge: Gauge | undefined;
  on_gauge: (name: string) => void;
  also: With;
  on_also: (also: With) => void;
}

export function Settings(props: Props) {
  const { quantity, unit, units, also, on_also } = props;
  const set = (name: keyof With) => (value: string) => on_also({ ...also, [name]: value });
  const of = (...names: string[]) => names.includes(quantity);
  return (
    <div class="stack">
      <label>
        {t("in_instrument")}
        <select value={props.gauge?.name ?? ""} onChange={(event) => props.on_gauge(event.currentTarget.value)}>
          <option value="" disabled>
            {t("in_choose")}
          </option>
          {props.gauges.map((one) => (
            <option value={one.name} key={one.name}>
              {said(one.name)}
              {one.resolution ? `, ${said(one.resolution)}` : ""}
            </option>
          ))}
        </select>
      </label>
      {units.length > 1 ? (
        <Choices
          label={t("in_unit")}
          choices={units.map((one) => one.name)}
          word={unit_words}
          value={unit.name}
          on_value={(name) => props.on_unit(units.find((one) => one.name === name) ?? unit)}
        />
      ) : null}
      {of("chain length") ? <Text label={t("in_f_links")} value={also.links} on_value={set("links")} /> : null}
      {of("lock play") && unit.kind === "length" ? (
        <Measured label={t("in_f_radius")} unit="mm" value={also.radius} on_value={set("radius")} />
      ) : null}
      {of("sink time") ? (
        <>
          <Measured label={t("in_f_drop")} unit="mm" value={also.drop} on_value={set("drop")} />
          <Measured label={t("in_f_force")} unit="N" value={also.force} on_value={set("force")} />
        </>
      ) : null}
      {of("bore diameter", "journal clearance") ? (
        <Choices label={t("in_f_cap")} choices={["torqued", "hand tight", "off"]} value={also.cap} on_value={set("cap")} word={choice_word} />
      ) : null}
      <details>
        <summary>{t("in_more")}</summary>
        <div class="stack">
          {of("journal diameter", "bore diameter") ? (
            <>
              <Choices
                label={t("in_directions")}
                choices={["vertical", "horizontal", "both"]}
                value={also.directions.length === 2 ? "both" : (also.directions[0] ?? "")}
                on_value={(one) =>
                  on_also({ ...also, directions: one === "both" ? ["vertical", "horizontal"] : one ? [one] : [] })
                }
                word={choice_word}
              />
              <Choices label={t("in_section")} choices={["front", "middle", "rear"]} value={also.section} on_value={set("section")} word={choice_word} />
            </>
          ) : null}
          <Measured label={t("in_f_temperature")} unit="degC" other="degF" value={also.temperature} on_value={set("temperature")} />
          <Speak />
        </div>
      </details>
    </div>
  );
}

function Text(props: { label: string; value: string; on_value: (value: string) => void }) {
  return (
    <label>
      {props.label}
      <input inputMode="numeric" value={props.value} onInput={(event) => props.on_value(event.currentTarget.value)} />
    </label>
  );
}

// A number with its unit behind it; the comma is understood as the decimal sign.
export function Measured(props: { label: string; unit: string; other?: string; value: string; on_value: (value: string) => void }) {
  const end = props.other && props.value.endsWith(` ${props.other}`) ? props.other : props.unit;
  const [unit, set_unit] = useState(end);
  const number = props.value.replace(/ .*$/, "").replace(".", decimal_mark());
  const tell = (text: string, is: string) => props.on_value(text.trim() ? `${text.trim().replace(",", ".")} ${is}` : "");
  return (
    <label>
      {props.label}
      <span class="measured">
        <input inputMode="decimal" value={number} onInput={(event) => tell(event.currentTarget.value, unit)} />
        {props.other ? (
          <select
            aria-label={t("in_unit")}
            value={unit}
            onChange={(event) => {
              set_unit(event.currentTarget.value);
              tell(number, event.currentTarget.value);
            }}
          >
            <option value={props.unit}>{props.unit.replace("deg", "°")}</option>
            <option value={props.other}>{props.other.replace("deg", "°")}</option>
          </select>
        ) : (
          <span>{props.unit}</span>
        )}
      </span>
    </label>
  );
}

function Speak() {
  const [on, set] = useState(speaks);
  if (!can_speak()) return null;
  return (
    <label class="row">
      <input
        type="checkbox"
        checked={on}
        onChange={(event) => {
          set_speaks(event.currentTarget.checked);
          set(event.currentTarget.checked);
        }}
      />
      {t("in_speak")}
    </label>
  );
}
