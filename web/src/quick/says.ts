// SPDX-License-Identifier: Apache-2.0
// What the program says of quick answers: GET /api/quick, POST /api/quick/{question}.
import type { Schemas } from "../ask";

export type Form =
  | "quantity"
  | "reading"
  | "angle"
  | "angles"
  | "interval"
  | "count"
  | "counts"
  | "choice"
  | "words";

export interface Input {
  name: string;
  ask: string; // in plain words
  form: Form;
  kind?: string;
  is_required: boolean;
  example: string;
  choices: string[];
}

export interface Question {
  name: string;
  help: string;
  inputs: Input[];
}

export interface InputText {
  input: string;
  text: string;
}

// What must be said first, or what can mean two things.
export interface AskBack {
  input: string;
  sentence: string;
  example: string;
  choices: string[];
}

export interface Answer {
  question: string;
  verdict?: "pass" | "fail" | "open";
  lines: string[]; // the first is the answer
  steps: string[];
  assumed: string[];
  cautions: string[];
  finding?: Schemas["finding"];
  asked: InputText[];
}

export interface Outcome {
  ask?: AskBack;
  answer?: Answer;
}
