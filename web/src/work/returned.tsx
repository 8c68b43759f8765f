// SPDX-License-Identifier: Apache-2.0
// The phone rang in the middle of a tightening: was the bolt done, or interrupted? What follows is
// said before it is entered.
import { time_words } from "../parts/time_words";
import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import type { Begun } from "./begun";
import type { CardOfStep } from "./tighten_card";
import { drawn_order, next_bolt, bolts_ticked, type Ticks, ticked, without_bolt } from "./torque";

interface Props {
  begun: Begun;
  cards: readonly CardOfStep[];
  is_breaking: boolean; // it is being interrupted now
  on_done: () => void; // nothing was under way
  on_interrupted: (left: Ticks) => void;
}

export function Returned({ begun, cards, is_breaking, on_done, on_interrupted }: Props) {
  const at = cards.map((one) => middle_of(one, begun.ticks)).find((one) => one !== undefined);
  if (!at) return null;
  const { card, pass, bolt, turn } = at;
  const n = ticked(begun.ticks, card.fastener, pass);
  const has_angle = card.steps.some((one) => one.angle_deg !== null);
  return (
    <section class="returned" aria-labelledby="returned" role="alert">
      <h3 id="returned">{t(is_breaking ? "work_break" : "work_back")}</h3>
      <p>{t("work_back_at", { what: said(card.fastener), pass: pass + 1, n, of: card.count ?? "?", time: time_words(begun.at) })}</p>
      <button type="button" class={is_breaking ? "work_big" : "main work_big"} onClick={on_done}>{is_breaking ? t("work_break_none", { n }) : n > 0 ? t("work_back_done", { n }) : t("work_back_done_none")}</button>
      <button type="button" class={is_breaking ? "main work_big" : "work_big"} onClick={() => on_interrupted(has_angle ? without_bolt(begun.ticks, card.fastener, bolt) : begun.ticks)}>
        {t("work_back_broken", { n: turn })}
      </button>
      <div>
        <b>{t("work_back_follows")}</b>
        <ul>
          <li>{t("work_late_help")}</li>
          {card.cautions.filter((says) => /^an angle lost/.test(says)).map((says) => <li key={says}><Told says={says} whole /></li>)}
          {has_angle ? <li>{t("work_back_first_pass", { n: turn })}</li> : <li>{t("work_back_again", { n: turn })}</li>}
        </ul>
      </div>
    </section>
  );
}

// The pass that is not through, of the first fastener that is not.
function middle_of({ card }: CardOfStep, ticks: Ticks) {
  const order = drawn_order(card.order);
  for (let pass = 0; pass < card.steps.length; ++pass) {
    const bolt = next_bolt(bolts_ticked(ticks, card.fastener, pass), order, card.count ?? undefined);
    if (bolt !== undefined) return { card, pass, bolt, turn: order?.bolts.find((one) => one.bolt === bolt)?.turn ?? bolt };
  }
  return undefined;
}
