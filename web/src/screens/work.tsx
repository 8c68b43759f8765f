// SPDX-License-Identifier: Apache-2.0
// #/case/NAME/work: the work, one step at a time. #/drive/NAME/work: the same to be read, without a
// case. ?step=…: this step; ?see=all, ?see=parts: all of them, the sets of parts.
import type { ComponentChildren } from "preact";

import { in_store } from "../ask";
import { type Block, Sheet } from "../parts/sheet";
import { time_words } from "../parts/time_words";
import { address, type Route } from "../route";
import { Told } from "../said/told";
import { type Asked, useAsked } from "../state/asked";
import { useAwake } from "../state/awake";
import { t } from "../texts";
import { step_begun } from "../work/begun";
import { FreeWork, NoProcedure } from "../work/free_work";
import { Paper } from "../work/paper";
import { PartsView } from "../work/parts_view";
import { work_of_drive, type ProcedureSaid, type StepSaid, type WorkSaid } from "../work/says";
import { Cards, cards_of, StepEntered } from "../work/step_entered";
import { StepList } from "../work/step_list";
import { StepView } from "../work/step_view";
import { shown_step } from "../work/steps";
import { rest_of_state } from "../work/state";
import { Strip } from "../work/strip";
import { LastEntered } from "../work/take_back";
import { TurnNow } from "../work/turn_now";
import { useWork } from "../work/use_work";
import { fact_words } from "../work/words";
import "./case.css";
import "./work.css";

export function WorkScreen({ route }: { route: Route }) {
  const [of, name = ""] = route.path;
  const key = in_store(`${of}/${name}`);
  if (of === "drive") return <DriveWork key={key} name={name} route={route} />;
  return <CaseWork key={key} name={name} route={route} />;
}

type Path = [of: string, name: string, work: string];

function CaseWork({ name, route }: { name: string; route: Route }) {
  useAwake();
  const of = useWork(name);
  const path: Path = ["case", name, "work"];
  const procedure = of.work.told?.procedure ?? undefined;
  const { why_not } = of.around;
  const time = time_words(of.work.at);
  const withheld = why_not ? `${t("work_withheld")} ${t(why_not, { time })}` : "";
  const step = procedure && shown_step(procedure, route.query["step"] ?? step_begun(name), of.around.waiting);
  const judged = { ...of.judged, is_in_force: why_not === undefined, why_not };
  const blocks = [
    { name: t("block_case"), says: name },
    { name: t("block_drive"), says: procedure?.drive ?? of.view?.case.drive ?? t("case_no_drive") },
    { name: t("work_as_of"), says: time || t("stage_not_judged") },
  ];
  const href = (to: string) => address(path, { step: to });
  return (
    <Frame path={path} route={route} title={of.view?.summary?.title ?? name} blocks={blocks} work={of.work} is_gone={of.is_gone} step={step} waiting={of.around.waiting} withheld={withheld}>
      {procedure && step ? (
        <>
          <Strip name={name} procedure={procedure} withheld={withheld} />
          {procedure.next?.length === 0 ? <p class="caution"><b>{t("work_all_done")}</b></p> : null}
          <LastEntered name={name} procedure={procedure} shown={step.name} href={href} />
          <StepView
            procedure={procedure}
            step={step}
            waits={of.around.waiting.has(step.name)}
            of_case={name}
            href={href}
            turning={step.turns ? <TurnNow name={name} step={step.name} judged={judged} /> : null}
          >
            <StepEntered key={step.name} name={name} step={step} of={of} />
          </StepView>
          <Said procedure={procedure} />
        </>
      ) : of.work.told?.drive ? (
        <FreeWork name={name} of={{ ...of, judged }} />
      ) : null}
    </Frame>
  );
}

// What stays open and what could not be taken as entered, in words.
function Said({ procedure }: { procedure: ProcedureSaid }) {
  const open = procedure.open ?? [];
  const said = procedure.said ?? [];
  const rest = rest_of_state(procedure);
  return (
    <>
      {open.length + said.length > 0 ? (
        <details class="prints" open={said.length > 0}>
          <summary>{t("work_open", { n: open.length + said.length })}</summary>
          <ul>
            {said.map((says) => <li key={says}><Told says={says} whole /></li>)}
            {open.map((one) => <li key={`${one.entry} ${one.gate}`}><Told says={one.words} whole /></li>)}
          </ul>
        </details>
      ) : null}
      {rest.length > 0 ? (
        <details>
          <summary>{t("work_state_more", { n: rest.length })}</summary>
          <p>{rest.map(fact_words).join("; ")}</p>
        </details>
      ) : null}
    </>
  );
}

function DriveWork({ name, route }: { name: string; route: Route }) {
  const work = useAsked<WorkSaid>(work_of_drive(name), "/");
  const path: Path = ["drive", name, "work"];
  const procedure = work.told?.procedure ?? undefined;
  const step = procedure && (procedure.steps.find((one) => one.name === route.query["step"]) ?? procedure.steps[0]);
  const blocks = [{ name: t("block_drive"), says: name }, { name: t("work_as_of"), says: time_words(work.at) }];
  return (
    <Frame path={path} route={route} title={name} blocks={blocks} work={work} is_gone={work.status === 404} step={step} waiting={new Map()}>
      {procedure && step ? (
        <>
          <p class="caution">{t("work_to_read")}</p>
          <StepView
            procedure={procedure}
            step={step}
            waits={false}
            of_case={undefined}
            href={(to) => address(path, { step: to })}
            turning={step.turns ? <p class="turning"><b class="answer">{t("turning_never")}</b> {t("work_turn_in_case")}</p> : null}
          >
            <Cards key={step.name} cards={cards_of(step, work.told?.fasteners ?? [])} step={step} of_case={undefined} instruments={[]} ticks={{}} on_ticks={() => undefined} />
          </StepView>
        </>
      ) : null}
    </Frame>
  );
}

interface FrameProps {
  path: Path;
  route: Route;
  title: string;
  blocks: Block[];
  work: Asked<WorkSaid>;
  is_gone: boolean;
  step: StepSaid | undefined;
  waiting: ReadonlyMap<string, unknown>;
  withheld?: string; // as the strip says it
  children: ComponentChildren;
}

function Frame({ path, route, title, blocks, work, is_gone, step, waiting, withheld, children }: FrameProps) {
  const see = route.query["see"] ?? "step";
  const procedure = work.told?.procedure ?? undefined;
  const list = procedure ? <StepList procedure={procedure} at={step?.name} waiting={waiting} href={(to) => address(path, { step: to })} /> : null;
  const is_invented = procedure?.invented || work.told?.cautions?.some((says) => /^an invented engine/i.test(says));
  const has_why = work.told && !procedure;
  return (
    <Sheet wide title={title} back={address(path.slice(0, 2))} blocks={blocks}>
      {is_invented && !route.practice ? <p class="practice">{t("case_invented")}</p> : null}
      {work.told ? <Views path={path} see={see} step={route.query["step"]} has_steps={procedure !== undefined} /> : null}
      {work.told?.cautions?.filter((says) => !/^an invented engine/i.test(says)).map((says) => <p class="caution" key={says}><Told says={says} whole /></p>)}
      {work.told ? null : <p role="status">{is_gone ? t("case_gone") : work.detail ? <Told says={work.detail} whole /> : t("loading")}</p>}
      {has_why && see !== "parts" ? <Without work={work.told} /> : null}
      {see === "parts" && work.told ? <PartsView path={path} /> : null}
      {see !== "step" && withheld ? <p class="wrong" role="status">{withheld}</p> : null}
      {see === "all" ? <div class="all_steps">{list}</div> : null}
      {see === "step" ? (
        <div class="steps_and_list">
          <div class="step_column">{children}</div>
          {procedure ? <aside class="list_column">{list}</aside> : null}
        </div>
      ) : null}
      {procedure ? <Paper procedure={procedure} fasteners={work.told?.fasteners ?? []} withheld={withheld} /> : null}
    </Sheet>
  );
}

// The definition has no procedure; or it is not known which definition.
function Without({ work }: { work: WorkSaid | undefined }) {
  if (work?.drive) return <NoProcedure drive={work.drive} />;
  return <p class="caution"><Told says={work?.why ?? ""} whole /></p>;
}

const kViews = [["step", "work_one"], ["all", "work_all"], ["parts", "work_parts"]] as const;

interface ViewsProps {
  path: Path;
  see: string;
  step: string | undefined;
  has_steps: boolean;
}

function Views({ path, see, step, has_steps }: ViewsProps) {
  return (
    <nav class="views row" aria-label={t("work_views")}>
      {kViews.filter(([view]) => has_steps || view !== "all").map(([view, says]) => (
        <a key={view} class="button" aria-current={view === see ? "page" : undefined} href={address(path, { ...(step ? { step } : {}), ...(view === "step" ? {} : { see: view }) })}>
          {t(view === "step" && !has_steps ? "work_free" : says)}
        </a>
      ))}
      {has_steps && see === "all" ? <button type="button" class="quiet" onClick={() => print()}>{t("work_print")}</button> : null}
    </nav>
  );
}
