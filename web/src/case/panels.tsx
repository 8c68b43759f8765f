// SPDX-License-Identifier: Apache-2.0
// Beside the work: what to measure next and why, and where the work stood.
import { kind_word } from "../enter/words";
import { time_words } from "../parts/time_words";
import { address } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { waiting_of } from "../state/outbox";
import { t } from "../texts";
import { entry_words } from "./entry_words";
import { enter_address, type Judged, type Wanted, wanted_next } from "./judged";
import type { Entry } from "./stages";

const kShown = 4;

export function MeasureNext({ name, judged }: { name: string; judged: Judged }) {
  const headline = (judged.told?.headline ?? []).find((says) => says.startsWith("Next: "));
  const wanted = wanted_next(judged.told?.findings ?? []);
  return (
    <section class="panel" aria-labelledby="next">
      <h2 id="next">{t("measure_next")}</h2>
      {judged.is_in_force ? null : <NotJudgedSince judged={judged} />}
      {headline ? <p class="lead"><Told says={headline.slice("Next: ".length)} whole /></p> : null}
      {wanted.length > 0 ? <List name={name} wanted={wanted.slice(0, kShown)} /> : null}
      {judged.told && !headline && wanted.length === 0 ? <p>{t("measure_next_none")}</p> : null}
      {wanted.length > kShown ? (
        <details class="prints">
          <summary>{t("measure_next_more", { n: wanted.length - kShown })}</summary>
          <List name={name} wanted={wanted.slice(kShown)} />
        </details>
      ) : null}
    </section>
  );
}

export function NotJudgedSince({ judged }: { judged: Judged }) {
  return (
    <p class="wrong">
      {judged.at ? t("not_judged_since", { time: time_words(judged.at) }) : t("stage_not_judged")}
    </p>
  );
}

function List({ name, wanted }: { name: string; wanted: Wanted[] }) {
  return (
    <ol class="wanted">
      {wanted.map((one) => {
        const enter = is_for_a_person(one)
          ? { path: ["enter", name, "decision"], query: { subject: one.subjects[0] ?? "" } }
          : enter_address(name, one.check, one.subjects[0] ?? "");
        return (
          <li key={one.says}>
            <a href={address(enter.path, enter.query)}><Told says={one.says} whole /></a>
            <small>
              {said(one.check.replaceAll("-", " "))}: {said(one.subjects.join("; "))}
            </small>
          </li>
        );
      })}
    </ol>
  );
}

// Where no measurement can decide, a person does, with name and reason.
function is_for_a_person(one: Wanted): boolean {
  return one.says.includes("decide on other grounds");
}

const kMost = 160; // characters: enough to know it again

function shortened(text: string): string {
  return text.length > kMost ? `${text.slice(0, kMost)} …` : text;
}

interface Standing {
  name: string;
  entries: readonly Entry[]; // those in force
}

export function WhereWasI({ name, entries }: Standing) {
  const newest = [...entries].reverse();
  const since = newest.findIndex((entry) => entry.kind === "state");
  const step = newest.find((entry) => entry.kind === "step");
  const last = newest[0];
  const waiting = waiting_of(name);
  return (
    <section class="panel" aria-labelledby="where">
      <h2 id="where">{t("where_was_i")}</h2>
      <State entry={newest[since]} since={since} />
      {step ? <Line says={t("where_step")} name={name} entry={step} /> : null}
      {last ? <Line says={t("where_last")} name={name} entry={last} /> : <p>{t("where_nothing")}</p>}
      {waiting.length > 0 ? (
        <div>
          <b>{t("where_waits")}</b>
          <ul>
            {waiting.map((one) => (
              <li key={one.key}>
                {kind_word(one.entry.kind)} {entry_words(one.entry).about}{one.refused ? <>{" "}<a class="wrong" href={address(["enter", name])}>{t("entry_refused")}</a></> : null}
              </li>
            ))}
          </ul>
        </div>
      ) : null}
    </section>
  );
}

function State({ entry, since }: { entry: Entry | undefined; since: number }) {
  if (!entry) return <p>{t("where_state_none")}</p>;
  return (
    <div>
      <b>{t("where_state", { when: time_words(entry.at) })}</b>
      <dl class="facts">
        {entry_words(entry).rest.map((one) => (
          <div key={one.name}>
            <dt>{one.name}</dt>
            <dd>{one.says}</dd>
          </div>
        ))}
      </dl>
      {since > 0 ? <p class="wrong">{t("where_state_since", { n: since })}</p> : null}
    </div>
  );
}

function Line({ says, name, entry }: { says: string; name: string; entry: Entry }) {
  const words = entry_words(entry);
  // A quick answer is never shown in part, away from its conditions.
  const told = entry.kind === "quick" ? "" : shortened(words.says);
  return (
    <p>
      <b>{says}</b>
      <a href={address(["case", name, "history"], { entry: entry.id })}>
        {[kind_word(entry.kind), words.about, told].filter(Boolean).join(", ")}
      </a>{" "}
      <small>
        {time_words(entry.at)} {entry.by ? t("entry_by", { who: entry.by }) : ""}
      </small>
    </p>
  );
}
