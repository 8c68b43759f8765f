// SPDX-License-Identifier: Apache-2.0
// The cases: search, begin one, bring one in.
import { useEffect, useRef, useState } from "preact/hooks";

import { ask, case_path, in_store, type Schemas } from "../ask";
import { BringIn } from "../case/bring_in";
import { CaseCounts } from "../case/case_counts";
import { NewCase } from "../case/new_case";
import { Sheet } from "../parts/sheet";
import { time_words } from "../parts/time_words";
import { address, type Route } from "../route";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import "./cases.css";

type Row = Schemas["case_row"];
const kPage = 25;

export function CasesScreen({ route }: { route: Route }) {
  const [typed, type] = useState("");
  const [limit, set_limit] = useState(kPage);
  const [is_new, set_new] = useState(route.query["new"] !== undefined);
  const q = useLater(typed.trim());
  const list = useAsked<Schemas["case_list"]>(
    `/api/cases?${new URLSearchParams({ q, limit: String(limit) }).toString()}`,
  );
  const seen = useLastTold(list.told);
  return (
    <Sheet title={t("cases")}>
      <BringIn rows={seen?.cases ?? []}>
        {is_new ? (
          <NewCase leave={() => set_new(false)} />
        ) : (
          <div class="row">
            <button class="main" onClick={() => set_new(true)}>
              {t("new_case")}
            </button>
            {route.practice ? <PutBack /> : null}
          </div>
        )}
        <input
          type="search"
          value={typed}
          aria-label={t("search_cases")}
          placeholder={t("search_cases")}
          onInput={(event) => type(event.currentTarget.value)}
        />
        <p role="status" class="faint">
          {list.detail && !list.told ? list.detail : found_words(seen, q)}
        </p>
        <ul class="case_rows">
          {(seen?.cases ?? []).map((row) => (
            <CaseRow key={row.uid} row={row} />
          ))}
        </ul>
        {seen && seen.cases.length < seen.found ? (
          <button onClick={() => set_limit(limit + kPage)}>{t("cases_more")}</button>
        ) : null}
      </BringIn>
    </Sheet>
  );
}

// Practice ends where it began: at the second press, since what was practised is lost.
function PutBack() {
  const [is_sure, sure] = useState(false);
  const [says, say] = useState("");
  const pressed = async () => {
    sure(!is_sure);
    if (is_sure) say((await ask("POST", "/api/reset")).detail);
  };
  return (
    <>
      <button onClick={() => void pressed()}>{t(is_sure ? "put_back_sure" : "put_back")}</button>
      <span role="status">{says}</span>
    </>
  );
}

function found_words(list: Schemas["case_list"] | undefined, q: string): string {
  if (!list) return t("loading");
  if (list.cases.length === 0) return t(q ? "cases_none_found" : "cases_none");
  return list.found === 1
    ? t("cases_found_one")
    : t("cases_found", { n: `${list.found}${list.more ? "+" : ""}` });
}

// What is typed, once nothing was typed for a moment.
function useLater(typed: string): string {
  const [settled, set] = useState(typed);
  useEffect(() => {
    const timer = setTimeout(() => set(typed), 250);
    return () => clearTimeout(timer);
  }, [typed]);
  return settled;
}

// The list stands until the next one is there: rows do not jump while somebody types.
function useLastTold<T>(told: T | undefined): T | undefined {
  const last = useRef<T | undefined>();
  if (told) last.current = told;
  return last.current;
}

function CaseRow({ row }: { row: Row }) {
  const entries =
    row.entries === 1 ? t("case_entries_one") : t("case_entries", { n: row.entries });
  return (
    <li>
      <a class="to_case" href={address(["case", row.name])}>
        <b>{row.title ?? row.name}</b>
        <span class="faint">
          <span>{row.name}</span>
          <span>{row.drive ?? t("case_no_drive")}</span>
          <span>{entries}</span>
          <span>{t("case_changed", { time: time_words(row.changed) })}</span>
        </span>
        {row.invented ? <span class="invented">{t("case_invented")}</span> : null}
        <CaseCounts name={row.name} head={row.head_hash} />
      </a>
      <a
        class="button pack"
        href={in_store(case_path(row.name, "pack"))}
        download={`${row.name}.zip`}
        aria-label={t("case_pack_of", { name: row.name })}
      >
        {t("case_pack")}
      </a>
    </li>
  );
}
