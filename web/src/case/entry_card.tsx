// SPDX-License-Identifier: Apache-2.0
// One entry as it was typed: who, when, with what, and the program's receipt. It is never edited.
import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { kind_word } from "../enter/words";
import { time_words } from "../parts/time_words";
import { address } from "../route";
import { said } from "../said/said";
import { drop, retry, type Waiting } from "../state/outbox";
import { t } from "../texts";
import { entry_words, file_of, instrument_of } from "./entry_words";
import type { Entry } from "./stages";

interface Props {
  name: string; // of the case
  entry: Entry;
  receipt?: Schemas["receipt"] | undefined;
  replaced_by?: string | undefined;
  is_shown?: boolean; // the one somebody looks for
}

export function EntryCard({ name, entry, receipt, replaced_by, is_shown = false }: Props) {
  const card = useRef<HTMLLIElement>(null);
  useEffect(() => {
    if (!is_shown) return;
    card.current?.scrollIntoView({ block: "center" });
    card.current?.focus({ preventScroll: true });
  }, [is_shown]);
  const file = entry.kind === "recording" ? file_of(entry) : "";
  return (
    <li
      class={`entry${replaced_by ? " replaced" : ""}${is_shown ? " shown" : ""}`}
      ref={card}
      tabIndex={-1}
    >
      <Words entry={entry} id={entry.id} />
      <p class="faint">
        <Who entry={entry} />
        {receipt ? (
          <span>
            {t("entry_receipt", { seq: receipt.seq, time: time_words(receipt.at), seat: receipt.seat })}
          </span>
        ) : null}
        {entry.replaces ? <EntryLink name={name} id={entry.replaces} says="entry_replaces" /> : null}
        {replaced_by ? <EntryLink name={name} id={replaced_by} says="entry_replaced" /> : null}
      </p>
      <p class="does">
        {file ? <a href={address(["recording", name], { file })}>{t("see_recording")}</a> : null}
        {entry.kind === "torque trace" && !replaced_by ? <a href={address(["case", name, "trace", entry.id])}>{t("tr_see")}</a> : null}
        {replaced_by ? null : (
          <a
            href={address(["enter", name, entry.kind], { correct: entry.id })}
            aria-label={t("entry_correct_of", { id: entry.id })}
          >
            {t("entry_correct")}
          </a>
        )}
      </p>
    </li>
  );
}

function EntryLink(props: { name: string; id: string; says: "entry_replaces" | "entry_replaced" }) {
  return (
    <a href={address(["case", props.name, "history"], { entry: props.id })}>
      {t(props.says, { id: props.id })}
    </a>
  );
}

function Words({ entry, id }: { entry: Schemas["new_entry"]; id: string | undefined }) {
  const words = entry_words(entry);
  return (
    <>
      <h3>
        {kind_word(entry.kind)}
        {words.about ? <span> {words.about}</span> : null}
        {id ? <small>{id}</small> : null}
      </h3>
      {words.says ? <p class="says">{words.says}</p> : null}
      {words.rest.length > 0 ? (
        <p class="rest">
          {words.rest.map((one) => (
            <span key={one.name}>
              <i>{one.name}</i> {one.says}
            </span>
          ))}
        </p>
      ) : null}
      {entry.remark ? (
        <p class="rest">
          <i>{t("entry_remark")}</i> {entry.remark}
        </p>
      ) : null}
    </>
  );
}

function Who({ entry }: { entry: Schemas["new_entry"] }) {
  const instrument = instrument_of(entry);
  const is_late = entry.kind === "step" && entry.late;
  return (
    <>
      {entry.at ? <span>{time_words(entry.at)}</span> : null}
      {entry.by ? <span>{t("entry_by", { who: entry.by })}</span> : null}
      {instrument ? <span>{t("entry_with", { what: said(instrument) })}</span> : null}
      {is_late ? <span>{t("entry_late")}</span> : null}
    </>
  );
}

// An entry that the program has not: kept on this device, perhaps refused.
export function WaitingCard({ name, one }: { name: string; one: Waiting }) {
  const refused = one.refused;
  const is_said = (message: string) => refused?.detail.toLowerCase().includes(message.toLowerCase());
  return (
    <li class={`entry waiting${refused ? " refused" : ""}`}>
      <Words entry={one.entry} id={undefined} />
      <p class="faint">
        <Who entry={one.entry} />
        <span>{time_words(one.entered)}</span>
      </p>
      {refused ? (
        <Refused name={name} one={one}>
          {said(refused.detail)}
          {refused.mistakes.filter((mistake) => mistake.hint || !is_said(mistake.message)).map((mistake) => (
            <span class="mistake" key={mistake.message}>
              {said(mistake.message)}
              {mistake.hint ? ` ${said(mistake.hint)}` : ""}
            </span>
          ))}
        </Refused>
      ) : (
        <p class="wrong">{t("entry_waits")}</p>
      )}
    </li>
  );
}

function Refused(props: { name: string; one: Waiting; children: ComponentChildren }) {
  const [is_sure, sure] = useState(false);
  const { name, one } = props;
  return (
    <>
      <p class="wrong">
        {t("entry_refused")}: {props.children}
      </p>
      <p class="row">
        <a class="button main" href={address(["enter", name, one.entry.kind], { mend: one.key })}>
          {t("entry_mend")}
        </a>
        {one.refused?.status === 403 ? <button onClick={() => void retry(one.key)}>{t("in_retry")}</button> : null}
        <button onClick={() => (is_sure ? void drop(one.key) : sure(true))}>
          {t(is_sure ? "entry_drop_sure" : "entry_drop")}
        </button>
      </p>
    </>
  );
}
