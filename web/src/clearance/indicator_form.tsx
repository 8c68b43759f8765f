// SPDX-License-Identifier: Apache-2.0
// Lift of one valve against the degree wheel, in pairs of equal lift or angle by angle, typed on the
// number pad; after each row the program says how the camshaft stands.
import { useEffect, useRef, useState } from "preact/hooks";

import { case_path } from "../ask";
import { Choices, YesNo } from "../enter/choices";
import type { FormProps } from "../enter/entry_form";
import type { Values } from "../enter/form";
import { gauges_for, resolution_in } from "../enter/instruments";
import { filled, only_fields } from "../enter/schema";
import { kLockProofs } from "../enter/state_form";
import { unit_named } from "../enter/units";
import { choice_word, unit_words, word_in } from "../enter/words";
import { type Key, t } from "../texts";
import { type Box, BoxPad, value_shown } from "./boxes";
import { half_of, type Mode, type Row, with_half } from "./half";
import { IndicatorFound } from "./indicator_found";
import { IndicatorPlot, type Spot } from "./indicator_plot";
import { give_or_take, type IndicatorRead, type StopRead } from "./says";
import { type Column, groups_of, next_angle, rows_of } from "./stop_rows";
import { useLive } from "./use_live";
import { WhichValve } from "./which_valve";

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

type Unit = Row["unit"];
type AllRows = Record<Mode, Row[]>;

const columns_out = (mode: Mode, unit: Unit): Column[] => kColumns[mode].map(({ name, is_lift }) => ({ name, unit: is_lift ? unit : kCrank }));
const empty_row = (mode: Mode, unit: Unit): Row => ({ cells: kColumns[mode].map(() => ""), unit });
const is_empty = (row: Row) => row.cells.every((cell) => cell === "");

// Each row with the unit that its lift has there.
function rows_begun(values: Values, mode: Mode, unit: Unit): Row[] {
  const groups = (Array.isArray(values[mode]) ? values[mode] : []) as Values[];
  return rows_of(groups, columns_out(mode, unit)).map((cells, i) => ({ cells, unit: /\d in\b/.test(String(groups[i]?.["lift"])) ? "in" : "mm" }));
}

// With a row to type into at the end.
function with_last(rows: Row[], mode: Mode, unit: Unit): Row[] {
  const last = rows.at(-1);
  return last && last.cells.some((cell) => cell === "") ? rows : [...rows, empty_row(mode, unit)];
}

export function IndicatorForm({ fields, values, on_values, mistakes, drive, view }: FormProps) {
  const half = half_of(values);
  const [mode, set_mode] = useState<Mode>(() => half.mode ?? (Array.isArray(values["table"]) ? "table" : "pairs"));
  const [unit, set_unit] = useState<Unit>(() => half.unit ?? rows_begun(values, mode, "mm").at(-1)?.unit ?? "mm");
  const begun = (of: Mode) => with_last(half.rows?.[of] ?? rows_begun(values, of, unit), of, unit);
  const [all, set_all] = useState<AllRows>(() => ({ pairs: begun("pairs"), table: begun("table") }));
  const columns = kColumns[mode];
  const rows = all[mode];
  const [at, set_at] = useState(() => first_empty(rows));
  const set = (name: string) => (value: unknown) => on_values({ ...values, [name]: value === "" ? undefined : value });
  const field = (name: string) => word_in(fields, name);
  // Only the rows of the way it is read go out; those of the other way are kept.
  const keep = (next: AllRows, as: Mode, lift_unit: Unit) => {
    set_all(next);
    const out = next[as].flatMap((row) => groups_of([row.cells], columns_out(as, row.unit)) ?? []);
    on_values(with_half({ ...values, pairs: undefined, table: undefined, [as]: out.length > 0 ? out : undefined }, { mode: as, unit: lift_unit, rows: next }));
  };
  const typed = (next: Row[]) => keep({ ...all, [mode]: next }, mode, unit);
  const change_mode = (next: string) => {
    if (next !== "pairs" && next !== "table") return;
    set_mode(next);
    set_at(first_empty(all[next]));
    keep(all, next, unit);
  };
  // What was typed keeps its unit: 6.00 mm is never 6.00 in.
  const change_unit = (next: Unit) => {
    const lift = columns.findIndex((one) => one.is_lift);
    set_unit(next);
    keep({ ...all, [mode]: rows.map((row) => (row.cells[lift] === "" ? { ...row, unit: next } : row)) }, mode, next);
  };
  const next_box = () => {
    if (at.column + 1 < columns.length) return set_at({ row: at.row, column: at.column + 1 });
    const row = at.row + 1;
    const angle = mode === "table" && row >= rows.length ? next_angle(rows.map((one) => one.cells)) : "";
    if (row >= rows.length) typed([...rows, { cells: columns.map((_, n) => (n === 0 ? angle : "")), unit }]);
    set_at({ row, column: angle === "" ? 0 : 1 });
  };
  const gauges = gauges_for("end play", "length", view.case.instruments ?? []).filter((one) => one.is_declared || one.name === "dial indicator");
  const gauge = gauges.find((one) => one.name === values["instrument"]);
  const box = (row: number, column: number): Box => {
    const of = columns[column];
    const is_at = row === at.row && column === at.column; // typed anew it takes the unit chosen now
    const of_row = is_at && rows[row]?.cells[column] === "" ? unit : (rows[row]?.unit ?? unit);
    const lift_unit = unit_named(of_row);
    return {
      key: `${mode} ${row} ${column} ${of_row}`,
      label: `${t("cl_row", { n: row + 1 })} ${of ? t(of.says) : ""}`,
      value: rows[row]?.cells[column] ?? "",
      unit: of?.is_lift ? unit_words(of_row) : "°",
      sides: !of?.is_lift,
      resolution: of?.is_lift && lift_unit ? resolution_in(gauge, lift_unit) : undefined,
    };
  };
  const is_whole = values["place"] !== undefined && values[mode] !== undefined;
  const live = useLive<IndicatorRead>(case_path(view.summary.name, "clearance", "indicator"), is_whole ? filled(only_fields(fields, values)) : undefined);
  const zero = useZero(view);
  const active = box(at.row, at.column);
  const active_unit = (row: Row): Unit => (columns[at.column]?.is_lift && row.cells[at.column] === "" ? unit : row.unit);
  const others = all[mode === "pairs" ? "table" : "pairs"].filter((row) => !is_empty(row)).length;
  return (
    <div class="cl_wide cl_two">
      <div class="stack">
        <p class="caution">{t("cl_indicator_rule")}</p>
        <WhichValve drive={drive} values={values} on_values={on_values} mistakes={mistakes} field={field} />
        <Choices label={t("cl_mode")} choices={["pairs", "table"]} value={mode} word={(one) => t(one === "pairs" ? "cl_mode_pairs" : "cl_mode_table")} on_value={change_mode} />
        <Choices label={t("cl_lift_unit")} choices={["mm", "in"]} value={unit} word={unit_words} help={rows.some((row) => row.unit !== unit) ? t("cl_unit_kept") : undefined}
          on_value={(one) => one !== "" && change_unit(one === "in" ? "in" : "mm")} />
        {others > 0 ? <p>{t("cl_rows_kept", { n: others })}</p> : null}
        <Rows rows={rows} box={box} at={at} on_at={set_at} says={columns.map(({ says }) => says)}
          on_remove={(row) => {
            const left = rows.filter((_, n) => n !== row);
            const kept = left.length > 0 ? left : [empty_row(mode, unit)];
            typed(kept);
            set_at({ row: kept.length - 1, column: 0 });
          }} />
        {mistakes[`entry/${mode}`] ? <p class="wrong">{mistakes[`entry/${mode}`]}</p> : null}
        <BoxPad key={active.key} box={active} on_next={next_box} next={t(at.column + 1 < columns.length ? "cl_next" : "cl_next_row")}
          on_value={(value) => typed(rows.map((row, n) => (n === at.row ? { cells: row.cells.map((cell, m) => (m === at.column ? value : cell)), unit: active_unit(row) } : row)))} />
      </div>
      <div class="stack">
        <section class="cl_found stack" aria-live="polite">
          <IndicatorPlot spots={spots_of(rows, mode, unit)} found={live.told?.found ?? undefined} unit={unit} />
          <IndicatorFound live={live} is_asked={is_whole} />
        </section>
        <Choices label={field("top")} help={zero === undefined ? t("cl_top_help") : t("cl_top_of_stop", { deg: give_or_take(zero) })} choices={zero === undefined ? kTop : [`${rounded_up(zero)} deg crank`, ...kTop]} value={String(values["top"] ?? "")} on_value={set("top")} wrong={mistakes["entry/top"]} />
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

// How far the zero of the wheel can be off: what the last stop of the case gave.
function useZero(view: FormProps["view"]): number | undefined {
  const all = view.case.entries ?? [];
  const stop = [...all].reverse().find((one) => one.kind === "stop" && !all.some((other) => other.replaces === one.id));
  const { kind: _k, id: _i, at: _a, by: _b, replaces: _r, ...read } = (stop ?? {}) as Values;
  return useLive<StopRead>(case_path(view.summary.name, "clearance", "stop"), stop && filled(read)).told?.found?.U_deg;
}

const rounded_up = (deg: number): string => String(Math.ceil(deg * 100) / 100);

function first_empty(rows: readonly Row[]): { row: number; column: number } {
  const row = Math.max(rows.findIndex((one) => one.cells.some((cell) => cell === "")), 0);
  return { row, column: Math.max((rows[row]?.cells ?? []).indexOf(""), 0) };
}

interface RowsProps {
  rows: Row[];
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
              {row.cells.map((_, column) => {
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

// In one unit, whatever the rows were typed in.
function spots_of(rows: readonly Row[], mode: Mode, unit: Unit): Spot[] {
  const all = rows.flatMap((row) => {
    const by = row.unit === unit ? 1 : unit === "mm" ? 25.4 : 1 / 25.4;
    const [a, b, c] = row.cells.map((cell, n) => (cell === "" ? NaN : Number(cell) * (kColumns[mode][n]?.is_lift ? by : 1)));
    return mode === "pairs" ? [{ at: b ?? NaN, lift: a ?? NaN }, { at: c ?? NaN, lift: a ?? NaN }] : [{ at: a ?? NaN, lift: b ?? NaN }];
  });
  return all.filter((one) => Number.isFinite(one.at) && Number.isFinite(one.lift));
}
