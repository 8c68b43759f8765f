// SPDX-License-Identifier: Apache-2.0
// The cases: search, begin one, bring one in.
import { useEffect, useRef, useState } from "preact/hooks";

import { case_path, in_store, type Schemas } from "../ask";
import { type Dropped, dropped, kRecordingEnds, send_pack, send_recording, sorted_file } from "../case/dropped";
import { time_words } from "../case/entry_words";
import { NewCase } from "../case/new_case";
import { CaseCounts } from "../case/case_counts";
import { Sheet } from "../parts/sheet";
import { address, type Route } from "../route";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import "./cases.css";

type Row = Schemas["case_row"];
const kPage = 25;

export function CasesScreen(_: { route: Route }) {
  const [typed, type] = useState("");
  const [limit, set_limit] = useState(kPage);
  const [is_new, set_new] = useState(false);
  const q = useLater(typed.trim());
  const list = useAsked<Schemas["case_list"]>(
    `/api/cases?${new URLSearchParams({ q, limit: String(limit) }).toString()}`,
  );
  const seen = useLastTold(list.told);
  return (
    <Sheet title={t("cases")}>
      <Drop rows={seen?.cases ?? []}>
        {is_new ? (
          <NewCase
            taken={new Set((seen?.cases ?? []).map((row) => row.name))}
            leave={() => set_new(false)}
          />
        ) : (
          <div class="row">
            <button class="main" onClick={() => set_new(true)}>
              {t("new_case")}
            </button>
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
        {list.status === 401 ? <a href={address(["login"])}>{t("log_in")}</a> : null}
        <ul class="case_rows">
          {(seen?.cases ?? []).map((row) => (
            <CaseRow key={row.uid} row={row} />
          ))}
        </ul>
        {seen && seen.cases.length < seen.found ? (
          <button onClick={() => set_limit(limit + kPage)}>{t("cases_more")}</button>
        ) : null}
      </Drop>
    </Sheet>
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

interface DropProps {
  rows: Row[];
  children: preact.ComponentChildren;
}

// Anything may be dropped anywhere on the page, or chosen by its button.
function Drop({ rows, children }: DropProps) {
  const [is_over, over] = useState(false);
  const [says, say] = useState("");
  const [recording, set_recording] = useState<File | undefined>();
  const input = useRef<HTMLInputElement>(null);
  const take = async (what: Dropped) => {
    set_recording(what.is === "recording" ? what.file : undefined);
    if (what.is === "wrong") say(what.says);
    if (what.is === "recording") say("");
    if (what.is !== "pack") return;
    say(t("drop_sending", { name: what.name }));
    say(await send_pack(what.file));
  };
  useDrops(over, (transfer) => {
    say(t("drop_reading", { name: transfer.files[0]?.name ?? "" }));
    void dropped(transfer).then(take);
  });
  const chosen = () => {
    const file = input.current?.files?.[0];
    if (file) void take(sorted_file(file));
  };
  return (
    <div class={is_over ? "stack drop over" : "stack drop"}>
      {is_over ? <p class="let_go">{t("drop_here")}</p> : null}
      {children}
      <div class="row bring">
        <button onClick={() => input.current?.click()}>{t("bring_in")}</button>
        <input
          ref={input}
          hidden
          type="file"
          accept={[".zip", ...kRecordingEnds].join(",")}
          aria-label={t("bring_in")}
          onChange={chosen}
        />
        <p class="faint">{t("drop_words")}</p>
      </div>
      <p role="status">{says}</p>
      {recording ? <IntoWhich file={recording} rows={rows} say={say} /> : null}
    </div>
  );
}

interface IntoProps {
  file: File;
  rows: Row[];
  say: (what: string) => void;
}

function IntoWhich({ file, rows, say }: IntoProps) {
  const into = async (name: string) => {
    say(t("drop_sending", { name: file.name }));
    say(await send_recording(name, file));
  };
  return (
    <section class="into stack">
      <h2>{t("drop_which_case", { name: file.name })}</h2>
      {rows.map((row) => (
        <button key={row.uid} onClick={() => void into(row.name)}>
          {t("drop_into", { name: row.name })}
        </button>
      ))}
    </section>
  );
}

function useDrops(over: (is: boolean) => void, take: (transfer: DataTransfer) => void): void {
  const taking = useRef(take);
  taking.current = take;
  useEffect(() => {
    const dragged = (event: DragEvent) => {
      if (!event.dataTransfer?.types.includes("Files")) return;
      event.preventDefault();
      over(true);
    };
    const left = (event: DragEvent) => {
      if (event.relatedTarget === null) over(false);
    };
    const let_go = (event: DragEvent) => {
      event.preventDefault();
      over(false);
      if (event.dataTransfer) taking.current(event.dataTransfer);
    };
    const heard = new AbortController();
    const { signal } = heard;
    addEventListener("dragover", dragged, { signal });
    addEventListener("dragleave", left, { signal });
    addEventListener("drop", let_go, { signal });
    return () => heard.abort();
  }, []);
}
