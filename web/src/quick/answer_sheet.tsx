// SPDX-License-Identifier: Apache-2.0
// An answer, to be read aloud: nothing of it is shortened, its cautions always stand below it.
import { useState } from "preact/hooks";

import { VerdictLink } from "../parts/link";
import { is_said, said } from "../said/said";
import { Told } from "../said/told";
import { language_now, t } from "../texts";
import { CaseMaker } from "./case_maker";
import { copy_text } from "./copy";
import { answer_as_text } from "./said";
import type { Answer } from "./says";

// On a narrow screen the head stands above what is asked next, the rest below it. DO NOT TURN needs no
// more than its reason there; what may be turned stands with all its conditions.
export function AnswerSheet({ answer }: { answer: Answer }) {
  const [first = "", ...others] = answer.lines;
  const is_turn = answer.question === "turn";
  const in_head = !is_turn ? 0 : first.startsWith("DO NOT TURN") ? 1 : others.length;
  return (
    <article class="answer">
      <div class="answer-head stack" aria-live="polite">
        {answer.verdict ? <VerdictLink verdict={answer.verdict} /> : null}
        <p class="answer-first"><Told says={first} /></p>
        <Paragraphs lines={others.slice(0, in_head)} />
      </div>
      <div class="answer-rest stack">
        <Paragraphs lines={others.slice(in_head)} />
        <Lines title={t("quick_cautions")} lines={answer.cautions} strong />
        <Lines title={t("quick_assumed")} lines={answer.assumed} />
        <Steps steps={answer.steps} />
        <Uses answer={answer} />
        <CaseMaker answer={answer} />
      </div>
    </article>
  );
}

function Paragraphs({ lines }: { lines: string[] }) {
  return (
    <>
      {lines.map((line) => (
        <p key={line}><Told says={line} /></p>
      ))}
    </>
  );
}

function Steps({ steps }: { steps: string[] }) {
  if (steps.length === 0) return null;
  return (
    <details class="prints">
      <summary>{t("quick_steps")}</summary>
      <ol>
        {steps.map((step) => (
          <li key={step}><Told says={step} /></li>
        ))}
      </ol>
    </details>
  );
}

function Lines({ title, lines, strong = false }: { title: string; lines: string[]; strong?: boolean }) {
  if (lines.length === 0) return null;
  return (
    <section class={strong ? "caution" : ""}>
      <h3>{title}</h3>
      <ul>
        {lines.map((line) => (
          <li key={line}><Told says={line} /></li>
        ))}
      </ul>
    </section>
  );
}

function Uses({ answer }: { answer: Answer }) {
  const [is_copied, set] = useState(false);
  const text = answer_as_text(answer);
  return (
    <div class="row">
      {"speechSynthesis" in globalThis ? (
        <button type="button" onClick={() => say_aloud(answer)}>
          {t("quick_say")}
        </button>
      ) : null}
      <button type="button" onClick={async () => set(await copy_text(text))}>
        {is_copied ? t("quick_copied") : t("quick_copy")}
      </button>
    </div>
  );
}

// In the language of the page if all of it is; one voice never reads two languages.
function say_aloud(answer: Answer): void {
  speechSynthesis.cancel();
  const lines = [...answer.lines, ...answer.cautions];
  const is_own = lines.every(is_said);
  const words = new SpeechSynthesisUtterance((is_own ? lines.map(said) : lines).join(" "));
  words.lang = is_own ? language_now() : "en";
  words.rate = is_own ? 1 : 0.9;
  speechSynthesis.speak(words);
}
