// SPDX-License-Identifier: Apache-2.0
// Any kind of entry: its form, the read-back of the whole entry, then on its way. Also corrections
// of an earlier entry and what the program refused.
import type { ComponentChildren } from "preact";
import { useRef, useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { GapForm } from "../clearance/gap_form";
import { half_typed } from "../clearance/half";
import { IndicatorForm } from "../clearance/indicator_form";
import { StandingForm } from "../clearance/standing_form";
import { StopForm } from "../clearance/stop_form";
import { time_words } from "../parts/time_words";
import { case_address } from "../route";
import { decimal_mark, said } from "../said/said";
import { useAsked } from "../state/asked";
import { keep_draft, kept_draft, useDraftGone } from "../state/draft";
import { enter, mend, type NewEntry, type Waiting, waiting_of } from "../state/outbox";
import { t } from "../texts";
import { with_point, with_sign } from "./decimal_sign";
import { Fields, FormFoot, type Values } from "./form";
import { MarksForm } from "./marks_form";
import { places_of } from "./positions";
import { without_camera } from "./picture";
import { PressureForm } from "./pressure_form";
import { type Field, fields_of, filled, mistake_path, missing, only_fields, type OpenApi } from "./schema";
import { ScanForm } from "./scan_form";
import { StateForm } from "./state_form";
import { choice_word, field_word, kind_word, mistake_words, value_words, wheel_words } from "./words";

export interface FormProps {
  fields: Field[];
  values: Values;
  on_values: (values: Values) => void;
  mistakes: Record<string, string>;
  drive: Schemas["drive"] | undefined;
  view: Schemas["case_view"];
}

const kByHand: Record<string, (props: FormProps) => ComponentChildren> = {
  state: StateForm,
  pressure: PressureForm,
  marks: MarksForm,
  scan: ScanForm,
  stop: StopForm,
  indicator: IndicatorForm,
  standing: StandingForm,
  "valve gap": GapForm,
};

interface Props {
  name: string;
  kind: string;
  view: Schemas["case_view"];
  drive: Schemas["drive"] | undefined;
  query: Record<string, string>;
}

export function EntryForm({ name, kind, view, drive, query }: Props) {
  const api = useAsked<OpenApi>("/api/openapi.json");
  const corrected = query["correct"];
  const old = view.case.entries?.find((one) => one.id === corrected) as Values | undefined;
  const [mended] = useState(() => waiting_of(name).find((one) => one.key === query["mend"]));
  // What is mended stays the correction that it was, made when it was made.
  const replaces = corrected ?? mended?.entry.replaces;
  const fresh = () => begun(old ?? (mended?.entry as Values | undefined), query);
  const draft_name = `entry/${name}/${kind}/${JSON.stringify(query)}`;
  const [drafted, set_drafted] = useState(() => kept_draft<Drafted>(draft_name));
  const [values, set_values] = useState<Values>(() => drafted?.values ?? fresh());
  const [is_read_back, set_read_back] = useState(false);
  const [file, set_file] = useState<File | undefined>();
  const [lacks, set_lacks] = useState<string[]>([]);
  const [halves, set_halves] = useState<string[]>([]);
  const [times_begun, count_begun] = useState(0); // a form holds what is half typed itself
  const is_sent = useRef(false);
  useDraftGone(draft_name, () => {
    if (drafted && values === drafted.values && !is_sent.current) begin_anew();
  });
  const begin_anew = () => {
    keep_draft(draft_name, undefined);
    set_drafted(undefined);
    set_values(fresh());
    count_begun((n) => n + 1);
    set_read_back(false);
  };
  if (!api.told) return <p role="status">{api.detail || t("loading")}</p>;
  if (corrected && !old) return <p>{t("in_no_such_entry", { id: corrected })}</p>;
  const fields = fields_of(api.told, kind);
  if (fields.length === 0) return <p>{t("in_no_such_kind", { kind })}</p>;

  const typed: typeof set_values = (next) => {
    const told = typeof next === "function" ? next(values) : next;
    set_values(told);
    set_halves([]);
    const { file: _, ...kept } = told; // a file is chosen anew
    keep_draft(draft_name, { at: drafted?.at ?? new Date().toISOString(), values: kept });
  };
  const check = () => {
    const lacking = missing(fields, values);
    set_lacks(lacking.map((one) => field_word(one.word, one.says)));
    const halves = kind in kByHand && !query["plain"] ? half_typed(kind, values) : [];
    set_halves(halves);
    const is_empty = filled(only_fields(fields, values)) === undefined;
    if (is_empty && lacking.length === 0 && halves.length === 0) set_lacks([t("in_nothing_said")]);
    set_read_back(lacking.length === 0 && halves.length === 0 && !is_empty);
  };
  const send = async () => {
    if (is_sent.current) return; // pressed twice
    is_sent.current = true;
    try {
      await send_it();
    } catch {
      is_sent.current = false; // the file is gone, or cannot be read
      set_read_back(false);
      set_lacks([field_word("file", "")]);
    }
  };
  const send_it = async () => {
    const told = filled(only_fields(fields, values)) as Values;
    const is_comma = view.case.decimal_sign === "comma";
    const typed_so = decimal_mark() === "," && !is_comma ? (with_point(told) as Values) : told;
    const signed = kind in kByHand ? with_sign(told, view.case.decimal_sign) : typed_so;
    const entry = { kind, ...signed, ...(file ? await sum_of(kind, file) : {}), ...(replaces ? { replaces } : {}), ...(mended?.entry.at ? { at: mended.entry.at } : {}) };
    if (mended) await mend(mended.key, entry as unknown as NewEntry);
    else await enter(name, entry as unknown as NewEntry, file && { name: String(values["file"]), bytes: file });
    keep_draft(draft_name, undefined);
    location.hash = case_address(name);
  };
  if (is_read_back) return <ReadBack kind={kind} fields={fields} values={values} on_change={() => set_read_back(false)} on_send={() => void send()} />;
  const Form = (query["plain"] ? undefined : kByHand[kind]) ?? Generic;
  return (
    <form
      class="stack entry"
      onSubmit={(event) => {
        event.preventDefault();
        check();
      }}
    >
      {replaces ? <p class="caution">{t("in_is_correction", { id: replaces })}</p> : null}
      {drafted ? <Begun at={drafted.at} on_anew={begin_anew} /> : null}
      {fields.some((one) => one.name === "file") ? (
        <FileField
          file={file}
          on_file={(next) => {
            set_file(next);
            typed((now) => ({ ...now, file: beside_name(kind, next.name) }));
          }}
        />
      ) : null}
      <Form key={times_begun} fields={fields} values={values} on_values={typed} mistakes={mistakes_of(mended)} drive={drive} view={view} />
      {lacks.length > 0 ? <p class="wrong" role="alert">{t("in_lacks", { what: lacks.join(", ") })}</p> : null}
      {halves.map((says) => <p class="wrong" role="alert" key={says}>{says}</p>)}
      <FormFoot of_case={name} says={t("in_read_back")} on_leave={() => keep_draft(draft_name, undefined)} />
    </form>
  );
}

// What was typed before the page was left or closed stands again, and says since when.
interface Drafted {
  at: string;
  values: Values;
}

export function Begun({ at, on_anew }: { at: string; on_anew: () => void }) {
  return (
    <p class="caution row" role="status">
      {t("in_begun_at", { time: time_words(at) })}
      <button type="button" class="quiet" onClick={on_anew}>
        {t("in_begin_anew")}
      </button>
    </p>
  );
}

// A picture goes without what the camera wrote into it, the place included.
function FileField({ file, on_file }: { file: File | undefined; on_file: (file: File) => void }) {
  const [problem, set_problem] = useState("");
  const take = async (chosen: File | undefined) => {
    if (!chosen) return;
    const clean = chosen.type.startsWith("image/") ? await without_camera(chosen) : chosen;
    set_problem(clean ? "" : t("in_no_jpeg"));
    if (clean) on_file(clean);
  };
  return (
    <label>
      {t("in_file_from_here")}
      <input type="file" onChange={(event) => void take(event.currentTarget.files?.[0])} />
      {problem ? <span class="wrong" role="alert">{problem}</span> : null}
      {file ? <span class="help faint">{t("in_file_bytes", { n: file.size.toLocaleString() })}</span> : null}
    </label>
  );
}

// With the time before it, so that no two files meet under one name.
function beside_name(kind: string, name: string): string {
  const when = new Date().toISOString().slice(0, 19).replace(/:/g, "-");
  return `${kind === "recording" ? "recordings" : "files"}/${when} ${name.replace(/[^\w. -]/g, "_")}`;
}

const kMostSummed = 256e6; // bytes; more would fill the memory of a tablet

// A recording says which bytes were entered.
async function sum_of(kind: string, file: File): Promise<Values> {
  if (kind !== "recording" || file.size > kMostSummed || !globalThis.crypto?.subtle) return {};
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", await file.arrayBuffer()));
  return { sha256: [...sum].map((byte) => byte.toString(16).padStart(2, "0")).join("") };
}

// What the entry says, without what the program adds; or what the address brings along.
function begun(from: Values | undefined, query: Record<string, string>): Values {
  const { kind: _k, id: _i, at: _a, by: _b, replaces: _r, ...rest } = from ?? {};
  if (from) return rest;
  const { subject, correct: _c, mend: _m, plain: _p, ...given } = query;
  return subject ? { place: subject, ...given } : given;
}

function mistakes_of(mended: Waiting | undefined): Record<string, string> {
  const sent = { key: mended?.key, entry: mended?.entry };
  return Object.fromEntries(
    (mended?.refused?.mistakes ?? []).map((one) => [
      mistake_path(sent, one),
      mistake_words(one),
    ]),
  );
}

function Generic({ fields, values, on_values, mistakes, drive, view }: FormProps) {
  const elsewhere = Object.entries(mistakes).filter(
    ([path]) => !fields.some((field) => path.startsWith(`entry/${field.name}`)),
  );
  return (
    <>
      {elsewhere.map(([path, text]) => (
        <p class="wrong" key={path}>{text}</p>
      ))}
      <Fields fields={fields} values={values} on_values={on_values} mistakes={mistakes} suggestions={suggestions(drive, view)} />
    </>
  );
}

export function suggestions(drive: Schemas["drive"] | undefined, view: Schemas["case_view"]): Record<string, string[]> {
  return {
    place: drive ? places_of(drive).map((one) => one.path) : [],
    chain: drive?.chains?.map((one) => one.name) ?? [],
    variant: [...(view.case.candidates ?? []), ...(view.case.drive ? [view.case.drive] : [])],
    instrument: view.case.instruments?.map((one) => one.name) ?? [],
    part: drive?.parts?.map((one) => one.name) ?? [],
    aspect: ["ratchet", "check valve", "lock pin", "oil supply hole", "sprocket teeth"],
  };
}

// Large, word for word, as it will be sent.
function ReadBack(props: { kind: string; fields: Field[]; values: Values; on_change: () => void; on_send: () => void }) {
  const sent = (filled(props.values) ?? {}) as Values;
  return (
    <section class="stack read-back">
      <h2>{t("in_reads_back", { kind: kind_word(props.kind) })}</h2>
      <Told fields={props.fields} values={sent} />
      <div class="row">
        <button type="button" class="main" onClick={props.on_send} ref={(button) => button?.focus()}>
          {t("in_enter_it")}
        </button>
        <button type="button" onClick={props.on_change}>
          {t("in_change")}
        </button>
      </div>
    </section>
  );
}

function Told({ fields, values }: { fields: Field[]; values: Values }) {
  return (
    <dl>
      {fields
        .filter((field) => values[field.name] !== undefined)
        .map((field) => (
          <div key={field.name}>
            <dt>{field_word(field.word, field.says)}</dt>
            <dd>
              <Said field={field} value={values[field.name]} />
            </dd>
          </div>
        ))}
    </dl>
  );
}

// Names of the program, not words of whoever enters.
const kNames = new Set(["place", "chain", "part", "cam", "instrument", "from", "to", "at", "stands"]);

const kOfWheel = new Set(["at", "opens", "closes"]);

function Said({ field, value }: { field: Field; value: unknown }) {
  if (field.type === "groups")
    return (
      <>
        {(value as Values[]).map((one, i) => (
          <Told fields={field.fields} values={one} key={i} />
        ))}
      </>
    );
  if (field.type === "group") return <Told fields={field.fields} values={value as Values} />;
  if (field.type === "yes or no") return <>{choice_word(value ? "yes" : "no")}</>;
  if (field.type === "choice") return <>{choice_word(String(value))}</>;
  if (kOfWheel.has(field.name) && /^-?[0-9]/.test(String(value))) return <>{wheel_words(String(value))}</>;
  return <>{Array.isArray(value) ? value.join(", ") : kNames.has(field.name) ? said(String(value)) : value_words(String(value))}</>;
}
