// SPDX-License-Identifier: Apache-2.0
// Beside the instruction: the fasteners ticked one by one, the gate, and what is pressed. What is
// ticked stays on the device until the step is entered.
import { useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { corrections } from "../case/entry_words";
import { useDraft } from "../state/draft";
import { go } from "../route";
import { useAsked } from "../state/asked";
import { enter } from "../state/outbox";
import { t } from "../texts";
import { traces_of } from "../trace/says";
import { TracesOf } from "../trace/traces_of";
import { Does } from "./does";
import { Gate } from "./gate";
import type { FastenerSaid, StepSaid } from "./says";
import { type Done, is_gate_shown, type Shown, step_entry } from "./steps";
import { TightenCard } from "./tighten_card";
import { all_ticked, is_to_check, type Ticks, ticked } from "./torque";
import type { WorkOfCase } from "./use_work";

interface Props {
  name: string;
  step: StepSaid;
  of: WorkOfCase;
  drive: string;
}

export function StepEntered({ name, step, of, drive }: Props) {
  const [shown, set_shown] = useState<Shown>({});
  const [kept, keep] = useDraft<Ticks>(`ticks/${name}/${step.name}`);
  const ticks = kept ?? {};
  const cards = useCards(step, of.work.told?.fasteners ?? [], drive);
  const entries = of.view?.case.entries ?? [];
  const corrected = corrections(entries);
  const in_force = entries.filter((entry) => !corrected.has(entry.id));
  const told = { ...shown, fasteners: all_ticked(ticks, cards.map(({ card }) => ({ fastener: card.fastener, passes: card.steps.length }))) };

  const send = async (done: Done) => {
    await enter(name, step_entry(step, done, told));
    if (done.how !== "interrupted") keep(undefined);
    go(["case", name, "work"], done.how === "interrupted" ? { step: step.name } : {});
  };
  return (
    <>
      {of.around.waiting.has(step.name) ? <p class="link" role="status">{t("work_waits_here")}</p> : null}
      <Cards cards={cards} step={step} of_case={name} instruments={of.view?.case.instruments ?? []} ticks={ticks} on_ticks={keep} />
      {cards.map(({ card, count }) => (
        <TracesOf key={card.fastener} name={name} fastener={card.fastener} count={count} traces={traces_of(entries, corrected)} findings={of.judged.told} />
      ))}
      <Gate name={name} step={step} in_force={in_force} first={of.first} shown={shown} on_shown={set_shown} />
      <Does step={step} around={of.around} is_shown={is_gate_shown(step, told, of.first)} is_ticked={cards.every((one) => is_ticked(one, step, ticks))} enter={send} />
    </>
  );
}

export interface CardOfStep {
  card: FastenerSaid;
  count: number | undefined;
  typed: StepSaid["tightens"][number]["steps"];
}

// The count is of the definition; where the card does not say it, the drive does.
export function useCards(step: StepSaid, fasteners: readonly FastenerSaid[], drive: string): CardOfStep[] {
  const asked = useAsked<Schemas["drive"]>(step.tightens.length > 0 ? `/api/drives/${encodeURIComponent(drive)}` : undefined, "/");
  return step.tightens.flatMap(({ fastener, steps }) => {
    const of_name = fasteners.filter((one) => one.fastener === fastener);
    const card = of_name.find((one) => (one.bank ?? undefined) === step.bank) ?? of_name[0];
    if (!card) return [];
    const written = asked.told?.fasteners?.find((one) => one.name === fastener && ((card.bank ?? undefined) === undefined || one.bank === card.bank));
    return [{ card, count: card.count ?? written?.count, typed: steps }];
  });
}

// Of a bank's step some of the fasteners that the definition counts for the whole engine may be
// elsewhere: one is the least. A figure to be checked is never ticked off.
export function is_ticked({ card, count, typed }: CardOfStep, step: StepSaid, ticks: Ticks): boolean {
  if (is_to_check(card, typed)) return false;
  const is_all_here = count !== undefined && (step.bank === undefined || (card.bank ?? undefined) !== undefined);
  return card.steps.every((_, pass) => ticked(ticks, card.fastener, pass) >= (is_all_here ? count : 1));
}

interface CardsProps extends Pick<Parameters<typeof TightenCard>[0], "of_case" | "instruments" | "ticks" | "on_ticks"> {
  cards: readonly CardOfStep[];
  step: StepSaid;
}

export function Cards({ cards, step, ...rest }: CardsProps) {
  const without = step.tightens.filter((one) => !cards.some(({ card }) => card.fastener === one.fastener));
  return (
    <>
      {cards.map(({ card, count, typed }) => <TightenCard key={card.fastener} card={card} count={count} typed={typed} {...rest} />)}
      {without.map((one) => <p class="wrong" key={one.fastener}>{t("work_no_card", { what: one.fastener })}</p>)}
    </>
  );
}
