// SPDX-License-Identifier: Apache-2.0
// #/drive/NAME: one definition. #/drive/NAME?edit=1: its text, to be changed.
import { useState } from "preact/hooks";

import { ask, in_store, type Schemas } from "../ask";
import { Gaps } from "../clearance/gaps";
import { type Clearance, clearance_of_drive } from "../clearance/says";
import { AllLevels, Mistakes } from "../drives/can_answer";
import { Compare } from "../drives/compare";
import { Drawing } from "../drives/drawing";
import { DriveEditor } from "../drives/editor";
import { answered } from "../drives/says";
import { useText } from "../drives/use_text";
import { Sheet } from "../parts/sheet";
import { proposed_case } from "../quick/said";
import { address, go, type Route } from "../route";
import { said } from "../said/said";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import "../clearance/clearance.css";
import "../drives/drives.css";

const kNoCase = "/"; // no case is called so: a change of a case changes nothing here

export function DriveScreen({ route }: { route: Route }) {
  const name = route.path[1] ?? "";
  if (route.query["edit"]) return <DriveEditor key={name} name={name} />;
  return <DriveSheet key={name} name={name} other={route.query["with"] ?? ""} />;
}

function DriveSheet({ name, other }: { name: string; other: string }) {
  const path = `/api/drives/${encodeURIComponent(name)}`;
  const asked = useAsked<Schemas["drive"]>(path, kNoCase);
  const row = useAsked<Schemas["drive_list"]>("/api/drives", kNoCase).told?.drives.find((each) => each.name === name);
  const drive = asked.told;
  if (!drive) {
    return (
      <Sheet title={name} back={address(["drives"])}>
        <p role="status">{said(asked.detail) || t("loading")}</p>
      </Sheet>
    );
  }
  const checked_by = drive.checked_by ?? row?.checked_by;
  const blocks = [
    { name: t("drives_block"), says: name },
    { name: t("drives_revision"), says: drive.revision ?? "–" },
    { name: t("drives_source"), says: source_said(drive) || t("drives_no_source") },
  ];
  // Once another drive is chosen it is what this sheet was opened for.
  const compare = <Compare name={name} path={path} other={other} />;
  return (
    <Sheet title={drive.title ?? name} back={address(["drives"])} blocks={blocks} wide>
      <div class="stack">
        {drive.invented ? <p class="practice">{t("drives_invented")}</p> : null}
        <p>{checked_by ? t("drives_checked_by", { who: checked_by }) : t("drives_not_checked")}</p>
        <Uses name={name} path={path} has_procedure={(drive.procedure ?? []).length > 0} />
        {other ? compare : null}
        <div class="drive">
          <Drawn path={path} />
          <Levels path={path} />
        </div>
        {other ? null : compare}
        <GapsOf name={name} />
        <Source name={name} />
      </div>
    </Sheet>
  );
}

function source_said({ source }: Schemas["drive"]): string {
  if (typeof source !== "object") return source ?? "";
  return [source.origin, source.document, source.edition, source.page].filter(Boolean).join(", ");
}

function Uses({ name, path, has_procedure }: { name: string; path: string; has_procedure: boolean }) {
  const [why, set_why] = useState("");
  const new_case = async () => {
    const in_case = proposed_case(name, new Date());
    const made = await ask("POST", "/api/cases", { name: in_case, drive: name });
    if (made.ok) go(["case", in_case]);
    else set_why(made.detail);
  };
  return (
    <>
      <div class="row">
        <button type="button" class="main" onClick={() => void new_case()}>
          {t("drives_new_case")}
        </button>
        <a class="button" href={in_store(`${path}/sheet`)} target="_blank" rel="noopener">
          {t("drives_sheet")}
        </a>
        {has_procedure ? (
          <a class="button" href={address(["drive", name, "work"])}>
            {t("work_read_procedure")}
          </a>
        ) : null}
        <a class="button" href={address(["new-engine"], { of: name })}>
          {t("manual_again")}
        </a>
        <a class="button" href={address(["drive", name], { edit: "1" })}>
          {t("drives_edit")}
        </a>
        <a class="button" href={address(["drive", name, "author"])}>
          {t("author_open")}
        </a>
        <a class="button" href={address(["drive", name, "beside"])}>
          {t("beside_open")}
        </a>
      </div>
      {why ? <p class="wrong" role="alert">{why}</p> : null}
    </>
  );
}

function Drawn({ path }: { path: string }) {
  const drawing = useAsked<string>(`${path}/drawing`, kNoCase);
  return (
    <section class="stack">
      <h2>{t("drives_drawing")}</h2>
      {drawing.told ? <Drawing svg={drawing.told} /> : <p class="faint">{drawing.detail || t("loading")}</p>}
    </section>
  );
}

function Levels({ path }: { path: string }) {
  const check = useAsked<Schemas["drive_check"]>(`${path}/check`, kNoCase).told;
  if (!check) return null;
  return (
    <section class="stack">
      <h2>{t("drives_levels")}</h2>
      <p class="tally">{t("drives_answers", { n: answered(check).length, of: check.levels.length })}</p>
      {check.warnings.length ? (
        <section>
          <h3>{t("drives_warnings")}</h3>
          <Mistakes mistakes={check.warnings} />
        </section>
      ) : null}
      <AllLevels check={check} />
    </section>
  );
}

// Of valves and pistons; asked when it is opened.
function GapsOf({ name }: { name: string }) {
  const [is_open, open] = useState(false);
  const asked = useAsked<Clearance>(is_open ? clearance_of_drive(name) : undefined, kNoCase);
  return (
    <details onToggle={(event) => open(event.currentTarget.open)}>
      <summary>{t("cl_table")}</summary>
      {asked.told?.drives.map((drive) => <Gaps key={drive.drive} drive={drive} of={clearance_of_drive(name)} of_case={kNoCase} />)}
      {is_open && !asked.told ? <p class="faint" role="status">{said(asked.detail) || t("loading")}</p> : null}
    </details>
  );
}

function Source({ name }: { name: string }) {
  const [is_open, open] = useState(false);
  const stored = useText(is_open ? name : "");
  return (
    <details class="unprinted" onToggle={(event) => open(event.currentTarget.open)}>
      <summary>{t("drives_text")}</summary>
      {stored.text ? <pre class="text">{stored.text}</pre> : is_open ? <p class="faint">{stored.detail || t("loading")}</p> : null}
    </details>
  );
}
