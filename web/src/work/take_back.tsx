// SPDX-License-Identifier: Apache-2.0
// A step entered by mistake: what waits here is dropped, what was sent is replaced by a note that
// says so. Nothing is ever erased.
import { SureButton } from "../door/sure_button";
import { kTakenBack } from "../case/entry_words";
import { drop, enter, type NewEntry, waiting_of } from "../state/outbox";
import { t } from "../texts";
import { here } from "../route";
import type { ProcedureSaid } from "./says";

interface Props {
  name: string;
  step: string;
  entry: string | undefined; // of the step, where the program has it
}

export function TakeBack({ name, step, entry }: Props) {
  const waits = waiting_of(name).filter((one) => one.entry.kind === "step" && one.entry.step === step).at(-1);
  if (!waits && !entry) return null;
  const take_back = async () => {
    if (waits) await drop(waits.key);
    else await enter(name, { kind: "note", words: `${kTakenBack} ${step}`, replaces: entry } as unknown as NewEntry);
  };
  return <SureButton says={t("work_take_back")} act={() => void take_back()} />;
}

interface LastProps {
  name: string;
  procedure: ProcedureSaid;
  shown: string; // the step on the page
  href: (step: string) => string;
}

// What was entered last, in sight on the step after it.
export function LastEntered({ name, procedure, shown, href }: LastProps) {
  const waits = waiting_of(name).filter((one) => one.entry.kind === "step" && !one.refused).at(-1);
  const last = waits?.entry.kind === "step" ? waits.entry.step : procedure.last_done;
  const step = procedure.steps.find((one) => one.name === last);
  if (!step || step.name === shown || here().query["step"] !== undefined) return null;
  return (
    <p class="last_step row">
      <span>
        {t("work_last")} <a href={href(step.name)}>{step.number}. {step.name}</a>
      </span>
      <TakeBack name={name} step={step.name} entry={step.entry} />
    </p>
  );
}
