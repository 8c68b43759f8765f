// SPDX-License-Identifier: Apache-2.0
// The list of parts of a case, or of a definition: what does not go together first, then what is to
// be ordered with its reason, what is not known, and the boxes.
import type { ComponentChildren } from "preact";

import { VerdictLink } from "../parts/link";
import { said } from "../said/said";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { OldAnswer } from "../parts/old_answer";
import { t } from "../texts";
import type { Schemas } from "../ask";
import { parts_path, type PartsOfDrive } from "./parts_says";
import { PartsTable } from "./parts_table";
import { SetBox } from "./set_box";
import "./parts.css";

export function PartsView({ path }: { path: readonly string[] }) {
  const [of = "", name = ""] = path;
  const asked = useAsked<Schemas["parts_list"]>(parts_path(of, name), of === "case" ? name : "/");
  const all = asked.told?.drives ?? [];
  return (
    <div class="parts_list">
      {asked.told ? null : <p role="status">{asked.detail ? <Told says={asked.detail} whole /> : t("loading")}</p>}
      {asked.told && all.length === 0 ? <p class="caution">{t("parts_no_drive")}</p> : null}
      <OldAnswer asked={asked} />
      {all.length > 1 ? <p class="caution">{t("parts_several")}</p> : null}
      {all.map((one) => <OfDrive key={one.drive} of={one} of_case={of === "case" ? name : undefined} is_one={all.length === 1} />)}
    </div>
  );
}

function OfDrive({ of, of_case, is_one }: { of: PartsOfDrive; of_case: string | undefined; is_one: boolean }) {
  return (
    <>
      {is_one ? null : <h2>{of.drive}</h2>}
      <Conflicts of={of} />
      <section class="parts_part">
        <h2>{t(of_case === undefined ? "parts_of_drive" : "parts_of_case")}</h2>
        <PartsTable rows={of.rows} of_case={of_case} />
        <p class="unprinted"><button type="button" onClick={() => print()}>{t("parts_print")}</button></p>
      </section>
      <List says={t("parts_open")} class="parts_open">
        {of.open.map((one) => (
          <li key={`${one.part} ${one.bank} ${one.words}`}>
            <Named part={one.part} bank={one.bank} />
            <Told says={one.words} whole />
            <Entries ids={one.entries} />
          </li>
        ))}
      </List>
      <List says={t("parts_not_ordered")}>
        {of.not_ordered.map((one) => (
          <li key={`${one.part} ${one.bank}`}>
            <Named part={one.part} bank={one.bank} />
            <Told says={one.words} whole />
            <Entries ids={[one.entry]} />
          </li>
        ))}
      </List>
      <List says={t("parts_in_words")}>
        {of.decided_in_words.map((words) => <li key={words}>{words}</li>)}
      </List>
      {of.sets.length > 0 ? (
        <section class="parts_part">
          <h2>{t("parts_boxes")}</h2>
          <p>{t("parts_boxes_help")}</p>
          <div class="boxes_of_sets">
            {of.sets.map((set) => <SetBox key={`${set.name} ${set.bank}`} set={set} of_case={of_case} />)}
          </div>
        </section>
      ) : null}
    </>
  );
}

function Conflicts({ of }: { of: PartsOfDrive }) {
  if (of.conflicts.length === 0) return null;
  const worst_first = [...of.conflicts].sort((a, b) => Number(a.verdict === "open") - Number(b.verdict === "open"));
  return (
    <section class="parts_part">
      <h2>{t("parts_conflicts")}</h2>
      <ul class="parts_conflicts">
        {worst_first.map((one) => (
          <li key={`${one.subject} ${one.why}`}>
            <VerdictLink verdict={one.verdict} />
            <div>
              <b><Told says={one.subject} /></b>
              <p><Told says={one.why} whole /></p>
              <p class="faint"><Told says={one.next} whole /> <Entries ids={one.entries} /></p>
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

function List({ says, class: name, children }: { says: string; class?: string; children: ComponentChildren[] }) {
  if (children.length === 0) return null;
  return (
    <section class={`parts_part ${name ?? ""}`}>
      <h2>{says}</h2>
      <ul class="parts_lines">{children}</ul>
    </section>
  );
}

function Named({ part, bank }: { part: string; bank: number | null }) {
  if (part === "") return null;
  return <><b>{said(part)}{bank === null ? "" : `, ${t("work_bank", { n: bank })}`}</b>{" "}</>;
}

function Entries({ ids }: { ids: readonly string[] }) {
  return ids.length > 0 ? <span class="faint"> ({ids.join(", ")})</span> : null;
}
