// SPDX-License-Identifier: Apache-2.0
// Readings, position after position: digits, Next, digits, Next. What was chosen once stays chosen.
import { useEffect, useLayoutEffect, useMemo, useState } from "preact/hooks";

import { case_path, type Schemas } from "../ask";
import { useAsked } from "../state/asked";
import { enter, type NewEntry, waiting_of } from "../state/outbox";
import { t } from "../texts";
import { with_sign } from "./decimal_sign";
import { hints_of, HintList } from "./hint_list";
import { gauges_for, in_unit, last_gauge, remember_gauge, resolution_in } from "./instruments";
import { PlaceDrawing } from "./place_drawing";
import { empty_pad, number_of, type Pad, pressed, refitted, shown, text_of } from "./pad";
import { PadKeys } from "./pad_keys";
import { type AnyEntry, first_wanted, next_open, type Position, positions_of, to_do } from "./positions";
import { LastEntered, Limits, PositionList } from "./reading_told";
import { Settings, type With } from "./reading_with";
import { speak } from "./speech";
import { converted, decimals_for, offered, parsed_range, type Unit, unit_named } from "./units";
import { quantity_word } from "./words";

interface Props {
  name: string;
  view: Schemas["case_view"];
  drive: Schemas["drive"];
  query: Record<string, string>;
}

export interface Sent {
  position: Position;
  direction: string | undefined;
  values: string;
}

// Units a quantity can be read in; lock play is read in degrees or on the rim.
export function kinds_of_quantity(quantity: string): string[] {
  if (quantity === "lock play") return ["length", "cam angle"];
  return [quantity === "sink time" ? "time" : "length"];
}

export function units_of_quantity(quantity: string): Unit[] {
  return kinds_of_quantity(quantity).flatMap(offered);
}

export function ReadingForm({ name, view, drive, query }: Props) {
  const found = useAsked<Schemas["findings"]>(case_path(name, "findings"), name);
  const positions = useMemo(() => positions_of(drive), [drive]);
  const [chosen, set_chosen] = useState<Chosen | undefined>(() => asked_for(query, positions));
  // What the findings ask for first is taken once, then kept: it must not change under the digits.
  const is_known = found.told !== undefined || found.detail !== "" || chosen !== undefined;
  useEffect(() => {
    if (!is_known || chosen) return;
    const wanted = first_wanted(found.told, positions) ?? positions[0];
    if (wanted) set_chosen({ quantity: wanted.quantity, place: undefined, near: wanted.place });
  }, [is_known, chosen, found.told, positions]);
  if (positions.length === 0) return <p>{t("in_nothing_to_judge")}</p>;
  if (!chosen) return <p role="status">{t("loading")}</p>;
  const { quantity } = chosen;
  return (
    <div class="stack">
      <Quantities
        positions={positions}
        quantity={quantity}
        on_chosen={(next) => set_chosen({ quantity: next, place: undefined })}
      />
      <Series
        key={quantity}
        name={name}
        view={view}
        found={found}
        quantity={quantity}
        positions={positions.filter((one) => one.quantity === quantity)}
        first={chosen.place ?? chosen.near}
        is_place_given={chosen.place !== undefined}
        after={next_quantity(positions, quantity, entries_of(view, name))}
        on_after={(next) => set_chosen({ quantity: next, place: undefined })}
        journals={journals_in(drive)}
      />
    </div>
  );
}

interface Chosen {
  quantity: string;
  place: string | undefined; // asked for by name
  near?: string; // begin there, at the first with no reading
}

// The next quantity, in the order of the drive, of which something is not measured yet.
function next_quantity(positions: Position[], quantity: string, entries: AnyEntry[]): string | undefined {
  const names = [...new Set(positions.map((one) => one.quantity))];
  const from = names.indexOf(quantity);
  const is_open = (name: string) =>
    name !== "journal clearance" &&
    next_open(to_do(positions.filter((one) => one.quantity === name), []), -1, entries) !== undefined;
  return [...names.slice(from + 1), ...names.slice(0, from)].find(is_open);
}

function asked_for(query: Record<string, string>, positions: Position[]): Chosen | undefined {
  const subject = query["subject"] ?? query["place"];
  const quantity = query["quantity"];
  const is = positions.find(
    (one) => (!quantity || one.quantity === quantity) && (!subject || one.place === subject),
  );
  if (!quantity && !subject) return undefined;
  return is ? { quantity: is.quantity, place: subject } : undefined;
}

function journals_in(drive: Schemas["drive"]): number {
  return Math.max(1, ...(drive.banks ?? []).flatMap((bank) => (bank.camshafts ?? []).map((cam) => cam.journals ?? 1)));
}

function Quantities(props: { positions: Position[]; quantity: string; on_chosen: (quantity: string) => void }) {
  const names = [...new Set(props.positions.map((one) => one.quantity))];
  return (
    <label class="quantity">
      <span class="heard">{t("in_quantity")}</span>
      <select value={props.quantity} onChange={(event) => props.on_chosen(event.currentTarget.value)}>
        {names.map((one) => (
          <option value={one} key={one}>
            {quantity_word(one)}
          </option>
        ))}
      </select>
    </label>
  );
}

interface SeriesProps {
  name: string;
  view: Schemas["case_view"];
  found: ReturnType<typeof useAsked<Schemas["findings"]>>;
  quantity: string;
  positions: Position[];
  first: string | undefined;
  is_place_given: boolean;
  after: string | undefined;
  on_after: (quantity: string) => void;
  journals: number;
}

const kWithNothing: With = { directions: [], section: "", temperature: "", cap: "", links: "", radius: "", drop: "", force: "" };

function Series(props: SeriesProps) {
  const { name, view, found, quantity, positions } = props;
  const entries = entries_of(view, name);
  const own = view.case.instruments ?? [];
  const units = units_of_quantity(quantity);
  const [unit, set_unit] = useState<Unit>(() => first_unit(quantity, positions, units));
  // What is typed stays in the unit it was begun in; the switch converts what is shown.
  const [typed_in, set_typed_in] = useState<Unit | undefined>();
  const [pad, set_pad] = useState<Pad>(() => empty_pad());
  const [values, set_values] = useState<string[]>([]);
  const is_begun = pad.digits !== "" || values.length > 0;
  const typing = (is_begun ? typed_in : undefined) ?? unit;
  const gauges = gauges_for(quantity, typing.kind, own);
  const [gauge_name, set_gauge] = useState(() => first_gauge(quantity, gauges));
  const gauge = gauges.find((one) => one.name === gauge_name);
  const resolution = resolution_in(gauge, typing);
  const [also, set_also] = useState<With>(() => with_fit(positions[0]));
  const list = to_do(positions, also.directions);
  const [at, set_at] = useState(() => first_at(list, props.first, props.is_place_given, entries));
  const [sent, set_sent] = useState<Sent | undefined>();
  const [problem, set_problem] = useState("");
  useLayoutEffect(() => set_pad((old) => refitted(old, resolution)), [resolution]);

  const now = list[Math.min(at, list.length - 1)];
  if (!now) return null;
  const { position, direction } = now;
  const all = pad.digits === "" ? values : [...values, text_of(pad)];
  const U = in_unit(gauge?.uncertainty, typing);
  const hints = hints_of(position, all.map(Number), typing, U, pad, also.radius);
  const cleared = () => {
    set_values([]);
    set_typed_in(undefined);
    set_pad(empty_pad(resolution_in(gauge, unit)));
  };
  const key = (name: string) => {
    if (all.length === 0) set_typed_in(unit);
    set_pad((old) => pressed(old, name));
  };

  function again(): void {
    if (pad.digits === "") return;
    set_values(all);
    set_pad(empty_pad(resolution));
    speak(text_of(pad));
  }

  async function next(): Promise<void> {
    set_problem("");
    const lacks = all.length > 0 ? lacking(quantity, typing, also, gauge_name) : undefined;
    if (lacks) return set_problem(lacks);
    if (all.length === 0) return set_at((at + 1) % list.length);
    const text = `${all.join(" ")} ${typing.name}`;
    const entry = with_sign(
      entry_of(position, direction, text, gauge_name, also, typing),
      view.case.decimal_sign,
    );
    const is_new = { position, direction, values: text };
    cleared();
    set_sent(is_new);
    speak(`${last_words(position.place)}: ${all.join(", ")}`);
    await enter(name, entry as unknown as NewEntry);
    set_at((old) => next_open(list, old, [...entries, entry]) ?? (old + 1) % list.length);
  }

  return (
    <div class={gauge ? "reading" : "reading lacks"}>
      <div class="where stack">
        <h2>
          {position.place}
          {direction ? `, ${t(direction === "vertical" ? "in_vertical" : "in_horizontal")}` : ""}
        </h2>
        <PlaceDrawing
          quantity={quantity}
          place={position.place}
          direction={direction}
          section={also.section}
          links={also.links}
          journals={props.journals}
        />
        <Limits position={position} unit={unit} gauge={gauge} />
      </div>
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
          on_also={set_also}
        />
      </div>
      <div class="typed stack">
        <Display pad={pad} typing={typing} unit={unit} />
        <Repeats values={values} all={all} unit={typing} decimals={pad.decimals} on_without={(i) => set_values(values.filter((_, n) => n !== i))} />
        <HintList hints={hints} unit={typing} />
        {problem ? <p class="wrong" role="alert">{problem}</p> : null}
        <PadKeys pad={pad} on_key={key} on_enter={() => void next()} step={gauge?.resolution ?? ""} />
        <div class="go">
          <button type="button" onClick={again} disabled={pad.digits === ""}>
            {t("in_again")}
          </button>
          <button type="button" class={all.length > 0 ? "main" : ""} onClick={() => void next()}>
            {all.length > 0 ? t("in_next") : t("in_skip")}
          </button>
        </div>
        <LastEntered name={name} sent={sent} found={found} />
      </div>
      <div class="told stack">
        {props.after && next_open(list, -1, entries) === undefined ? (
          <button type="button" class="main" onClick={() => props.on_after(props.after ?? "")}>
            {t("in_all_read", { quantity: quantity_word(props.after) })}
          </button>
        ) : null}
        <PositionList list={list} at={at} entries={entries} on_chosen={(i) => { set_at(i); cleared(); }} />
      </div>
    </div>
  );
}

// In the unit chosen; below it what was typed, where that is another one.
function Display({ pad, typing, unit }: { pad: Pad; typing: Unit; unit: Unit }) {
  const value = number_of(pad);
  const other = value === undefined ? undefined : converted(value, typing, unit);
  const is_same = typing === unit || other === undefined;
  const decimals = decimals_for(pad.decimals ?? 3, typing, unit);
  return (
    <p class="display" aria-live="polite">
      <output>{is_same ? shown(pad) || "–" : other.toFixed(decimals)}</output> <span>{unit.name}</span>
      {is_same ? null : <small>{t("in_typed", { value: `${shown(pad)} ${typing.name}` })}</small>}
    </p>
  );
}

function entries_of(view: Schemas["case_view"], name: string): AnyEntry[] {
  const stored = (view.case.entries ?? []) as unknown as AnyEntry[];
  return [...stored, ...waiting_of(name).map((one) => one.entry as unknown as AnyEntry)];
}

// That of the limit; but lock play is limited as an angle and read on the rim.
function first_unit(quantity: string, positions: Position[], units: Unit[]): Unit {
  if (quantity === "lock play") return units[0] as Unit;
  const written = parsed_range(positions[0]?.limit)?.unit;
  return units.find((one) => one === written) ?? units[0] ?? (unit_named("mm") as Unit);
}

// The one used last, or the only one of the case that fits; else nothing is chosen.
function first_gauge(quantity: string, gauges: ReturnType<typeof gauges_for>): string {
  const last = last_gauge(quantity);
  if (gauges.some((one) => one.name === last)) return last ?? "";
  const first = gauges[0];
  return first?.is_declared ? first.name : "";
}

function with_fit(position: Position | undefined): With {
  const fit = position?.fit;
  return {
    ...kWithNothing,
    links: fit?.links ? String(fit.links) : "",
    drop: fit?.drop ?? "",
    force: fit?.force ?? "",
  };
}

function first_at(list: ReturnType<typeof to_do>, place: string | undefined, is_given: boolean, entries: AnyEntry[]): number {
  const at = list.findIndex((one) => one.position.place === place);
  if (is_given && at >= 0) return at;
  return next_open(list, (at < 0 ? list.length : at) - 1, entries) ?? Math.max(0, at);
}

function lacking(quantity: string, unit: Unit, also: With, gauge: string): string | undefined {
  if (gauge === "") return t("in_lacks_instrument");
  if (quantity === "chain length" && !/^[0-9]+$/.test(also.links)) return t("in_lacks_links");
  if (quantity === "lock play" && unit.kind === "length" && !also.radius) return t("in_lacks_radius");
  return undefined;
}

function entry_of(position: Position, direction: string | undefined, values: string, instrument: string, also: With, unit: Unit): AnyEntry {
  const is_journal = /diameter$/.test(position.quantity);
  const all: Record<string, unknown> = {
    quantity: position.quantity,
    place: position.place,
    direction,
    section: is_journal ? also.section : "",
    values,
    instrument,
    temperature: also.temperature,
    cap: position.quantity === "bore diameter" || position.quantity === "journal clearance" ? also.cap : "",
    links: position.quantity === "chain length" ? Number(also.links) : undefined,
    radius: position.quantity === "lock play" && unit.kind === "length" ? also.radius : "",
    drop: position.quantity === "sink time" ? also.drop : "",
    force: position.quantity === "sink time" ? also.force : "",
  };
  const is_told = Object.entries(all).filter(([, one]) => one !== undefined && one !== "");
  return { kind: "reading", ...Object.fromEntries(is_told) };
}

export function last_words(place: string): string {
  return place.split(" / ").slice(-1)[0] ?? place;
}

function Repeats(props: { values: string[]; all: string[]; unit: Unit; decimals: number | undefined; on_without: (i: number) => void }) {
  if (props.values.length === 0) return null;
  const numbers = props.all.map(Number);
  const mean = numbers.reduce((sum, one) => sum + one, 0) / numbers.length;
  const spread = Math.max(...numbers) - Math.min(...numbers);
  const decimals = props.decimals ?? 3;
  return (
    <div class="repeats">
      <ul>
        {props.values.map((one, i) => (
          <li key={i}>
            <button type="button" class="quiet" aria-label={t("in_without", { value: one })} onClick={() => props.on_without(i)}>
              {one} ×
            </button>
          </li>
        ))}
      </ul>
      {props.all.length > 1 ? (
        <p>
          {t("in_mean", { n: props.all.length, mean: `${mean.toFixed(Math.min(6, decimals + 1))} ${props.unit.name}`, spread: `${spread.toFixed(decimals)} ${props.unit.name}` })}
        </p>
      ) : null}
    </div>
  );
}
