// SPDX-License-Identifier: Apache-2.0
// The gap of valve to piston as measured on this engine, with how far it can be off: both on the pad.
import { useState } from "preact/hooks";

import { Choices } from "../enter/choices";
import { value_parts } from "../enter/decimal_sign";
import type { FormProps } from "../enter/entry_form";
import { gauges_for } from "../enter/instruments";
import { choice_word, unit_words, word_in } from "../enter/words";
import { t } from "../texts";
import { type Box, BoxButton, BoxPad } from "./boxes";
import { type Half, half_of, with_half } from "./half";
import { WhichValve } from "./which_valve";

type Gap = NonNullable<Half["gap"]>;
type Name = "value" | "within";

export function GapForm({ fields, values, on_values, mistakes, drive, view }: FormProps) {
  const [gap, set_gap] = useState<Gap>(() => half_of(values).gap ?? gap_of(values["gap"]));
  const [at, set_at] = useState<Name>("value");
  const set = (name: string) => (value: string) => on_values({ ...values, [name]: value || undefined });
  const field = (name: string) => word_in(fields, name);
  const typed = (next: Gap) => {
    set_gap(next);
    on_values(with_half({ ...values, gap: gap_text(next) }, { gap: next }));
  };
  const box = (key: Name): Box => ({ key, value: gap[key], unit: unit_words(gap.unit), label: t(key === "value" ? "cl_gap" : "cl_crank_within") });
  const gauges = gauges_for("end play", "length", view.case.instruments ?? []);
  return (
    <div class="stack">
      <p class="caution">{t("cl_gap_rule")}</p>
      <WhichValve drive={drive} values={values} on_values={on_values} mistakes={mistakes} field={field} />
      {gap.value === "" && gap.within === "" ? (
        <Choices label={t("in_gauge_unit")} choices={["mm", "in"]} value={gap.unit} word={unit_words} on_value={(one) => typed({ ...gap, unit: one === "in" ? "in" : "mm" })} />
      ) : null}
      <div class="cl_pair">
        {(["value", "within"] as const).map((name) => <BoxButton key={name} box={box(name)} is_at={at === name} on_at={() => set_at(name)} />)}
      </div>
      {gap.value !== "" && gap.within === "" ? <p>{t("cl_gap_lacks_within")}</p> : null}
      {mistakes["entry/gap"] ? <p class="wrong">{mistakes["entry/gap"]}</p> : null}
      <BoxPad key={`${at} ${gap.unit}`} box={box(at)} on_value={(value) => typed({ ...gap, [at]: value })} next={t(at === "value" ? "cl_next_within" : "cl_next")}
        on_next={() => set_at(at === "value" ? "within" : "value")} />
      <Choices label={field("how")} choices={fields.find((one) => one.name === "how")?.choices ?? []} value={String(values["how"] ?? "")} word={choice_word} on_value={set("how")} wrong={mistakes["entry/how"]} />
      <Choices label={field("instrument")} choices={gauges.map((one) => one.name)} value={String(values["instrument"] ?? "")} on_value={set("instrument")} wrong={mistakes["entry/instrument"]} />
    </div>
  );
}

// "5.1 ± 0.2 mm" and back; without ± it is not whole.
export function gap_of(text: unknown): Gap {
  const [at = "", within = ""] = String(text ?? "").replaceAll(",", ".").split("±");
  const unit = /\bin\b/.test(at + within) ? "in" : "mm";
  return { value: value_parts(at).values[0] ?? "", within: value_parts(within).values[0] ?? "", unit };
}

export function gap_text({ value, within, unit }: Gap): string | undefined {
  if (value === "") return undefined;
  return within === "" ? `${value} ${unit}` : `${value} ± ${within} ${unit}`;
}
