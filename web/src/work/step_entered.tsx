// SPDX-License-Identifier: Apache-2.0
// Beside the instruction: the fasteners ticked one by one, the gate, and what is pressed. What is
// ticked stays on the device until the step is entered.
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";

import { corrections } from "../case/entry_words";
import { go } from "../route";
import { said } from "../said/said";
import { enter } from "../state/outbox";
import { t } from "../texts";
import { traces_of } from "../trace/says";
import { TracesOf } from "../trace/traces_of";
import { type Begun, useBegun, useReturned } from "./begun";
import { Does } from "./does";
import { Gate } from "./gate";
import { Returned } from "./returned";
import type { FastenerSaid, StepSaid } from "./says";
import { type Done, is_gate_shown, is_over, type Shown, showing, step_entry, why_not_done } from "./steps";
import { TakeBack } from "./take_back";
import { type CardOfStep, type Instruments, TightenCard } from "./tighten_card";
import { all_ticked, is_begun, is_to_check, stretch_of, type Ticks, ticked } from "./torque";
import type { WorkOfCase } from "./use_work";

const kNone: ReadonlyMap<string, string> = new Map(); // of those in force none is corrected

interface Props {
  name: string;
  step: StepSaid;
  of: WorkOfCase;
}

export function StepEntered({ name, step, of }: Props) {
  const [shown, set_shown] = useState<Shown>({});
  const [begun, keep] = useBegun(name, step.name);
  const ticks = begun?.ticks ?? {};
  const cards = cards_of(step, of.work.told?.fasteners ?? []);
  const is_whole = is_all_ticked(cards, step, ticks);
  const is_in_the_middle = is_begun(ticks) && !is_whole;
  const [is_returned, set_answered] = useReturned(is_in_the_middle);
  const [is_breaking, set_breaking] = useState(false);
  const in_force = useInForce(of);
  // A blocked step is read, and not begun.
  const is_blocked = why_not_done(step, of.around) === "work_no_blocked" && !is_begun(ticks);
  const fresh = begun?.known && showing(step.gate, in_force).map((one) => one.id).filter((id) => !begun.known?.includes(id));
  const told: Shown = {
    ...shown,
    shown_by: shown.shown_by ?? fresh ?? [],
    fasteners: all_ticked(ticks, cards.map(({ card }) => ({ fastener: card.fastener, passes: card.steps.length }))),
  };

  const send = async (done: Done, left: Ticks = ticks) => {
    await enter(name, step_entry(step, done, told));
    keep(done.how === "interrupted" ? { ticks: left } : undefined);
    set_answered();
    set_breaking(false);
    go(["case", name, "work"], done.how === "interrupted" ? { step: step.name } : {});
  };
  // In the middle of a fastener it is asked first which one was begun: its angle is lost.
  const enter_step = async (done: Done) => (done.how === "interrupted" && is_in_the_middle ? set_breaking(true) : send(done));
  return (
    <>
      {of.around.waiting.has(step.name) ? (
        <p class="link row" role="status">{t("work_waits_here")} <TakeBack name={name} step={step.name} entry={undefined} /></p>
      ) : null}
      {is_returned || is_breaking ? (
        <Returned begun={begun as Begun} cards={cards} is_breaking={is_breaking} on_done={is_breaking ? () => void send({ how: "interrupted" }) : set_answered} on_interrupted={(left) => void send({ how: "interrupted" }, left)} />
      ) : (
        <Folded says={t("work_once_more")} is_folded={is_over(step)}>
          <Cards cards={cards} step={step} of_case={is_blocked ? undefined : name} instruments={of.view?.case.instruments ?? []} ticks={ticks} on_ticks={(next) => keep({ ticks: next, at: new Date().toISOString() })} />
          {of.view && cards.map(({ card }) => (
            <TracesOf key={card.fastener} name={name} fastener={card.fastener} count={card.count ?? undefined} traces={traces_of(in_force, kNone)} findings={of.judged.told} />
          ))}
          <Gate name={name} step={step} in_force={in_force} first={of.first} shown={told} on_shown={set_shown} on_leave={() => keep({ known: in_force.map((one) => one.id) })} />
          <Does step={step} around={of.around} is_shown={is_gate_shown(step, told, of.first)} is_ticked={is_whole} enter={enter_step} />
        </Folded>
      )}
    </>
  );
}

// Of a step that is over, all that enters it once more.
function Folded({ says, is_folded, children }: { says: string; is_folded: boolean; children: ComponentChildren }) {
  if (!is_folded) return <>{children}</>;
  return (
    <details class="once_more">
      <summary>{says}</summary>
      <div class="stack">{children}</div>
    </details>
  );
}

export function useInForce(of: WorkOfCase) {
  const entries = of.view?.case.entries ?? [];
  const corrected = corrections(entries);
  return entries.filter((entry) => !corrected.has(entry.id));
}

const folded = (name: string) => name.trim().replace(/\s+/g, " ").toLowerCase();

// As the program finds a fastener: the one of the step's bank, else one of no bank; never that of
// another bank. Of its passes those that the step writes.
export function card_of(step: StepSaid, { fastener, steps }: StepSaid["tightens"][number], fasteners: readonly FastenerSaid[]): FastenerSaid | undefined {
  const of_name = fasteners.filter((one) => folded(one.fastener) === folded(fastener));
  const card =
    of_name.find((one) => (one.bank ?? undefined) === step.bank) ?? of_name.find((one) => one.bank === null || step.bank === undefined);
  return card && { ...card, steps: stretch_of(card, steps) ?? card.steps };
}

export function cards_of(step: StepSaid, fasteners: readonly FastenerSaid[]): CardOfStep[] {
  return step.tightens.flatMap((one) => {
    const card = card_of(step, one, fasteners);
    return card ? [{ card, typed: one.steps }] : [];
  });
}

// What the step tightens and no card says cannot be ticked off.
export function is_all_ticked(cards: readonly CardOfStep[], step: StepSaid, ticks: Ticks): boolean {
  return cards.length === step.tightens.length && cards.every((one) => is_ticked(one, step, ticks));
}

// Of a bank's step some of the fasteners that the definition counts for the whole engine may be
// elsewhere: one is the least. A figure to be checked is never ticked off.
export function is_ticked({ card, typed }: CardOfStep, step: StepSaid, ticks: Ticks): boolean {
  if (is_to_check(card, typed)) return false;
  const is_all_here = card.count !== null && (step.bank === undefined || card.bank !== null);
  const least = is_all_here && card.count !== null ? card.count : Math.max(1, ticked(ticks, card.fastener, 0));
  return card.steps.every((_, pass) => ticked(ticks, card.fastener, pass) >= least);
}

interface CardsProps {
  cards: readonly CardOfStep[];
  step: StepSaid;
  of_case: string | undefined;
  instruments: Instruments;
  ticks: Ticks;
  on_ticks: (ticks: Ticks) => void;
}

export function Cards({ cards, step, ...rest }: CardsProps) {
  const without = step.tightens.filter((one) => !cards.some(({ card }) => folded(card.fastener) === folded(one.fastener)));
  return (
    <>
      {cards.map(({ card, typed }) => <TightenCard key={card.fastener} card={card} typed={typed} {...rest} />)}
      {without.map((one) => <p class="wrong" key={one.fastener}>{t("work_no_card", { what: said(one.fastener) })}</p>)}
    </>
  );
}
