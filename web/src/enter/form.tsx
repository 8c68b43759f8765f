// SPDX-License-Identifier: Apache-2.0
// A form made of the program's own description of an entry. Required fields first; what is left
// empty is not sent.
import { useState } from "preact/hooks";

import { address } from "../route";
import { said } from "../said/said";
import { t } from "../texts";
import { Choices, YesNo } from "./choices";
import type { Field } from "./schema";
import { choice_word, field_word, help_of, such_as } from "./words";

export type Values = Record<string, unknown>;

interface Props {
  fields: Field[];
  values: Values;
  on_values: (values: Values) => void;
  mistakes: Record<string, string>; // by path: "entry/values"
  path?: string;
  suggestions?: Record<string, string[]>; // by field
}

export function Fields({ fields, values, on_values, mistakes, path = "entry", suggestions = {} }: Props) {
  const rank = (field: Field) => (field.is_required ? 0 : field.name === "remark" ? 2 : 1);
  const sorted = [...fields].sort((a, b) => rank(a) - rank(b));
  return (
    <>
      {sorted.map((field) => (
        <One
          key={field.name}
          field={field}
          value={values[field.name]}
          on_value={(value) => on_values({ ...values, [field.name]: value })}
          mistakes={mistakes}
          path={`${path}/${field.name}`}
          suggestions={suggestions}
        />
      ))}
    </>
  );
}

interface OneProps {
  field: Field;
  value: unknown;
  on_value: (value: unknown) => void;
  mistakes: Record<string, string>;
  path: string;
  suggestions: Record<string, string[]>;
}

function One(props: OneProps) {
  const { field, value, on_value, mistakes, path } = props;
  const wrong = mistakes[path];
  const label = field_word(field.word, field.says) + (field.is_required ? "" : ` ${t("in_if_known")}`);
  const help = help_of(field.says, field.word);
  switch (field.type) {
    case "choice":
      return <Choices name={path} label={label} help={help} choices={field.choices} value={String(value ?? "")} on_value={on_value} word={choice_word} wrong={wrong} />;
    case "yes or no":
      return <YesNo name={path} label={label} help={help} value={value} on_value={on_value} wrong={wrong} />;
    case "texts":
      return <Texts {...props} label={label} help={help} wrong={wrong} />;
    case "group":
      return (
        <fieldset class="field_group stack">
          <legend>{label}</legend>
          <Fields fields={field.fields} values={(value ?? {}) as Values} on_values={on_value} mistakes={mistakes} path={path} />
        </fieldset>
      );
    case "groups":
      return <Groups {...props} label={label} />;
    default:
      return <Line {...props} label={label} help={help} wrong={wrong} />;
  }
}

interface Labelled extends OneProps {
  label: string;
  help?: string | undefined;
  wrong?: string | undefined;
}

const kNamed = ["place", "chain"]; // of the drive: nothing else is taken

function Line({ field, value, on_value, path, suggestions, label, help, wrong }: Labelled) {
  const known = suggestions[field.name] ?? [];
  const is_whole = field.type === "whole number";
  const is_long = field.name === "words" || field.name === "reason" || field.name === "remark";
  const given = {
    name: path,
    value: value === undefined ? "" : String(value),
    placeholder: such_as(field.example),
    "aria-invalid": wrong !== undefined,
    onInput: (event: { currentTarget: HTMLInputElement | HTMLTextAreaElement }) => {
      const text = event.currentTarget.value;
      on_value(is_whole && /^\d+$/.test(text) ? Number(text) : text);
    },
  };
  if (kNamed.includes(field.name) && known.length > 0)
    return (
      <label>
        {label}
        {help ? <span class="help faint">{help}</span> : null}
        <select {...given} onInput={undefined} onChange={(event) => on_value(event.currentTarget.value)}>
          <option value="" />
          {[...new Set([...known, ...(given.value ? [given.value] : [])])].map((one) => (
            <option value={one} key={one}>
              {said(one)}
            </option>
          ))}
        </select>
        {wrong ? <span class="wrong">{wrong}</span> : null}
      </label>
    );
  return (
    <label>
      {label}
      {help ? <span class="help faint">{help}</span> : null}
      {is_long ? <textarea rows={2} {...given} /> : <input inputMode={is_whole ? "numeric" : "text"} list={known.length > 0 ? path : undefined} {...given} />}
      {known.length > 0 ? (
        <datalist id={path}>
          {known.map((one) => (
            <option value={one} key={one} />
          ))}
        </datalist>
      ) : null}
      {wrong ? <span class="wrong">{wrong}</span> : null}
    </label>
  );
}

// One after the other, commas between: "P0016, P0021".
function Texts({ field, value, on_value, path, label, help, wrong }: Labelled) {
  // As typed while it is typed: a comma just pressed is no text yet.
  const [typed, set_typed] = useState<string | undefined>();
  const text = Array.isArray(value) ? value.join(", ") : String(value ?? "");
  const take = (says: string) => {
    set_typed(says);
    on_value(says.split(",").map((one) => one.trim()));
  };
  return (
    <label>
      {label}
      {help ? <span class="help faint">{help}</span> : null}
      <input
        name={path}
        value={typed ?? text}
        placeholder={such_as(field.example.replace(/^\[|\]$/g, ""))}
        onInput={(event) => take(event.currentTarget.value)}
        onBlur={() => set_typed(undefined)}
      />
      {wrong ? <span class="wrong">{wrong}</span> : null}
    </label>
  );
}

function Groups({ field, value, on_value, mistakes, path, suggestions, label }: Labelled) {
  const all = Array.isArray(value) ? (value as Values[]) : [];
  return (
    <fieldset class="field_group stack" name={path}>
      <legend>{label}</legend>
      <p class="faint help">{help_of(field.says, field.word)}</p>
      {all.map((one, i) => (
        <div class="card stack" key={i}>
          <Fields fields={field.fields} values={one} mistakes={mistakes} path={`${path}/${i}`} suggestions={suggestions}
            on_values={(next) => on_value(all.map((old, n) => (n === i ? next : old)))} />
          <button type="button" class="quiet" onClick={() => on_value(all.filter((_, n) => n !== i))}>
            {t("in_remove")}
          </button>
        </div>
      ))}
      <button type="button" class="add" onClick={() => on_value([...all, {}])}>
        {t("in_add")}
      </button>
    </fieldset>
  );
}

// Below the fields: on, or back to the case.
export function FormFoot({ of_case, says, on_leave }: { of_case: string; says: string; on_leave?: () => void }) {
  return (
    <div class="row">
      <button type="submit" class="main">
        {says}
      </button>
      <a class="button" href={address(["case", of_case])} onClick={on_leave}>
        {t("in_leave")}
      </a>
    </div>
  );
}
