// SPDX-License-Identifier: Apache-2.0
// A packed case, the folder of a case or a recording: dropped anywhere on the page, or chosen.
import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

import type { Schemas } from "../ask";
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
  const [is_over, over] = useState(false);
  const [says, say] = useState("");
  const [recording, set_recording] = useState<File | undefined>();
  const [unnamed, set_unnamed] = useState<Blob | undefined>();
  const input = useRef<HTMLInputElement>(null);
  const take = async (what: Dropped) => {
    set_recording(what.is === "recording" ? what.file : undefined);
    if (what.is === "wrong") say(what.says);
    if (what.is === "recording") say("");
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
  useDrops(over, (transfer) => {
    say(t("drop_reading", { name: transfer.files[0]?.name ?? "" }));
    const unread = () => say(t("drop_unknown", { name: transfer.files[0]?.name ?? "?" }));
    void dropped(transfer).then(take, unread);
  });
  const chosen = () => {
    const file = input.current?.files?.[0];
    if (file) void take(sorted_file(file));
    if (input.current) input.current.value = ""; // the same file may be chosen again
  };
  return (
    <div class={is_over ? "stack drop over" : "stack drop"}>
      {is_over ? <p class="let_go">{t("drop_here")}</p> : null}
      <p role="status">{says}</p>
      {unnamed ? <OtherName send={(name) => void send(unnamed, name)} /> : null}
      {recording ? <IntoWhich file={recording} rows={rows} say={say} /> : null}
      {children}
      <div class="row bring">
        <button onClick={() => input.current?.click()}>{t("bring_in")}</button>
        <input
          ref={input}
          hidden
          type="file"
          accept={[".zip", ...kRecordingEnds].join(",")}
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
  rows: Schemas["case_row"][];
  say: (what: string) => void;
}

function IntoWhich({ file, rows, say }: IntoProps) {
  const into = async (name: string) => {
    say(t("drop_sending", { name: file.name }));
    say(await send_recording(name, file));
  };
  return (
    <section class="into stack">
      <h2>{t("drop_which_case", { name: file.name })}</h2>
      {rows.map((row) => (
        <button key={row.uid} onClick={() => void into(row.name)}>
          {t("drop_into", { name: row.name })}
        </button>
      ))}
    </section>
  );
}

function useDrops(over: (is: boolean) => void, take: (transfer: DataTransfer) => void): void {
  const taking = useRef(take);
  taking.current = take;
  useEffect(() => {
    const dragged = (event: DragEvent) => {
      if (!event.dataTransfer?.types.includes("Files")) return;
      event.preventDefault();
      over(true);
    };
    const left = (event: DragEvent) => {
      if (event.relatedTarget === null) over(false);
    };
    const let_go = (event: DragEvent) => {
      event.preventDefault();
      over(false);
      if (event.dataTransfer) taking.current(event.dataTransfer);
    };
    const heard = new AbortController();
    const { signal } = heard;
    addEventListener("dragover", dragged, { signal });
    addEventListener("dragleave", left, { signal });
    addEventListener("drop", let_go, { signal });
    return () => heard.abort();
  }, []);
}
