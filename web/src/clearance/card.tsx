// SPDX-License-Identifier: Apache-2.0
// May I turn it? Past the valves: the way from where the engine stands to where it should, move by
// move, or what forbids it. Only the program's own answer may say anything else than never, and only
// while it is in force.
import { useState } from "preact/hooks";

import { useAround, why_not_in_force } from "../case/judged";
import type { Kind } from "../case/stages";
import { kind_word } from "../enter/words";
import { time_words } from "../parts/time_words";
import { address } from "../route";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { type Key, t } from "../texts";
import { Gaps, WithoutFigures } from "./gaps";
import { type Clearance, clearance_of_case, has_gaps, type Way } from "./says";
import "./clearance.css";

const kEnters: Kind[] = ["standing", "stop", "indicator", "valve gap"];

export function MayITurn({ name }: { name: string }) {
  const asked = useAsked<Clearance>(clearance_of_case(name), name);
  const why_not = why_not_in_force(asked, useAround(name));
  const told = asked.told;
  const way = why_not === undefined ? (told?.way ?? undefined) : undefined;
  const allows = way?.may_turn === true && way.answer.startsWith("TURN ONLY");
  return (
    <section class={allows ? "cl_card allows" : "cl_card"} aria-labelledby="may_i_turn">
      <h2 id="may_i_turn">{t("cl_title")}</h2>
      <p class="cl_answer" role="status">{allows ? <Told says={way.answer} /> : t("turning_never")}</p>
      {why_not ? <p>{t("turning_withheld")} {t(why_not, { time: time_words(asked.at) })}</p> : null}
      {asked.detail && asked.status !== 0 ? <p class="wrong"><Told says={asked.detail} whole /></p> : null}
      {why_not === undefined && told ? way && way.entry !== null && way.entry !== "" ? <TheWay way={way} allows={allows} /> : <p>{t("cl_no_standing")}</p> : null}
      {way && !way.entry ? <List says="cl_ask" all={way.ask} /> : null}
      <nav class="row" aria-label={t("cl_title")}>
        {kEnters.map((kind, i) => (
          <a key={kind} class={i === 0 ? "button main" : "button"} href={address(["enter", name, kind])}>
            {i === 0 ? t("cl_enter_standing") : kind_word(kind)}
          </a>
        ))}
      </nav>
      {told ? <Figures name={name} told={told} /> : null}
    </section>
  );
}

function TheWay({ way, allows }: { way: Way; allows: boolean }) {
  return (
    <>
      <List says="cl_forbids" all={way.forbidden} />
      {way.no_way ? <p class="caution"><Told says={way.no_way} whole /></p> : null}
      {allows && way.moves.length > 0 ? (
        <div>
          <b>{t("cl_moves")}</b>
          <ol class="cl_moves">
            {way.moves.map((move, i) => (
              <li key={i}>
                <Move says={move.words} />
              </li>
            ))}
          </ol>
        </div>
      ) : null}
      {way.forbidden.length === 0 && !way.no_way && way.moves.length === 0 ? <p>{t("cl_nothing_moves")}</p> : null}
      <List says="cl_ask" all={way.ask} />
      {way.explained.map((says) => <p key={says}><Told says={says} whole /></p>)}
      {allows && way.holds_for ? <p><b>{t("turning_holds")}</b> <Told says={way.holds_for} /></p> : null}
      {way.cautions.map((says) => <p class="caution" key={says}><Told says={says} /></p>)}
    </>
  );
}

// "turn the crankshaft 30 deg crank ...; no contact expected, at least 4.20 mm, while ... are held"
function Move({ says }: { says: string }) {
  const at = says.indexOf(kGap);
  if (at < 0) return <Told says={says} whole />;
  return (
    <>
      <Told says={says.slice(0, at)} whole />
      <small><Told says={says.slice(at + 2)} whole /></small>
    </>
  );
}

const kGap = "; no contact expected";

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
      {known.length === 0 && without.length > 0 ? <WithoutFigures says={without} /> : null}
      {known.length > 0 ? (
        <details class="cl_figures_of" open={is_open} onToggle={(event) => open(event.currentTarget.open)}>
          <summary>{t("cl_table")}</summary>
          {is_open ? known.map((drive) => <Gaps key={drive.drive} drive={drive} of={clearance_of_case(name)} of_case={name} />) : null}
        </details>
      ) : null}
    </>
  );
}
