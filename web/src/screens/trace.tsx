// SPDX-License-Identifier: Apache-2.0
// #/case/NAME/trace/ENTRY: one recorded tightening: the answer in words, drawn, in figures.
// #/case/NAME/trace: those of every fastener, and a place to add one.
import { useEffect, useState } from "preact/hooks";

import { ask, case_path, in_store, type Schemas } from "../ask";
import { corrections } from "../case/entry_words";
import { type Findings, useAround, why_not_in_force } from "../case/judged";
import { OldAnswer } from "../parts/old_answer";
import { Sheet } from "../parts/sheet";
import { time_words } from "../parts/time_words";
import { address, type Route } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import { TraceAnswer } from "../trace/answer";
import { TracePlot } from "../trace/plot";
import { trace_of_case, type TraceEntry, type TraceSaid, traces_of } from "../trace/says";
import { TracesOf } from "../trace/traces_of";
import { TraceValues } from "../trace/values";
import { work_of_case, type WorkSaid } from "../work/says";
import "./trace.css";

const kMostOthers = 8;

export function TraceScreen({ route }: { route: Route }) {
  const name = route.path[1] ?? "";
  const entry = route.path[3];
  const key = in_store(`${name}/${entry}`);
  return entry === undefined ? <AllTraces key={key} name={name} /> : <OneTrace key={key} name={name} entry={entry} />;
}

function useTraces(name: string): { view: Schemas["case_view"] | undefined; traces: TraceEntry[] } {
  const view = useAsked<Schemas["case_view"]>(case_path(name), name).told;
  const entries = view?.case.entries ?? [];
  return { view, traces: traces_of(entries, corrections(entries)) };
}

function OneTrace({ name, entry }: { name: string; entry: string }) {
  const asked = useAsked<TraceSaid>(trace_of_case(name, entry), name);
  const { traces } = useTraces(name);
  const trace = asked.told;
  const why_not = why_not_in_force(asked, useAround(name));
  const set = traces.filter((one) => one.fastener === trace?.fastener && one.id !== entry);
  const others = useOthers(name, set);
  const blocks = [
    { name: t("block_case"), says: name },
    { name: t("block_drive"), says: trace?.drive ?? t("case_no_drive") },
    { name: t("tr_file"), says: trace?.file ?? "" },
  ];
  const title = trace ? `${said(trace.fastener)}${trace.bolt === null ? "" : `, ${t("tr_bolt", { n: trace.bolt })}`}` : t("tr_title");
  return (
    <Sheet wide title={title} back={address(["case", name, "trace"])} blocks={blocks}>
      <OldAnswer asked={asked} why={why_not && t(why_not, { time: time_words(asked.at) })} />
      {trace ? (
        <div class="trace_sheet">
          <TraceAnswer trace={trace} />
          <div class="stack">
            {trace.drawn.points.length > 1 ? <TracePlot trace={trace} others={others} /> : null}
            {trace.values ? <TraceValues values={trace.values} take_out={trace.take_out} /> : null}
            <Set name={name} set={set} />
          </div>
        </div>
      ) : (
        <p role="status">{asked.detail ? <Told says={asked.detail} whole /> : t("loading")}</p>
      )}
    </Sheet>
  );
}

function Set({ name, set }: { name: string; set: readonly TraceEntry[] }) {
  if (set.length === 0) return null;
  return (
    <nav class="row" aria-label={t("tr_others")}>
      <b>{t("tr_others")}</b>
      {set.map((one) => <a key={one.id} class="button" href={address(["case", name, "trace", one.id])}>{one.bolt === undefined ? one.id : t("tr_bolt", { n: one.bolt })}</a>)}
    </nav>
  );
}

// Those of the same fastener, to be drawn pale.
function useOthers(name: string, set: readonly TraceEntry[]): TraceSaid[] {
  const [others, set_others] = useState<TraceSaid[]>([]);
  const ids = set.slice(0, kMostOthers).map((one) => one.id).join(" ");
  useEffect(() => {
    let is_over = false;
    const all = ids.split(" ").filter(Boolean).map((id) => ask<TraceSaid>("GET", trace_of_case(name, id)));
    void Promise.all(all).then((told) => {
      if (!is_over) set_others(told.flatMap((one) => (one.told && one.told.drawn.points.length > 1 ? [one.told] : [])));
    });
    return () => void (is_over = true);
  }, [name, ids]);
  return others;
}

function AllTraces({ name }: { name: string }) {
  const { view, traces } = useTraces(name);
  const work = useAsked<WorkSaid>(work_of_case(name), name);
  const findings = useAsked<Findings>(case_path(name, "findings"), name).told;
  const cards = work.told?.fasteners ?? [];
  const named = new Map(cards.map((card) => [card.fastener, card.count ?? undefined]));
  for (const one of traces) if (!named.has(one.fastener)) named.set(one.fastener, undefined);
  return (
    <Sheet wide title={t("tr_all")} back={address(["case", name])} blocks={[{ name: t("block_case"), says: name }, { name: t("block_drive"), says: view?.case.drive ?? t("case_no_drive") }]}>
      <div class="stack">
        <p>{t("tr_all_is")}</p>
        {work.told && named.size === 0 ? <p class="caution">{t("tr_no_fasteners")}</p> : null}
        {work.told ? null : <p role="status">{said(work.detail) || t("loading")}</p>}
        {(view && (work.told || work.detail) ? [...named] : []).map(([fastener, count]) => (
          <section key={fastener} class="tighten">
            <h2>{said(fastener)}</h2>
            <TracesOf name={name} fastener={fastener} count={count} traces={traces} findings={findings} />
          </section>
        ))}
      </div>
    </Sheet>
  );
}
