// SPDX-License-Identifier: Apache-2.0
// The recorded tightenings of one fastener with their verdicts, and a place to drop another one.
// A file is judged by the program before it is kept: what is no trace never comes into the case.
import { useState } from "preact/hooks";

import { ask, case_path, type Schemas } from "../ask";
import { VerdictLink } from "../parts/link";
import { address, go } from "../route";
import { Told } from "../said/told";
import { upload } from "../see/upload";
import { enter, waiting_of } from "../state/outbox";
import { t } from "../texts";
import type { TraceEntry, TraceSaid } from "./says";
import "./traces_of.css";

type Findings = Schemas["findings"] | undefined;

interface Props {
  name: string;
  fastener: string;
  count: number | undefined;
  traces: readonly TraceEntry[]; // of the case, in force
  findings: Findings;
}

export function TracesOf({ name, fastener, count, traces, findings }: Props) {
  const here = traces.filter((one) => one.fastener === fastener);
  const waiting = waiting_of(name).filter(({ entry }) => entry.kind === "torque trace" && entry.fastener === fastener);
  const next = Math.min(count ?? Infinity, 1 + Math.max(0, ...here.map((one) => one.bolt ?? 0)));
  return (
    <details class="traces" open={here.length > 0}>
      <summary>{t("tr_of", { n: here.length })}</summary>
      {here.length > 0 ? <ul>{here.map((one) => <li key={one.id}><TraceLink name={name} entry={one} findings={findings} /></li>)}</ul> : null}
      {waiting.map((one) => <p key={one.key} class="link" role="status">{t("tr_waits")}</p>)}
      <AddTrace name={name} fastener={fastener} count={count} next={next} />
    </details>
  );
}

function TraceLink({ name, entry, findings }: { name: string; entry: TraceEntry; findings: Findings }) {
  const found = findings?.findings.find((one) => one.check === "torque-trace" && one.evidence.includes(entry.id));
  return (
    <a href={address(["case", name, "trace", entry.id])}>
      <b>{entry.bolt === undefined ? t("tr_no_bolt") : t("tr_bolt", { n: entry.bolt })}</b>
      <span class="faint">{entry.file.replace(/^.*\//, "")}</span>
      {found ? <VerdictLink verdict={found.verdict} /> : null}
    </a>
  );
}

interface AddProps extends Pick<Props, "name" | "fastener" | "count"> {
  next: number;
}

function AddTrace({ name, fastener, count, next }: AddProps) {
  // The next one, until another is chosen; that stays chosen, whatever else comes into the case.
  const [chosen, set_bolt] = useState<string | undefined>();
  const bolt = chosen ?? String(next);
  const [is_sending, set_sending] = useState(false);
  const [wrong, set_wrong] = useState("");
  const take = async (file: File | undefined) => {
    if (!file || is_sending) return;
    set_wrong("");
    set_sending(true);
    const problem = await add_trace(name, fastener, Number(bolt) || undefined, file);
    set_sending(false);
    set_wrong(problem);
    if (!problem) set_bolt(undefined);
  };
  const drop = (event: DragEvent) => {
    event.preventDefault();
    void take(event.dataTransfer?.files[0]);
  };
  return (
    <div class="drop_here add_trace" onDragOver={(event) => event.preventDefault()} onDrop={drop}>
      <p>{t("tr_add")}</p>
      <label>
        {t("tr_add_bolt")}
        {count === undefined ? (
          <input inputMode="numeric" value={bolt} onInput={(event) => set_bolt(event.currentTarget.value)} />
        ) : (
          <select value={bolt} onChange={(event) => set_bolt(event.currentTarget.value)}>
            {Array.from({ length: count }, (_, i) => <option key={i} value={i + 1}>{t("tr_bolt", { n: i + 1 })}</option>)}
          </select>
        )}
      </label>
      <label>
        {is_sending ? t("tr_sending") : t("tr_add_file")}
        <input type="file" accept=".csv,.txt,.tsv" disabled={is_sending} onChange={(event) => void take(event.currentTarget.files?.[0])} />
      </label>
      {wrong ? <p class="wrong" role="alert"><Told says={wrong} whole /></p> : null}
    </div>
  );
}

const kMost = 16 * 1024 * 1024; // as the program takes

// Judged, then kept, then entered; the sentence says what was wrong, empty: nothing.
async function add_trace(name: string, fastener: string, bolt: number | undefined, file: File): Promise<string> {
  if (file.size === 0) return t("see_empty_file");
  if (file.size > kMost) return t("tr_too_large");
  const query = new URLSearchParams({ fastener, ...(bolt ? { bolt: String(bolt) } : {}) });
  const read = await ask<TraceSaid>("POST", `${case_path(name, "traces", "read")}?${query}`, new Blob([file], { type: "application/octet-stream" }));
  if (!read.ok) return read.detail;
  const sent = await upload(name, "traces", file, () => undefined, "trace");
  if (sent.problem) return sent.problem;
  await enter(name, { kind: "torque trace", fastener, ...(bolt ? { bolt } : {}), file: sent.name });
  const entry = await entered(name, { fastener, bolt, file: sent.name });
  if (entry) go(["case", name, "trace", entry]);
  return "";
}

// The number that the program gave the entry, once it has it.
async function entered(name: string, wanted: Pick<TraceEntry, "fastener" | "file"> & { bolt: number | undefined }): Promise<string | undefined> {
  const is_it = (one: Schemas["entry"]) => one.kind === "torque trace" && one.fastener === wanted.fastener && one.bolt === wanted.bolt && one.file === wanted.file;
  for (let n = 0; n < 20; ++n) {
    const view = await ask<Schemas["case_view"]>("GET", case_path(name));
    const found = [...(view.told?.case.entries ?? [])].reverse().find(is_it);
    if (found) return found.id;
    await new Promise((done) => setTimeout(done, 250));
  }
  return undefined;
}
