// SPDX-License-Identifier: Apache-2.0
// What is typed in German, as the program reads it, and back: a few words between numbers, and the
// decimal comma. What has no number in it is a name and stays.
import { with_comma } from "../said/comma";
import { language_now } from "../texts";

const kWords: [english: string, german: string][] = [
  ["at most", "höchstens"],
  ["at least", "mindestens"],
  ["to", "bis"],
  ["late", "spät"],
  ["early", "früh"],
];

function replaced(text: string, from: string, to: string): string {
  return text.replace(new RegExp(`(?<!\\p{L})${from}(?!\\p{L})`, "giu"), to);
}

export function as_typed(text: string): string {
  return language_now() === "de" ? kWords.reduce((all, [english, german]) => replaced(all, english, german), with_comma(text)) : text;
}

// "61,16,61" is a list and no number: commas that follow each other are left to the program.
export function as_sent(text: string): string {
  if (language_now() !== "de" || !/\d/.test(text)) return text;
  const pointed = text.replace(/(?<![\d,.])(\d+),(\d+)(?![\d,.])/g, "$1.$2");
  return kWords.reduce((all, [english, german]) => replaced(all, german, english), pointed);
}
