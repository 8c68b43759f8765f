// SPDX-License-Identifier: Apache-2.0
// Every word of the page stands in this folder, one file for each part of it in each language. What
// the program itself says (findings, reasons, mistakes) comes in English; said/ finds its German.
import * as de from "./de";
import * as en from "./en";

export type Key = keyof typeof en.all;
export type Language = "en" | "de";

const kStored = "tautmark.language";
let language: Language = first_language();

function first_language(): Language {
  const wanted = globalThis.localStorage?.getItem(kStored) ?? globalThis.navigator?.language ?? "en";
  return wanted.startsWith("de") ? "de" : "en";
}

export function language_now(): Language {
  return language;
}

export function set_language(wanted: Language): void {
  language = wanted;
  localStorage.setItem(kStored, wanted);
  document.documentElement.lang = wanted;
  dispatchEvent(new Event("language"));
}

// t("cases_found", { n: 3 }): "{n}" in the text is replaced.
export function t(key: Key, values: Record<string, string | number> = {}): string {
  const text: string = (language === "de" ? de.all : en.all)[key];
  return text.replace(/\{(\w+)\}/g, (all, name: string) =>
    name in values ? String(values[name]) : all,
  );
}
