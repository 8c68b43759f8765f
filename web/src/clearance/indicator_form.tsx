// SPDX-License-Identifier: Apache-2.0
// Lift of one valve against the degree wheel, in pairs of equal lift or angle by angle, typed on the
// number pad; after each row the program says how the camshaft stands.
import { useEffect, useRef, useState } from "preact/hooks";

import { case_path, type Schemas } from "../ask";
import { Choices, YesNo } from "../enter/choices";
import type { FormProps } from "../enter/entry_form";
import type { Values } from "../enter/form";
import { gauges_for, resolution_in } from "../enter/instruments";
import { filled, only_fields } from "../enter/schema";
import { kLockProofs } from "../enter/state_form";
import { unit_named } from "../enter/units";
import { choice_word, unit_words, word_in } from "../enter/words";
import { said } from "../said/said";
import { type Key, t } from "../texts";
import { type Box, BoxPad, value_shown } from "./boxes";
import { IndicatorFound } from "./indicator_found";
import { IndicatorPlot, type Spot } from "./indicator_plot";
import type { IndicatorRead } from "./says";
import { type Column, groups_of, next_angle, rows_of } from "./stop_rows";
import { useLive } from "./use_live";

type Mode = "pairs" | "table";
const kColumns: Record<Mode, { name: string; says: Key; is_lift: boolean }[]> = {
  pairs: [
    { name: "lift", says: "cl_lift", is_lift: true },
    { name: "opens", says: "cl_opens", is_lift: false },
    { name: "closes", says: "cl_closes", is_lift: false },
  ],
  table: [
    { name: "at", says: "cl_angle", is_lift: false },
    { name: "lift", says: "cl_lift", is_lift: true },
  ],
};
const kCrank = "deg crank";
const kTop = ["0.2 deg crank", "0.4 deg crank", "0.6 deg crank", "1 deg crank"];

const unit_begun = (values: Values): "mm" | "in" => (/\d in\b/.test(JSON.stringify([values["pairs"], values["table"]])) ? "in" : "mm");

export function IndicatorForm({ fields, values, on_values, mistakes, drive, view }: FormProps) {
  const [unit, set_unit] = useState(() => unit_begun(values));
  const [mode, set_mode] = useState<Mode>(() => (Array.isArray(values["table"]) ? "table" : "pairs"));
  const columns = kColumns[mode];
  const out = (lift_unit: string): Column[] => columns.map(({ name, is_lift }) => ({ name, unit: is_lift ? lift_unit : kCrank }));
  const [rows, set_rows] = useState<string[][]>(() => [...rows_of(values[mode], out(unit)), columns.map(() => "")]);
  const [at, set_at] = useState({ row: rows.length - 1, column: 0 });
  const set = (name: string) => (value: unknown) => on_values({ ...values, [name]: value === "" ? undefined : value });
  const field = (name: string) => word_in(fields, name);
  const typed = (next: string[][], lift_unit = unit) => {
    set_rows(next);
    on_values({ ...values, pairs: undefined, table: undefined, [mode]: groups_of(next, out(lift_unit)) });
  };
  const change_mode = (next: string) => {
    if (next !== "pairs" && next !== "table") return;
    set_mode(next);
    set_rows([kColumns[next].map(() => "")]);
    set_at({ row: 0, column: 0 });
    on_values({ ...values, pairs: undefined, table: undefined });
  };
  const next_box = () => {
    if (at.column + 1 < columns.length) return set_at({ row: at.row, column: at.column + 1 });
    const row = at.row + 1;
    const angle = mode === "table" && row >= rows.length ? next_angle(rows) : "";
    if (row >= rows.length) set_rows([...rows, columns.map((_, n) => (n === 0 ? angle : ""))]);
    set_at({ row, column: angle === "" ? 0 : 1 });
  };
  const gauges = gauges_for("end play", "length", view.case.instruments ?? []).filter((one) => one.is_declared || one.name === "dial indicator");
  const gauge = gauges.find((one) => one.name === values["instrument"]);
  const lift_unit = unit_named(unit);
  const box = (row: number, column: number): Box => {
    const of = columns[column];
    return {
      key: `${mode} ${row} ${column}`,
      label: `${t("cl_row", { n: row + 1 })} ${of ? t(of.says) : ""}`,
      value: rows[row]?.[column] ?? "",
      unit: of?.is_lift ? unit_words(unit) : "°",
      sides: !of?.is_lift,
      resolution: of?.is_lift && lift_unit ? resolution_in(gauge, lift_unit) : undefined,
    };
  };
  const is_whole = values["place"] !== undefined && values[mode] !== undefined;
  const live = useLive<IndicatorRead>(case_path(view.summary.name, "clearance", "indicator"), is_whole ? filled(only_fields(fields, values)) : undefined);
  const active = box(at.row, at.column);
  return (
    <div class="cl_wide cl_two">
      <div class="stack">
        <p class="caution">{t("cl_indicator_rule")}</p>
        <WhichValve drive={drive} values={values} on_values={on_values} mistakes={mistakes} field={field} />
        <Choices label={t("cl_mode")} choices={["pairs", "table"]} value={mode} word={(one) => t(one === "pairs" ? "cl_mode_pairs" : "cl_mode_table")} on_value={change_mode} />
        <Choices label={t("cl_lift_unit")} choices={["mm", "in"]} value={unit} word={unit_words} on_value={(one) => {
          const next = one === "in" ? "in" : "mm";
          set_unit(next);
          typed(rows, next);
        }} />
        <Rows rows={rows} box={box} at={at} on_at={set_at} says={columns.map(({ says }) => says)}
          on_remove={(row) => {
            const left = rows.filter((_, n) => n !== row);
            const kept = left.length > 0 ? left : [columns.map(() => "")];
            typed(kept);
            set_at({ row: kept.length - 1, column: 0 });
          }} />
        {mistakes[`entry/${mode}`] ? <p class="wrong">{mistakes[`entry/${mode}`]}</p> : null}
        <BoxPad key={active.key} box={active} on_next={next_box} next={t(at.column + 1 < columns.length ? "cl_next" : "cl_next_row")}
          on_value={(value) => typed(rows.map((row, n) => (n === at.row ? row.map((cell, m) => (m === at.column ? value : cell)) : row)))} />
      </div>
      <div class="stack">
        <section class="cl_found stack" aria-live="polite">
          <IndicatorPlot spots={spots_of(rows, mode)} found={live.told?.found ?? undefined} unit={unit} />
          <IndicatorFound live={live} is_asked={is_whole} />
        </section>
        <Choices label={field("top")} help={t("cl_top_help")} choices={kTop} value={String(values["top"] ?? "")} on_value={set("top")} wrong={mistakes["entry/top"]} />
        <YesNo label={field("forward_only")} value={values["forward_only"]} on_value={set("forward_only")} />
        <Choices label={field("phaser")} choices={fields.find((one) => one.name === "phaser")?.choices ?? []} value={String(values["phaser"] ?? "")} word={choice_word}
          on_value={(one) => on_values({ ...values, phaser: one || undefined, phaser_checked_how: one === "locked" ? values["phaser_checked_how"] : undefined })} />
        {values["phaser"] === "locked" ? (
          <Choices label={field("phaser_checked_how")} choices={kLockProofs} value={String(values["phaser_checked_how"] ?? "")} word={choice_word} on_value={set("phaser_checked_how")} />
        ) : null}
        {mode === "table" ? <YesNo label={field("as_lobe")} value={values["as_lobe"]} on_value={set("as_lobe")} /> : null}
        <Choices label={field("instrument")} choices={gauges.map((one) => one.name)} value={String(values["instrument"] ?? "")} on_value={set("instrument")} wrong={mistakes["entry/instrument"]} />
      </div>
    </div>
  );
}

interface RowsProps {
  rows: string[][];
  box: (row: number, column: number) => Box;
  at: { row: number; column: number };
  on_at: (at: { row: number; column: number }) => void;
  on_remove: (row: number) => void;
  says: Key[];
}

// The row that is typed stays in sight, and the pad below it in its place.
function Rows({ rows, box, at, on_at, on_remove, says }: RowsProps) {
  const frame = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const [all, cell] = [frame.current, frame.current?.querySelector<HTMLElement>('[aria-pressed="true"]')];
    if (!all || !cell) return;
    const [outer, inner] = [all.getBoundingClientRect(), cell.getBoundingClientRect()];
    if (inner.bottom > outer.bottom) all.scrollTop += inner.bottom - outer.bottom;
    if (inner.top < outer.top) all.scrollTop -= outer.top - inner.top;
  }, [at, rows.length]);
  return (
    <div class="cl_rows_of" ref={frame} tabIndex={0} role="group" aria-label={t("cl_rows")}>
      <table class="cl_rows">
        <thead>
          <tr>
            <th scope="col">{t("cl_number")}</th>
            {says.map((key) => <th scope="col" key={key}>{t(key)}</th>)}
            <td />
          </tr>
        </thead>
        <tbody>
          {rows.map((row, n) => (
            <tr key={n}>
              <th scope="row">{n + 1}</th>
              {row.map((_, column) => {
                const one = box(n, column);
                const shown = value_shown(one);
                return (
                  <td key={column}>
                    <button type="button" class="cl_cell" aria-pressed={at.row === n && at.column === column} aria-label={`${one.label}: ${shown || t("cl_empty")}`} onClick={() => on_at({ row: n, column })}>
                      {shown || "–"}
                    </button>
                  </td>
                );
              })}
              <td><button type="button" class="quiet" aria-label={t("cl_remove_row", { n: n + 1 })} onClick={() => on_remove(n)}>×</button></td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function spots_of(rows: readonly string[][], mode: Mode): Spot[] {
  const number = (cell: string | undefined) => (cell ? Number(cell) : NaN);
  const all = rows.flatMap((row) => {
    const [a, b, c] = row.map(number);
    return mode === "pairs" ? [{ at: b ?? NaN, lift: a ?? NaN }, { at: c ?? NaN, lift: a ?? NaN }] : [{ at: a ?? NaN, lift: b ?? NaN }];
  });
  return all.filter((one) => Number.isFinite(one.at) && Number.isFinite(one.lift));
}

interface WhichProps {
  drive: Schemas["drive"] | undefined;
  values: Values;
  on_values: (values: Values) => void;
  mistakes: Record<string, string>;
  field: (name: string) => string;
}

function WhichValve({ drive, values, on_values, mistakes, field }: WhichProps) {
  const cams = (drive?.banks ?? []).flatMap((bank) => (bank.camshafts ?? []).map((cam) => ({ bank, cam, path: `bank ${bank.number} / ${cam.name}` })));
  const chosen = cams.find((one) => one.path === values["place"]);
  const kinds = (chosen?.cam.valves ?? []).map((one) => one.name);
  const cylinders = chosen?.bank.cylinders ?? [];
  const all = cylinders.length > 0 ? cylinders : Array.from({ length: drive?.cylinders?.count ?? 0 }, (_, i) => i + 1);
  if (cams.length === 0)
    return (
      <label>
        {field("place")}
        <input value={String(values["place"] ?? "")} onInput={(event) => on_values({ ...values, place: event.currentTarget.value })} />
      </label>
    );
  return (
    <>
      <Choices name="entry/place" label={field("place")} choices={cams.map((one) => one.path)} value={String(values["place"] ?? "")} word={said}
        on_value={(one) => on_values({ ...values, place: one || undefined, valves: undefined, cylinder: undefined })} wrong={mistakes["entry/place"]} />
      {kinds.length > 1 ? (
        <Choices label={field("valves")} choices={kinds} value={String(values["valves"] ?? "")} word={said} on_value={(one) => on_values({ ...values, valves: one || undefined })} wrong={mistakes["entry/valves"]} />
      ) : null}
      {chosen && all.length > 0 ? (
        <Choices label={field("cylinder")} choices={all.map(String)} value={String(values["cylinder"] ?? "")} on_value={(one) => on_values({ ...values, cylinder: one === "" ? undefined : Number(one) })} wrong={mistakes["entry/cylinder"]} />
      ) : null}
    </>
  );
}
