// SPDX-License-Identifier: Apache-2.0
// #/case/NAME/oil: the oil of the engine: what the gauges tell, the circuit with its clearances to
// slide, what each repair would do. Never a pass.
import { case_path, type Schemas } from "../ask";
import { useAround, why_not_in_force } from "../case/judged";
import { paper_now } from "../clearance/drawings";
import { OilDrawing } from "../oil/drawing";
import { GaugesBeside } from "../oil/gauges";
import { Matters, Options } from "../oil/options";
import { type DriveOil, fixed, has_oil, headline_of, missing_of, next_of, type Oil, oil_of_case, range_words } from "../oil/says";
import { WhatIf } from "../oil/what_if";
import { OldAnswer } from "../parts/old_answer";
import { Sheet } from "../parts/sheet";
import { time_words } from "../parts/time_words";
import { address, case_address, type Route } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { type Key, t } from "../texts";
import "../clearance/clearance.css";
import "../oil/oil.css";

export function OilScreen({ route }: { route: Route }) {
  const name = route.path[1] ?? "";
  const asked = useAsked<Oil>(oil_of_case(name, paper_now()), name);
  const view = useAsked<Schemas["case_view"]>(case_path(name), name).told;
  const why_not = why_not_in_force(asked, useAround(name));
  const drives = asked.told?.drives ?? [];
  const known = drives.filter(has_oil);
  const blocks = [
    { name: t("block_case"), says: name },
    { name: t("block_drive"), says: view?.case.drive ?? t("case_no_drive") },
    { name: t("oil_grade"), says: drives[0]?.grade ?? "–" },
  ];
  return (
    <Sheet wide title={t("oil_title")} back={case_address(name)} blocks={blocks}>
      <OldAnswer asked={asked} why={why_not && t(why_not, { time: time_words(asked.at) })} />
      {asked.told ? null : <p role="status">{asked.detail ? <Told says={asked.detail} whole /> : t("loading")}</p>}
      {asked.told && known.length === 0 ? <p>{t(drives.length > 0 ? "oil_none" : "case_no_drive")}</p> : null}
      {known.map((drive) => <OilOf key={drive.drive} name={name} drive={drive} />)}
    </Sheet>
  );
}

function OilOf({ name, drive }: { name: string; drive: DriveOil }) {
  const { network } = drive;
  return (
    <div class="oil_sheet">
      <Answer name={name} drive={drive} />
      {network && !network.explained ? <p class="caution">{t("oil_unexplained")}</p> : null}
      {network ? <WhatIf name={name} drive={drive} network={network} /> : null}
      <Options drive={drive} />
      {network ? <Matters network={network} /> : null}
      <Wear drive={drive} />
      {network?.curve && drive.drawings.curve ? (
        <section aria-labelledby="oil_curve">
          <h2 id="oil_curve">{t("oil_curve")}</h2>
          <OilDrawing svg={drive.drawings.curve} says={t("oil_curve_says", { place: said(network.curve.journal) })} />
        </section>
      ) : null}
      <Charts drive={drive} />
      <FindingsTold drive={drive} />
      <List says="oil_assumed" all={network?.assumed ?? []} />
      <section aria-labelledby="oil_cautions" class="caution">
        <h2 id="oil_cautions">{t("oil_cautions")}</h2>
        <ul>{drive.cautions.map((one) => <li key={one}><Told says={one} /></li>)}</ul>
      </section>
    </div>
  );
}

// First of all: the lowest head, what it means, and what to do about it.
function Answer({ name, drive }: { name: string; drive: DriveOil }) {
  const headline = headline_of(drive);
  const next = next_of(drive);
  const missing = missing_of(drive);
  return (
    <section class="oil_answer" aria-label={t("oil_told")}>
      <GaugesBeside drive={drive} />
      {headline ? <p class="oil_why"><Told says={headline.why} whole /></p> : null}
      <List says="oil_missing" all={missing} />
      <List says="oil_next" all={next} />
      {missing.length + next.length > 0 ? <p class="row"><a class="button main" href={address(["enter", name, "pressure"])}>{t("oil_enter")}</a></p> : null}
      {drive.network || drive.banks ? null : <List says="oil_limits" all={drive.limits} />}
    </section>
  );
}

function List({ says, all }: { says: Key; all: readonly string[] }) {
  if (all.length === 0) return null;
  return (
    <div class="oil_list">
      <h2>{t(says)}</h2>
      <ul>{all.map((one) => <li key={one}><Told says={one} whole /></li>)}</ul>
    </div>
  );
}

const kLeastLikely = 0.01;

function Wear({ drive }: { drive: DriveOil }) {
  if (!drive.wear) return null;
  const suspects = drive.wear.suspects.filter((one) => one.probability >= kLeastLikely);
  return (
    <section aria-labelledby="oil_wear">
      <h2 id="oil_wear">{t("oil_wear")}</h2>
      {drive.wear.said.map((one) => <p key={one} class="oil_said"><Told says={one} whole /></p>)}
      <ol class="oil_wear">
        {suspects.map((one, i) => (
          <li key={one.name}>
            <span class="oil_bar" style={{ "--share": one.probability }} aria-hidden="true" />
            <b>{fixed(100 * one.probability)} %</b> <Told says={one.name} />
            {i === 0 ? null : <small class="faint">{t("oil_wear_times", { times: range_words(one.times_as_open, 1, t("oil_to")) })}</small>}
          </li>
        ))}
      </ol>
    </section>
  );
}

function Charts({ drive }: { drive: DriveOil }) {
  if (drive.drawings.charts.length === 0) return null;
  return (
    <section aria-labelledby="oil_charts">
      <h2 id="oil_charts">{t("oil_charts")}</h2>
      <div class="oil_charts">
        {drive.drawings.charts.map((svg, i) => {
          const chart = drive.charts[i];
          return <OilDrawing key={i} svg={svg} says={chart ? t("oil_chart_says", { place: said(chart.port), speed: fixed(chart.speed_per_min) }) : ""} />;
        })}
      </div>
      <p class="faint">{t("oil_chart_line", { oil: drive.charts[0]?.oil ?? "" })}</p>
    </section>
  );
}

// Every finding of the oil, in the program's words; its verdict stands with the case, not here.
function FindingsTold({ drive }: { drive: DriveOil }) {
  if (drive.findings.length === 0) return null;
  return (
    <details>
      <summary>{t("oil_told_more", { n: drive.findings.length })}</summary>
      <dl class="oil_told">
        {drive.findings.map((one) => (
          <div key={`${one.check} ${one.subject}`} class={one.verdict === "fail" ? "outside" : ""}>
            <dt><Told says={one.subject} /></dt>
            <dd><Told says={one.why} whole /></dd>
          </div>
        ))}
      </dl>
    </details>
  );
}
