// SPDX-License-Identifier: Apache-2.0
// What a definition is enough for, and what the next number would unlock.
import type { Schemas } from "../ask";
import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { answered, nearest_unlocks } from "./says";

type Check = Schemas["drive_check"];

function Answered({ levels, is_fresh = () => false }: { levels: Check["levels"]; is_fresh?: (question: string) => boolean }) {
  return (
    <ul class="lines">
      {levels.map((level) => (
        <li key={level.question} class={is_fresh(level.question) ? "fresh" : ""}>
          <Told says={level.question} />
          {level.detail ? <span class="faint"> <Told says={level.detail} /></span> : null}
        </li>
      ))}
    </ul>
  );
}

// `known`: what could be answered before this step. What became possible in it stands open, the rest
// is one tap away.
export function AnswersNow({ check, known }: { check: Check; known?: ReadonlySet<string> }) {
  const now = answered(check);
  const is_fresh = (question: string) => known !== undefined && !known.has(question);
  return (
    <section class="stack">
      <p class="large tally">{t("drives_answers", { n: now.length, of: check.levels.length })}</p>
      {known ? <Answered levels={now.filter((level) => is_fresh(level.question))} is_fresh={is_fresh} /> : <Answered levels={now} />}
      {known ? (
        <details>
          <summary>{t("drives_levels")}</summary>
          <Answered levels={now} is_fresh={is_fresh} />
        </details>
      ) : null}
    </section>
  );
}

export function Unlocks({ check }: { check: Check }) {
  const next = nearest_unlocks(check);
  if (next.length === 0) return null;
  return (
    <section class="stack">
      <h3>{t("drives_unlocks")}</h3>
      <ul class="lines">
        {next.map((level) => (
          <li key={level.question}>
            <strong>{level.missing.map((missing) => said(missing.what)).join(" + ")}</strong> → <Told says={level.question} />
            <span class="faint"> <Told says={level.missing[0]?.how ?? ""} /></span>
          </li>
        ))}
      </ul>
    </section>
  );
}

// Every question by its group, with what each lacks.
export function AllLevels({ check }: { check: Check }) {
  const groups = [...new Set(check.levels.map((level) => level.level))];
  return (
    <div class="levels">
      {groups.map((group) => (
        <section key={group}>
          <h3><Told says={group} /></h3>
          <ul class="lines">
            {check.levels
              .filter((level) => level.level === group)
              .map((level) => (
                <li key={level.question} class={level.can_answer ? "" : "lacks"}>
                  <span><Told says={level.question} /></span>{" "}
                  <strong>{t(level.can_answer ? "drives_can" : "drives_cannot")}</strong>
                  {level.detail ? <span class="faint"> <Told says={level.detail} /></span> : null}
                  {level.missing.map((missing) => (
                    <p key={missing.what} class="faint">
                      {t("drives_needs", { what: said(missing.what) })} <Told says={missing.how} />
                    </p>
                  ))}
                </li>
              ))}
          </ul>
        </section>
      ))}
    </div>
  );
}

export function Mistakes({ mistakes, to }: { mistakes: Schemas["mistake"][]; to?: (line: number) => void }) {
  return (
    <ul class="lines mistakes">
      {mistakes.map((mistake, i) => (
        <li key={i}>
          {mistake.line > 0 && to ? (
            <button type="button" class="quiet" onClick={() => to(mistake.line)}>
              {t("drives_line", { line: mistake.line })}
            </button>
          ) : mistake.line > 0 ? (
            <strong>{t("drives_line", { line: mistake.line })}</strong>
          ) : null}
          <p>
            <Told says={mistake.message} />
            {mistake.hint ? <span class="faint"> <Told says={mistake.hint} /></span> : null}
          </p>
        </li>
      ))}
    </ul>
  );
}
