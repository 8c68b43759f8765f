// SPDX-License-Identifier: Apache-2.0
// The positive stop: how many degrees the wheel shows before its zero and after it, stop by stop;
// at once what it reads at true top, and to what both sides are then set.
import { useState } from "preact/hooks";

import { case_path } from "../ask";
import { Choices, YesNo } from "../enter/choices";
import type { FormProps } from "../enter/entry_form";
import { gauges_for } from "../enter/instruments";
import { filled, only_fields } from "../enter/schema";
import { word_in } from "../enter/words";
import { Told } from "../said/told";
import { t } from "../texts";
import { BoxButton, BoxPad, type Box } from "./boxes";
import { half_of, half_typed, with_half } from "./half";
import { beside_zero, degrees, give_or_take, type StopRead } from "./says";
import { StopDial } from "./stop_dial";
import { type Pair, pairs_of, with_pairs } from "./stop_rows";
import { useLive } from "./use_live";

const kReading = ["0.25 deg crank", "0.5 deg crank", "1 deg crank", "2 deg crank"];
const kWidestStop = 120; // deg: the program takes none further from the top
const kStop = ["0.05 mm", "0.1 mm", "0.2 mm", "0.5 mm"];

export function StopForm({ fields, values, on_values, mistakes, drive, view }: FormProps) {
  const [pairs, set_pairs] = useState<Pair[]>(() => half_of(values).pairs ?? pairs_of(values));
  const [at, set_at] = useState<{ row: number; name: keyof Pair }>({ row: 0, name: "before" });
  const set = (name: string) => (value: unknown) => on_values({ ...values, [name]: value === "" ? undefined : value });
  const typed = (next: Pair[]) => {
    set_pairs(next);
    on_values(with_half(with_pairs(values, next), { pairs: next }));
  };
  const box = (row: number, name: keyof Pair): Box => ({
    key: `${row} ${name}`,
    label: t(name === "before" ? "cl_read_before" : "cl_read_after"),
    value: pairs[row]?.[name] ?? "",
    unit: "°",
  });
  const next = () => {
    if (at.name === "before") return set_at({ row: at.row, name: "after" });
    const row = at.row + 1;
    if (row >= pairs.length) set_pairs([...pairs, { before: "", after: "" }]);
    set_at({ row, name: "before" });
  };
  const count = drive?.cylinders?.count ?? 0;
  const field = (name: string) => word_in(fields, name);
  const gauges = gauges_for("", "crank angle", view.case.instruments ?? []).filter((one) => one.is_declared || one.name === "degree wheel");
  return (
    <div class="cl_wide cl_two">
      <div class="stack">
        <p class="caution">{t("cl_stop_rule")}</p>
        {pairs.map((_, row) => (
          <div class="cl_pair" key={row} role="group" aria-label={t("cl_pair", { n: row + 1 })}>
            {(["before", "after"] as const).map((name) => (
              <BoxButton key={name} box={box(row, name)} is_at={at.row === row && at.name === name} on_at={() => set_at({ row, name })} />
            ))}
          </div>
        ))}
        {pairs.some((one) => one.before !== "" && one.after !== "") ? half_typed("stop", values).map((says) => <p key={says}>{says}</p>) : null}
        {["before", "after"].map((name) => (mistakes[`entry/${name}`] ? <p class="wrong" key={name}>{mistakes[`entry/${name}`]}</p> : null))}
        <BoxPad
          key={`${at.row} ${at.name}`}
          box={box(at.row, at.name)}
          on_value={(value) => typed(pairs.map((pair, n) => (n === at.row ? { ...pair, [at.name]: value } : pair)))}
          on_next={next}
          next={t(at.name === "before" ? "cl_next_after" : "cl_next_pair")}
        />
      </div>
      <div class="stack">
        <Found values={only_fields(fields, values)} name={view.summary.name} pairs={pairs} />
        {count > 0 ? (
          <Choices label={field("cylinder")} choices={Array.from({ length: count }, (_, i) => String(i + 1))} value={String(values["cylinder"] ?? "")}
            on_value={(one) => set("cylinder")(one === "" ? undefined : Number(one))} wrong={mistakes["entry/cylinder"]} />
        ) : null}
        <Choices label={field("reading")} choices={kReading} value={String(values["reading"] ?? "")} on_value={set("reading")} wrong={mistakes["entry/reading"]} />
        <Choices label={field("stop")} choices={kStop} value={String(values["stop"] ?? "")} on_value={set("stop")} wrong={mistakes["entry/stop"]} />
        <YesNo label={field("pressed_up")} value={values["pressed_up"]} on_value={set("pressed_up")} />
        <YesNo label={field("wheel_set")} value={values["wheel_set"]} on_value={set("wheel_set")} />
        <Choices label={field("instrument")} choices={gauges.map((one) => one.name)} value={String(values["instrument"] ?? "")} on_value={set("instrument")} wrong={mistakes["entry/instrument"]} />
      </div>
    </div>
  );
}

function Found({ name, values, pairs }: { name: string; values: FormProps["values"]; pairs: Pair[] }) {
  const is_whole = values["before"] !== undefined && values["after"] !== undefined;
  const live = useLive<StopRead>(case_path(name, "clearance", "stop"), is_whole ? filled(values) : undefined);
  const found = live.told?.found;
  const last = pairs.filter((one) => one.before !== "" && one.after !== "").at(-1);
  return (
    <section class="cl_found stack" aria-live="polite">
      {last && Math.max(Number(last.before), Number(last.after)) <= kWidestStop ? <StopDial before={Number(last.before)} after={Number(last.after)} top={found?.wheel_reads_deg} /> : <p>{t("cl_stop_how")}</p>}
      {found ? (
        <>
          <dl class="cl_figures">
            <div>
              <dt>{t("cl_wheel_reads")}</dt>
              <dd data-name="wheel_reads">{beside_zero(found.wheel_reads_deg)} <small>{give_or_take(found.U_deg)}</small></dd>
            </div>
            <div>
              <dt>{t("cl_set_to")}</dt>
              <dd data-name="set_to">{degrees(found.half_angle_deg)}</dd>
            </div>
          </dl>
          <p><Told says={found.words} whole /></p>
          {found.cautions.map((says) => <p class="caution" key={says}><Told says={says} whole /></p>)}
        </>
      ) : null}
      {live.told?.why_not ? <p><b>{t("cl_not_yet")}</b> <Told says={live.told.why_not} whole /></p> : null}
      {live.detail ? <p class="wrong"><Told says={live.detail} whole /></p> : null}
    </section>
  );
}
