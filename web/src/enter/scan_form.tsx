// SPDX-License-Identifier: Apache-2.0
// Cam phase as a scan tool reports it, sample by sample at one command; early or late in words.
import { Choices } from "./choices";
import type { FormProps } from "./entry_form";
import { Fields } from "./form";
import { places_of } from "./positions";
import { Measured } from "./reading_with";
import { offered } from "./units";
import { ValuesPad } from "./values_pad";
import { field_word } from "./words";

const kByHand = ["place", "commanded", "actual", "speed", "oil_temperature"];

export function ScanForm({ fields, values, on_values, mistakes, drive }: FormProps) {
  const set = (name: string) => (value: unknown) => on_values({ ...values, [name]: value === "" ? undefined : value });
  const text = (name: string) => String(values[name] ?? "");
  const cams = drive ? places_of(drive).filter((one) => one.type === "camshaft") : [];
  const pad = (name: string, single: boolean) => (
    <ValuesPad label={field_word(name, "")} text={text(name)} on_text={set(name)} units={offered("crank angle")} signed single={single} wrong={mistakes[`entry/${name}`]} />
  );
  if (cams.length === 0) return <Fields fields={fields} values={values} on_values={on_values} mistakes={mistakes} />;
  return (
    <>
      <Choices label={field_word("place", "")} choices={cams.map((one) => one.path)} value={text("place")} on_value={set("place")} wrong={mistakes["entry/place"]} />
      <details open={values["commanded"] !== undefined}>
        <summary>{field_word("commanded", "")}</summary>
        {pad("commanded", true)}
      </details>
      {pad("actual", false)}
      <Measured label={field_word("speed", "")} unit="1/min" value={text("speed")} on_value={set("speed")} />
      <Measured label={field_word("oil_temperature", "")} unit="degC" other="degF" value={text("oil_temperature")} on_value={set("oil_temperature")} />
      <Fields fields={fields.filter((one) => !kByHand.includes(one.name))} values={values} on_values={on_values} mistakes={mistakes} />
    </>
  );
}
