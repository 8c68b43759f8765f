// SPDX-License-Identifier: Apache-2.0
// A new case in few taps: the drive, a name that is proposed, begin.
import { useEffect, useRef, useState } from "preact/hooks";

import { ask, type Schemas } from "../ask";
import { address, go } from "../route";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import { with_mistakes } from "./dropped";

// "quellmere-i4-16" on the 2nd of March is "quellmere-i4-16 03-02".
export function begun_name(drive: string, now: Date): string {
  const two = (n: number) => String(n).padStart(2, "0");
  return `${drive || t("new_case_proposed")} ${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

// With a number behind it when there is one already.
export function free_name(begun: string, taken: ReadonlySet<string>): string {
  for (let n = 1; ; ++n) {
    const name = n === 1 ? begun : `${begun} ${n}`;
    if (!taken.has(name)) return name;
  }
}

export function NewCase({ leave }: { leave: () => void }) {
  const drives = useAsked<Schemas["drive_list"]>("/api/drives").told?.drives ?? [];
  const [drive, set_drive] = useState<string | undefined>();
  const [wrong, set_wrong] = useState("");
  const proposed = useFreeName(drive);
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []); // the button that opened it is gone
  const begin = async (event: SubmitEvent) => {
    event.preventDefault();
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const title = String(data.get("title") ?? "").trim();
    const answer = await ask<Schemas["case_row"]>("POST", "/api/cases", {
      name: String(data.get("name")).trim(),
      ...(title ? { title } : {}),
      ...(drive ? { drive } : {}),
    });
    if (answer.told) go(["case", answer.told.name, "complaint"]);
    else set_wrong(with_mistakes(answer.detail, answer.mistakes));
  };
  return (
    <form class="new_case stack" onSubmit={(event) => void begin(event)}>
      <h2 tabIndex={-1} ref={title}>{t("new_case")}</h2>
      <fieldset>
        <legend>{t("new_case_drive")}</legend>
        {drives.map((one) => (
          <DriveChoice key={one.name} row={one} chosen={drive} choose={set_drive} />
        ))}
        <DriveChoice row={{ name: "", title: t("new_case_none") }} chosen={drive} choose={set_drive} />
        <a href={address(["new-engine"])}>{t("new_case_listed")}</a>
      </fieldset>
      {drive === undefined ? null : (
        <>
          <label>
            {t("new_case_name")}
            <input
              key={proposed}
              name="name"
              required
              maxLength={100}
              defaultValue={proposed}
            />
          </label>
          <label>
            {t("new_case_title")}
            <input name="title" maxLength={200} />
          </label>
        </>
      )}
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      <p class="row">
        <button class="main" disabled={drive === undefined}>
          {t("new_case_begin")}
        </button>
        <button type="button" onClick={leave}>
          {t("new_case_cancel")}
        </button>
      </p>
    </form>
  );
}

function useFreeName(drive: string | undefined): string {
  const begun = begun_name(drive ?? "", new Date());
  const query = new URLSearchParams({ q: begun, limit: "100" }).toString();
  const same = useAsked<Schemas["case_list"]>(drive === undefined ? undefined : `/api/cases?${query}`);
  return free_name(begun, new Set((same.told?.cases ?? []).map((row) => row.name)));
}

interface ChoiceProps {
  row: Schemas["drive_row"];
  chosen: string | undefined;
  choose: (name: string) => void;
}

function DriveChoice({ row, chosen, choose }: ChoiceProps) {
  return (
    <label class="choice">
      <input
        type="radio"
        name="drive"
        value={row.name}
        checked={chosen === row.name}
        onChange={() => choose(row.name)}
      />
      <span>
        {row.title ?? row.name}
        {row.name ? <small>{row.checked_by ?? t("new_case_unchecked")}</small> : null}
      </span>
    </label>
  );
}
