// SPDX-License-Identifier: Apache-2.0
// What the program says of valves and pistons, and where it is asked.
import { case_path, type Schemas } from "../ask";
import { number_words } from "../said/said";
import { t } from "../texts";

export type Clearance = Schemas["clearance"];
export type DriveGaps = Schemas["drive_clearance"];
export type ValveGaps = Schemas["valve_gaps"];
export type GapCell = Schemas["gap_cell"];
export type Way = Schemas["way"];
export type StopRead = Schemas["stop_read"];
export type IndicatorRead = Schemas["indicator_read"];

export const clearance_of_case = (name: string): string => case_path(name, "clearance");
export const clearance_of_drive = (name: string): string => `/api/drives/${encodeURIComponent(name)}/clearance`;

export const fixed = (value: number, decimals = 1): string => number_words(value.toFixed(decimals));
export const degrees = (value: number, decimals = 1): string => `${fixed(value, decimals)}°`;

// "± 0.4°", never of nothing: as many decimals as show it.
export function give_or_take(deg: number): string {
  const decimals = [1, 2, 3].find((one) => Number(deg.toFixed(one)) > 0);
  return decimals === undefined ? t("cl_less_than", { deg: degrees(0.001, 3) }) : `± ${degrees(deg, decimals)}`;
}

// Of the wheel, never with a bare sign: "1.2° before".
export function beside_zero(deg: number, decimals = 1): string {
  const says = degrees(Math.abs(deg), decimals);
  if (Number(Math.abs(deg).toFixed(decimals)) === 0) return says;
  return t(deg < 0 ? "cl_before" : "cl_after", { deg: says });
}

// Some figure of it is known: without any, the procedure takes the place of the table.
export function has_gaps(drive: DriveGaps): boolean {
  return drive.valves.some((one) => one.rows.some((row) => row.cells.some((cell) => cell.gap_mm !== null)));
}
