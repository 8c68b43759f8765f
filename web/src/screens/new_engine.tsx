// SPDX-License-Identifier: Apache-2.0
// #/new-engine: a definition typed in from a service manual, step by step; nothing is needed but a
// name. At every step it says what it can answer already.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";

import { type Answers, drive_name, said } from "../drives/answers";
import { AnswersNow, Mistakes, Unlocks } from "../drives/can_answer";
import { useDraft } from "../drives/draft";
import { Drawing } from "../drives/drawing";
import { FieldAsked } from "../drives/field_asked";
import { Pages, usePages } from "../drives/photo";
import { SaveEngine, type Stored } from "../drives/saved";
import { answered } from "../drives/says";
import { type Step, steps_of } from "../drives/steps";
import { type Checking, useCheck } from "../drives/use_check";
import { yaml_of_answers } from "../drives/yaml_of_answers";
import type { Written } from "../drives/yaml_lines";
import { Sheet } from "../parts/sheet";
import { address, go, type Route } from "../route";
import { Told } from "../said/told";
import { t } from "../texts";
import "../drives/drives.css";
import "../drives/new_engine.css";

export function NewEngineScreen({ route }: { route: Route }) {
  const [draft, set_draft] = useDraft<Answers>("new-engine");
  const [pages, set_pages] = usePages();
  const [stored, set_stored] = useState<Stored | undefined>();
  const answers = draft ?? {};
  const written = useMemo(() => yaml_of_answers(answers, route.practice), [draft, route.practice]);
  const checking = useCheck(draft ? written.text : "", drive_name(answers));
  const steps = steps_of(answers);
  const at = Math.min(Math.max(Number(route.query["step"] ?? 1) || 1, 1), steps.length);
  const step = steps[at - 1];
  const say = (key: string, text: string) => set_draft({ ...answers, [key]: text });
  const forget = () => {
    set_draft(undefined);
    set_pages([]);
  };
  const fresh = useFresh(checking, at);
  if (!step) return null;
  return (
    <Sheet title={t("manual_engine")} wide blocks={[{ name: t("drives_block"), says: said(answers, "title") || t("manual_unnamed") }]}>
      <p class="faint">{t("manual_intro")}</p>
      <StepList steps={steps} at={at} answers={answers} />
      <div class="engine">
        <section class="stack">
          <h2>{step.title}</h2>
          <p class="faint">{step.help}</p>
          <Fields steps={steps} step={step} answers={answers} written={written} checking={checking} say={say} />
          <Forward step={step} at={at} of={steps.length} answers={answers} checking={checking} />
          {at === steps.length ? (
            <SaveEngine
              name={drive_name(answers)}
              text={written.text}
              is_wrong={!draft || (checking.checked?.mistakes.length ?? 0) > 0}
              pages={pages}
              stored={stored}
              set_stored={set_stored}
              forget={forget}
            />
          ) : null}
        </section>
        <aside class="stack">
          <Pages pages={pages} change={set_pages} />
          <Now checking={checking} fresh={fresh} />
          <details>
            <summary>{t("drives_text")}</summary>
            <pre class="text">{written.text}</pre>
          </details>
          {draft ? <StartAnew forget={forget} /> : null}
        </aside>
      </div>
    </Sheet>
  );
}

// The questions that could be answered when this step was begun.
function useFresh(checking: Checking, at: number): ReadonlySet<string> {
  const begun = useRef<{ at: number; known: Set<string> }>({ at: 0, known: new Set() });
  const now = answered(checking.checked?.check).map((level) => level.question);
  if (begun.current.at !== at && checking.checked) begun.current = { at, known: new Set(now) };
  return begun.current.known;
}

function StepList({ steps, at, answers }: { steps: Step[]; at: number; answers: Answers }) {
  const strip = useRef<HTMLOListElement>(null);
  useEffect(() => {
    const current = strip.current?.children[at - 1] as HTMLElement | undefined;
    if (current) strip.current?.scrollTo({ left: current.offsetLeft - strip.current.offsetLeft });
  }, [at]);
  return (
    <nav class="steps" aria-label={t("manual_steps")}>
      <ol ref={strip}>
        {steps.map((step, i) => (
          <li key={step.key}>
            <a
              href={address(["new-engine"], { step: String(i + 1) })}
              aria-current={i + 1 === at ? "step" : undefined}
              class={is_begun(step, answers) ? "begun" : ""}
            >
              <span>{i + 1}</span> {step.title}
            </a>
          </li>
        ))}
      </ol>
    </nav>
  );
}

function is_begun(step: Step, answers: Answers): boolean {
  return step.fields.some((field) => said(answers, field.key));
}

interface FieldsProps {
  steps: Step[];
  step: Step;
  answers: Answers;
  written: Written;
  checking: Checking;
  say: (key: string, text: string) => void;
}

// A mistake stands at the field whose answer made the line.
function Fields({ steps, step, answers, written, checking, say }: FieldsProps) {
  const mistakes = checking.is_present ? (checking.checked?.mistakes ?? []) : [];
  const of = (key: string) => mistakes.filter((each) => written.keys[each.line - 1] === key);
  const elsewhere = mistakes.filter(
    (each) => !step.fields.some((field) => field.key === written.keys[each.line - 1]),
  );
  return (
    <form class="fields" onSubmit={(event) => event.preventDefault()}>
      {step.fields.map((field) => (
        <FieldAsked
          key={field.key}
          field={field}
          text={answers[field.key] ?? ""}
          mistakes={of(field.key)}
          say={(text) => say(field.key, text)}
        />
      ))}
      {elsewhere.length ? (
        <section class="caution">
          <h3>{t("manual_elsewhere")}</h3>
          <Mistakes mistakes={elsewhere} />
          <StepsOf keys={elsewhere.map((each) => written.keys[each.line - 1])} steps={steps} />
        </section>
      ) : null}
    </form>
  );
}

function StepsOf({ keys, steps }: { keys: (string | undefined)[]; steps: Step[] }) {
  return (
    <p class="row">
      {steps.map((step, i) =>
        step.fields.some((field) => keys.includes(field.key)) ? (
          <a key={step.key} class="button" href={address(["new-engine"], { step: String(i + 1) })}>
            {i + 1} {step.title}
          </a>
        ) : null,
      )}
    </p>
  );
}

interface ForwardProps {
  step: Step;
  at: number;
  of: number;
  answers: Answers;
  checking: Checking;
}

function Forward({ step, at, of, answers, checking }: ForwardProps) {
  const check = checking.checked?.check;
  return (
    <div class="row">
      {at < of ? (
        <button type="button" class="main" onClick={() => go(["new-engine"], { step: String(at + 1) })}>
          {t(is_begun(step, answers) ? "manual_next" : "manual_skip")}
        </button>
      ) : null}
      {check ? (
        <span>{t("drives_answers", { n: answered(check).length, of: check.levels.length })}</span>
      ) : null}
    </div>
  );
}

function Now({ checking, fresh }: { checking: Checking; fresh: ReadonlySet<string> }) {
  const { checked, detail } = checking;
  return (
    <div class="now stack" aria-live="polite">
      <h2>{t("manual_now")}</h2>
      {detail ? <p class="caution"><Told says={detail} /></p> : null}
      {checked?.check ? (
        <>
          <AnswersNow check={checked.check} fresh={fresh} />
          <Unlocks check={checked.check} />
          {checked.drawing ? <Drawing svg={checked.drawing} /> : null}
        </>
      ) : (
        <p class="faint">{t(checked?.mistakes.length ? "manual_after_mistakes" : "manual_nothing_yet")}</p>
      )}
    </div>
  );
}

function StartAnew({ forget }: { forget: () => void }) {
  const [is_sure, ask_sure] = useState(false);
  useEffect(() => {
    if (!is_sure) return;
    const timer = setTimeout(() => ask_sure(false), 5000);
    return () => clearTimeout(timer);
  }, [is_sure]);
  return (
    <button type="button" class="quiet" onClick={() => (is_sure ? forget() : ask_sure(true))}>
      {t(is_sure ? "manual_anew_sure" : "manual_anew")}
    </button>
  );
}
