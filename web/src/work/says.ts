// SPDX-License-Identifier: Apache-2.0
// What the program says of the work, by short names.
import { case_path, type Schemas } from "../ask";

export type WorkSaid = Schemas["work"];
export type ProcedureSaid = Schemas["procedure"];
export type StepSaid = Schemas["work_step"];
export type TargetSaid = StepSaid["tightens"][number]["steps"][number];
export type GateWants = NonNullable<StepSaid["gate"]>;
export type FastenerSaid = Schemas["fastener_card"];

export const work_of_case = (name: string): string => case_path(name, "work");
export const work_of_drive = (name: string): string => `/api/drives/${encodeURIComponent(name)}/work`;
