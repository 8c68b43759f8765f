// SPDX-License-Identifier: Apache-2.0
// One field of a new engine: what the manual says, with the program's complaint right below it.
import { useId } from "preact/hooks";

import type { Schemas } from "../ask";
import { with_piece } from "../quick/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { rewrites } from "./says";
import type { Field } from "./field";

interface Props {
  field: Field;
  text: string;
  mistakes: Schemas["mistake"][];
  say: (text: string) => void;
}

export function FieldAsked(props: Props) {
  const id = useId();
  const { field, mistakes } = props;
  const kind = `${field.starts ? "starts " : ""}${field.is_unit ? "unit" : ""}`;
  return (
    <div class={`asked-field ${kind}`}>
      {field.choices ? <Choices {...props} id={id} /> : <Typed {...props} id={id} />}
      <div id={`${id}-wrong`} aria-live="polite">
        {mistakes.map((mistake, i) => (
          <Mistake key={i} mistake={mistake} take={field.choices ? undefined : props.say} />
        ))}
      </div>
    </div>
  );
}

function Choices({ field, text, say, id }: Props & { id: string }) {
  return (
    <div role="group" aria-labelledby={id}>
      <p id={id} class="label">
        {field.label}
      </p>
      {field.help ? <p class="faint">{field.help}</p> : null}
      <div class="row">
        {field.choices?.map((choice) => (
          <button
            key={choice.value}
            type="button"
            class="quiet"
            aria-pressed={choice.value === text}
            onClick={() => say(choice.value === text ? "" : choice.value)}
          >
            {choice.label}
          </button>
        ))}
      </div>
    </div>
  );
}

function Typed({ field, text, mistakes, say, id }: Props & { id: string }) {
  return (
    <>
      <label for={id}>{field.label}</label>
      {field.help ? <p class="faint">{field.help}</p> : null}
      <div class="row typed">
        <input
          id={id}
          value={text}
          placeholder={field.example ?? ""}
          autocomplete="off"
          inputMode={field.is_count ? "numeric" : "text"}
          aria-invalid={mistakes.length > 0}
          aria-describedby={`${id}-wrong`}
          onInput={(event) => say(event.currentTarget.value)}
        />
        {field.pieces?.map((piece) => (
          <button key={piece} type="button" class="quiet" onClick={() => say(with_piece(text, piece))}>
            {piece}
          </button>
        ))}
      </div>
    </>
  );
}

function Mistake({ mistake, take }: { mistake: Schemas["mistake"]; take: ((text: string) => void) | undefined }) {
  const ready = take ? rewrites(mistake.hint) : [];
  return (
    <div class="wrong-field">
      <p class="wrong"><Told says={mistake.message} /></p>
      {ready.length ? (
        <div class="row">
          <span class="faint">{t("manual_means")}</span>
          {ready.map((text) => (
            <button key={text} type="button" onClick={() => take?.(text)}>
              {text}
            </button>
          ))}
        </div>
      ) : mistake.hint ? (
        <p class="faint">{mistake.hint}</p>
      ) : null}
    </div>
  );
}
