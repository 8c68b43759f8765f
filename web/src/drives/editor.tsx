// SPDX-License-Identifier: Apache-2.0
// A definition as text: its lines on the left, what the program finds in them on the right.
import { useEffect, useRef, useState } from "preact/hooks";

import { ask, type Schemas } from "../ask";
import { Sheet } from "../parts/sheet";
import { address, go } from "../route";
import { said } from "../said/said";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import { AnswersNow, Mistakes, Unlocks } from "./can_answer";
import { useDraft } from "../state/draft";
import { Drawing } from "./drawing";
import { line_count, line_span, name_in_text } from "./line_numbers";
import { download } from "./saved";
import { type Checking, useCheck } from "./use_check";
import { useText } from "./use_text";
import "./drives.css";
import "./editor.css";

const kMostDropped = 1_000_000; // bytes; the longest definition has a few ten thousand

// The same draft wherever a definition is changed.
export const draft_name = (name: string) => `definition/${name}`;

export interface Draft {
  text: string;
  of: string | undefined; // SHA-256 of the stored text that it was begun from
}

export function DriveEditor({ name }: { name: string }) {
  const stored = useText(name);
  const [draft, set_draft] = useDraft<Draft>(draft_name(name));
  const text = draft?.text ?? stored.text;
  // A draft may lie here for days: what was saved since by somebody else is not what it replaces.
  const write = (next: string) => set_draft({ text: next, of: draft ? draft.of : stored.sha256 });
  const called = name_in_text(text) || name;
  const checking = useCheck(text, called);
  const field = useRef<HTMLTextAreaElement>(null);
  const to_line = (line: number) => {
    field.current?.focus();
    field.current?.setSelectionRange(...line_span(text, line));
  };
  const back = name ? address(["drive", name]) : address(["drives"]);
  const is_changed = draft !== undefined && draft.text !== stored.text;
  return (
    <Sheet title={`${t("drives_editor")} ${called}`} back={back} wide>
      <p class="faint">{t("drives_editor_help")}</p>
      {stored.detail ? <p class="wrong"><Told says={stored.detail} /></p> : null}
      <div class="editor">
        <section class="stack">
          <OpenFile take={write} />
          <Lines text={text} checking={checking} field={field} set={write} />
        </section>
        <aside class="stack">
          {is_changed ? <p class="caution">{t("drives_draft")}</p> : null}
          <Found checking={checking} to_line={to_line} />
          <Save
            key={text}
            name={called}
            text={text}
            is_ready={is_changed && checking.is_present && !checking.checked?.mistakes.length}
            replaces={called === name ? draft?.of : undefined}
            done={() => set_draft(undefined)}
          />
          {is_changed && name ? (
            <button type="button" class="quiet" onClick={() => set_draft(undefined)}>
              {t("drives_drop_draft")}
            </button>
          ) : null}
        </aside>
      </div>
    </Sheet>
  );
}

function OpenFile({ take }: { take: (text: string) => void }) {
  const picked = async (event: Event & { currentTarget: HTMLInputElement }) => {
    const file = event.currentTarget.files?.[0];
    if (file && file.size < kMostDropped) take(await file.text());
  };
  return (
    <label class="button open-file">
      {t("drives_open_file")}
      <input class="heard" type="file" accept=".yaml,.yml,.json,text/*" onChange={(event) => void picked(event)} />
    </label>
  );
}

interface LinesProps {
  text: string;
  checking: Checking;
  field: { current: HTMLTextAreaElement | null };
  set: (text: string) => void;
}

function Lines({ text, checking, field, set }: LinesProps) {
  const mistakes = checking.is_present ? (checking.checked?.mistakes ?? []) : [];
  const wrong = new Map<number, string>(mistakes.map((each) => [each.line, said(each.message)]));
  const rows = Math.max(line_count(text), 12);
  const drop = async (event: DragEvent) => {
    const file = event.dataTransfer?.files[0];
    if (!file) return;
    event.preventDefault();
    if (file.size < kMostDropped) set(await file.text());
  };
  return (
    <div class="numbered" onDragOver={(event) => event.preventDefault()} onDrop={(event) => void drop(event)}>
      <ol aria-hidden="true">
        {Array.from({ length: rows }, (_, i) => (
          <li key={i} class={wrong.has(i + 1) ? "at" : ""} title={wrong.get(i + 1) ?? ""}>
            {i + 1}
          </li>
        ))}
      </ol>
      <textarea
        ref={field}
        aria-label={t("drives_text")}
        rows={rows}
        value={text}
        wrap="off"
        spellcheck={false}
        autocomplete="off"
        onInput={(event) => set(event.currentTarget.value)}
      />
    </div>
  );
}

function Found({ checking, to_line }: { checking: Checking; to_line: (line: number) => void }) {
  const { checked, is_present, detail } = checking;
  if (detail) return <p class="caution"><Told says={detail} /></p>;
  if (!checked) return null;
  const { mistakes, check, drawing } = checked;
  return (
    <div class={is_present ? "now stack" : "now stack old"} aria-live="polite">
      <h2>
        {!is_present
          ? t("drives_checking")
          : mistakes.length
            ? t("drives_mistakes", { n: mistakes.length })
            : t("drives_no_mistakes")}
      </h2>
      <Mistakes mistakes={mistakes} to={to_line} />
      {check ? (
        <>
          <AnswersNow check={check} />
          <Unlocks check={check} />
          {check.warnings.length ? <h3>{t("drives_warnings")}</h3> : null}
          <Mistakes mistakes={check.warnings} to={to_line} />
        </>
      ) : null}
      {drawing ? <Drawing svg={drawing} /> : null}
    </div>
  );
}

interface SaveProps {
  name: string;
  text: string;
  is_ready: boolean;
  replaces: string | undefined; // SHA-256 of what it was made from: nobody else's change is lost
  done: () => void;
}

export function Save({ name, text, is_ready, replaces, done }: SaveProps) {
  const me = useAsked<Schemas["me"]>("/api/me", "/").told;
  const [is_sure, ask_sure] = useState(false);
  const [why, set_why] = useState("");
  useEffect(() => ask_sure(false), [text]);
  const may = me === undefined || me.role === "manage";
  const save = async () => {
    if (!is_sure) return ask_sure(true);
    const body = { text, ...(replaces ? { replaces } : {}) };
    const put = await ask("PUT", `/api/drives/${encodeURIComponent(name)}`, body);
    ask_sure(false);
    set_why(put.detail);
    if (!put.ok) return;
    done();
    go(["drive", name]);
  };
  return (
    <section class="stack">
      {why ? <p class="wrong" role="alert">{why}</p> : null}
      <div class="row">
        {may ? (
          <button type="button" class={is_sure ? "main" : ""} disabled={!is_ready || !name} onClick={() => void save()}>
            {is_sure ? t("drives_save_sure", { name }) : t("drives_save")}
          </button>
        ) : (
          <p class="faint">{t("drives_only_managers")}</p>
        )}
        <button type="button" disabled={!text.trim()} onClick={() => download(`${name || "new"}.drive.yaml`, text)}>
          {t("drives_download")}
        </button>
      </div>
    </section>
  );
}
