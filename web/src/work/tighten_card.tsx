// SPDX-License-Identifier: Apache-2.0
// One fastener of a step: what is to be asked first, then pass by pass the target, the wrench, the
// angle, and every bolt ticked where it is.
import { useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { number_words, said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { AngleDrawing, shown_deg } from "./angle_drawing";
import { Bolts } from "./bolts";
import type { FastenerSaid, TargetSaid } from "./says";
import { Targets } from "./target";
import { as_typed, bolts_ticked, drawn_order, figures, is_other, is_to_check, next_bolt, setting, type Ticks, ticked, with_tick, without_bolt, wrench_named } from "./torque";
import { Wrench } from "./wrench";

export type Instruments = NonNullable<Schemas["case_view"]["case"]["instruments"]>;

export interface CardOfStep {
  card: FastenerSaid;
  typed: readonly TargetSaid[]; // as the step itself writes it
}

interface Props extends CardOfStep {
  of_case: string | undefined; // none: only to be read
  instruments: Instruments;
  ticks: Ticks;
  on_ticks: (ticks: Ticks) => void;
}

export function TightenCard(props: Props) {
  const { card, typed } = props;
  return (
    <section class="tighten" aria-label={t("work_tighten", { what: said(card.fastener) })}>
      <h3>
        {t("work_tighten", { what: said(card.fastener) })}
        {card.count ? ` × ${card.count}` : ""}
      </h3>
      {is_other(card, typed) ? <p class="asks"><b>{t("work_other_figures")}</b></p> : null}
      {card.asks.length > 0 ? (
        <div class="asks">
          <b>{t("work_ask_first")}</b>
          <ul>{card.asks.map((ask) => <li key={ask}><Told says={ask} whole /></li>)}</ul>
        </div>
      ) : null}
      {is_to_check(card, typed) ? (
        <>
          <p class="large">{typed.length > 0 ? typed.map(as_typed).join("; ") : card.steps.map((one) => one.target).join("; ")}</p>
          <About card={card} />
        </>
      ) : (
        <Passes {...props} />
      )}
      {card.clamp_load ? <p class="faint"><Told says={card.clamp_load} whole /></p> : null}
    </section>
  );
}

function About({ card }: { card: FastenerSaid }) {
  return (
    <>
      <p class={card.take_new ? "fit_new" : ""}>
        {card.take_new ? <b>{t("work_fit_new")}</b> : null} <Told says={card.use} whole />
      </p>
      {card.cautions.length > 0 ? (
        <ul class="caution card_cautions">{card.cautions.map((says) => <li key={says}><Told says={says} whole /></li>)}</ul>
      ) : null}
    </>
  );
}

function Passes(props: Props) {
  const { card, ticks } = props;
  const count = card.count ?? undefined;
  const first = card.steps.findIndex((_, i) => count === undefined || ticked(ticks, card.fastener, i) < count);
  const [chosen, choose] = useState<number | undefined>();
  const at = chosen ?? (first < 0 ? card.steps.length - 1 : first);
  const pass = card.steps[at];
  if (!pass) return null;
  return (
    <>
      {card.steps.length > 1 ? (
        <div class="row passes" role="group" aria-label={t("work_passes")}>
          {card.steps.map((one, i) => (
            <button key={i} type="button" aria-pressed={i === at} onClick={() => choose(i)}>
              {t("work_pass", { n: i + 1, of: card.steps.length })} <b>{short_target(one)}</b>
            </button>
          ))}
        </div>
      ) : null}
      <Target {...props} pass={pass} />
      <About card={card} />
      <Ticking key={at} {...props} at={at} on_done={() => choose(undefined)} on_undone={() => choose(at)} />
    </>
  );
}

function short_target(pass: FastenerSaid["steps"][number]): string {
  const torque = figures(pass.target)[0];
  const words = torque ? `${number_words(torque.number)} ${torque.unit}` : "";
  return [words, pass.angle_deg === null ? "" : `+ ${shown_deg(pass.angle_deg)}°`].filter(Boolean).join(" ");
}

function Target({ pass, of_case, instruments }: Props & { pass: FastenerSaid["steps"][number] }) {
  const all = figures(pass.target);
  const named = wrench_named(pass.wrench, instruments);
  const set = setting(all, named?.range);
  const wrench = pass.torque_Nm === null ? null : <Wrench pass={pass} of_case={of_case} named={named} set={set} />;
  return (
    <div class="pass_now">
      <div class="stack">
        {all.length > 0 ? <Targets all={all} set={set} /> : null}
        {pass.angle_deg === null ? null : (
          <p class="angle_number"><b>{shown_deg(pass.angle_deg)}°</b> {t("work_angle_further")}</p>
        )}
        {all.length === 0 && pass.angle_deg === null ? <p class="large"><Told says={pass.target} /></p> : null}
        {pass.angle_deg === null ? null : wrench}
      </div>
      {pass.angle_deg === null ? wrench : <AngleDrawing deg={pass.angle_deg} />}
    </div>
  );
}

type TickingProps = Props & { at: number; on_done: () => void; on_undone: () => void };

function Ticking({ card, of_case, ticks, on_ticks, at, on_done, on_undone }: TickingProps) {
  const [says, say] = useState("");
  const count = card.count ?? undefined;
  const order = drawn_order(card.order);
  const done = bolts_ticked(ticks, card.fastener, at);
  const next = next_bolt(done, order, count);
  const turn_of = (bolt: number) => order?.bolts.find((one) => one.bolt === bolt)?.turn ?? bolt;
  const is_early = at > 0 && next !== undefined && !bolts_ticked(ticks, card.fastener, at - 1).includes(next);
  const last = done.at(-1);
  const tick = (bolt: number) => {
    if (is_early) return say(t("work_pass_before", { n: at }));
    if (order && bolt !== next && next !== undefined) return say(t("work_order_wrong", { n: turn_of(next) }));
    say("");
    on_done();
    on_ticks(with_tick(ticks, card.fastener, at, bolt));
  };
  const untick = (bolt: number) => {
    if (order && bolt !== last && last !== undefined) return say(t("work_order_undo", { n: turn_of(last) }));
    say("");
    on_undone();
    on_ticks(without_bolt(ticks, card.fastener, bolt, at));
  };
  const n = order?.bolts.length ?? count;
  return (
    <>
      {n !== undefined && n > 1 ? (
        <Bolts order={order} count={n} done={done} next={is_early ? undefined : next} on_tap={of_case === undefined ? undefined : (bolt) => (done.includes(bolt) ? untick(bolt) : tick(bolt))} />
      ) : null}
      {of_case ? (
        <div class="ticking">
          <p class="large" role="status">{count === undefined ? t("work_ticked", { n: done.length }) : t("work_ticked_of", { n: done.length, of: count })}</p>
          <button type="button" class={next === undefined ? "work_big" : "main work_big"} disabled={next === undefined} onClick={() => next !== undefined && tick(next)}>
            {next === undefined ? t("work_tick_all") : order ? t("work_tick_bolt", { n: turn_of(next), bolt: next }) : t("work_tick", { n: next })}
          </button>
          <button type="button" class="work_big" disabled={last === undefined} onClick={() => last !== undefined && untick(last)}>{t("work_untick")}</button>
          {says ? <p class="wrong" role="alert">{says}</p> : null}
        </div>
      ) : null}
      {card.order ? <p class="faint"><Told says={card.order} whole /></p> : null}
    </>
  );
}
