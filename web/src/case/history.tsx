// SPDX-License-Identifier: Apache-2.0
import { waiting_of } from "../state/outbox";
import { said } from "../said/said";
import { t } from "../texts";
import type { CaseParts } from "./case_parts";
import { EntryCard, WaitingCard } from "./entry_card";
import type { Judged } from "./judged";

interface Props {
  name: string;
  parts: CaseParts;
  judged: Judged;
  shown: string | undefined; // id of the entry that somebody looks for
}

export function History({ name, parts, judged, shown }: Props) {
  const corrected = judged.told?.corrections ?? [];
  return (
    <section aria-labelledby="history">
      <h2 id="history">{t("history")}</h2>
      <p class="faint">{t("history_of")}</p>
      {corrected.length > 0 ? (
        <p>
          <b>{t("corrected_here")}</b> {corrected.map(said).join("; ")}
        </p>
      ) : null}
      <ul class="entries">
        {[...waiting_of(name)].reverse().map((one) => (
          <WaitingCard key={one.key} name={name} one={one} />
        ))}
        {[...parts.all].reverse().map((entry) => (
          <EntryCard
            key={entry.id}
            name={name}
            entry={entry}
            receipt={parts.receipts.get(entry.id)}
            replaced_by={parts.corrected.get(entry.id)}
            is_shown={entry.id === shown}
          />
        ))}
      </ul>
    </section>
  );
}
