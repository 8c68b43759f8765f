// SPDX-License-Identifier: Apache-2.0
// A packed case, the folder of a case, a recording or a drive: dropped anywhere (state/drops.ts), or
// chosen here.
import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

import { ask, type Schemas } from "../ask";
import { proposed_case } from "../quick/said";
import { go } from "../route";
import { begin_draft } from "../state/draft";
import { type Taken, taken_drop } from "../state/drops";
import { t } from "../texts";
import {
  type Dropped,
  dropped,
  kRecordingEnds,
  send_pack,
  send_recording,
  sorted_file,
} from "./dropped";

interface Props {
  rows: Schemas["case_row"][];
  children: ComponentChildren;
}

export function BringIn({ rows, children }: Props) {
  const [says, say] = useState("");
  const [recording, set_recording] = useState<{ file: File; first: string } | undefined>();
  const [unnamed, set_unnamed] = useState<Blob | undefined>();
  const input = useRef<HTMLInputElement>(null);
  const take = async (what: Dropped, of_case = "") => {
    set_recording(what.is === "recording" ? { file: what.file, first: of_case } : undefined);
    if (what.is === "wrong") say(what.says);
    if (what.is === "recording") say("");
    if (what.is === "drive" && begin_draft("definition/", { text: what.text })) return go(["drives"], { add: "1" });
    if (what.is === "drive") say(t("drop_drive_waits", { name: what.name }));
    set_unnamed(undefined);
    if (what.is !== "pack") return;
    say(t("drop_sending", { name: what.name }));
    await send(what.file);
  };
  const send = async (pack: Blob, name?: string) => {
    const sent = await send_pack(pack, name);
    say(sent.says);
    set_unnamed(sent.is_name_taken ? pack : undefined);
  };
  useDropped((one) => {
    const name = one.entry?.name ?? one.file?.name ?? "?";
    say(t("drop_reading", { name }));
    const unread = () => say(t("drop_unknown", { name, what: t("drop_is_other") }));
    void dropped(one).then((what) => take(what, one.of_case), unread);
  });
  const chosen = () => {
    const file = input.current?.files?.[0];
    if (file) void sorted_file(file).then(take);
    if (input.current) input.current.value = ""; // the same file may be chosen again
  };
  return (
    <div class="stack drop">
      <p role="status">{says}</p>
      {unnamed ? <OtherName send={(name) => void send(unnamed, name)} /> : null}
      {recording ? <IntoWhich {...recording} rows={rows} say={say} /> : null}
      {children}
      <div class="row bring">
        <button onClick={() => input.current?.click()}>{t("bring_in")}</button>
        <input
          ref={input}
          hidden
          type="file"
          accept={[".zip", ".yaml", ".json", ...kRecordingEnds].join(",")}
          aria-label={t("bring_in")}
          onChange={chosen}
        />
        <p class="faint">{t("drop_words")}</p>
      </div>
    </div>
  );
}

function OtherName({ send }: { send: (name: string) => void }) {
  const begin = (event: SubmitEvent) => {
    event.preventDefault();
    const name = new FormData(event.currentTarget as HTMLFormElement).get("name");
    send(String(name).trim());
  };
  return (
    <form class="into stack" onSubmit={begin}>
      <label>
        {t("new_case_name")}
        <input name="name" required maxLength={100} />
      </label>
      <p>
        <button class="main">{t("drop_name")}</button>
      </p>
    </form>
  );
}

interface IntoProps {
  file: File;
  first: string; // the case over whose sheet it was let go
  rows: Schemas["case_row"][];
  say: (what: string) => void;
}

function IntoWhich({ file, first, rows, say }: IntoProps) {
  const into = async (name: string) => {
    say(t("drop_sending", { name: file.name }));
    say(await send_recording(name, file));
  };
  const into_new = async () => {
    const name = proposed_case(t("drop_new_case"), new Date());
    const made = await ask("POST", "/api/cases", { name });
    if (!made.ok) return say(made.detail);
    await into(name);
  };
  return (
    <section class="into stack">
      <h2>{t("drop_which_case", { name: file.name })}</h2>
      {[...(first ? [first] : []), ...rows.map((row) => row.name).filter((name) => name !== first)].map((name) => (
        <button key={name} class={name === first ? "main" : ""} onClick={() => void into(name)}>
          {t("drop_into", { name })}
        </button>
      ))}
      <button onClick={() => void into_new()}>{t("drop_into_new")}</button>
    </section>
  );
}

function useDropped(take: (one: Taken) => void): void {
  const taking = useRef(take);
  taking.current = take;
  useEffect(() => {
    const heard = () => {
      const one = taken_drop();
      if (one) taking.current(one);
    };
    heard(); // let go on another screen, which led here
    addEventListener("dropped", heard);
    return () => removeEventListener("dropped", heard);
  }, []);
}
