// SPDX-License-Identifier: Apache-2.0
// Entering: #/enter/CASE/KIND?subject=…&correct=e12; without a kind, what there is to enter.
import "../clearance/clearance.css";
import "../enter/enter.css";

import { useEffect } from "preact/hooks";

import { case_path, type Schemas } from "../ask";
import { EntryForm } from "../enter/entry_form";
import { PhotoForm } from "../enter/photo";
import { type AnyEntry, positions_of } from "../enter/positions";
import { ReadingForm } from "../enter/reading";
import { on_pad } from "../enter/reading_entry";
import { TimerStart } from "../enter/timer_start";
import { WaitingList } from "../enter/waiting_list";
import { kind_word } from "../enter/words";
import { Sheet } from "../parts/sheet";
import { address, case_address, type Route } from "../route";
import { ready_offline, useAsked } from "../state/asked";
import { useAwake } from "../state/awake";
import { useHeard } from "../state/heard";
import { entered_by, is_outbox_read, waiting_of } from "../state/outbox";
import { t } from "../texts";

const kKinds = [
  "reading", "pressure", "marks", "state", "standing", "stop", "indicator", "valve gap", "observation", "photo", "complaint", "codes",
  "previous work", "oil", "identification", "scan", "recording", "part", "step", "decision",
  "attachment", "note",
];

const kWide = ["reading", "stop", "indicator"];

export function EnterScreen({ route }: { route: Route }) {
  useAwake();
  const [, name = "", kind] = route.path;
  const view = useAsked<Schemas["case_view"]>(case_path(name), name);
  const drive_name = view.told?.case.drive ?? view.told?.case.candidates?.[0];
  const drive = useAsked<Schemas["drive"]>(drive_name && `/api/drives/${encodeURIComponent(drive_name)}`);
  useEffect(() => void ready_offline("/api/openapi.json"), []);
  const me = useAsked<Schemas["me"]>("/api/me", "/").told; // no case is called so
  const seat = me && [me.name, me.device].filter(Boolean).join(", ");
  useEffect(() => entered_by(seat), [seat]);
  return (
    <Sheet
      wide={kWide.includes(kind ?? "")}
      title={kind ? kind_word(kind) : t("in_what")}
      back={kind && !route.query["for_step"] ? address(["enter", name]) : case_address(name)}
      blocks={[
        { name: t("in_case"), says: <a href={address(["case", name])}>{view.told?.case.title ?? name}</a> },
        { name: t("in_drive"), says: drive.told?.title ?? drive_name ?? t("in_none") },
      ]}
    >
      <div class="stack enter">
        {!view.told ? <p role="status">{view.detail || t("loading")}</p> : null}
        {view.told && kind ? (
          <Kind key={`${name} ${kind} ${JSON.stringify(route.query)}`} name={name} kind={kind} view={view.told} drive={drive} has_drive={drive_name !== undefined} query={route.query} />
        ) : null}
        {kind ? null : <Kinds name={name} />}
        {kind === undefined || kind === "reading" ? <TimerStart /> : null}
        <WaitingList name={name} />
      </div>
    </Sheet>
  );
}

interface KindProps {
  name: string;
  kind: string;
  view: Schemas["case_view"];
  drive: ReturnType<typeof useAsked<Schemas["drive"]>>;
  has_drive: boolean;
  query: Record<string, string>;
}

function Kind({ name, kind, view, drive, has_drive, query }: KindProps) {
  useHeard("outbox");
  // What waits is read from the device a moment after the page was opened.
  const is_gone = query["mend"] !== undefined && !waiting_of(name).some((one) => one.key === query["mend"]);
  if (is_gone) return <p role="status">{t(is_outbox_read() ? "in_not_waiting" : "loading")}</p>;
  const is_waiting_for_drive = has_drive && !drive.told && drive.detail === "";
  if (is_waiting_for_drive) return <p role="status">{t("loading")}</p>;
  if (kind === "photo") return <PhotoForm name={name} drive={drive.told} query={query} />;
  // Blades and reported means have more fields than the pad.
  const is_plain = ["mend", "plain"].some((one) => query[one] !== undefined);
  const old = view.case.entries?.find((one) => one.id === query["correct"]) as AnyEntry | undefined;
  const is_on_pad = query["correct"] === undefined || (drive.told && on_pad(old, positions_of(drive.told)));
  if (kind === "reading" && drive.told && !is_plain && is_on_pad)
    return <ReadingForm name={name} view={view} drive={drive.told} query={query} old={old} />;
  return <EntryForm name={name} kind={kind} view={view} drive={drive.told} query={query} />;
}

function Kinds({ name }: { name: string }) {
  return (
    <nav class="kinds" aria-label={t("in_what")}>
      {kKinds.map((kind) => (
        <a class="button" href={address(["enter", name, kind])} key={kind}>
          {kind_word(kind)}
        </a>
      ))}
    </nav>
  );
}
