// SPDX-License-Identifier: Apache-2.0
// #/drive/NAME/beside?with=OTHER: two drives of a family side by side, the steps of the work too.
import { useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { OldAnswer } from "../parts/old_answer";
import { Sheet } from "../parts/sheet";
import { address, go, type Route } from "../route";
import { said_choice } from "../said/said";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import "./beside.css";

type Beside = Schemas["procedure_beside"];
type RowSaid = Beside["rows"][number];
type DriveRow = Schemas["drive_list"]["drives"][number];

const kNoCase = "/"; // no case is called so: a change of a case changes nothing here

export function BesideScreen({ route }: { route: Route }) {
  const name = route.path[1] ?? "";
  const other = route.query["with"] ?? "";
  const [is_all, set_all] = useState(false);
  const drives = useAsked<Schemas["drive_list"]>("/api/drives", kNoCase).told?.drives ?? [];
  const query = `with=${encodeURIComponent(other)}${is_all ? "&all=true" : ""}`;
  const asked = useAsked<Beside>(other ? `/api/drives/${encodeURIComponent(name)}/beside?${query}` : undefined, kNoCase);
  const all = asked.told;
  return (
    <Sheet wide title={`${t("beside_title")}: ${name}`} back={address(["drive", name])} blocks={[{ name: t("block_drive"), says: name }, { name: t("beside_with"), says: other || "–" }]}>
      <div class="stack">
        {all?.drives.some((one) => one.invented) && !route.practice ? <p class="practice">{t("drives_invented")}</p> : null}
        <div class="beside_bar">
          <label>
            {t("beside_with")}
            <Others name={name} other={other} drives={drives} />
          </label>
          {all ? (
            <label class="beside_all">
              <input type="checkbox" checked={is_all} onChange={(event) => set_all(event.currentTarget.checked)} />
              {t("beside_all", { n: all.same })}
            </label>
          ) : null}
        </div>
        {other ? null : <p>{t("beside_choose")}</p>}
        {other && !all ? <p role="status">{asked.detail ? <Told says={asked.detail} whole /> : t("loading")}</p> : null}
        <OldAnswer asked={asked} />
        {all ? all.rows.length ? <Table all={all} /> : <p>{t("beside_same")}</p> : null}
      </div>
    </Sheet>
  );
}

// The drive that all of a family are variants of, through any number of bases.
function root_of(name: string, drives: readonly DriveRow[]): string {
  let at = name;
  for (let i = 0; i < drives.length; ++i) {
    const base = drives.find((one) => one.name === at)?.based_on;
    if (!base) break;
    at = base;
  }
  return at;
}

function Others({ name, other, drives }: { name: string; other: string; drives: readonly DriveRow[] }) {
  const family = root_of(name, drives);
  const rest = drives.filter((one) => one.name !== name);
  const groups = [
    [t("beside_family"), rest.filter((one) => root_of(one.name, drives) === family)],
    [t("beside_others"), rest.filter((one) => root_of(one.name, drives) !== family)],
  ] as const;
  return (
    <select value={other} onChange={(event) => go(["drive", name, "beside"], event.currentTarget.value ? { with: event.currentTarget.value } : {})}>
      <option value="">{t("drives_choose")}</option>
      {groups.map(([title, those]) => those.length ? (
        <optgroup key={title} label={title}>
          {those.map((one) => <option key={one.name} value={one.name}>{one.title ?? one.name}</option>)}
        </optgroup>
      ) : null)}
    </select>
  );
}

function Table({ all }: { all: Beside }) {
  const groups = [...new Set(all.rows.map((row) => row.group))];
  const columns = all.drives.length + 1;
  return (
    <table class="beside">
      <thead>
        <tr>
          <th scope="col">{t("beside_what")}</th>
          {all.drives.map((drive) => (
            <th key={drive.name} scope="col">
              {drive.title}
              <small>{drive.checked_by ? t("drives_checked_by", { who: drive.checked_by }) : t("beside_nobody")}</small>
            </th>
          ))}
        </tr>
      </thead>
      {groups.map((group) => (
        <tbody key={group}>
          <tr><th class="group" scope="rowgroup" colSpan={columns}><Told says={group} /></th></tr>
          {all.rows.filter((row) => row.group === group).map((row) => <Row key={row.what} row={row} drives={all.drives} />)}
        </tbody>
      ))}
    </table>
  );
}

// A class of strength is a name, not a measure: 10.9 stays 10.9.
function CellText({ says, is_raw }: { says: string; is_raw: boolean }) {
  if (says === "yes" || says === "no") return <>{said_choice(says)}</>;
  return is_raw ? <>{says}</> : <Told says={says} />;
}

// A step that only one of them has stands there by its name, as its author wrote it.
function is_step(row: RowSaid): boolean {
  return row.group === "steps of the work" && !row.what.includes(": ");
}

// What differs from the first drive is marked by weight and word.
function Row({ row, drives }: { row: RowSaid; drives: Beside["drives"] }) {
  const first = row.cells[0]?.text ?? null;
  return (
    <tr>
      <th scope="row">{is_step(row) ? row.what : <Told says={row.what} />}{row.same ? <small> {t("beside_is_same")}</small> : null}</th>
      {row.cells.map((cell, i) => {
        const differs = i > 0 && cell.text !== first;
        const classes = [cell.text === null ? "missing" : differs ? "differs" : "", cell.unconfirmed ? "unconfirmed" : ""];
        return (
          <td key={i} class={classes.filter(Boolean).join(" ")} data-of={drives[i]?.title}>
            {cell.text === null ? t("beside_missing") : <CellText says={cell.text} is_raw={row.what.endsWith(": class")} />}
            {differs ? <small>{t("beside_differs")}</small> : null}
            {cell.unconfirmed ? <small>{t("beside_unconfirmed")}</small> : null}
          </td>
        );
      })}
    </tr>
  );
}
