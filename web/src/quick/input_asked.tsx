// SPDX-License-Identifier: Apache-2.0
// One input asked for: its question in large type, then big buttons or one field.
import { useEffect, useRef, useState } from "preact/hooks";

import { is_focus_lost } from "../parts/sheet";
import { said as told, said_choice } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { pieces, with_piece } from "./said";
import type { AskBack, Input } from "./says";
import { as_sent, as_typed } from "./typed";

interface Props {
  input: Input;
  ask: AskBack | undefined; // what the program says about it, when it asks back
  said: string | undefined; // "" is: not known
  say: (text: string) => void;
}

export function InputAsked({ input, ask, said, say }: Props) {
  const choices = ask?.choices.length ? ask.choices : input.choices;
  const asked = ask?.sentence || input.ask;
  const told_why = asked !== input.ask ? input.ask : "";
  const question = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    // The choice that was pressed is gone: on to what is asked next. A field takes the focus itself.
    if (choices.length && is_focus_lost()) question.current?.focus({ preventScroll: true });
  }, []);
  return (
    <section class="asked stack" aria-live="polite">
      <h2 class="question" tabIndex={-1} ref={question}><Told says={asked} whole /></h2>
      {told_why ? <p class="faint"><Told says={told_why} /></p> : null}
      {said === "" && ask ? <p class="caution">{t("quick_needed")}</p> : null}
      {choices.length ? (
        <Choices choices={choices} said={said} say={say} />
      ) : (
        <Field input={input} example={ask?.example || input.example} said={said ?? ""} say={say} />
      )}
    </section>
  );
}

interface ChoiceProps {
  choices: string[];
  said: string | undefined;
  say: (text: string) => void;
}

function Choices({ choices, said, say }: ChoiceProps) {
  return (
    <div class="choices">
      {choices.map((choice) => (
        <button key={choice} type="button" aria-pressed={choice === said} onClick={() => say(choice)}>
          {said_choice(choice)}
        </button>
      ))}
      {choices.includes("unknown") ? null : <NotKnown say={say} />}
    </div>
  );
}

interface FieldProps {
  input: Input;
  example: string;
  said: string;
  say: (text: string) => void;
}

function Field({ input, example, said, say }: FieldProps) {
  const [text, set] = useState(() => as_typed(said));
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => field.current?.focus({ preventScroll: true }), []);
  const add = (piece: string) => {
    set(with_piece(text, as_typed(piece)));
    field.current?.focus();
  };
  const done = (event: Event) => {
    event.preventDefault();
    if (text.trim()) say(as_sent(text));
  };
  return (
    <form class="stack" onSubmit={done}>
      <input
        ref={field}
        class="field"
        aria-label={told(input.ask)}
        value={text}
        autocomplete="off"
        enterkeyhint="next"
        inputMode={input.form === "count" ? "numeric" : "text"}
        onInput={(event) => set(event.currentTarget.value)}
      />
      {example ? <p class="faint">{t("quick_example", { example: as_typed(example) })}</p> : null}
      <div class="row">
        {pieces(input, example).map((piece) => (
          <button key={piece} type="button" class="quiet" onClick={() => add(piece)}>
            {as_typed(piece)}
          </button>
        ))}
      </div>
      <div class="row">
        <button type="submit" class="main wide" disabled={!text.trim()}>
          {t("quick_next")}
        </button>
        <NotKnown say={say} />
      </div>
    </form>
  );
}

function NotKnown({ say }: { say: (text: string) => void }) {
  return (
    <button type="button" class="quiet" onClick={() => say("")}>
      {t("quick_not_known")}
    </button>
  );
}
