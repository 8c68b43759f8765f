// SPDX-License-Identifier: Apache-2.0
// Links counted strand by strand, as the drive names the marked sprockets, and how the marks stand.
// What was counted is asked, never guessed.
import { said } from "../said/said";
import { t } from "../texts";
import { Choices, YesNo } from "./choices";
import type { FormProps } from "./entry_form";
import { Fields, type Values } from "./form";
import { choice_word, field_word, such_as } from "./words";

export function MarksForm({ fields, values, on_values, mistakes, drive }: FormProps) {
  const set = (name: string) => (value: unknown) => on_values({ ...values, [name]: value === "" ? undefined : value });
  const chains = drive?.chains ?? [];
  const chain = chains.find((one) => one.name === values["chain"]);
  const strands = chain?.strands ?? [];
  const counted = (values["strands"] ?? []) as Values[];
  const stands = (values["sprockets"] ?? []) as Values[];
  const marked = [...new Set([...strands.map((one) => one.from), ...(chain?.marks ?? []).map((one) => one.at)])];
  const choices = (name: string) => (
    <Choices label={field_word(name, "")} choices={fields.find((one) => one.name === name)?.choices ?? []} value={String(values[name] ?? "")} on_value={set(name)} word={choice_word} wrong={mistakes[`entry/${name}`]} />
  );
  if (chains.length === 0)
    return <Fields fields={fields} values={values} on_values={on_values} mistakes={mistakes} />;
  return (
    <>
      <Choices label={field_word("chain", "")} choices={chains.map((one) => one.name)} value={String(values["chain"] ?? "")}
        on_value={(name) => on_values({ ...values, chain: name || undefined, strands: undefined, sprockets: undefined })} wrong={mistakes["entry/chain"]} />
      {choices("seen_from")}
      {choices("counted")}
      {strands.length > 0 ? (
        <fieldset class="field_group stack">
          <legend>{field_word("strands", "")}</legend>
          {strands.map((strand) => (
            <label key={`${strand.from} ${strand.to}`}>
              {t("in_strand", { from: said(strand.from), to: said(strand.to) })}
              <input inputMode="numeric" class="count"
                value={String(counted.find((one) => one["from"] === strand.from && one["to"] === strand.to)?.["links"] ?? "")}
                onInput={(event) => set("strands")(with_count(counted, strand, event.currentTarget.value))} />
            </label>
          ))}
        </fieldset>
      ) : null}
      {marked.map((at) => (
        <Stands key={at} at={at} values={stands.find((one) => one["at"] === at) ?? {}} on_values={(next) => set("sprockets")(with_mark(stands, at, next))} />
      ))}
      {choices("phaser")}
      <YesNo label={field_word("settled", "")} value={values["settled"]} on_value={set("settled")} />
      <Fields fields={fields.filter((one) => ["links_found", "paint", "remark"].includes(one.name))} values={values} on_values={on_values} mistakes={mistakes} />
    </>
  );
}

export function with_count(all: Values[], strand: { from: string; to: string }, text: string): Values[] {
  const others = all.filter((one) => one["from"] !== strand.from || one["to"] !== strand.to);
  if (!/^\d+$/.test(text)) return others;
  return [...others, { from: strand.from, to: strand.to, links: Number(text) }];
}

function with_mark(all: Values[], at: string, next: Values): Values[] {
  const others = all.filter((one) => one["at"] !== at);
  return next["stands"] ? [...others, { ...next, at }] : others;
}

const kStands = ["right", "1 tooth early", "1 tooth late", "2 teeth early", "2 teeth late", "cannot see"];

function Stands({ at, values, on_values }: { at: string; values: Values; on_values: (values: Values) => void }) {
  const now = String(values["stands"] ?? "");
  return (
    <fieldset class="field_group stack">
      <legend>{t("in_mark_at", { at: said(at) })}</legend>
      <Choices label={t("in_mark_stands")} choices={kStands} value={now} word={choice_word} on_value={(one) => on_values({ ...values, stands: one })} />
      <label>
        {t("in_in_other_words")}
        <input value={kStands.includes(now) ? "" : now} placeholder={such_as("a tooth and a half left")} onInput={(event) => on_values({ ...values, stands: event.currentTarget.value })} />
      </label>
      {now ? (
        <Choices label={field_word("against", "")} choices={["casting", "link"]} value={String(values["against"] ?? "")} word={choice_word} on_value={(one) => on_values({ ...values, against: one || undefined })} />
      ) : null}
    </fieldset>
  );
}
