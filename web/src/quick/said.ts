// SPDX-License-Identifier: Apache-2.0
// What was said to a question so far. It stands in the address: input=text; an input without text
// was asked for and is not known.
import { offered, unit_named } from "../enter/units";
import { said as told } from "../said/said";
import type { NewEntry } from "../state/outbox";
import type { Answer, Input, InputText, Question } from "./says";

export interface Said {
  said: Record<string, string>; // input -> text; "" is: not known
  elsewhere: InputText[]; // said before this question, in words that are none of its choices
}

// A choice counts only when it is one of the question's own: "turned=yes" does not say how.
export function said_in(question: Question, query: Record<string, string>): Said {
  const said: Record<string, string> = {};
  const elsewhere: InputText[] = [];
  for (const [name, text] of Object.entries(query)) {
    const input = question.inputs.find((each) => each.name === name);
    const fits = input && (text === "" || input.form !== "choice" || input.choices.includes(text));
    if (fits) said[name] = text;
    else elsewhere.push({ input: name, text });
  }
  return { said, elsewhere };
}

export function typed_of(question: Question, said: Record<string, string>): InputText[] {
  return question.inputs
    .filter((input) => said[input.name])
    .map((input) => ({ input: input.name, text: said[input.name] ?? "" }));
}

export function unsaid(question: Question, said: Record<string, string>): Input[] {
  return question.inputs.filter((input) => !(input.name in said));
}

// Whether an engine may be turned depends on everything: it is asked on, one after the other. In
// the other questions what may be left out is offered as a list.
export function asks_on(question: Question): boolean {
  return question.name === "turn";
}

// "28.072 ± 0.003 mm" -> "mm"
export function unit_in(example: string): string {
  return /[\d\s]([^\d\s.±;=]\S*)$/.exec(example)?.[1] ?? "";
}

// What a small keyboard has not, to be added to the text. Never one unit where another may be meant:
// a bare 106 would become whatever is offered alone.
export function pieces({ form, kind }: Pick<Input, "form" | "kind">, example: string): string[] {
  const unit = unit_in(example);
  const families = kind || form !== "quantity" ? [unit_named(unit)?.kind ?? ""] : kConverted;
  const of = families.flatMap((family) => offered(family).map((one) => one.name));
  const units = of.includes(unit) ? of : unit ? [unit] : [];
  if (form === "reading") return ["±", ...units];
  if (form === "interval") return ["at most", "at least", "to", ...units];
  if (form === "angle" || form === "angles") return ["±", "deg crank", "deg cam"];
  return form === "quantity" ? units : [];
}

// Exactly one blank before what is added.
export function with_piece(text: string, piece: string): string {
  const before = text.trimEnd();
  return before === "" ? `${piece} ` : `${before} ${piece} `;
}

const kConverted = ["torque", "length", "pressure"];

export function answer_as_text(answer: Answer): string {
  const part = (title: string, lines: string[]) =>
    lines.length ? ["", `${told(title)}:`, ...lines.map((line) => `- ${told(line)}`)] : [];
  return [
    ...answer.lines.map(told),
    ...part("said", answer.asked.map(({ input, text }) => `${input}: ${text}`)),
    ...part("computed", answer.steps),
    ...part("taken for granted", answer.assumed),
    ...part("caution", answer.cautions),
  ].join("\n");
}

// As `tautmark quick --into` keeps it.
export function answer_entry(answer: Answer): NewEntry {
  return {
    kind: "quick",
    question: answer.question,
    asked: answer.asked.map(({ input, text }) => `${input} ${text}`),
    answer: answer.lines,
    ...(answer.forbids ? { forbids: answer.forbids } : {}),
  };
}

// "phone-clearance-20261126-0931": short, says what it came from, and is free a minute later.
export function proposed_case(about: string, now: Date): string {
  const two = (n: number) => String(n).padStart(2, "0");
  const day = `${now.getFullYear()}${two(now.getMonth() + 1)}${two(now.getDate())}`;
  return `${about}-${day}-${two(now.getHours())}${two(now.getMinutes())}`;
}
