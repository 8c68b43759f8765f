// SPDX-License-Identifier: Apache-2.0
// One fastener of a step: what is to be asked first, then pass by pass the target, the wrench, the
// angle, the order, and a tick for each.
import { useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { address } from "../route";
import { number_words } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { AngleDrawing } from "./angle_drawing";
import { OrderDrawing } from "./order_drawing";
import type { FastenerSaid, TargetSaid } from "./says";
import { spelled, Targets } from "./target";
import { drawn_order, figures, is_other, is_to_check, setting, type Ticks, ticked, with_tick, wrench_named } from "./torque";

export type Instruments = NonNullable<Schemas["case_view"]["case"]["instruments"]>;

interface Props {
  card: FastenerSaid;
  typed: TargetSaid[]; // as the step itself writes it
  count: number | undefined;
  of_case: string | undefined; // none: only to be read
  instruments: Instruments;
  ticks: Ticks;
  on_ticks: (ticks: Ticks) => void;
}

export function TightenCard(props: Props) {
  const { card, typed } = props;
  const is_check = is_to_check(card, typed);
  return (
    <section class="tighten" aria-label={t("work_tighten", { what: card.fastener })}>
      <h3>{t("work_tighten", { what: card.fastener })}</h3>
      {is_other(card, typed) ? <p class="asks"><b>{t("work_other_figures")}</b></p> : null}
      {card.asks.length > 0 ? (
        <div class="asks">
          <b>{t("work_ask_first")}</b>
          <ul>{card.asks.map((ask) => <li key={ask}><Told says={ask} whole /></li>)}</ul>
        </div>
      ) : null}
      <p class={card.take_new ? "fit_new" : ""}>
        {card.take_new ? <b>{t("work_fit_new")}</b> : null} <Told says={card.use} whole />
      </p>
      {card.cautions.map((says) => <p class="caution" key={says}><Told says={says} whole /></p>)}
      {is_check ? (
        <p class="large">{typed.map((one) => one.torque?.typed ?? one.angle?.typed ?? "").join(", ")}</p>
      ) : (
        <Passes {...props} />
      )}
      {card.clamp_load ? <p class="faint"><Told says={card.clamp_load} whole /></p> : null}
    </section>
  );
}

function Passes({ card, count, of_case, instruments, ticks, on_ticks }: Props) {
  const first = card.steps.findIndex((_, i) => count === undefined || ticked(ticks, card.fastener, i) < count);
  const [chosen, choose] = useState<number | undefined>();
  const at = chosen ?? (first < 0 ? card.steps.length - 1 : first);
  const pass = card.steps[at];
  if (!pass) return null;
  const done = ticked(ticks, card.fastener, at);
  const order = drawn_order(card.order);
  const all = figures(pass.target);
  const tick = (by: 1 | -1) => {
    choose(by < 0 ? at : undefined);
    on_ticks(with_tick(ticks, card.fastener, at, by, count));
  };
  return (
    <>
      {card.steps.length > 1 ? (
        <div class="row passes" role="group" aria-label={t("work_passes")}>
          {card.steps.map((_, i) => (
            <button key={i} type="button" aria-pressed={i === at} onClick={() => choose(i)}>
              {t("work_pass", { n: i + 1, of: card.steps.length })}
            </button>
          ))}
        </div>
      ) : null}
      <div class="pass_now">
        <div class="stack">
          {all.length > 0 ? <Targets all={all} /> : null}
          {pass.torque_Nm === null ? null : <Wrench pass={pass} of_case={of_case} instruments={instruments} />}
          {all.length === 0 ? <p class="large"><Told says={pass.target} /></p> : null}
        </div>
        {pass.angle_deg === null ? null : <AngleDrawing deg={pass.angle_deg} />}
      </div>
      {card.order ? <p><Told says={card.order} whole /></p> : null}
      {order && order.shape !== "list" ? <OrderDrawing order={order} done={done} /> : null}
      {of_case ? (
        <div class="ticking">
          <button type="button" class="main work_big" disabled={count !== undefined && done >= count} onClick={() => tick(1)}>
            {tick_words(done, count, order?.bolts[done]?.bolt)}
          </button>
          <button type="button" class="work_big" disabled={done === 0} onClick={() => tick(-1)}>{t("work_untick")}</button>
          <p class="large" role="status">{count === undefined ? t("work_ticked", { n: done }) : t("work_ticked_of", { n: done, of: count })}</p>
        </div>
      ) : null}
    </>
  );
}

function tick_words(done: number, count: number | undefined, bolt: number | undefined): string {
  if (count !== undefined && done >= count) return t("work_tick_all");
  const n = done + 1;
  return bolt === undefined ? t("work_tick", { n }) : t("work_tick_bolt", { n, bolt });
}

type WrenchProps = { pass: FastenerSaid["steps"][number] } & Pick<Props, "of_case" | "instruments">;

function Wrench({ pass, of_case, instruments }: WrenchProps) {
  const named = wrench_named(pass.wrench, instruments);
  const set = setting(figures(pass.target), named?.range);
  return (
    <div class="wrench">
      <h4>{t("work_wrench")}</h4>
      {pass.wrench ? (
        <p class={pass.wrench.startsWith("no wrench") ? "wrong" : "wrench_take"}><Told says={pass.wrench} whole /></p>
      ) : (
        <p>
          {t("work_wrench_none")}{" "}
          {of_case ? <a href={address(["about", of_case])}>{t("work_wrench_enter")}</a> : null}
        </p>
      )}
      {set ? <p><b>{t("work_wrench_set", { number: number_words(set.number), unit: `${set.unit} (${spelled(set)})` })}</b></p> : null}
      {pass.torque_Nm !== null && pass.wrench.startsWith("take") ? <p>{t("work_wrench_read")}</p> : null}
      {pass.no_wrench.length > 0 ? (
        <details class="prints">
          <summary>{t("work_wrench_not", { n: pass.no_wrench.length })}</summary>
          <ul>{pass.no_wrench.map((one) => <li key={one}><Told says={one} /></li>)}</ul>
        </details>
      ) : null}
    </div>
  );
}
