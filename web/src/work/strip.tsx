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
  const all = watched(procedure);
  const is_of_one = all.every((one) => one.told.length === 1); // no bank to be named
  return (
    <section class="strip" aria-label={t("work_where")}>
      {procedure.interrupted ? (
        <p class="strip_interrupted">
          <a href={address(["case", name, "work"], { step: procedure.interrupted.step })}>
            <b>{t("work_interrupted_at", { step: procedure.interrupted.step })}</b>
          </a>
        </p>
      ) : null}
      {procedure.state?.includes("something lost") ? <p class="wrong">{t("work_lost")}</p> : null}
      {withheld ? <p class="wrong" role="status">{withheld}</p> : null}
      <dl class={is_of_one ? "of_one" : ""}>
        {all.map((one) => (
          <div key={one.says}>
            <dt>{t(one.says)}</dt>
            <dd>{one.told.map((fact) => <Value key={fact.bank} fact={fact} is_of_one={is_of_one} />)}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function Value({ fact, is_of_one }: { fact: Fact; is_of_one: boolean }) {
  return (
    <span class={fact.fact === "" ? "unknown" : ""}>
      {fact.bank > 0 && !is_of_one ? `${t("work_bank", { n: fact.bank })} ` : ""}
      <b>{fact.fact === "" ? t("work_not_known") : value_word(fact.fact)}</b>
    </span>
  );
}
