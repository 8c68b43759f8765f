// SPDX-License-Identifier: Apache-2.0
// What the program says, in the language of the page. The German catalogue is a file of its own,
// loaded when German is wanted; until then, and where it has no words, the program's English stays.
import { language_now } from "../texts";
import { with_comma } from "./comma";

type Catalogue = typeof import("./german");

export interface Part {
  text: string;
  is_english: boolean; // in a page of another language
}

let catalogue: Catalogue | undefined;
let loading: Promise<void> | undefined;

export async function load_said(): Promise<void> {
  if (language_now() !== "de" || catalogue) return;
  loading ??= import("./german").then(
    (loaded) => {
      catalogue = loaded;
      dispatchEvent(new Event("language"));
    },
    () => (loading = undefined),
  );
  return loading;
}

export function start_said(): void {
  addEventListener("language", () => void load_said());
  void load_said();
}

// Sentence by sentence and clause by clause: one without German words leaves the others theirs.
export function parts_of(text: string): Part[] {
  if (language_now() === "en") return [{ text, is_english: false }];
  return joined(catalogue ? parts_in(catalogue, text.trim()) : [{ text, is_english: true }]);
}

export function said(text: string): string {
  return parts_of(text)
    .map((part) => part.text)
    .join("");
}

export function is_said(text: string): boolean {
  return parts_of(text).every((part) => !part.is_english);
}

// A choice of a quick question; what is not known is shown as it is sent.
export function said_choice(choice: string): string {
  if (language_now() === "en" || !catalogue || choice === "") return choice;
  return catalogue.german(`choice:${choice}`) ?? choice;
}

export function decimal_mark(): string {
  return language_now() === "de" ? "," : ".";
}

// A number of the page's own, written as the ones that the program says are.
export function number_words(number: string): string {
  return language_now() === "de" ? with_comma(number) : number;
}

const kLevels = 3; // sentences, and clauses after a semicolon or a colon

function parts_in(all: Catalogue, text: string): Part[] {
  if (!/[a-zA-Z]{2}/.test(text)) return [{ text: all.german(text) ?? text, is_english: false }];
  const whole = all.german(text);
  if (whole !== undefined) return [{ text: whole, is_english: false }];
  for (let level = 0; level < kLevels; ++level) {
    const clauses = all.clauses(text, level);
    if (clauses.length > 0)
      return clauses.flatMap(({ english, german, joint }) => [
        ...(german === undefined ? parts_in(all, english) : [{ text: german, is_english: false }]),
        { text: joint, is_english: false },
      ]);
  }
  return [{ text, is_english: true }];
}

function joined(parts: Part[]): Part[] {
  const all: Part[] = [];
  for (const part of parts) {
    if (part.text === "") continue;
    const last = all.at(-1);
    if (last?.is_english === part.is_english) last.text += part.text;
    else all.push({ ...part });
  }
  return all;
}
