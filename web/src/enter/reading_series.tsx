// SPDX-License-Identifier: Apache-2.0
// One quantity, position after position: digits, Next, digits, Next. What was chosen once stays.
import { useLayoutEffect, useRef, useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { address, case_address } from "../route";
import { number_words, said } from "../said/said";
import type { Asked } from "../state/asked";
import { drafts_of, keep_draft, kept_draft, useDraftGone } from "../state/draft";
import { enter, type NewEntry } from "../state/outbox";
import { t } from "../texts";
import { with_sign } from "./decimal_sign";
import { Begun } from "./entry_form";
import { hints_of, HintList } from "./hint_list";
import { type Gauge, gauges_for, in_unit, remember_gauge, resolution_in } from "./instruments";
import { NewInstrument } from "./new_instrument";
import { PlaceDrawing } from "./place_drawing";
import { empty_pad, type Pad, pressed, refitted, shown, text_of } from "./pad";
import { PadKeys } from "./pad_keys";
import { pasted, usePasted } from "./pasted";
import { type AnyEntry, next_open, type Position, to_do, type ToDo } from "./positions";
import { Display, Repeats } from "./reading_display";
import {
  begun_from,
  correction_of,
  entries_of,
  entry_of,
  first_at,
  first_gauge,
  first_unit,
  lacking,
  last_words,
  units_of_quantity,
  with_fit,
} from "./reading_entry";
import { LastEntered, Limits, place_words, PositionList, type Sent } from "./reading_told";
import { Settings, type With } from "./reading_with";
import { speak } from "./speech";
import { type Unit, unit_named } from "./units";
import { quantity_word, shown_words } from "./words";

interface SeriesProps {
  name: string;
  view: Schemas["case_view"];
  found: Asked<Schemas["findings"]>;
  quantity: string;
  positions: Position[];
  first: string | undefined;
  is_place_given: boolean;
  after: string | undefined;
  on_after: (quantity: string) => void;
  journals: number;
  old: AnyEntry | undefined; // the reading that is corrected
}

interface Drafted {
  at: string; // begun when
  place: string;
  direction: string;
  values: string[];
  pad: Pad;
  typed_in: string;
  unit: string;
  gauge: string;
  also: With;
}

function at_place(one: ToDo): string {
  return `${one.position.place}/${one.direction ?? ""}`;
}

// Of the place asked for, or the one begun last.
function left_draft(drafts: string, place: string | undefined): Drafted | undefined {
  const all = drafts_of<Drafted>(drafts).filter((one) => !place || one.place === place);
  return all.sort((a, b) => a.at.localeCompare(b.at)).at(-1);
}

function at_of(list: ToDo[], { place, direction }: Drafted): number {
  return Math.max(0, list.findIndex((one) => one.position.place === place && (one.direction ?? "") === direction));
}

function unit_of(name: string | undefined): Unit | undefined {
  return name ? unit_named(name) : undefined;
}

const kDoubleTap = 500; // ms

export function Series(props: SeriesProps) {
  const { name, view, found, quantity, positions, old: corrected } = props;
  const [begun] = useState(() => corrected && begun_from(corrected, positions.find((one) => one.place === corrected["place"])));
  const entries = entries_of(view, name);
  const own = view.case.instruments ?? [];
  const units = units_of_quantity(quantity);
  const drafts = `reading/${name}/${quantity}/${corrected?.id ?? ""}/`;
  const [left] = useState(() => left_draft(drafts, props.is_place_given ? props.first : undefined));
  const [drafted, set_drafted] = useState(left);
  const [unit, set_unit] = useState<Unit>(() => unit_of(left?.unit) ?? begun?.unit ?? first_unit(quantity, positions, units));
  // What is typed stays in the unit it was begun in; the switch converts what is shown.
  const [typed_in, set_typed_in] = useState<Unit | undefined>(() => unit_of(left?.typed_in) ?? begun?.unit);
  const [pad, set_pad] = useState<Pad>(() => left?.pad ?? empty_pad());
  const [values, set_values] = useState<string[]>(left?.values ?? begun?.values ?? []);
  const is_begun = pad.digits !== "" || values.length > 0;
  const typing = (is_begun ? typed_in : undefined) ?? unit;
  const gauges = gauges_for(quantity, typing.kind, own);
  const [gauge_name, set_gauge] = useState(() => left?.gauge || begun?.gauge || first_gauge(quantity, gauges));
  const gauge = gauges.find((one) => one.name === gauge_name);
  const resolution = resolution_in(gauge, typing);
  const [also, set_also] = useState<With>(() => left?.also ?? begun?.also ?? with_fit(positions[0]));
  const list = to_do(positions, also.directions);
  const [at, set_at] = useState(() => left ? at_of(list, left) : first_at(list, props.first, props.is_place_given, entries));
  const [sent, set_sent] = useState<Sent | undefined>();
  const [problem, set_problem] = useState("");
  const entered_at = useRef(0);
  useLayoutEffect(() => set_pad((old) => refitted(old, resolution)), [resolution]);
  usePasted((text) => paste(text));

  const now = list[Math.min(at, list.length - 1)];
  const cleared = () => {
    set_values([]);
    set_typed_in(undefined);
    set_drafted(undefined);
    set_pad(empty_pad(resolution_in(gauge, unit)));
  };
  const draft_name = now ? drafts + at_place(now) : "";
  useLayoutEffect(() => {
    const is_as_begun = corrected && pad.digits === "" && String(values) === String(begun?.values ?? []);
    if (!is_begun || is_as_begun) return keep_draft(draft_name, undefined);
    const draft: Drafted = { at: drafted?.at ?? new Date().toISOString(), place: now?.position.place ?? "", direction: now?.direction ?? "", values, pad, typed_in: typing.name, unit: unit.name, gauge: gauge_name, also };
    keep_draft(draft_name, draft);
  });
  useDraftGone(draft_name, () => {
    if (drafted && values === drafted.values && shown(pad) === shown(drafted.pad)) cleared();
  });
  if (!now) return null;
  const { position, direction } = now;
  const all = pad.digits === "" ? values : [...values, text_of(pad)];
  const U = in_unit(gauge?.uncertainty, typing);
  const hints = hints_of(position, all.map(Number), typing, U, pad, also.radius);
  // What was typed at the old place stays there, begun; what was begun at the new one stands again.
  const move = (i: number) => {
    const there = list[i] && kept_draft<Drafted>(drafts + at_place(list[i]));
    set_at(i);
    if (!there) return cleared();
    set_drafted(there);
    set_values(there.values);
    set_typed_in(unit_of(there.typed_in));
    set_gauge(there.gauge);
    set_pad(there.pad);
  };
  const key = (name: string) => {
    if (all.length === 0) set_typed_in(unit);
    set_pad((old) => pressed(old, name));
  };

  function again(): void {
    if (pad.digits === "") return;
    set_values(all);
    set_pad(empty_pad(resolution));
    speak(shown_words(pad));
  }

  // Readings of another unit than those that stand here already are not mixed with them.
  function paste(text: string): void {
    const found = pasted(text, units);
    const is_other = found?.unit !== undefined && all.length > 0 && found.unit !== typing;
    if (!found || is_other) return set_problem(t("in_paste_wrong", { text: text.trim().slice(0, 60) }));
    set_problem("");
    if (all.length === 0) set_typed_in(found.unit ?? unit);
    if (all.length === 0 && found.unit) set_unit(found.unit);
    set_values([...all, ...found.values]);
    set_pad(empty_pad(resolution));
  }

  async function next(): Promise<void> {
    set_problem("");
    const lacks = all.length > 0 ? lacking(quantity, typing, also, gauge_name) : undefined;
    if (lacks) return set_problem(lacks);
    // The second half of a double tap on Next is no wish to skip the next place.
    if (all.length === 0 && Date.now() - entered_at.current < kDoubleTap) return;
    if (all.length === 0) return corrected ? set_problem(t("in_nothing_said")) : move((at + 1) % list.length);
    entered_at.current = Date.now();
    const text = `${all.join(" ")} ${typing.name}`;
    const entry = with_sign(
      entry_of(position, direction, text, gauge_name, also, typing),
      view.case.decimal_sign,
    );
    const is_new = { position, direction, values: text };
    cleared();
    set_sent(is_new);
    speak(`${last_words(said(position.place))}: ${all.map(number_words).join(", ")}`);
    await enter(name, (corrected ? correction_of(corrected, entry) : entry) as unknown as NewEntry);
    if (corrected) return void (location.hash = case_address(name));
    keep_draft(draft_name, undefined);
    move(next_open(list, at, [...entries, entry]) ?? (at + 1) % list.length);
  }

  return (
    <div class={gauge ? "reading" : "reading lacks"}>
      <Where position={position} direction={direction} also={also} journals={props.journals} unit={unit} gauge={gauge} />
      <div class="with">
        <Settings
          quantity={quantity}
          unit={unit}
          units={units}
          on_unit={(next_unit) => {
            set_unit(next_unit);
            if (next_unit.kind !== typing.kind) {
              set_values([]);
              set_typed_in(undefined);
            }
          }}
          gauges={gauges}
          gauge={gauge}
          on_gauge={(next_name) => {
            set_gauge(next_name);
            remember_gauge(quantity, next_name);
          }}
          also={also}
          on_also={(next_also) => {
            // With other directions the list is another one; the place stays.
            if (next_also.directions !== also.directions) {
              const there = to_do(positions, next_also.directions);
              set_at(Math.max(0, there.findIndex((one) => one.position === position)));
            }
            set_also(next_also);
          }}
        />
        <NewInstrument
          name={name}
          own={own}
          unit={typing.name}
          on_made={(made) => {
            set_gauge(made);
            remember_gauge(quantity, made);
          }}
        />
      </div>
      <div class="typed stack">
        {corrected ? (
          <>
            <p class="caution">{t("in_is_correction", { id: String(corrected["id"]) })}</p>
            <p class="faint">{t("in_was", { values: said(String(corrected["values"])) })}</p>
          </>
        ) : null}
        {drafted && is_begun ? <Begun at={drafted.at} on_anew={cleared} /> : null}
        <Display pad={pad} typing={typing} unit={unit} />
        <Repeats values={values} all={all} typing={typing} unit={unit} decimals={pad.decimals} on_without={(i) => set_values(values.filter((_, n) => n !== i))} />
        <HintList hints={hints} unit={typing} />
        {problem ? <p class="wrong" role="alert">{problem}</p> : null}
        <PadKeys pad={pad} on_key={key} on_enter={() => void next()} step={gauge?.resolution ?? ""} />
        <Go is_typed={pad.digits !== ""} is_read={all.length > 0} is_one={corrected !== undefined} on_again={again} on_next={() => void next()} />
        <LastEntered name={name} sent={sent} found={found} entries={entries} />
      </div>
      <div class="told stack">
        {props.after && next_open(list, -1, entries) === undefined ? (
          <button type="button" class="main" onClick={() => props.on_after(props.after ?? "")}>
            {t("in_all_read", { quantity: quantity_word(props.after) })}
          </button>
        ) : null}
        <p>
          <a href={address(["enter", name, "reading"], corrected ? { correct: String(corrected["id"]), plain: "yes" } : { plain: "yes", quantity, subject: position.place })}>{t("in_plain")}</a>
        </p>
        {corrected ? null : <PositionList list={list} at={at} entries={entries} is_begun={(one) => one !== now && kept_draft(drafts + at_place(one)) !== undefined} on_chosen={move} />}
      </div>
    </div>
  );
}

interface WhereProps {
  position: Position;
  direction: string | undefined;
  also: With;
  journals: number;
  unit: Unit;
  gauge: Gauge | undefined;
}

function Where({ position, direction, also, journals, unit, gauge }: WhereProps) {
  return (
    <div class="where stack">
      <h2>{place_words(position.place, direction)}</h2>
      <PlaceDrawing
        quantity={position.quantity}
        place={position.place}
        direction={direction}
        section={also.section}
        links={also.links}
        journals={journals}
      />
      <Limits position={position} unit={unit} gauge={gauge} />
    </div>
  );
}

interface GoProps {
  is_typed: boolean;
  is_read: boolean;
  is_one: boolean; // a correction: nothing comes next
  on_again: () => void;
  on_next: () => void;
}

function Go({ is_typed, is_read, is_one, on_again, on_next }: GoProps) {
  return (
    <div class="go">
      <button type="button" onClick={on_again} disabled={!is_typed}>
        {t("in_again")}
      </button>
      <button type="button" class={is_read ? "main" : ""} onClick={on_next}>
        {is_one ? t("in_enter_it") : is_read ? t("in_next") : t("in_skip")}
      </button>
    </div>
  );
}
