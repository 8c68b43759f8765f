// SPDX-License-Identifier: Apache-2.0
// Conditions and stages in the language of the page; the procedure's own are shown as written.
import { said } from "../said/said";
import { t } from "../texts";
import { work } from "../texts/en/work";
import { stage_row } from "../case/stages";
import { parted } from "./state";

type Key = keyof typeof work;

function worded(prefix: string, words: string): string | undefined {
  const key = `${prefix}${words.replace(/[^a-z0-9]+/gi, "_")}`;
  return key in work ? t(key as Key) : undefined;
}

// "bank 1: chain on" -> "bank 1: the chain is on"
export function fact_words(text: string): string {
  const { bank, fact } = parted(text);
  const words = worded("work_f_", fact) ?? said(fact);
  return bank > 0 ? `${t("work_bank", { n: bank })}: ${words}` : words;
}

// "chain on" -> "on", where the strip already says what of.
export function value_word(fact: string): string {
  return worded("work_v_", fact) ?? fact;
}

export function stage_words(stage: string | undefined): string {
  const row = stage_row(stage === "open up" ? "open" : stage?.replace(" ", "-"));
  return row ? t(row.says) : (stage ?? "");
}
