// SPDX-License-Identifier: Apache-2.0
// The sets of parts: what each holds, what it does not hold, what is used once. And the fasteners
// that are fitted new, which a set may not hold.
import type { ComponentChildren } from "preact";

import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import type { FastenerSaid, PartSaid } from "./says";

interface Props {
  parts: readonly PartSaid[];
  fasteners: readonly FastenerSaid[];
}

export function PartsView({ parts, fasteners }: Props) {
  const fresh = fasteners.filter((one) => one.take_new);
  return (
    <div class="stack">
      <p>{t("work_parts_help")}</p>
      {parts.length === 0 ? <p>{t("work_parts_none")}</p> : null}
      <div class="sets">{parts.map((one) => <Set key={`${one.name} ${one.bank}`} part={one} />)}</div>
      {fresh.length > 0 ? (
        <section class="part_set">
          <h2>{t("work_parts_bolts")}</h2>
          <ul>
            {fresh.map((one) => (
              <li key={`${one.fastener} ${one.bank}`}>
                <b>{said(one.fastener)}</b>
                {one.bank ? `, ${t("work_bank", { n: one.bank })}` : ""}
                {one.count ? `, ${t("work_parts_count", { n: one.count })}` : ""}: <Told says={one.use} />
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </div>
  );
}

function Set({ part }: { part: PartSaid }) {
  return (
    <section class="part_set">
      <h2>
        <Told says={part.name} />
      </h2>
      <p class="row">
        <b>{part.bank === undefined ? t("work_parts_every_bank") : t("work_bank", { n: part.bank })}</b>
        {part.edition ? <span>{t("work_parts_edition", { what: part.edition })}</span> : null}
      </p>
      {part.single_use ? <p class="fit_new"><b>{t("work_fit_new")}</b></p> : null}
      <Items says={t("work_parts_holds")} all={part.holds ?? []} />
      <Items says={t("work_parts_lacks")} all={part.does_not_hold ?? []} is_missing />
      {part.note ? <p><Told says={part.note} whole /></p> : null}
    </section>
  );
}

function Items({ says, all, is_missing = false }: { says: string; all: readonly string[]; is_missing?: boolean }): ComponentChildren {
  if (all.length === 0) return null;
  return (
    <>
      <h3>{says}</h3>
      <ul class={is_missing ? "lacks" : "holds"}>{all.map((one) => <li key={one}><Told says={one} /></li>)}</ul>
    </>
  );
}
