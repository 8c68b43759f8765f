// SPDX-License-Identifier: Apache-2.0
// The way past the valves in detail: what forbids it, what to find out, the gaps. The answer itself,
// with its moves, stands once, on top of the stage.
import { useState } from "preact/hooks";

import { useAround, why_not_in_force } from "../case/judged";
import type { Kind } from "../case/stages";
import { kind_word } from "../enter/words";
import { time_words } from "../parts/time_words";
import { address } from "../route";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { waiting_of } from "../state/outbox";
import { type Key, t } from "../texts";
import { Gaps, WithoutFigures } from "./gaps";
import { type Clearance, clearance_of_case, has_gaps, type Way } from "./says";
import "./clearance.css";

const kEnters: Kind[] = ["standing", "stop", "indicator", "valve gap"];

interface Props {
  name: string;
  has_state: boolean; // the state of the engine is entered: before it no way is looked for
  turning: string | undefined; // the answer in force that stands above
}

// The answer itself, with its moves and cautions, stands once: above, on top of the stage.
export function WayInDetail({ name, has_state, turning }: Props) {
  const asked = useAsked<Clearance>(clearance_of_case(name), name);
  const why_not = why_not_in_force(asked, useAround(name));
  const told = asked.told;
  const way = why_not === undefined ? (told?.way ?? undefined) : undefined;
  const is_asking = !told && (asked.detail === "" || asked.status === 503);
  const enters = has_state ? kEnters : (["state", ...kEnters] as Kind[]);
  return (
    <section class="cl_card" aria-labelledby="way_in_detail">
      <h2 id="way_in_detail">{t("cl_title")}</h2>
      <p>{t("cl_answer_above")}</p>
      {is_asking ? <p role="status">{t("loading")}</p> : null}
      {why_not && !is_asking ? <p>{t("turning_withheld")} {t(why_not, { time: time_words(asked.at) })}</p> : null}
      {asked.detail && asked.status !== 0 && asked.status !== 503 ? <p class="wrong"><Told says={asked.detail} whole /></p> : null}
      {way ? <Detail way={way} has_state={has_state} allows_else={turning?.startsWith("TURN ONLY") ?? false} /> : null}
      <RefusedHere name={name} />
      <nav class="row" aria-label={t("cl_title")}>
        {enters.map((kind, i) => (
          <a key={kind} class={i === 0 ? "button main" : "button"} href={address(["enter", name, kind])}>
            {kind === "state" ? t("enter_state") : kind === "standing" ? t("cl_enter_standing") : kind_word(kind)}
          </a>
        ))}
      </nav>
      {told ? <Figures name={name} told={told} /> : null}
    </section>
  );
}

// What was entered from here and the program would not have: with its reason, in this place too.
function RefusedHere({ name }: { name: string }) {
  const refused = waiting_of(name).filter((one) => one.refused && kEnters.includes(one.entry.kind as Kind));
  return (
    <>
      {refused.map((one) => (
        <p class="wrong" role="alert" key={one.key}>
          {t("cl_refused")}: {kind_word(one.entry.kind)}. <Told says={one.refused?.detail ?? ""} whole />{" "}
          <a class="button" href={address(["enter", name, one.entry.kind], { mend: one.key })}>{t("entry_mend")}</a>
        </p>
      ))}
    </>
  );
}

interface DetailProps {
  way: Way;
  has_state: boolean;
  allows_else: boolean; // something may be turned
}

function Detail({ way, has_state, allows_else }: DetailProps) {
  if (!has_state) return <p>{t("cl_no_state")}</p>;
  if (!way.entry)
    return (
      <>
        <p>{t("cl_no_standing")}</p>
        <List says="cl_ask" all={way.ask} />
      </>
    );
  // What may be turned above rests on closed valves: a way past worked ones is another question.
  if (allows_else && !way.may_turn) return <p>{t("cl_valves_closed")}</p>;
  const is_forbidden = way.forbidden.length > 0 || Boolean(way.no_way);
  return (
    <>
      <List says="cl_forbids" all={way.forbidden} />
      {way.no_way ? <p class="caution"><Told says={way.no_way} whole /></p> : null}
      {!is_forbidden && way.moves.length === 0 ? <p>{t("cl_nothing_moves")}</p> : null}
      <List says="cl_ask" all={way.ask} />
      {way.explained.map((says) => <p key={says}><Told says={says} whole /></p>)}
      {is_forbidden ? way.cautions.map((says) => <p class="caution" key={says}><Told says={says} /></p>) : null}
    </>
  );
}

function List({ says, all }: { says: Key; all: readonly string[] }) {
  if (all.length === 0) return null;
  return (
    <div>
      <b>{t(says)}</b>
      <ul>{all.map((one) => <li key={one}><Told says={one} whole /></li>)}</ul>
    </div>
  );
}

// Below the answer: the table of the definition. Without its figures what is done then stands open.
function Figures({ name, told }: { name: string; told: Clearance }) {
  const [is_open, open] = useState(false);
  const known = told.drives.filter(has_gaps);
  const without = told.drives.find((one) => !has_gaps(one))?.without_figures ?? told.without_figures ?? [];
  return (
    <>
      {known.length === 0 && without.length > 0 ? <WithoutFigures says={without} cautions={told.way?.cautions ?? []} /> : null}
      {known.length > 0 ? (
        <details class="cl_figures_of" open={is_open} onToggle={(event) => open(event.currentTarget.open)}>
          <summary>{t("cl_table")}</summary>
          {is_open ? known.map((drive) => <Gaps key={drive.drive} drive={drive} of={clearance_of_case(name)} of_case={name} />) : null}
        </details>
      ) : null}
    </>
  );
}
