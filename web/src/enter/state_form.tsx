// SPDX-License-Identifier: Apache-2.0
// The state of the engine, a few large choices. Nothing is chosen beforehand: what nobody looked at
// is left out, and the program then says DO NOT TURN.
import { t } from "../texts";
import { Choices, YesNo } from "./choices";
import type { FormProps } from "./entry_form";
import type { Values } from "./form";
import { choice_word, field_word, such_as } from "./words";

// Only these words prove a lock (src/judge/phaser_proof.h).
export const kLockProofs = [
  "does not move by hand, both ways",
  "lock tool fitted and engages",
  "maker's lock check done",
];

export function StateForm({ fields, values, on_values, mistakes }: FormProps) {
  const set = (name: string) => (value: unknown) =>
    on_values(without_orphans({ ...values, [name]: value === "" ? undefined : value }));
  const choices = (name: string, only?: string[]) => {
    const field = fields.find((one) => one.name === name);
    return (
      <Choices label={field_word(name, field?.says ?? "")} choices={only ?? field?.choices ?? []} value={String(values[name] ?? "")}
        on_value={set(name)} word={choice_word} wrong={mistakes[`entry/${name}`]} />
    );
  };
  const yes_no = (name: string) => (
    <YesNo label={field_word(name, "")} value={values[name]} on_value={set(name)} wrong={mistakes[`entry/${name}`]} />
  );
  const line = (name: string, example: string) => (
    <label>
      {field_word(name, "")}
      <input value={String(values[name] ?? "")} placeholder={such_as(example)} onInput={(event) => set(name)(event.currentTarget.value)} />
      {mistakes[`entry/${name}`] ? <span class="wrong">{mistakes[`entry/${name}`]}</span> : null}
    </label>
  );
  return (
    <>
      <p class="caution">{t("in_state_rule")}</p>
      {choices("apart")}
      {choices("turned")}
      {choices("chain")}
      {choices("pin")}
      {choices("phaser")}
      {values["phaser"] === "locked" ? choices("phaser_checked_how", kLockProofs) : null}
      {choices("valves")}
      {yes_no("resistance")}
      {yes_no("dropped")}
      {line("crank_at", "at the casting arrow")}
      {values["crank_at"] ? line("crank_proven_how", "positive stop") : null}
      {values["apart"] === "yes" || values["apart"] === "partly" ? line("apart_by", "another shop") : null}
      {line("remark", "")}
    </>
  );
}

// How something was proven is not sent without what it proves.
export function without_orphans(values: Values): Values {
  const { phaser_checked_how, crank_proven_how, apart_by, ...rest } = values;
  const is_apart = rest["apart"] === "yes" || rest["apart"] === "partly";
  return {
    ...rest,
    ...(rest["phaser"] === "locked" && phaser_checked_how ? { phaser_checked_how } : {}),
    ...(rest["crank_at"] && crank_proven_how ? { crank_proven_how } : {}),
    ...(is_apart && apart_by ? { apart_by } : {}),
  };
}
