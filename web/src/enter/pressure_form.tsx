// SPDX-License-Identifier: Apache-2.0
// Oil pressure: a number on the pad, and the conditions without which no limit applies.
import { said } from "../said/said";
import { Choices } from "./choices";
import type { FormProps } from "./entry_form";
import { gauges_for } from "./instruments";
import { matches, places_of } from "./positions";
import { Measured } from "./reading_with";
import { offered } from "./units";
import { ValuesPad } from "./values_pad";
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
        <p class="faint">{limits.map((one) => [one.limit, one.speed, one.oil_temperature].flatMap((text) => (text ? said(text) : [])).join(", ")).join("; ").replace(/deg([CF])/g, "°$1")}</p>
      ) : null}
      <Choices label={field_word("instrument", "")} choices={gauges.map((one) => one.name)} value={String(values["instrument"] ?? "")} on_value={set("instrument")} wrong={mistakes["entry/instrument"]} />
      <ValuesPad label={field_word("values", "")} text={String(values["values"] ?? "")} on_text={set("values")}
        units={offered("pressure")} gauge={gauge} limit={limits[0]?.limit} wrong={mistakes["entry/values"]} />
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
