// SPDX-License-Identifier: Apache-2.0
// A set, and its box when it is opened: what lay in it is ticked piece by piece, edition and date are
// read off the box, and old is laid beside new. One entry is made of it; what is ticked until then
// stays on the device.
import { useState } from "preact/hooks";

import { said } from "../said/said";
import { Told } from "../said/told";
import { useDraft } from "../state/draft";
import { enter } from "../state/outbox";
import { t } from "../texts";
import { type Beside, box_entry, type BoxOf, type BoxTicks, kAspects, kNoTicks, type SetSaid } from "./parts_says";

export function SetBox({ set, of_case }: { set: SetSaid; of_case: string | undefined }) {
  const [is_open, open] = useState(false);
  const is_opened = set.opened.length > 0;
  const edition = [set.edition, set.date].filter(Boolean).join(", ");
  return (
    <section class="set_box">
      <h3>
        <Told says={set.name} />
        {set.bank === null || /bank \d/.test(set.name) ? "" : `, ${t("work_bank", { n: set.bank })}`}
      </h3>
      <p>{edition ? t("parts_edition_is", { what: edition }) : <b>{t("parts_no_edition")}</b>}</p>
      <p>{is_opened ? t("parts_opened", { id: set.opened.join(", ") }) : set.ordered.length > 0 ? t("parts_not_opened", { id: set.ordered.join(", ") }) : t("parts_not_entered")}</p>
      <ul class="held">
        {set.holds.map((one) => (
          <li key={one}>
            <span class="held_box" aria-hidden="true">{set.found.includes(one) ? "✓" : ""}</span>
            <Told says={one} />
            {is_opened && !set.found.includes(one) ? <b class="wrong"> {t("parts_missing")}</b> : null}
          </li>
        ))}
      </ul>
      {set.does_not_hold.length > 0 ? (
        <p class="lacks"><b>{t("parts_lacks")}</b> {set.does_not_hold.map((one) => said(one)).join(", ")}</p>
      ) : null}
      {of_case === undefined ? null : (
        <button type="button" class="unprinted" aria-expanded={is_open} onClick={() => open(!is_open)}>
          {t(is_opened ? "parts_open_again" : "parts_open_box")}
        </button>
      )}
      {is_open && of_case !== undefined ? <OpenBox box={set} compare={set.compare} of_case={of_case} done={() => open(false)} /> : null}
    </section>
  );
}

interface Props {
  box: BoxOf;
  compare: readonly string[];
  of_case: string;
  done?: () => void;
}

export function OpenBox({ box, compare, of_case, done }: Props) {
  const [kept, keep] = useDraft<BoxTicks>(`box/${of_case}/${box.name}/${box.bank ?? ""}`);
  const [is_sent, sent] = useState(false);
  const ticks = kept ?? kNoTicks;
  const is_begun = kept !== undefined && (ticks.found.length > 0 || Object.keys(ticks.beside).length > 0);
  const send = async () => {
    await enter(of_case, box_entry(box, ticks));
    keep(undefined);
    sent(true);
    done?.();
  };
  return (
    <form
      class="open_box"
      onSubmit={(event) => {
        event.preventDefault();
        if (is_begun) void send();
      }}
    >
      {box.holds.length > 0 ? <Found holds={box.holds} ticks={ticks} keep={keep} /> : null}
      {box.holds.length > 0 ? <Edition ticks={ticks} keep={keep} /> : null}
      {compare.length > 0 ? <OldBesideNew compare={compare} ticks={ticks} keep={keep} /> : null}
      <button type="submit" class="main work_big" disabled={!is_begun}>{t("parts_enter_box")}</button>
      <p role="status">{is_sent ? t("parts_entered") : is_begun ? "" : t("parts_tick_first")}</p>
    </form>
  );
}

interface TicksProps {
  ticks: BoxTicks;
  keep: (ticks: BoxTicks) => void;
}

function Found({ holds, ticks, keep }: TicksProps & { holds: readonly string[] }) {
  const tick = (one: string) =>
    keep({ ...ticks, found: ticks.found.includes(one) ? ticks.found.filter((other) => other !== one) : [...ticks.found, one] });
  return (
    <fieldset class="shows">
      <legend>{t("parts_what_lay")}</legend>
      {holds.map((one) => (
        <label key={one}>
          <input type="checkbox" checked={ticks.found.includes(one)} onChange={() => tick(one)} />
          <Told says={one} />
        </label>
      ))}
    </fieldset>
  );
}

function Edition({ ticks, keep }: TicksProps) {
  return (
    <div class="edition_of_box">
      <label>
        {t("parts_edition")}
        <input value={ticks.edition} onInput={(event) => keep({ ...ticks, edition: event.currentTarget.value })} />
      </label>
      <label>
        {t("parts_date")}
        <input type="date" value={ticks.date} onInput={(event) => keep({ ...ticks, date: event.currentTarget.value })} />
      </label>
    </div>
  );
}

// All five rows stand there; those that count for what is in this box come first.
function OldBesideNew({ compare, ticks, keep }: TicksProps & { compare: readonly string[] }) {
  const rows = [...compare, ...Object.keys(kAspects).filter((one) => !compare.includes(one))];
  const say = (one: string, which: Beside) => {
    const { [one]: now, ...others } = ticks.beside;
    keep({ ...ticks, beside: now === which ? others : { ...others, [one]: which } });
  };
  return (
    <div class="old_new" role="group" aria-label={t("parts_beside")}>
      <b>{t("parts_beside")}</b>
      {rows.map((one) => {
        const says = t(kAspects[one] ?? "parts_marks");
        return (
          <div class="beside_row" key={one} role="group" aria-label={says}>
            <span class={compare.includes(one) ? "" : "faint"}>{says}{compare.includes(one) ? "" : ` (${t("parts_if_there")})`}</span>
            <button type="button" class="says" aria-pressed={ticks.beside[one] === "alike"} onClick={() => say(one, "alike")}>{t("parts_alike")}</button>
            <button type="button" class="says" aria-pressed={ticks.beside[one] === "differs"} onClick={() => say(one, "differs")}>{t("parts_differs")}</button>
          </div>
        );
      })}
    </div>
  );
}
