// SPDX-License-Identifier: Apache-2.0
// A case: the strand of stages, the turning answer on top of every one, the work of the stage, and
// beside it what to measure next and where the work stood.
import { useEffect, useRef, useState } from "preact/hooks";

import { case_path, in_store, type Schemas } from "../ask";
import { case_parts } from "../case/case_parts";
import { History } from "../case/history";
import { changed_findings, type Findings, type Judged, useJudged } from "../case/judged";
import { MeasureNext, WhereWasI } from "../case/panels";
import { Rail } from "../case/rail";
import { StageView } from "../case/stage_view";
import { kStages, stage_row } from "../case/stages";
import { Turning } from "../case/turning";
import { type Block, Sheet } from "../parts/sheet";
import { time_words } from "../parts/time_words";
import { address, type Route, stage_seen } from "../route";
import { Told } from "../said/told";
import { ready_offline, useAsked } from "../state/asked";
import { useAwake } from "../state/awake";
import { t } from "../texts";
import "./case.css";

export function CaseScreen({ route }: { route: Route }) {
  const name = route.path[1] ?? "";
  // Another case is another screen: not for one frame does an answer stand under a wrong name.
  return <CaseView key={in_store(case_path(name))} name={name} route={route} />;
}

function CaseView({ name, route }: { name: string; route: Route }) {
  useAwake();
  const view = useAsked<Schemas["case_view"]>(case_path(name), name);
  const asked = useAsked<Findings>(case_path(name, "findings"), name);
  const drive_name = view.told?.case.drive ?? view.told?.case.candidates?.[0];
  // What entering needs, should the link be gone by then.
  useEffect(() => void ready_offline("/api/openapi.json"), []);
  useEffect(() => {
    if (drive_name) void ready_offline(`/api/drives/${encodeURIComponent(drive_name)}`);
  }, [drive_name]);
  const judged = useJudged(asked, name);
  const parts = case_parts(view.told, judged);
  const is_history = route.path[2] === "history";
  const row = is_history ? undefined : (stage_row(route.path[2]) ?? kStages[0]);
  const summary = view.told?.summary;
  const title = useRef<HTMLHeadingElement>(null);
  const stage = useRef(row?.name);
  useEffect(() => stage_seen(name, route.path[2] && row?.name), [route.path[2], row?.name]);
  useEffect(() => {
    // A stage was chosen on the strand: who works by keyboard goes on in it.
    if (stage.current !== row?.name) title.current?.focus({ preventScroll: true });
    stage.current = row?.name;
  }, [row?.name]);
  if (view.status === 404)
    return (
      <Sheet title={name} back={address(["cases"])}>
        <p>{t("case_gone")}</p>
      </Sheet>
    );
  return (
    <Sheet
      wide
      title={summary?.title ?? name}
      back={address(["cases"])}
      blocks={blocks(name, view.told, judged)}
    >
      {summary?.invented && !route.practice ? <p class="practice">{t("case_invented")}</p> : null}
      <div class="case">
        <Rail name={name} at={row?.name} states={parts.states} />
        <div class="work">
          <ToPanels />
          {row ? <h2 class="stage_title" tabIndex={-1} ref={title}>{t(row.says)}</h2> : null}
          <Turning name={name} judged={judged} />
          <Troubles view={view.told} detail={view.told ? "" : view.detail} judged={asked.detail} />
          {row ? (
            <StageView name={name} row={row} parts={parts} judged={judged} />
          ) : (
            <History name={name} parts={parts} judged={judged} shown={route.query.entry} />
          )}
        </div>
        <aside class="beside">
          <MeasureNext name={name} judged={judged} />
          {parts.is_read ? <WhereWasI name={name} entries={parts.in_force} /> : null}
          <Elsewhere name={name} />
        </aside>
      </div>
      <NewFindings told={asked.told} />
    </Sheet>
  );
}

function blocks(name: string, view: Schemas["case_view"] | undefined, judged: Judged): Block[] {
  const engine = view?.case.engine;
  const drive = view?.case.drive ?? view?.case.candidates?.join(", ");
  return [
    { name: t("block_case"), says: name },
    { name: t("block_drive"), says: drive ?? t("case_no_drive") },
    ...(engine
      ? [{ name: t("block_engine"), says: Object.values(engine).filter(Boolean).join(", ") }]
      : []),
    { name: t("block_judged"), says: judged.at ? time_words(judged.at) : t("stage_not_judged") },
  ];
}

// On a narrow screen the panels stand below all the work: one tap leads there.
function ToPanels() {
  const to = (id: string) => document.getElementById(id)?.scrollIntoView();
  return (
    <div class="to_panels row">
      <button type="button" class="quiet" onClick={() => to("where")}>
        {t("where_was_i")}
      </button>
      <button type="button" class="quiet" onClick={() => to("next")}>
        {t("measure_next")}
      </button>
    </div>
  );
}

interface TroubleProps {
  view: Schemas["case_view"] | undefined;
  detail: string;
  judged: string; // why there are no findings
}

function Troubles({ view, detail, judged }: TroubleProps) {
  const mistakes = view?.mistakes ?? [];
  return (
    <>
      {detail || judged ? (
        <p class="wrong" role="alert">
          <Told says={detail || judged} />
        </p>
      ) : null}
      {mistakes.length > 0 ? (
        <div class="caution">
          <p>{t("case_mistakes")}</p>
          <ul>
            {mistakes.map((one) => (
              <li key={`${one.line} ${one.message}`}>
                {one.line > 0 ? `${t("case_line", { line: one.line })}: ` : ""}
                <Told says={`${one.message} ${one.hint ?? ""}`.trim()} />
              </li>
            ))}
          </ul>
        </div>
      ) : null}
    </>
  );
}

function Elsewhere({ name }: { name: string }) {
  const files = [
    ["see_sheet", "sheet"],
    ["see_brief", "brief"],
    ["see_drawing", "drawing"],
  ] as const;
  return (
    <nav class="panel elsewhere" aria-label={t("block_case")}>
      <a href={address(["case", name, "work"])}>{t("work_free")}</a>
      <a href={address(["case", name, "work"], { see: "parts" })}>{t("work_parts")}</a>
      <a href={address(["about", name])}>{t("see_about")}</a>
      <a href={address(["turn", name])}>{t("see_drive")}</a>
      {files.map(([says, path]) => (
        <a key={path} href={in_store(case_path(name, path))} target="_blank" rel="noreferrer">
          {t(says)}
        </a>
      ))}
      <a href={in_store(case_path(name, "pack"))} download={`${name}.zip`}>
        {t("see_pack")}
      </a>
    </nav>
  );
}

// Told to those who hear the page, when a new judgement reads otherwise than the last.
function NewFindings({ told }: { told: Findings | undefined }) {
  const before = useRef<Findings | undefined>();
  const [says, say] = useState("");
  useEffect(() => {
    const n = changed_findings(before.current, told);
    if (told) before.current = told;
    if (n > 0) say(t("findings_new", { n }));
  }, [told]);
  return (
    <p class="heard" aria-live="polite">
      {says}
    </p>
  );
}
