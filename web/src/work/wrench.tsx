// SPDX-License-Identifier: Apache-2.0
// The wrench to take and what it is set to, in the unit of its own scale.
import { address } from "../route";
import { number_words } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import type { FastenerSaid } from "./says";
import { spelled } from "./target";
import type { Figure } from "./torque";

interface Props {
  pass: FastenerSaid["steps"][number];
  of_case: string | undefined;
  named: { name: string; range?: string } | undefined; // out of the instruments of the case
  set: Figure | undefined;
}

export function Wrench({ pass, of_case, named, set }: Props) {
  if (!of_case && !pass.wrench) return null; // of a definition alone there is no list to take from
  const remark = named ? pass.wrench.slice(`take ${named.name}`.length).replace(/^ \(|\)$/g, "") : "";
  return (
    <div class="wrench">
      <h4>{t("work_wrench")}</h4>
      {named ? (
        <>
          <p class="wrench_take">{named.name}{named.range ? <small> {number_words(named.range)}</small> : null}</p>
          {set ? (
            <p class="wrench_set">
              {t("work_wrench_set_to")} <b>{number_words(set.number)}</b> {spelled(set)} <small>{set.unit}</small>
            </p>
          ) : null}
          {remark ? <p><Told says={remark} whole /></p> : null}
          <p class="faint">{t("work_wrench_read")}</p>
        </>
      ) : pass.wrench ? (
        <p class="wrong"><Told says={pass.wrench} whole /></p>
      ) : (
        <p>
          {t("work_wrench_none")}{" "}
          {of_case ? <a href={address(["about", of_case])}>{t("work_wrench_enter")}</a> : null}
        </p>
      )}
      {pass.no_wrench.length > 0 ? (
        <details class="prints">
          <summary>{t("work_wrench_not", { n: pass.no_wrench.length })}</summary>
          <ul>{pass.no_wrench.map((one) => <li key={one}><Told says={one} /></li>)}</ul>
        </details>
      ) : null}
    </div>
  );
}
