// SPDX-License-Identifier: Apache-2.0
// Every step of the procedure, stage by stage, each as a link of the chain with its word.
import { VerdictLink } from "../parts/link";
import { t } from "../texts";
import type { ProcedureSaid, StepSaid } from "./says";
import { standing } from "./steps";
import { stage_words } from "./words";

interface Props {
  procedure: ProcedureSaid;
  at: string | undefined; // the step that is shown
  waiting: ReadonlyMap<string, unknown>;
  href: (step: string) => string;
}

export function StepList({ procedure, at, waiting, href }: Props) {
  const stages: { stage: string | undefined; steps: StepSaid[] }[] = [];
  for (const step of procedure.steps) {
    const last = stages.at(-1);
    if (last && (step.stage === undefined || step.stage === last.stage)) last.steps.push(step);
    else stages.push({ stage: step.stage, steps: [step] });
  }
  return (
    <nav class="step_list" aria-label={t("work_all")}>
      {stages.map(({ stage, steps }) => (
        <section key={`${stage} ${steps[0]?.number}`}>
          {stage ? <h2>{stage_words(stage)}</h2> : null}
          <ol start={steps[0]?.number}>
            {steps.map((step) => (
              <li key={step.name}>
                <a href={href(step.name)} aria-current={step.name === at ? "step" : undefined}>
                  <span class="step_number">{step.number}</span>
                  <span>{step.name}</span>
                  {is_told(step, procedure, waiting) ? <Standing step={step} waits={waiting.has(step.name)} /> : null}
                </a>
              </li>
            ))}
          </ol>
        </section>
      ))}
    </nav>
  );
}

// What is merely not its turn yet says nothing: 40 times "blocked" hides the one that is next.
function is_told(step: StepSaid, procedure: ProcedureSaid, waiting: ReadonlyMap<string, unknown>): boolean {
  if (step.status === undefined) return false;
  return step.status !== "to do" || waiting.has(step.name) || (procedure.next?.includes(step.name) ?? false);
}

export function Standing({ step, waits }: { step: StepSaid; waits: boolean }) {
  const at = standing(step, waits);
  return <VerdictLink verdict={at.verdict} says={t(at.says)} />;
}
