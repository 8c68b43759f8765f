// SPDX-License-Identifier: Apache-2.0
import { useState } from "preact/hooks";

import { VerdictLink } from "../parts/link";
import { address } from "../route";
import { number_words, said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { FindingValue } from "./finding_value";
import { enter_address } from "./judged";
import type { Finding } from "./stages";

// One finding: verdict, what and where, value against limit. The whole reason on a tap; a caution
// is never hidden.
export function FindingRow({ name, finding }: { name: string; finding: Finding }) {
  const [is_open, open] = useState(false);
  return (
    <li class={`finding ${finding.verdict}`}>
      <button
        class="quiet"
        aria-expanded={is_open}
        onClick={() => open(!is_open)}
        title={t("finding_why")}
      >
        <VerdictLink verdict={finding.verdict} />
        <span class="what">
          <b><Told says={finding.check.replaceAll("-", " ")} /></b> <Told says={finding.subject} />
          {finding.open_because ? (
            <small>{t("open_because", { why: said(finding.open_because) })}</small>
          ) : null}
        </span>
        <span class="more" aria-hidden="true" />
      </button>
      {finding.value ? <FindingValue finding={finding} /> : <p><Told says={finding.why} whole /></p>}
      {finding.cautions.map((says) => (
        <p class="caution" key={says}>
          <Told says={says} />
        </p>
      ))}
      {finding.check === "torque-trace" ? <SeeTrace name={name} ids={finding.evidence} /> : null}
      {is_open ? <Reason name={name} finding={finding} /> : null}
    </li>
  );
}

function SeeTrace({ name, ids }: { name: string; ids: string[] }) {
  return (
    <p class="evidence">
      {ids.map((id) => <a key={id} href={address(["case", name, "trace", id])}>{t("tr_see")}</a>)}
    </p>
  );
}

function Reason({ name, finding }: { name: string; finding: Finding }) {
  const enter = enter_address(name, finding.check, finding.subject);
  return (
    <div class="reason">
      {finding.value ? <p><Told says={finding.why} whole /></p> : null}
      <List name={t("finding_follows")} says={finding.follows} />
      <List name={t("finding_next")} says={finding.next} />
      <Evidence name={name} ids={finding.evidence} />
      <Limit finding={finding} />
      <List
        name={t("finding_variants")}
        says={(finding.variants ?? []).map((one) => `${one.drive}: ${said(one.verdict)}`)}
      />
      <List name={t("finding_budget")} says={finding.budget} />
      <List name={t("finding_sources")} says={finding.sources} />
      {finding.forecast ? null : (
        <a class="button" href={address(enter.path, enter.query)}>
          {t("finding_enter")}
        </a>
      )}
    </div>
  );
}

function Evidence({ name, ids }: { name: string; ids: string[] }) {
  if (ids.length === 0) return null;
  return (
    <p class="evidence">
      <b>{t("finding_evidence")}</b>
      {ids.map((id) => (
        <a key={id} href={address(["case", name, "history"], { entry: id })}>
          {id}
        </a>
      ))}
    </p>
  );
}

function Limit({ finding }: { finding: Finding }) {
  const { limit, probability_within } = finding;
  if (!limit) return null;
  return (
    <p>
      <b>{t("finding_from")}</b> <Told says={limit.origin ?? ""} />: {limit.source},{" "}
      {limit.checked_by ? t("finding_checked", { who: limit.checked_by }) : t("finding_unchecked")}
      {probability_within === null ? "" : `; ${t("finding_within", { p: rounded(probability_within) })}`}
    </p>
  );
}

// Never rounded to certainty.
export function rounded(p: number): string {
  if (p > 0.999) return number_words("> 0.999");
  return p < 0.001 ? number_words("< 0.001") : number_words(p.toPrecision(2));
}

function List({ name, says }: { name: string; says: string[] }) {
  if (says.length === 0) return null;
  return (
    <div>
      <b>{name}</b>
      <ul>
        {says.map((one) => (
          <li key={one}><Told says={one} /></li>
        ))}
      </ul>
    </div>
  );
}
