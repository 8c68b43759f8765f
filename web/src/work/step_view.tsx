// SPDX-License-Identifier: Apache-2.0
// One step, to be read at arm's length: cautions, the instruction, why, what blocks it, what is
// tightened. What is entered comes below it as `children`.
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

import { sentence } from "../ask";
import { kind_word } from "../enter/words";
import { address } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import type { ProcedureSaid, StepSaid } from "./says";
import { giver_of } from "./state";
import { Standing } from "./step_list";
import { TakeBack } from "./take_back";
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
    // Another step: it is read from its beginning, and who works by keyboard goes on in it.
    if (last.current !== step.name) {
      title.current?.focus({ preventScroll: true });
      scrollTo(0, 0);
    }
    last.current = step.name;
  }, [step.name]);
  const at = procedure.steps.indexOf(step);
  const [before, after] = [procedure.steps[at - 1], procedure.steps[at + 1]];
  return (
    <article class="step_now">
      <div class="step_head">
        <p class="step_at">
          <span>{t("work_step_of", { n: step.number, of: procedure.steps.length })}</span>
          {step.stage ? <span>{stage_words(step.stage)}</span> : null}
          {step.bank === undefined ? null : <span>{t("work_bank", { n: step.bank })}</span>}
          {step.status ? <Standing step={step} waits={waits} /> : null}
        </p>
        <h2 tabIndex={-1} ref={title}>{step.name}</h2>
        {procedure.interrupted?.step === step.name ? <p class="caution"><b>{t("work_interrupted")}.</b> <Told says={procedure.interrupted.words} whole /></p> : null}
        {turning}
      </div>
      <div class="step_says">
        {step.cautions.map((says) => <p class="caution" key={says}>{says}</p>)}
        <p class="instruction">{step.what.trim()}</p>
        {step.why ? <p class="why_step"><b>{t("now_why")}</b> {sentence(step.why)}</p> : null}
        {step.fits.length > 0 ? <p class="fits"><b>{t("work_fits")}</b> {step.fits.map(said).join("; ")}</p> : null}
        {step.if_decided ? <p class="only_if"><b>{t("work_only_if")}</b> {said(step.if_decided)}</p> : null}
        {step.within ? <p class="within"><b>{t("work_within")} {within_words(step.within, step.since)}</b></p> : null}
        <Blocked procedure={procedure} step={step} of_case={of_case} href={href} />
      </div>
      <div class="step_does">{children}</div>
      <Facts step={step} />
      {step.entry && of_case ? (
        <p class="row entered_as">
          <a href={address(["case", of_case, "history"], { entry: step.entry })}>{t("work_entered_as", { id: step.entry })}</a>
          {step.status === "to do" ? null : <TakeBack name={of_case} step={step.name} entry={step.entry} />}
        </p>
      ) : null}
      {of_case ? <p><a class="button" href={address(["enter", of_case, "state"], { for_step: step.name })}>{t("work_lost_enter")}</a></p> : null}
      <nav class="row steps_on" aria-label={t("work_steps")}>
        {before ? <a class="button work_big" href={href(before.name)}>{t("work_before", { n: before.number })}</a> : null}
        {after ? <a class="button work_big" href={href(after.name)}>{t("work_after", { n: after.number })}</a> : null}
      </nav>
    </article>
  );
}

interface BlockedProps extends Pick<Props, "procedure" | "step" | "of_case" | "href"> {}

// Each reason once, with the conditions it is about and the step that gives each. Why the engine may
// not be turned stands above, in the answer itself.
function Blocked({ procedure, step, of_case, href }: BlockedProps) {
  const missing = (step.missing ?? []).filter((one) => !(step.turns && one.why === step.turning?.because) && !one.why.startsWith("DO NOT TURN"));
  if (missing.length === 0) return null;
  const reasons = [...new Set(missing.map((one) => one.why))];
  return (
    <section class="blocked" aria-labelledby="blocked">
      <h3 id="blocked">{t(step.status === "to do" || step.status === "interrupted" ? "work_blocked" : "work_was_blocked")}</h3>
      {reasons.map((why) => {
        const all = missing.filter((one) => one.why === why);
        return (
          <div key={why}>
            <ul>{all.map((one) => <Lacks key={one.fact} fact={one.fact} giver={giver_of(procedure, step, one.fact)} decides={of_case && one.fact.endsWith(" decided") ? address(["enter", of_case, "part"], { for_step: step.name }) : undefined} href={href} />)}</ul>
            <p class="faint">
              {why ? <Told says={why} whole /> : null} {all.some((one) => one.by_rule) ? t("work_by_rule") : ""}{" "}
              {all.every((one) => one.may_override) ? "" : t("work_no_override")}
            </p>
          </div>
        );
      })}
    </section>
  );
}

function within_words(time: string, since: string | undefined): string {
  return since ? t("work_since", { time: said(time), step: since }) : said(time);
}

interface LacksProps {
  fact: string;
  giver: StepSaid | undefined;
  decides: string | undefined; // where a part is entered, when that is what is lacking
  href: Props["href"];
}

function Lacks({ fact, giver, decides, href }: LacksProps) {
  return (
    <li>
      <b>{fact_words(fact)}</b>
      {giver ? <a class="button" href={href(giver.name)}>{t("work_given_by", { n: giver.number, step: giver.name })}</a> : decides ? <a class="button" href={decides}>{t("work_gate_enter", { kind: kind_word("part") })}</a> : null}
    </li>
  );
}

function Facts({ step }: { step: StepSaid }) {
  const rows: [string, string][] = [
    [t("work_needs"), step.needs.map(fact_words).join("; ")],
    [t("work_gives"), step.gives.map(fact_words).join("; ")],
    [t("work_ends"), step.ends.map(fact_words).join("; ")],
  ];
  const said_rows = rows.filter(([, says]) => says !== "");
  if (said_rows.length === 0) return null;
  return (
    <details class="prints">
      <summary>{t("work_conditions")}</summary>
      <dl class="step_facts">
        {said_rows.map(([name, says]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{says}</dd>
          </div>
        ))}
      </dl>
    </details>
  );
}
