// SPDX-License-Identifier: Apache-2.0
// One question: the answer as far as it goes, the next thing to say, and all that was said.
import { useState } from "preact/hooks";

import { Sheet } from "../parts/sheet";
import { address, go, here } from "../route";
import { said as told, said_choice } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { AnswerSheet } from "./answer_sheet";
import { InputAsked } from "./input_asked";
import { asks_on, said_in, typed_of, unsaid } from "./said";
import { as_typed } from "./typed";
import type { AskBack, Input, InputText, Question } from "./says";
import { kTiles } from "./tiles";
import { type Answered, useAnswer } from "./use_answer";

interface Props {
  question: Question;
  query: Record<string, string>;
}

export function QuestionCard({ question, query }: Props) {
  const { said, elsewhere } = said_in(question, query);
  const answered = useAnswer(question.name, typed_of(question, said));
  const [picked, pick] = useState<string | undefined>();
  const { ask, answer } = answered.outcome ?? {};
  const say = (input: string, text: string) => {
    pick(undefined);
    // What was pressed a moment ago stands in the address before it is drawn.
    go(["quick", question.name], { ...here().query, [input]: text.trim() });
  };
  const input = input_now(question, said, picked, answered);
  const tile = kTiles[question.name];
  return (
    <Sheet title={tile ? t(tile.says) : told(question.help)} back={address(["quick"])}>
      <div class={`quick ${question.name === "turn" ? "turning" : ""}`}>
        <div class="stack say">
          {answered.detail ? <NoAnswer answered={answered} is_turn={question.name === "turn"} /> : null}
          {input ? (
            <InputAsked
              key={`${input.name} ${said[input.name] ?? "-"}`}
              input={input}
              ask={ask?.input === input.name ? ask : undefined}
              said={said[input.name]}
              say={(text) => say(input.name, text)}
            />
          ) : null}
          <SaidSoFar question={question} said={said} elsewhere={elsewhere} pick={pick} />
          <MoreToSay question={question} said={said} now={input} ask={ask} pick={pick} />
        </div>
        {answer ? <AnswerSheet answer={answer} /> : null}
      </div>
    </Sheet>
  );
}

// What the person picked; else what the program asks back; else the next that may matter.
function input_now(
  question: Question,
  said: Record<string, string>,
  picked: string | undefined,
  { outcome, detail }: Answered,
): Input | undefined {
  const named = (name: string | undefined) => question.inputs.find((each) => each.name === name);
  if (picked) return named(picked);
  if (outcome?.ask) return named(outcome.ask.input);
  if (outcome?.answer) return asks_on(question) ? unsaid(question, said)[0] : undefined;
  // Without the program the questions still stand in their order.
  return detail ? unsaid(question, said)[0] : undefined;
}

function NoAnswer({ answered, is_turn }: { answered: Answered & { again: () => void }; is_turn: boolean }) {
  return (
    <div class="caution stack" role="alert">
      {is_turn ? <p class="answer-first">{t("quick_turn_unanswered")}</p> : null}
      <p><Told says={answered.detail} /></p>
      <p>{t("quick_kept")}</p>
      <button type="button" onClick={answered.again}>
        {t("quick_again")}
      </button>
    </div>
  );
}

interface SaidProps {
  question: Question;
  said: Record<string, string>;
  elsewhere: InputText[];
  pick: (input: string) => void;
}

function SaidSoFar({ question, said, elsewhere, pick }: SaidProps) {
  const inputs = question.inputs.filter((input) => input.name in said);
  if (inputs.length + elsewhere.length === 0) return null;
  return (
    <section>
      <h2>{t("quick_said")}</h2>
      <ul class="said">
        {elsewhere.map(({ input, text }) => (
          <li key={input} class="before">
            {t("quick_said_before", { input, text })}
          </li>
        ))}
        {inputs.map((input) => (
          <li key={input.name}>
            <button type="button" class="quiet says" onClick={() => pick(input.name)}>
              <span class="faint"><Told says={input.ask} /></span>{" "}
              <strong>{input.form === "choice" ? said_choice(said[input.name] ?? "") || t("quick_not_known") : as_typed(said[input.name] ?? "") || t("quick_not_known")}</strong>
              <span class="heard">{t("quick_change")}</span>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

interface MoreProps {
  question: Question;
  said: Record<string, string>;
  now: Input | undefined;
  ask: AskBack | undefined;
  pick: (input: string) => void;
}

function MoreToSay({ question, said, now, ask, pick }: MoreProps) {
  const more = unsaid(question, said).filter((input) => input !== now);
  if (more.length === 0) return null;
  return (
    <details class="unprinted" open={!ask && !asks_on(question)}>
      <summary>{t("quick_more", { n: more.length })}</summary>
      <ul class="said">
        {more.map((input) => (
          <li key={input.name}>
            <button type="button" class="quiet" onClick={() => pick(input.name)}>
              <Told says={input.ask} />
            </button>
          </li>
        ))}
      </ul>
    </details>
  );
}
