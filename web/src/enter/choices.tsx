// SPDX-License-Identifier: Apache-2.0
// A few large choices side by side; the chosen one pressed again is not chosen any more, so what is
// not known stays out.
import { said } from "../said/said";
import { choice_word } from "./words";

interface Props {
  name?: string; // of the field, for whoever fills in by program
  label: string;
  help?: string | undefined;
  choices: string[];
  value: string;
  on_value: (value: string) => void;
  word?: (choice: string) => string;
  wrong?: string | undefined;
}

export function Choices({ name, label, help, choices, value, on_value, word = said, wrong }: Props) {
  return (
    <fieldset class="picks" name={name}>
      <legend>{label}</legend>
      {help ? <p class="faint">{help}</p> : null}
      <div class="row">
        {choices.map((one) => (
          <button type="button" key={one} value={one} aria-pressed={one === value} onClick={() => on_value(one === value ? "" : one)}>
            {word(one)}
          </button>
        ))}
      </div>
      {wrong ? <p class="wrong">{wrong}</p> : null}
    </fieldset>
  );
}

interface YesNoProps extends Omit<Props, "choices" | "value" | "on_value" | "word"> {
  value: unknown; // neither true nor false: not said
  on_value: (value: boolean | undefined) => void;
}

export function YesNo({ value, on_value, ...rest }: YesNoProps) {
  const now = value === true ? "yes" : value === false ? "no" : "";
  return (
    <Choices {...rest} choices={["yes", "no"]} value={now} word={choice_word}
      on_value={(one) => on_value(one === "" ? undefined : one === "yes")} />
  );
}
