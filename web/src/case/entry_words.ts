// SPDX-License-Identifier: Apache-2.0
// An entry in words, as it was typed: what it is about, what it says, and everything else of it.
import type { Schemas } from "../ask";
import { word_of } from "../enter/schema";
import { choice_word, field_word, value_words as signed_words, wheel_words } from "../enter/words";
import { said } from "../said/said";
import { type Key, language_now, t } from "../texts";
import type { Entry, Kind } from "./stages";

interface EntryWords {
  about: string;
  says: string;
  rest: { name: string; says: string }[];
}

const kAbout: Partial<Record<Kind, string[]>> = {
  observation: ["place", "aspect"],
  reading: ["quantity", "place", "direction", "section"],
  pressure: ["place"],
  scan: ["place"],
  marks: ["chain"],
  stop: ["cylinder"],
  indicator: ["place", "valves", "cylinder"],
  "valve gap": ["place", "valves", "cylinder"],
  "torque trace": ["fastener", "bolt"],
  part: ["part", "bank"],
  attachment: ["place"],
  decision: ["about"],
  quick: ["question"],
};
const kSays: Record<Kind, string[]> = {
  complaint: ["words"],
  identification: ["variant"],
  state: [],
  "previous work": ["words"],
  oil: ["grade"],
  codes: ["codes", "none_stored"],
  observation: ["condition", "words"],
  reading: ["values", "value", "passes", "stops"],
  pressure: ["values"],
  recording: ["file", "engine"],
  scan: ["actual", "mean"],
  marks: ["strands", "sprockets"],
  stop: ["before", "after"],
  indicator: ["pairs", "table"],
  "valve gap": ["gap"],
  standing: ["crank", "camshafts"],
  "torque trace": ["file"],
  part: ["action", "count"],
  attachment: ["shows", "file"],
  step: ["step"],
  decision: ["decided"],
  quick: ["answer"],
  note: ["words"],
};
const kElsewhere = ["kind", "id", "at", "by", "replaces", "remark", "instrument", "late"];
const kInWords = { none_stored: "entry_none_stored" } as const; // where it is true
const kWithName = ["bank", "cylinder", "before", "after", "passes", "stops", "mean"]; // a bare value would not say what it is

type Fields = Record<string, unknown>;

export function entry_words(entry: Schemas["new_entry"]): EntryWords {
  const fields = entry as unknown as Fields;
  const about = kAbout[entry.kind] ?? [];
  const says = kSays[entry.kind];
  const rest = Object.keys(fields).filter(
    (name) => ![...kElsewhere, ...about, ...says].includes(name) && value_words(fields[name]),
  );
  return {
    about: joined(fields, about),
    says: joined(fields, says),
    rest: rest.map((name) => ({ name: name_words(name, entry.kind), says: choice_words(name, value_words(fields[name])) })),
  };
}

// In English as the entry says it; in another language by the words of its form.
function name_words(name: string, kind = ""): string {
  const word = name.replaceAll("_", " ");
  return language_now() === "en" ? word : field_word(word_of(kind, name), word);
}

// Of a note that the page writes: the record keeps it in one language.
export const kTakenBack = "Taken back, entered by mistake:";

// What was chosen from a list; what was typed stays as it is.
function choice_words(name: string, value: string): string {
  if (language_now() === "en") return value;
  if (name === "words" && value.startsWith(kTakenBack)) return t("work_taken_back_words", { step: value.slice(kTakenBack.length).trim() });
  const chosen = kChosen.includes(name) ? choice_word(value) : value;
  if (chosen !== value) return chosen;
  return kNamed.includes(name) ? said(value) : value;
}

const kChosen = ["apart", "turned", "chain", "pin", "phaser", "phaser_checked_how", "valves", "resistance", "dropped", "condition", "direction", "section", "cap", "oil", "edge", "phasers", "engine", "counted", "against", "seen_from", "settled", "action", "origin", "applies_to", "quantity", "aspect", "after", "wanted_after", "crank_proof", "since_jump", "valves_straight", "adjusters", "how"];
const kNamed = ["place", "chain", "part", "about"]; // as the drive names them

function joined(fields: Fields, names: string[]): string {
  return names
    .filter((name) => value_words(fields[name]))
    .filter((name) => !(name in kInWords) || fields[name] === true)
    .map((name) => {
      if (name in kInWords) return t(kInWords[name as keyof typeof kInWords]);
      return (kWithName.includes(name) ? `${name_words(name)} ` : "") + choice_words(name, value_words(fields[name]));
    })
    .join(", ");
}

function value_words(value: unknown): string {
  if (value === undefined || value === null) return "";
  if (Array.isArray(value)) return value.map(value_words).join("; ");
  if (typeof value === "string") return /(^| )-[0-9]/.test(value) ? signed_words(value) : /^[0-9]/.test(value) ? said(value) : value;
  if (typeof value !== "object") return value === true ? choice_word("yes") : value === false ? choice_word("no") : String(value);
  if ("lift" in value) return lift_words(value as Fields);
  const { from, to, links, at, cam, ...others } = value as Fields;
  const strand = from && to ? [`${said(String(from))} → ${said(String(to))}: ${String(links)}`] : [];
  const place = [at, cam].filter(Boolean).map((one) => said(String(one)));
  return [...strand, ...place, ...Object.values(others).map(value_words).filter(Boolean)].join(" ");
}

// "4.31 mm: 60 deg crank after top"
function lift_words({ lift, at, opens, closes }: Fields): string {
  const angles = [at, opens, closes].filter(Boolean).map((one) => wheel_words(String(one)));
  return `${said(String(lift))}: ${angles.join(", ")}`;
}

export function instrument_of(entry: Schemas["new_entry"]): string {
  return "instrument" in entry ? (entry.instrument ?? "") : "";
}

export function file_of(entry: Schemas["new_entry"]): string {
  return "file" in entry ? (entry.file ?? "") : "";
}

// Which entry corrects which: by the id of the one corrected.
export function corrections(entries: readonly Entry[]): Map<string, string> {
  const by = new Map<string, string>();
  for (const entry of entries) if (entry.replaces) by.set(entry.replaces, entry.id);
  return by;
}

