// SPDX-License-Identifier: Apache-2.0
// Where was I? What was interrupted, and the state of the engine, in sight at every step.
import { address } from "../route";
import { t } from "../texts";
import type { ProcedureSaid } from "./says";
import { type Told as Fact, watched } from "./state";
import { value_word } from "./words";

interface Props {
  name: string;
  procedure: ProcedureSaid;
  withheld: string; // why nothing may be read from it that allows anything; empty: in force
}

export function Strip({ name, procedure, withheld }: Props) {
  return (
    <section class="strip" aria-label={t("work_where")}>
      {procedure.interrupted ? (
        <p class="strip_interrupted">
          <a href={address(["case", name, "work"], { step: procedure.interrupted.step })}>
            <b>{t("work_interrupted_at", { step: procedure.interrupted.step })}</b>
          </a>
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
