// SPDX-License-Identifier: Apache-2.0
// An answer becomes a case: one tap for the list, one on the drive, and the answer is its first entry.
import { useEffect, useRef, useState } from "preact/hooks";

import { ask, type Schemas } from "../ask";
import { go } from "../route";
import { useAsked } from "../state/asked";
import { enter } from "../state/outbox";
import { t } from "../texts";
import { answer_entry, proposed_case } from "./said";
import type { Answer } from "./says";

const kNoCase = "/";

export function CaseMaker({ answer }: { answer: Answer }) {
  const [is_open, open] = useState(false);
  if (is_open) return <ChooseDrive answer={answer} />;
  return (
    <button type="button" onClick={() => open(true)}>
      {t("quick_make_case")}
    </button>
  );
}

function ChooseDrive({ answer }: { answer: Answer }) {
  const drives = useAsked<Schemas["drive_list"]>("/api/drives", kNoCase);
  const [name, set_name] = useState(() => proposed_case(`phone-${answer.question}`, new Date()));
  const [wrong, set_wrong] = useState("");
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => field.current?.focus(), []); // the button that opened it is gone
  const make = async (drive?: string) => {
    const made = await ask("POST", "/api/cases", { name, ...(drive ? { drive } : {}) });
    if (!made.ok) return set_wrong(made.detail);
    await enter(name, answer_entry(answer));
    go(["case", name]);
  };
  return (
    <section class="card stack">
      <label>
        {t("quick_case_name")}
        <input ref={field} value={name} onInput={(event) => set_name(event.currentTarget.value)} />
      </label>
      <h3>{t("quick_which_drive")}</h3>
      <div class="choices">
        {drives.told?.drives.map((drive) => (
          <button key={drive.name} type="button" onClick={() => void make(drive.name)}>
            {drive.title ?? drive.name}
          </button>
        ))}
        <button type="button" class="quiet" onClick={() => void make()}>
          {t("quick_drive_later")}
        </button>
      </div>
      {wrong ? <p class="wrong" role="alert">{wrong}</p> : null}
    </section>
  );
}
