// SPDX-License-Identifier: Apache-2.0
// #/coverage: for each part that the work uses up, and each definition at hand, the set that brings
// it. ?gaps=1: only parts that some engine needs and no set brings.
import type { Schemas } from "../ask";
import { OldAnswer } from "../parts/old_answer";
import { Sheet } from "../parts/sheet";
import { address, go, type Route } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import "./coverage.css";

type Coverage = Schemas["parts_coverage"];
type Row = Coverage["rows"][number];

const kNoCase = "/"; // no case is called so

const is_gap = (row: Row): boolean => row.cells.some((cell) => cell.covered === "in no set");

export function CoverageScreen({ route }: { route: Route }) {
  const asked = useAsked<Coverage>("/api/parts/coverage", kNoCase);
  const only_gaps = route.query["gaps"] === "1";
  const all = asked.told?.rows ?? [];
  const gaps = all.flatMap((row) => row.cells).filter((cell) => cell.covered === "in no set").length;
  return (
    <Sheet wide title={t("coverage_title")} back={address(["drives"])}>
      <div class="stack">
        <p>{t("coverage_help")}</p>
        {asked.told ? null : <p role="status">{asked.detail ? <Told says={asked.detail} whole /> : t("loading")}</p>}
        <OldAnswer asked={asked} />
        {asked.told && all.length === 0 ? <p>{t("coverage_none")}</p> : null}
        {all.length > 0 && asked.told ? (
          <>
            <p class="row">
              <button type="button" class="says unprinted" aria-pressed={only_gaps} onClick={() => go(["coverage"], only_gaps ? {} : { gaps: "1" })}>
                {t("coverage_only_gaps")}
              </button>
              <b>{t("coverage_gaps", { n: gaps })}</b>
            </p>
            <Table drives={asked.told.drives} rows={only_gaps ? all.filter(is_gap) : all} />
          </>
        ) : null}
      </div>
    </Sheet>
  );
}

function Table({ drives, rows }: { drives: readonly string[]; rows: readonly Row[] }) {
  return (
    <div class="coverage" tabIndex={0} role="region" aria-label={t("coverage_title")}>
      <table>
        <thead>
          <tr>
            <th scope="col">{t("parts_part")}</th>
            <th scope="col">{t("parts_bank")}</th>
            {drives.map((name) => <th key={name} scope="col"><a href={address(["drive", name, "work"], { see: "parts" })}>{name}</a></th>)}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={`${row.part} ${row.bank}`}>
              <th scope="row">{said(row.part)}</th>
              <td>{row.bank ?? ""}</td>
              {row.cells.map((cell, i) => <td key={drives[i]} class={cell.covered === "in no set" ? "gap" : ""}>{cell_words(cell)}</td>)}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function cell_words(cell: Row["cells"][number]): string {
  if (cell.covered === "in a set") return cell.sets.map((one) => said(one)).join(` ${t("parts_or")} `);
  if (cell.covered === "in no set") return t("coverage_gap");
  return t(cell.covered === "not needed" ? "coverage_not_needed" : "coverage_not_known");
}
