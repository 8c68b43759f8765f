// SPDX-License-Identifier: Apache-2.0
// May the engine be turned? Only the program's own answer may say anything else than never, and
// only while it is in force.
import type { ComponentChildren } from "preact";

import { time_words } from "../parts/time_words";
import { address } from "../route";
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
        {allows ? <Told says={turning?.answer ?? ""} /> : t("turning_never")}
      </p>
      {leads}
      {turning ? <Reasons turning={turning} allows={allows} /> : <Withheld judged={judged} />}
      {leads === undefined ? <a class="button" href={address(["enter", name, "state"])}>{t("enter_state")}</a> : null}
    </section>
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
  const cautions = turning.cautions.map((says) => (
    <p class="caution" key={says}>
      <Told says={says} />
    </p>
  ));
  return (
    <>
      <dl class="said">
        <Said name={t("turning_why")} says={turning.because} />
        <Said name={t("turning_instead")} says={turning.instead} />
        {allows && (turning.moves ?? []).length > 0 ? (
          <div>
            <dt>{t("turning_moves")}</dt>
            <dd><ol>{(turning.moves ?? []).map((says) => <li key={says}><Told says={says} whole /></li>)}</ol></dd>
          </div>
        ) : null}
        {allows ? <Said name={t("turning_holds")} says={turning.holds_for} /> : null}
        <Said name={t("turning_next")} says={turning.next} />
      </dl>
      {allows ? cautions : null}
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

function Said({ name, says }: { name: string; says: string }) {
  if (!says) return null;
  return (
    <div>
      <dt>{name}</dt>
      <dd><Told says={says} whole /></dd>
    </div>
  );
}
