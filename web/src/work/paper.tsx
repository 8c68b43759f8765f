// SPDX-License-Identifier: Apache-2.0
// The whole procedure as it is printed: the same cautions and gates, with boxes for initials and time.
import { Told } from "../said/told";
import { t } from "../texts";
import { kGateSays } from "./gate";
import type { FastenerSaid, ProcedureSaid, StepSaid } from "./says";
import { Standing } from "./step_list";
import { is_to_check } from "./torque";
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
      {step.tightens.map((one) => {
        const card = fasteners.find((other) => other.fastener === one.fastener);
        return <Tightens key={one.fastener} says={one} card={card} />;
      })}
      {step.needs.length > 0 ? <p>{t("work_needs")}: {step.needs.map(fact_words).join("; ")}</p> : null}
    </div>
  );
}

function Tightens({ says, card }: { says: StepSaid["tightens"][number]; card: FastenerSaid | undefined }) {
  const is_typed = !card || is_to_check(card, says.steps);
  return (
    <div class="paper_tightens">
      <b><Told says={says.fastener} /></b>{card?.take_new ? `, ${t("work_fit_new")}` : ""}
      {card?.asks.map((ask) => <p key={ask}>{t("work_ask_first")}: <Told says={ask} whole /></p>)}
      <ol>
        {says.steps.map((one, i) => (
          <li key={i}>{is_typed ? (one.torque?.typed ?? one.angle?.typed) : <Told says={card.steps[i]?.target ?? ""} />}</li>
        ))}
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
