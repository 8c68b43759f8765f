// SPDX-License-Identifier: Apache-2.0
// May the engine be turned? Only the program's own answer may say anything else than never, and
// only while it is in force.
import type { ComponentChildren } from "preact";

import { time_words } from "../parts/time_words";
import { address } from "../route";
import { parts_of } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import type { Judged } from "./judged";

const kAsked = {
  backwards: "turning_asked_backwards",
  starter: "turning_asked_starter",
  start: "turning_asked_start",
} as const;

interface Props {
  name: string;
  judged: Judged;
  leads?: ComponentChildren; // to what it wants to see; by default to the state
}

export function Turning({ name, judged, leads }: Props) {
  const turning = judged.is_in_force ? judged.told?.turning : undefined;
  const allows = turning?.answer.startsWith("TURN ONLY") ?? false;
  return (
    <section class={allows ? "turning allows" : "turning"} aria-labelledby="turning">
      <h2 id="turning">{t("turning")}</h2>
      <p class="answer" role="status">
        {allows ? <Allowed says={turning?.answer ?? ""} /> : t("turning_never")}
      </p>
      {leads}
      {turning ? <Reasons turning={turning} allows={allows} /> : <Withheld judged={judged} />}
      {leads === undefined ? <a class="button" href={address(["enter", name, "state"])}>{t("enter_state")}</a> : null}
    </section>
  );
}

// What may be turned and how stands large, how far and until when beside it. Nothing is left out.
function Allowed({ says }: { says: string }) {
  const [only, ...others] = parts_of(says);
  const end = only && others.length === 0 && !only.is_english ? (/^[^,;]*,[^,;]*[,;]|^[^;]*;/.exec(only.text)?.[0].length ?? 0) : 0;
  if (!only || end === 0) return <Told says={says} />;
  return (
    <>
      {only.text.slice(0, end)}
      <small>{only.text.slice(end)}</small>
    </>
  );
}

function Withheld({ judged }: { judged: Judged }) {
  const time = time_words(judged.at);
  return (
    <>
      <p>
        <b>{judged.at ? t("not_judged_since", { time }) : ""}</b> {t("turning_withheld")}{" "}
        {judged.why_not ? t(judged.why_not, { time }) : ""}
      </p>
      <p>{t("turning_look")}</p>
    </>
  );
}

type TurningAnswer = NonNullable<Judged["told"]>["turning"];

function Reasons({ turning, allows }: { turning: TurningAnswer; allows: boolean }) {
  const moves = turning.moves ?? [];
  const cautions = turning.cautions.map((says) => (
    <p class="caution" key={says}>
      <Told says={says} />
    </p>
  ));
  return (
    <>
      {allows && moves.length > 0 ? (
        <>
          <dl class="said"><Said name={t("turning_around")} says={turning.instead} /></dl>
          <div class="moves">
            <b>{t("turning_moves")}</b>
            <ol>{moves.map((says) => <li key={says}><Move says={says} /></li>)}</ol>
          </div>
          {cautions}
        </>
      ) : null}
      <dl class="said">
        <Said name={t("turning_why")} says={turning.because} />
        {allows && moves.length > 0 ? null : <Said name={t(allows ? "turning_around" : "turning_instead")} says={turning.instead} />}
        {allows ? <Said name={t("turning_holds")} says={turning.holds_for} /> : null}
        <Said name={t("turning_next")} says={turning.next} />
      </dl>
      {allows && moves.length === 0 ? cautions : null}
      <details class="prints">
        <summary>{t("turning_more")}</summary>
        <dl class="said">
          <Said name={t("turning_changes")} says={turning.changes_it} />
          <Said name={t("turning_say")} says={turning.say} />
          {allows ? null : <Said name={t("turning_holds")} says={turning.holds_for} />}
        </dl>
        {allows ? null : cautions}
      </details>
      <details>
        <summary>{t("turning_never_more")}</summary>
        {turning.never.map((one) => (
          <dl class="said" key={one.asked}>
            <Said name={t(kAsked[one.asked])} says={`DO NOT TURN: ${one.because}`} />
            <Said name={t("turning_instead")} says={one.instead} />
          </dl>
        ))}
      </details>
    </>
  );
}

// "turn the crankshaft 30 deg crank ...; no contact expected, at least 4.20 mm, while ... are held"
function Move({ says }: { says: string }) {
  const at = says.indexOf("; no contact expected");
  if (at < 0) return <Told says={says} whole />;
  return (
    <>
      <Told says={says.slice(0, at)} whole />
      <small><Told says={says.slice(at + 2)} whole /></small>
    </>
  );
}

function Said({ name, says }: { name: string; says: string }) {
  if (!says) return null;
  return (
    <div>
      <dt>{name}</dt>
      <dd><Told says={says} whole /></dd>
    </div>
  );
}
