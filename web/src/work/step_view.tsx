// SPDX-License-Identifier: Apache-2.0
// One step, to be read at arm's length: cautions, the instruction, why, what blocks it, what is
// tightened. What is entered comes below it as `children`.
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

import { address } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import type { ProcedureSaid, StepSaid } from "./says";
import { Standing } from "./step_list";
import { fact_words, stage_words } from "./words";

interface Props {
  procedure: ProcedureSaid;
  step: StepSaid;
  waits: boolean;
  of_case: string | undefined;
  href: (step: string) => string;
  turning: ComponentChildren; // of a step that turns the engine
  children: ComponentChildren;
}

export function StepView({ procedure, step, waits, of_case, href, turning, children }: Props) {
  const title = useRef<HTMLHeadingElement>(null);
  const last = useRef(step.name);
  useEffect(() => {
    // Another step was chosen: who works by keyboard goes on in it.
    if (last.current !== step.name) title.current?.focus({ preventScroll: true });
    last.current = step.name;
  }, [step.name]);
  const at = procedure.steps.indexOf(step);
  const [before, after] = [procedure.steps[at - 1], procedure.steps[at + 1]];
  return (
    <article class="step_now">
      <p class="step_at">
        <span>{t("work_step_of", { n: step.number, of: procedure.steps.length })}</span>
        {step.stage ? <span>{stage_words(step.stage)}</span> : null}
        {step.bank === undefined ? null : <span>{t("work_bank", { n: step.bank })}</span>}
        {step.status ? <Standing step={step} waits={waits} /> : null}
      </p>
      <h2 tabIndex={-1} ref={title}><Told says={step.name} /></h2>
      {procedure.interrupted?.step === step.name ? <p class="caution">{t("work_interrupted")}: <Told says={procedure.interrupted.words} whole /></p> : null}
      {step.cautions.map((says) => <p class="caution" key={says}><Told says={says} /></p>)}
      <p class="instruction"><Told says={step.what.trim()} /></p>
      {step.why ? <p class="why_step"><b>{t("now_why")}</b> <Told says={step.why} whole /></p> : null}
      {turning}
      <Blocked step={step} />
      <Facts step={step} />
      {children}
      {step.entry && of_case ? (
        <p><a href={address(["case", of_case, "history"], { entry: step.entry })}>{t("work_entered_as", { id: step.entry })}</a></p>
      ) : null}
      <nav class="row steps_on" aria-label={t("work_steps")}>
        {before ? <a class="button work_big" href={href(before.name)}>{t("work_before", { n: before.number })}</a> : null}
        {after ? <a class="button work_big" href={href(after.name)}>{t("work_after", { n: after.number })}</a> : null}
      </nav>
    </article>
  );
}

function Blocked({ step }: { step: StepSaid }) {
  const missing = step.missing ?? [];
  if (missing.length === 0) return null;
  return (
    <section class="blocked" aria-labelledby="blocked">
      <h3 id="blocked">{t(step.status === "to do" || step.status === "interrupted" ? "work_blocked" : "work_was_blocked")}</h3>
      <ul>
        {missing.map((one) => (
          <li key={one.fact}>
            <b>{fact_words(one.fact)}</b> {t(one.by_rule ? "work_by_rule" : "work_by_procedure")}{" "}
            {one.why ? <Told says={one.why} whole /> : null}{" "}
            {one.may_override ? "" : t("work_no_override")}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Facts({ step }: { step: StepSaid }) {
  const rows: [string, string][] = [
    [t("work_needs"), step.needs.map(fact_words).join("; ")],
    [t("work_gives"), step.gives.map(fact_words).join("; ")],
    [t("work_ends"), step.ends.map(fact_words).join("; ")],
    [t("work_fits"), step.fits.map(said).join("; ")],
    [t("work_only_if"), step.if_decided ? said(step.if_decided) : ""],
    [t("work_within"), step.within && step.since ? t("work_since", { time: said(step.within), step: said(step.since) }) : step.within ? said(step.within) : ""],
  ];
  return (
    <dl class="step_facts">
      {rows.filter(([, says]) => says !== "").map(([name, says]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{says}</dd>
        </div>
      ))}
    </dl>
  );
}
