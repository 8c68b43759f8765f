// SPDX-License-Identifier: Apache-2.0
// Work on an engine whose definition has no procedure: the fasteners of the definition as cards, and
// steps entered by the name that somebody gives them. Nothing is gated: nothing is known to gate by.
import { useState } from "preact/hooks";

import { Turning } from "../case/turning";
import { time_words } from "../parts/time_words";
import { address } from "../route";
import { said } from "../said/said";
import { enter, type NewEntry, waiting_of } from "../state/outbox";
import { t } from "../texts";
import { useBegun } from "./begun";
import type { FastenerSaid } from "./says";
import { useInForce } from "./step_entered";
import { TakeBack } from "./take_back";
import { type Instruments, TightenCard } from "./tighten_card";
import { all_ticked } from "./torque";
import type { WorkOfCase } from "./use_work";

export function FreeWork({ name, of }: { name: string; of: WorkOfCase }) {
  const fasteners = of.work.told?.fasteners ?? [];
  const instruments = of.view?.case.instruments ?? [];
  return (
    <article class="step_now free_work">
      <Turning name={name} judged={of.judged} />
      <FreeStep name={name} />
      <Steps name={name} of={of} />
      {fasteners.map((card) => <FreeFastener key={`${card.fastener} ${card.bank}`} name={name} card={card} instruments={instruments} />)}
    </article>
  );
}

export function NoProcedure({ drive }: { drive: string | null | undefined }) {
  return (
    <p class="caution row">
      <span>{t("work_free_none")}</span>
      {drive ? <a class="button" href={address(["drive", drive, "author"])}>{t("work_free_write")}</a> : null}
    </p>
  );
}

function FreeStep({ name }: { name: string }) {
  const [step, set_step] = useState("");
  const send = (late: boolean) => {
    if (!step.trim()) return;
    void enter(name, { kind: "step", step: step.trim(), ...(late ? { late: true } : {}) } as unknown as NewEntry);
    set_step("");
  };
  return (
    <form
      class="does_step"
      onSubmit={(event) => {
        event.preventDefault();
        send(false);
      }}
    >
      <label>
        {t("work_free_step")}
        <input value={step} autocomplete="off" onInput={(event) => set_step(event.currentTarget.value)} />
      </label>
      <button type="submit" class="main work_big" disabled={!step.trim()}>{t("work_done")}</button>
      <button type="button" class="quiet" disabled={!step.trim()} onClick={() => send(true)}>{t("work_late")}</button>
    </form>
  );
}

function Steps({ name, of }: { name: string; of: WorkOfCase }) {
  const done = useInForce(of).flatMap((one) => (one.kind === "step" ? [one] : [])).reverse();
  const waits = waiting_of(name).flatMap(({ entry, key, refused }) => (entry.kind === "step" && !refused ? [{ step: entry.step, key }] : []));
  const cards = of.work.told?.fasteners ?? [];
  if (done.length + waits.length === 0) return null;
  return (
    <section class="step_list">
      <h2>{t("work_free_done")}</h2>
      <ul>
        {waits.map((one) => (
          <li key={one.key} class="row">
            <b>{free_step_words(one.step, cards)}</b> <span>{t("work_is_waiting")}</span> <TakeBack name={name} step={one.step} entry={undefined} />
          </li>
        ))}
        {done.map((one) => (
          <li key={one.id} class="row">
            <b>{free_step_words(one.step, cards)}</b>{" "}
            <span>
              {[t(one.late ? "work_is_done_late" : one.interrupted ? "work_is_interrupted" : "work_is_done"), one.fasteners ? t("work_ticked", { n: one.fasteners }) : "", time_words(one.at)].filter(Boolean).join(", ")}
            </span>
            <TakeBack name={name} step={one.step} entry={one.id} />
          </li>
        ))}
      </ul>
    </section>
  );
}

// As the record keeps it, in one language.
const step_of = (card: FastenerSaid) => `Tighten ${card.fastener}${card.bank ? `, bank ${card.bank}` : ""}`;

// In the language of the page; what somebody typed stays as it is.
export function free_step_words(step: string, cards: readonly FastenerSaid[]): string {
  const card = cards.find((one) => step_of(one) === step);
  if (!card) return step;
  return t("work_free_tighten", { what: said(card.fastener) + (card.bank ? `, ${t("work_bank", { n: card.bank })}` : "") });
}

function FreeFastener({ name, card, instruments }: { name: string; card: FastenerSaid; instruments: Instruments }) {
  const step = step_of(card);
  const [begun, keep] = useBegun(name, step);
  const ticks = begun?.ticks ?? {};
  const n = all_ticked(ticks, [{ fastener: card.fastener, passes: card.steps.length }]);
  const is_done = n > 0 && (card.count === null || n >= card.count);
  const send = async (how: object) => {
    await enter(name, { kind: "step", step, ...(n > 0 ? { fasteners: n } : {}), ...how } as unknown as NewEntry);
    keep(undefined);
  };
  return (
    <div class="stack">
      <TightenCard card={card} typed={[]} of_case={name} instruments={instruments} ticks={ticks} on_ticks={(next) => keep({ ticks: next, at: new Date().toISOString() })} />
      <div class="row others">
        <button type="button" class={is_done ? "main work_big" : "work_big"} disabled={!is_done} onClick={() => void send({})}>{t("work_free_enter", { what: said(card.fastener) })}</button>
        {n > 0 || begun ? <button type="button" class="quiet" onClick={() => void send({ interrupted: true })}>{t("work_interrupted")}</button> : null}
      </div>
    </div>
  );
}
