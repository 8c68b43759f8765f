// SPDX-License-Identifier: Apache-2.0
// The values of a trace in both systems of units, with their uncertainty where there is one.
import { t } from "../texts";
import { angle_words, fixed, newton_meters, pound_force, pounds, type TraceSaid } from "./says";

type Values = NonNullable<TraceSaid["values"]>;
type Row = [name: string, si: string, other: string, doubt: string];

export function TraceValues({ values, take_out }: { values: Values; take_out: boolean }) {
  return (
    <section class="trace_values" tabIndex={0} aria-label={t("tr_values")}>
      <table class="wheels">
        <caption>{t("tr_values")}</caption>
        <thead>
          <tr>{(["tr_value", "tr_si", "tr_pounds", "tr_doubt"] as const).map((key) => <th scope="col" key={key}>{t(key)}</th>)}</tr>
        </thead>
        <tbody>
          {rows_of(values, take_out).map(([name, si, other, doubt]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{si}</td>
              <td>{other}</td>
              <td>{doubt}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="faint">{t("tr_doubt_note", { percent: fixed(100 * values.wrench_deviation, 0), torque: newton_meters(values.noise_Nm) })}</p>
    </section>
  );
}

// No clamp load of a bolt that must come out: its torque is not all of the clamp load's.
function rows_of(v: Values, take_out: boolean): Row[] {
  const rows: Row[] = [];
  const torque = (name: string, value: number | null | undefined) => {
    if (value != null) rows.push([name, newton_meters(value), pounds(value), `± ${newton_meters(v.wrench_deviation * value)}`]);
  };
  const angle = (name: string, value: number | null | undefined, doubt: number | null | undefined = null) => {
    if (value != null) rows.push([name, angle_words(value), "", doubt == null ? "" : `± ${angle_words(doubt)}`]);
  };
  torque(t("tr_v_prevailing"), v.prevailing_Nm);
  torque(t("tr_v_closed"), v.closed?.torque_Nm);
  if (v.gradient_Nm_per_deg !== null) {
    const doubt = v.gradient_U_Nm_per_deg === null ? "" : `± ${fixed(v.gradient_U_Nm_per_deg, 3)} N·m/°`;
    rows.push([t("tr_v_gradient"), `${fixed(v.gradient_Nm_per_deg, 3)} N·m/°`, `${fixed(v.gradient_Nm_per_deg / kFoot, 3)} lbf·ft/°`, doubt]);
  }
  angle(t("tr_v_origin"), v.origin_deg, v.origin_U_deg);
  angle(t("tr_v_clamp_angle"), v.clamp_angle_deg);
  torque(t("tr_v_yield"), v.yield?.torque_Nm);
  angle(t("tr_v_plastic"), v.plastic_angle_deg);
  torque(t("tr_v_end"), v.end?.torque_Nm);
  for (const [name, load] of [[t("tr_v_by_torque"), v.clamp_load_by_torque], [t("tr_v_by_angle"), v.clamp_load_by_angle]] as const)
    if (load && !take_out) rows.push([name, `${kilonewtons(load.low_N)} – ${kilonewtons(load.high_N)} kN`, `${pound_force(load.low_N)} – ${pound_force(load.high_N)} lbf`, t("tr_range")]);
  rows.push([t("tr_v_strokes"), String(v.strokes), "", ""]);
  return rows;
}

const kFoot = 0.45359237 * 9.80665 * 0.3048; // N·m of one lbf·ft, exact
const kilonewtons = (newtons: number) => fixed(newtons / 1000, 1);
