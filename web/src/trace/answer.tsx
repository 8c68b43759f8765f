// SPDX-License-Identifier: Apache-2.0
// What a trace shows, in words: first what to do, then each sign with why and what looks the same.
import { address } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { VerdictLink } from "../parts/link";
import { type Key, t } from "../texts";
import { type TraceSaid, verdict_of } from "./says";

const kAnswers: Record<TraceSaid["answer"], Key> = {
  "signs found": "tr_signs",
  "not decided": "tr_not_decided",
  "nothing found": "tr_nothing",
  "not judged": "tr_not_judged",
};

export function TraceAnswer({ trace }: { trace: TraceSaid }) {
  return (
    <section class="trace_answer" aria-labelledby="trace_answer">
      <h2 id="trace_answer">
        <VerdictLink verdict={verdict_of(trace)} /> {t(trace.take_out ? "tr_take_out" : kAnswers[trace.answer])}
      </h2>
      {trace.problem ? <p class="wrong"><Told says={trace.problem} whole /> <Told says={trace.decides ?? ""} whole /></p> : null}
      <Asked trace={trace} />
      {trace.signs.map((sign) => (
        <article key={sign.why} class={sign.take_out ? "sign out" : "sign"}>
          <h3><Told says={sign.sign} /></h3>
          <p><Told says={sign.why} whole /></p>
          {sign.follows.length > 0 ? <><b>{t("tr_follows")}</b><ol>{sign.follows.map((one) => <li key={one}><Told says={one} /></li>)}</ol></> : null}
          <p class="faint">{t("tr_same")} <Told says={sign.looks_the_same} whole /></p>
        </article>
      ))}
      {trace.differs ? <p class="caution"><Told says={trace.differs} whole /></p> : null}
      {(trace.open ?? []).map((one) => <p key={one}><b>{t("tr_open")}</b> <Told says={one} whole /></p>)}
      {trace.values && !trace.others && !trace.take_out ? <p>{t("tr_wants_others")}</p> : null}
      <p class="approves"><b>{t("tr_approves_nothing")}</b></p>
      <Cannot trace={trace} />
    </section>
  );
}

function Asked({ trace }: { trace: TraceSaid }) {
  if (trace.missing.length === 0) return null;
  return (
    <div class="asks">
      <b>{t("tr_asked")}</b>
      <ul>{trace.missing.map((one) => <li key={one}><Told says={one} /></li>)}</ul>
      {trace.drive ? <a class="button" href={address(["drive", trace.drive])}>{t("tr_to_drive")}</a> : null}
    </div>
  );
}

function Cannot({ trace }: { trace: TraceSaid }) {
  const lists: [Key, readonly string[]][] = [
    ["tr_seen", trace.sentences ?? []],
    ["tr_cannot", trace.cannot_be_told ?? []],
    ["tr_assumed", trace.assumed],
  ];
  return (
    <>
      {lists.map(([key, all]) =>
        all.length === 0 ? null : (
          <details class="prints" key={key} open={key === "tr_cannot"}>
            <summary>{t(key)}</summary>
            <ul>{all.map((one) => <li key={one}><Told says={one} /></li>)}</ul>
          </details>
        ))}
      {trace.notes.length > 0 ? <details><summary>{t("tr_notes")}</summary><ul>{trace.notes.map((one) => <li key={one}>{said(one)}</li>)}</ul></details> : null}
    </>
  );
}
