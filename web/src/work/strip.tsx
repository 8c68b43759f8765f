// SPDX-License-Identifier: Apache-2.0
// Where was I? What was interrupted, and the state of the engine, in sight at every step.
import { address } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import type { ProcedureSaid } from "./says";
import { rest_of_state, type Told as Fact, watched } from "./state";
import { fact_words, value_word } from "./words";

interface Props {
  name: string;
  procedure: ProcedureSaid;
  withheld: string; // why nothing may be read from it that allows anything; empty: in force
}

export function Strip({ name, procedure, withheld }: Props) {
  const rest = rest_of_state(procedure);
  return (
    <section class="strip" aria-label={t("work_where")}>
      {procedure.interrupted ? (
        <p class="strip_interrupted">
          <a href={address(["case", name, "work"], { step: procedure.interrupted.step })}>
            <b>{t("work_interrupted_at", { step: said(procedure.interrupted.step) })}</b>
          </a>{" "}
          <Told says={procedure.interrupted.words} whole />
        </p>
      ) : null}
      {withheld ? <p class="wrong" role="status">{withheld}</p> : null}
      <dl>
        {watched(procedure).map((one) => (
          <div key={one.says}>
            <dt>{t(one.says)}</dt>
            <dd>{one.told.map((fact) => <Value key={fact.bank} fact={fact} />)}</dd>
          </div>
        ))}
      </dl>
      {rest.length > 0 ? (
        <details>
          <summary>{t("work_state_more", { n: rest.length })}</summary>
          <p>{rest.map(fact_words).join("; ")}</p>
        </details>
      ) : null}
    </section>
  );
}

function Value({ fact }: { fact: Fact }) {
  return (
    <span class={fact.fact === "" ? "unknown" : ""}>
      {fact.bank > 0 ? `${t("work_bank", { n: fact.bank })} ` : ""}
      <b>{fact.fact === "" ? t("work_not_known") : value_word(fact.fact)}</b>
    </span>
  );
}
