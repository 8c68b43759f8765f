// SPDX-License-Identifier: Apache-2.0
// Names of kinds, fields and choices as people read them. What the texts do not know is shown as the
// program writes it.
import * as en from "../texts/en/enter";
import { decimal_mark, is_said, number_words, said } from "../said/said";
import { language_now, t } from "../texts";
import { value_parts } from "./decimal_sign";
import { type Pad, shown } from "./pad";

type Key = keyof typeof en.enter;

function worded(prefix: string, name: string): string | undefined {
  const key = `${prefix}${name.replace(/[^a-z0-9]+/gi, "_")}`;
  return key in en.enter ? t(key as Key) : undefined;
}

export function kind_word(kind: string): string {
  return worded("in_kind_", kind) ?? kind;
}

export function quantity_word(quantity: string): string {
  return worded("in_q_", quantity) ?? quantity;
}

// The words of this language; else what the program says of the field.
export function field_word(name: string, says: string): string {
  return worded("in_f_", name) ?? (said(says).replace(/\.$/, "") || name);
}

// The word of one of these fields.
export function word_in(fields: readonly { name: string; word: string; says: string }[], name: string): string {
  const field = fields.find((one) => one.name === name);
  return field_word(field?.word ?? name, field?.says ?? "");
}

// Help and examples come from the program; what it says only in English would not help in another
// language; of the examples those of numbers are shown, as they must be typed.
export function help_of(says: string, name: string): string | undefined {
  const is_same = field_word(name, says).startsWith(said(says).replace(/\.$/, ""));
  const is_label = says.split(" ").length <= 4; // "Who decided." below "Who decides" is noise
  return is_same || is_label || !is_said(says) ? undefined : said(says);
}

export function such_as(example: string): string {
  const is_told = language_now() === "en" || (/^[0-9P]/.test(example) && is_said(example));
  return is_told && example !== "" ? t("in_such_as", { example: number_words(example) }) : "";
}

export function choice_word(choice: string): string {
  return worded("in_c_", choice) ?? quantity_word(choice);
}

// "-52 -51 deg crank" as it is read out, never with a bare sign: an angle is late, what else is
// below nothing says so. Temperatures as they are written on paper.
export function value_words(text: string): string {
  const { values, unit } = value_parts(text);
  if (values.length === 0 || unit === "") return text;
  const bare = values.map((one) => number_words(one.replace(/^-/, "")));
  const is_below = values.map((one) => one.startsWith("-"));
  const word = t(/^deg (crank|cam)/.test(unit) ? "in_late" : "in_below_zero");
  const mark = decimal_mark() === "," ? "; " : ", "; // no comma between numbers that have one
  const shown = unit_words(unit.replace(/^deg([CF])$/, "°$1"));
  if (is_below.every(Boolean)) return `${bare.join(mark)} ${shown} ${word}`;
  return `${bare.map((one, i) => (is_below[i] ? `${one} ${word}` : one)).join(mark)} ${shown}`;
}

// An angle of the degree wheel: negative is before top dead center, not late.
export function wheel_words(text: string): string {
  const { values, unit } = value_parts(text);
  const value = values[0];
  if (value === undefined || values.length > 1 || !unit.startsWith("deg crank")) return text;
  const deg = `${number_words(value.replace(/^-/, ""))} ${unit_words(unit)}`;
  return Number(value) === 0 ? deg : t(value.startsWith("-") ? "in_before_top" : "in_after_top", { deg });
}

// "deg crank", as it stands behind a number.
export function unit_words(name: string): string {
  return said(`1 ${name}`).slice(2);
}

// What stands on the pad, with the decimal mark of the language.
export function shown_words(pad: Pad): string {
  return shown(pad).replace(".", decimal_mark());
}

// "Reading: bore diameter, bank 1 / camshaft / journal 1, 28.072 mm"
export function in_short(entry: Record<string, unknown> & { kind: string }): string {
  const says = [
    typeof entry["quantity"] === "string" ? quantity_word(entry["quantity"]) : undefined,
    ...["place", "chain", "direction", "part"].map((name) => entry[name] && said(String(entry[name]))),
    ...["values", "value", "words", "codes", "step", "about", "decided", "file"].map((name) => entry[name]),
  ];
  return `${kind_word(entry.kind)}: ${says.filter(Boolean).map((one) => value_words(String(one))).join(", ")}`;
}

// A hint that lists everything there is would bury the form.
export function mistake_words({ message, hint }: { message: string; hint?: string | undefined }): string {
  return hint && hint.length <= 120 ? `${said(message)} (${said(hint)})` : said(message);
}
