// SPDX-License-Identifier: Apache-2.0
// #/drives: the library. #/drives?add=1: a definition to be checked, and added.
import { useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { DriveEditor } from "../drives/editor";
import { answered } from "../drives/says";
import { Sheet } from "../parts/sheet";
import { address, type Route } from "../route";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import "../drives/drives.css";

type Row = Schemas["drive_list"]["drives"][number];

const kNoCase = "/"; // no case is called so: a change of a case changes nothing here
const kMostShown = 60; // each asks for its check; more than that is searched

export function DrivesScreen({ route }: { route: Route }) {
  if (route.query["add"]) return <DriveEditor name="" />;
  return <Library />;
}

function Library() {
  const asked = useAsked<Schemas["drive_list"]>("/api/drives", kNoCase);
  const [wanted, want] = useState("");
  const all = asked.told?.drives ?? [];
  const found = all.filter((row) => is_wanted(row, wanted)).slice(0, kMostShown);
  return (
    <Sheet title={t("drives_title")}>
      <div class="stack">
        <div class="row">
          <input
            class="find"
            type="search"
            aria-label={t("drives_find")}
            placeholder={t("drives_find")}
            value={wanted}
            onInput={(event) => want(event.currentTarget.value)}
          />
          <a class="button" href={address(["drives"], { add: "1" })}>
            {t("drives_add")}
          </a>
        </div>
        {asked.told ? null : <p role="status">{asked.detail || t("loading")}</p>}
        {asked.told && found.length === 0 ? <p>{t("drives_none")}</p> : null}
        <nav class="library" aria-label={t("drives_title")}>
          {found.map((row) => (
            <DriveRow key={row.name} row={row} />
          ))}
          <a class="drive-row" href={address(["coverage"])}>
            <strong>{t("coverage_from_drives")}</strong>
          </a>
          <a class="drive-row new" href={address(["new-engine"])}>
            <strong>{t("drives_not_listed")}</strong>
            <span class="faint">{t("drives_not_listed_help")}</span>
          </a>
        </nav>
      </div>
    </Sheet>
  );
}

// Every word of the search is somewhere in what is known of it.
function is_wanted(row: Row, wanted: string): boolean {
  const text = `${row.name} ${row.title ?? ""} ${row.checked_by ?? ""}`.toLowerCase();
  return wanted.toLowerCase().split(/\s+/).every((word) => text.includes(word));
}

function DriveRow({ row }: { row: Row }) {
  const check = useAsked<Schemas["drive_check"]>(`/api/drives/${row.name}/check`, kNoCase).told;
  return (
    <a class="drive-row" href={address(["drive", row.name])}>
      <strong>{row.title ?? row.name}</strong>
      <span class="faint">{row.name}</span>
      <span>{row.checked_by ? t("drives_checked_by", { who: row.checked_by }) : t("drives_not_checked")}</span>
      <span class="count">
        {check ? t("drives_answers", { n: answered(check).length, of: check.levels.length }) : ""}
      </span>
    </a>
  );
}
