// SPDX-License-Identifier: Apache-2.0
// One stage of the work: what to do now and why, what can be entered, what was, what follows.
import type { ComponentChildren } from "preact";

import type { Schemas } from "../ask";
import { WayInDetail } from "../clearance/card";
import { kind_word } from "../enter/words";
import { OilCard } from "../oil/card";
import { address } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { waiting_of } from "../state/outbox";
import { t } from "../texts";
import { work_of_case, type WorkSaid } from "../work/says";
import type { CaseParts } from "./case_parts";
import { EntryCard, WaitingCard } from "./entry_card";
import { FindingRow } from "./finding_row";
import { enter_address, type Judged, place_only, places_of } from "./judged";
import { NotJudgedSince } from "./panels";
import { RecordingButton } from "./recording_button";
import { check_row, type Finding, kEntryStage, type Stage, type StageRow } from "./stages";

interface Props {
  name: string;
  row: StageRow;
  parts: CaseParts;
  judged: Judged;
}

export function StageView({ name, row, parts, judged }: Props) {
  return (
    <>
      <section class="now">
        <h2>{t("now_do")}</h2>
        <ul>
          {t(row.now)
            .split("\n")
            .map((says) => (
              <li key={says}>{says}</li>
            ))}
        </ul>
        {row.cautions.map((key) => (
          <p class="caution" key={key}>
            {t(key)}
          </p>
        ))}
        <p class="why">
          <b>{t("now_why")}</b> {t(row.why)}
        </p>
      </section>
      {kIsOpen.includes(row.name) ? (
        <WayInDetail name={name} has_state={!parts.is_read || parts.in_force.some((entry) => entry.kind === "state")} turning={judged.is_in_force ? judged.told?.turning.answer : undefined} />
      ) : null}
      {kByOil.includes(row.name) ? <OilCard name={name} /> : null}
      <StepByStep name={name} stage={row.name} />
      <nav class="enters" aria-label={t("enter_here")}>
        {row.enters.map((kind, i) => (
          <a
            key={kind}
            class={i === 0 ? "button main" : "button"}
            href={address(kind === "torque trace" ? ["case", name, "trace"] : ["enter", name, kind])}
          >
            {kind_word(kind)}
          </a>
        ))}
        {row.enters.includes("recording") ? <RecordingButton name={name} /> : null}
      </nav>
      <FindingsHere name={name} row={row} parts={parts} judged={judged} />
      <EntriesHere name={name} row={row} parts={parts} />
    </>
  );
}

const kIsOpen: readonly Stage[] = ["open", "measure", "assemble", "prove"]; // the engine
const kByOil: readonly Stage[] = ["tests", "measure", "decide", "prove"]; // its pressure is read, its clearances measured
const kByStep: readonly Stage[] = ["open", "assemble", "prove"];
const kByParts: readonly Stage[] = ["decide", "assemble"];

// Where the drive is known; kept with the rest, should the link be gone when it is opened.
function StepByStep({ name, stage }: { name: string; stage: Stage }) {
  const [has_steps, has_parts] = [kByStep.includes(stage), kByParts.includes(stage)];
  const work = useAsked<WorkSaid>(has_steps || has_parts ? work_of_case(name) : undefined, name).told;
  if (!work?.drive) return null;
  const path = ["case", name, "work"];
  return (
    <p class="row">
      {has_steps ? <a class="button main" href={address(path)}>{t(work.procedure ? "work_step_by_step" : "work_free")}</a> : null}
      {has_parts ? <a class="button" href={address(path, { see: "parts" })}>{t("work_parts")}</a> : null}
    </p>
  );
}

function FindingsHere({ name, row, parts, judged }: Props) {
  const findings = parts.findings.get(row.name) ?? [];
  const missing = (judged.told?.not_looked_at ?? []).filter((one) => is_of(one.check, row));
  const rows = (of: Finding[]) =>
    of.map((one) => <FindingRow key={`${one.check} ${one.subject}`} name={name} finding={one} />);
  const of = (verdict: Finding["verdict"]) =>
    findings.filter((one) => one.verdict === verdict && !one.forecast);
  const decided = row.name === "decide" ? (judged.told?.persons_decisions ?? []) : [];
  return (
    <section aria-labelledby="follows">
      <h2 id="follows">{t("findings_here")}</h2>
      {judged.is_in_force ? null : <NotJudgedSince judged={judged} />}
      {judged.told && findings.length + missing.length + decided.length === 0 ? <p>{t("findings_none")}</p> : null}
      <Group says={t("findings_failed")}>{rows(of("fail"))}</Group>
      <Group says={t("findings_open")}>{rows(of("open"))}</Group>
      <NotLookedAt name={name} missing={missing} />
      <Group says={t("findings_passed")} folded>
        {rows(of("pass"))}
      </Group>
      <Forecasts of={findings.filter((one) => one.forecast)} rows={rows} />
      <Group says={t("decided_by_persons")}>
        {decided.map((says) => (
          <li key={says} class="plain">
            {says}
          </li>
        ))}
      </Group>
    </section>
  );
}

interface ForecastProps {
  of: Finding[];
  rows: (of: Finding[]) => ComponentChildren[];
}

// Dozens of them, one for each journal and part: what they come to together stands open, each kind
// folded below.
function Forecasts({ of, rows }: ForecastProps) {
  const checks = [...new Set(of.map((one) => one.check))].filter((check) => check !== kTogether);
  if (of.length === 0) return null;
  return (
    <div class="group">
      <h3>{t("findings_forecast")}</h3>
      <ul class="findings">{rows(of.filter((one) => one.check === kTogether))}</ul>
      {checks.map((check) => (
        <Group key={check} says={said(check.replaceAll("-", " "))} folded>
          {rows(of.filter((one) => one.check === check))}
        </Group>
      ))}
    </div>
  );
}

const kTogether = "what-if-choice";

// What was not looked at has no evidence: it belongs where it is first looked at.
function is_of(check: string, row: StageRow): boolean {
  const { at } = check_row(check);
  return (typeof at === "string" ? at : at.before) === row.name;
}

interface GroupProps {
  says: string;
  folded?: boolean;
  children: ComponentChildren[];
}

function Group({ says, folded = false, children }: GroupProps) {
  if (children.length === 0) return null;
  const list = <ul class="findings">{children}</ul>;
  const title = `${says} (${children.length})`;
  return folded ? (
    <details class="group">
      <summary>{title}</summary>
      {list}
    </details>
  ) : (
    <div class="group">
      <h3>{title}</h3>
      {list}
    </div>
  );
}

type Missing = Schemas["findings"]["not_looked_at"];

function NotLookedAt({ name, missing }: { name: string; missing: Missing }) {
  if (missing.length === 0) return null;
  return (
    <div class="group">
      <h3>{t("not_looked_at")}</h3>
      <ul class="missing">
        {missing.map((one) => (
          <li key={one.check}>
            <b><Told says={one.check.replaceAll("-", " ")} /></b>
            {places_of(one).map((place) => {
              const enter = enter_address(name, one.check, place_only(place));
              return (
                <a key={place} href={address(enter.path, enter.query)}>
                  <Told says={place} />
                </a>
              );
            })}
          </li>
        ))}
      </ul>
    </div>
  );
}

const kShown = 5;

function EntriesHere({ name, row, parts }: Omit<Props, "judged">) {
  const waiting = waiting_of(name).filter((one) => waits_at(one.entry.kind, row));
  const cards = [...(parts.entries.get(row.name) ?? [])].reverse().map((entry) => (
    <EntryCard
      key={entry.id}
      name={name}
      entry={entry}
      receipt={parts.receipts.get(entry.id)}
      replaced_by={parts.corrected.get(entry.id)}
    />
  ));
  return (
    <section aria-labelledby="entered">
      <h2 id="entered">{t("entries_here")}</h2>
      {parts.is_read && cards.length + waiting.length === 0 ? <p>{t("entries_here_none")}</p> : null}
      <ul class="entries">
        {waiting.map((one) => (
          <WaitingCard key={one.key} name={name} one={one} />
        ))}
        {cards.slice(0, kShown)}
      </ul>
      {cards.length > kShown ? (
        <details class="group">
          <summary>{t("measure_next_more", { n: cards.length - kShown })}</summary>
          <ul class="entries">{cards.slice(kShown)}</ul>
        </details>
      ) : null}
    </section>
  );
}

// Which side of the fitting it will stand on only the program's case shows: it is seen at both.
function waits_at(kind: Schemas["new_entry"]["kind"], row: StageRow): boolean {
  const at = kEntryStage[kind];
  return typeof at === "string" ? at === row.name : at.before === row.name || at.after === row.name;
}
