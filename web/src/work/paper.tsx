// SPDX-License-Identifier: Apache-2.0
// The whole procedure as it is printed: the same cautions and gates, with boxes for initials and time.
import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { kGateSays } from "./gate";
import type { FastenerSaid, ProcedureSaid, StepSaid } from "./says";
import { Standing } from "./step_list";
import { card_of } from "./step_entered";
import { as_typed, is_other, is_to_check } from "./torque";
import { fact_words, stage_words } from "./words";

interface Props {
  procedure: ProcedureSaid;
  fasteners: readonly FastenerSaid[];
  withheld: string | undefined; // why what stands done here may be old
}

export function Paper({ procedure, fasteners, withheld }: Props) {
  return (
    <section class="paper" aria-label={t("work_paper")}>
      <h2>{t("work_paper")}</h2>
      <p class="caution">{t("work_paper_turning")}</p>
      {withheld ? <p class="caution">{withheld}</p> : null}
      {(procedure.open ?? []).map((one) => (
        <p class="caution" key={`${one.entry} ${one.gate}`}>{t("work_paper_open")} <Told says={one.words} whole /></p>
      ))}
      <ol>
        {procedure.steps.map((step) => (
          <li key={step.name} class="paper_step">
            <Step step={step} fasteners={fasteners} />
            <Boxes step={step} />
          </li>
        ))}
      </ol>
    </section>
  );
}

function Step({ step, fasteners }: { step: StepSaid; fasteners: readonly FastenerSaid[] }) {
  return (
    <div>
      <h3>
        {step.number}. {step.name}{" "}
        <small>{[stage_words(step.stage), step.bank === undefined ? "" : t("work_bank", { n: step.bank })].filter(Boolean).join(", ")}</small>
      </h3>
      {step.status && step.status !== "to do" ? <p><Standing step={step} waits={false} /> {step.entry}</p> : null}
      {step.cautions.map((says) => <p class="caution" key={says}>{says}</p>)}
      {step.turns ? <p class="caution">{t("work_paper_turning")}</p> : null}
      <p>{step.what.trim()}</p>
      {step.tightens.map((one) => <Tightens key={one.fastener} says={one} card={card_of(step, one, fasteners)} />)}
      {step.needs.length > 0 ? <p>{t("work_needs")}: {step.needs.map(fact_words).join("; ")}</p> : null}
    </div>
  );
}

function Tightens({ says, card }: { says: StepSaid["tightens"][number]; card: FastenerSaid | undefined }) {
  const typed = !card || (is_to_check(card, says.steps) && says.steps.length > 0) ? says.steps.map(as_typed) : undefined;
  return (
    <div class="paper_tightens">
      <b><Told says={says.fastener} /></b>{card?.take_new ? `, ${t("work_fit_new")}` : ""}
      {card ? null : <p class="wrong">{t("work_no_card", { what: said(says.fastener) })}</p>}
      {card && is_other(card, says.steps) ? <p class="caution"><b>{t("work_other_figures")}</b></p> : null}
      {card?.asks.map((ask) => <p key={ask}>{t("work_ask_first")}: <Told says={ask} whole /></p>)}
      <ol>
        {typed?.map((one, i) => <li key={i}>{one}</li>) ?? card?.steps.map((one, i) => <li key={i}><Told says={one.target} /></li>)}
      </ol>
      {card?.order ? <p><Told says={card.order} whole /></p> : null}
    </div>
  );
}

function Boxes({ step }: { step: StepSaid }) {
  return (
    <table class="boxes">
      <tbody>
        <tr>
          <th scope="row">{t("work_paper_done")}</th>
          <td><small>{t("work_paper_initials")}</small></td>
          <td><small>{t("work_paper_time")}</small></td>
        </tr>
        {step.gate ? (
          <tr>
            <th scope="row">{t("work_gate")}: {t(kGateSays[step.gate])}</th>
            <td><small>{t("work_paper_initials")}</small></td>
            <td><small>{t("work_paper_time")}</small></td>
          </tr>
        ) : null}
      </tbody>
    </table>
  );
}
