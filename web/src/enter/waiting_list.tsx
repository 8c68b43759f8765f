// SPDX-License-Identifier: Apache-2.0
// What was entered here and is not in the program yet; what it refused, with the reason.
import { time_words } from "../parts/time_words";
import { address } from "../route";
import { Told } from "../said/told";
import { useHeard } from "../state/heard";
import { drop, retry, type Waiting, waiting_of, why_held_up } from "../state/outbox";
import { t } from "../texts";
import { in_short, mistake_words } from "./words";

export function WaitingList({ name }: { name: string }) {
  useHeard("outbox");
  const all = waiting_of(name);
  if (all.length === 0) return null;
  return (
    <section class="stack waiting">
      <h2>{t("in_waiting")}</h2>
      {why_held_up() ? <p class="caution" role="status" lang="en">{why_held_up()}</p> : null}
      <ul>
        {all.map((one) => (
          <li key={one.key}>
            <p>
              <strong>{in_short(one.entry)}</strong>{" "}
              <span class="faint">{time_words(one.entered)}</span>
            </p>
            {one.is_only_in_memory ? <p class="wrong">{t("in_only_in_memory")}</p> : null}
            {one.refused ? <Refused one={one} /> : null}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Refused({ one }: { one: Waiting }) {
  const mistakes = one.refused?.mistakes ?? [];
  return (
    <div class="caution stack">
      <p class="wrong">{one.refused?.status === 409 ? t("in_conflict") : t("in_refused")}</p>
      {mistakes.length === 0 ? <p><Told says={one.refused?.detail ?? ""} /></p> : null}
      {mistakes.map((mistake) => (
        <p key={`${mistake.column} ${mistake.message}`}>
          {mistake_words(mistake)}
        </p>
      ))}
      <div class="row">
        <a class="button" href={address(["enter", one.case, one.entry.kind], { mend: one.key })}>
          {t("in_mend")}
        </a>
        <button type="button" class="quiet" onClick={() => void retry(one.key)}>
          {t("in_retry")}
        </button>
        <button type="button" class="quiet" onClick={() => confirm(t("in_drop_sure")) && void drop(one.key)}>
          {t("in_drop")}
        </button>
      </div>
    </div>
  );
}
