// SPDX-License-Identifier: Apache-2.0
// Of which camshaft of the engine, which of its valves, in which cylinder.
import type { Schemas } from "../ask";
import { Choices } from "../enter/choices";
import type { Values } from "../enter/form";
import { said } from "../said/said";

interface WhichProps {
  drive: Schemas["drive"] | undefined;
  values: Values;
  on_values: (values: Values) => void;
  mistakes: Record<string, string>;
  field: (name: string) => string;
}

export function WhichValve({ drive, values, on_values, mistakes, field }: WhichProps) {
  const cams = (drive?.banks ?? []).flatMap((bank) => (bank.camshafts ?? []).map((cam) => ({ bank, cam, path: `bank ${bank.number} / ${cam.name}` })));
  const chosen = cams.find((one) => one.path === values["place"]);
  const kinds = (chosen?.cam.valves ?? []).map((one) => one.name);
  const cylinders = chosen?.bank.cylinders ?? [];
  const all = cylinders.length > 0 ? cylinders : Array.from({ length: drive?.cylinders?.count ?? 0 }, (_, i) => i + 1);
  if (cams.length === 0)
    return (
      <label>
        {field("place")}
        <input value={String(values["place"] ?? "")} onInput={(event) => on_values({ ...values, place: event.currentTarget.value })} />
      </label>
    );
  return (
    <>
      <Choices name="entry/place" label={field("place")} choices={cams.map((one) => one.path)} value={String(values["place"] ?? "")} word={said}
        on_value={(one) => on_values({ ...values, place: one || undefined, valves: undefined, cylinder: undefined })} wrong={mistakes["entry/place"]} />
      {kinds.length > 1 ? (
        <Choices label={field("valves")} choices={kinds} value={String(values["valves"] ?? "")} word={said} on_value={(one) => on_values({ ...values, valves: one || undefined })} wrong={mistakes["entry/valves"]} />
      ) : null}
      {chosen && all.length > 0 ? (
        <Choices label={field("cylinder")} choices={all.map(String)} value={String(values["cylinder"] ?? "")} on_value={(one) => on_values({ ...values, cylinder: one === "" ? undefined : Number(one) })} wrong={mistakes["entry/cylinder"]} />
      ) : null}
    </>
  );
}
