// SPDX-License-Identifier: Apache-2.0
// The strip of steps, and what one step asks: its fields, rows that are added and taken away.
import { Fragment } from "preact";
import { useEffect, useRef } from "preact/hooks";

import { address, go } from "../route";
import { t } from "../texts";
import { type Answers, said, without_row } from "./answers";
import { answered } from "./says";
import { Mistakes } from "./can_answer";
import type { Add, Step } from "./field";
import { FieldAsked } from "./field_asked";
import type { Checking } from "./use_check";
import type { Written } from "./yaml_lines";

// A step's own address; `of`: an existing definition that was opened again.
export function step_query(step: number, of: string): Record<string, string> {
  return { ...(of ? { of } : {}), step: String(step) };
}

interface StepListProps {
  steps: Step[];
  at: number;
  answers: Answers;
  of: string;
}

export function StepList({ steps, at, answers, of }: StepListProps) {
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
              href={address(["new-engine"], step_query(i + 1, of))}
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
  change: (answers: Answers) => void;
  of: string;
}

// A mistake stands at the field whose answer made the line.
export function Fields({ steps, step, answers, written, checking, change, of: again }: FieldsProps) {
  const mistakes = checking.is_present ? (checking.checked?.mistakes ?? []) : [];
  const of = (key: string) => mistakes.filter((each) => written.keys[each.line - 1] === key);
  const elsewhere = mistakes.filter(
    (each) => !step.fields.some((field) => field.key === written.keys[each.line - 1]),
  );
  return (
    <form class="fields" onSubmit={(event) => event.preventDefault()}>
      {step.fields.map((field) => (
        <Fragment key={field.key}>
          {field.row ? <RowHead title={field.row.title} row={field.row.key} drop={(row) => change(without_row(answers, row))} /> : null}
          <FieldAsked
            field={field}
            text={answers[field.key] ?? ""}
            mistakes={of(field.key)}
            say={(text) => change({ ...answers, [field.key]: text })}
          />
        </Fragment>
      ))}
      <Adds adds={step.adds} add={(sets) => change({ ...answers, ...sets })} />
      {elsewhere.length ? (
        <section class="caution">
          <h3>{t("manual_elsewhere")}</h3>
          <Mistakes mistakes={elsewhere} />
          <StepsOf keys={elsewhere.map((each) => written.keys[each.line - 1])} steps={steps} of={again} />
        </section>
      ) : null}
    </form>
  );
}

function RowHead({ title, row, drop }: { title: string; row: string; drop: (row: string) => void }) {
  return (
    <header class="row row-head">
      <h3>{title}</h3>
      <button type="button" class="quiet" aria-label={`${t("manual_take_away")}: ${title}`} onClick={() => drop(row)}>
        {t("manual_take_away")}
      </button>
    </header>
  );
}

function Adds({ adds, add }: { adds: Add[]; add: (sets: Answers) => void }) {
  if (adds.length === 0) return null;
  return (
    <div class="row adds">
      {adds.map((one) => (
        <button key={one.label} type="button" class="quiet" onClick={() => add(one.sets)}>
          {one.label}
        </button>
      ))}
    </div>
  );
}

function StepsOf({ keys, steps, of }: { keys: (string | undefined)[]; steps: Step[]; of: string }) {
  return (
    <p class="row">
      {steps.map((step, i) =>
        step.fields.some((field) => keys.includes(field.key)) ? (
          <a key={step.key} class="button" href={address(["new-engine"], step_query(i + 1, of))}>
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
  last: number;
  answers: Answers;
  checking: Checking;
  of: string;
}

export function Forward({ step, at, last, answers, checking, of }: ForwardProps) {
  const check = checking.checked?.check;
  if (at === last) return null;
  return (
    <div class="row">
      <button type="button" class="main" onClick={() => go(["new-engine"], step_query(at + 1, of))}>
        {t(is_begun(step, answers) ? "manual_next" : "manual_skip")}
      </button>
      {at > 1 && at < last - 1 ? (
        <a class="button" href={address(["new-engine"], step_query(last, of))}>
          {t("manual_enough")}
        </a>
      ) : null}
      {check ? <span>{t("drives_answers", { n: answered(check).length, of: check.levels.length })}</span> : null}
    </div>
  );
}
