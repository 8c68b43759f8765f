// SPDX-License-Identifier: Apache-2.0
// What the program says of quick answers: GET /api/quick, POST /api/quick/{question}.
import type { Schemas } from "../ask";

export type Input = Schemas["quick_input"];
export type Question = Schemas["quick_question"];
export type Outcome = Schemas["quick_outcome"];
export type AskBack = NonNullable<Outcome["ask"]>; // what must be said first, or can mean two things
export type Answer = NonNullable<Outcome["answer"]>; // the first of its lines is the answer
export type InputText = Answer["asked"][number];
