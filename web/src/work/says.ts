// SPDX-License-Identifier: Apache-2.0
// What the program says of the work: the procedure and where it stands, the fasteners as cards, the
// sets of parts.
import { case_path } from "../ask";

export type GateWants = "tick" | "reading" | "photo" | "second name";

export interface Missing {
  fact: string;
  by_rule: boolean; // of the program; false: the definition itself asks for it
  may_override: boolean;
  why: string;
}

export interface TargetSaid {
  torque?: { value: number; unit: string; typed: string; spelled: string };
  angle?: { value: number; unit: string; typed: string };
}

export interface StepSaid {
  number: number;
  name: string;
  what: string;
  stage?: string;
  bank?: number;
  if_decided?: string; // a part: done only where it is replaced
  needs: string[];
  gives: string[];
  ends: string[];
  gate?: GateWants;
  turns?: string;
  tightens: { fastener: string; steps: TargetSaid[] }[];
  fits: string[];
  within?: string;
  since?: string; // the step from which that counts
  why?: string;
  cautions: string[];
  // Of a case:
  status?: string; // "to do", "done", "interrupted", "entered while blocked", "done against its condition", "left out"
  entry?: string;
  late?: boolean;
  gate_open?: string;
  missing?: Missing[];
}

export interface ProcedureSaid {
  schema: string;
  drive: string;
  invented?: boolean;
  case?: string;
  state?: string[];
  turning?: { answer: string; because: string };
  next?: string[];
  last_done?: string;
  open?: { step: string; entry: string; gate: string; words: string }[];
  interrupted?: { step: string; entry: string; words: string };
  said?: string[];
  steps: StepSaid[];
}

export interface FastenerSaid {
  fastener: string;
  bank?: number | null;
  count?: number | null; // of the whole engine, or of its bank
  take_new: boolean;
  use: string;
  steps: { target: string; torque_Nm: number | null; angle_deg: number | null; wrench: string; no_wrench: string[] }[];
  order: string;
  asks: string[];
  clamp_load: string;
  cautions: string[];
}

export interface PartSaid {
  name: string;
  bank?: number;
  holds?: string[];
  does_not_hold?: string[];
  single_use?: boolean;
  edition?: string;
  note?: string;
}

export interface WorkSaid {
  schema: string;
  after_record?: number | null; // the last record of the case that it rests on
  procedure: ProcedureSaid | null;
  cautions?: string[]; // of the figures as a whole
  why: string | null; // why there is no procedure
  fasteners: FastenerSaid[];
  parts: PartSaid[];
}

export const work_of_case = (name: string): string => case_path(name, "work");
export const work_of_drive = (name: string): string => `/api/drives/${encodeURIComponent(name)}/work`;
