// SPDX-License-Identifier: Apache-2.0
// Finds the German of what the program says, by templates. A hole is one of
//   {0}  a part that must itself be in the catalogue, or a measure
//   {#0} a measure: numbers with units and words of direction only; it gets the decimal comma
//   {/0} a place or the name of a part: in German where it is known, else as it was named
//   {=0} what a person named or typed: stays as it is
// A text is matched whole, then by its sentences and clauses; nothing is matched in part, so that a
// "not" is never lost: what no template holds completely stays English.
import { measured } from "./measures";

export type Phrase = readonly [english: string, german: string];

interface Template {
  literals: string[]; // around the holes
  holes: { kind: string; name: string }[];
  german: string;
}

export interface Catalogue {
  fixed: Map<string, string>;
  by_word: Map<string, Template[]>; // by the first word of their first words
  known: Map<string, string | undefined>;
}

const kMostKnown = 5000;

export function catalogue_of(phrases: readonly Phrase[]): Catalogue {
  const made: Catalogue = { fixed: new Map(), by_word: new Map(), known: new Map() };
  for (const [english, german] of phrases) {
    if (!english.includes("{")) made.fixed.set(english, german);
    else add(made.by_word, template_of(english, german));
  }
  // The most words first: the closest template wins; a measure says more than any text.
  for (const all of made.by_word.values()) all.sort((a, b) => weight(b) - weight(a));
  return made;
}

function weight(one: Template): number {
  const measures = one.holes.filter((hole) => hole.kind === "#").length;
  return one.literals.join("").length + 5 * measures;
}

function template_of(english: string, german: string): Template {
  const parts = english.split(/\{([#/=]?\w)\}/);
  const holes = parts.filter((_, i) => i % 2 === 1);
  return {
    literals: parts.filter((_, i) => i % 2 === 0),
    holes: holes.map((one) => ({ kind: /^\w/.test(one) ? "" : one.charAt(0), name: one.slice(-1) })),
    german,
  };
}

// Words that end in a hole are not whole: "strand{0}". They are looked for by an earlier word.
function add(by_word: Catalogue["by_word"], one: Template): void {
  const words = one.literals.flatMap((literal, i) => {
    const padded = (i === 0 ? " " : "x") + literal + (i === one.literals.length - 1 ? " " : "x");
    return words_of(padded).slice(1, -1).filter(Boolean);
  });
  const key = words.sort((a, b) => b.length - a.length)[0] ?? "";
  by_word.set(key, [...(by_word.get(key) ?? []), one]);
}

function words_of(text: string): string[] {
  return text.split(/[^a-zA-Z]+/);
}

// The whole text in German, or nothing.
export function german_of(all: Catalogue, text: string): string | undefined {
  const known = all.known.get(text);
  if (known !== undefined || all.known.has(text)) return known;
  const found = looked_up(all, text);
  if (all.known.size >= kMostKnown) all.known.clear();
  all.known.set(text, found);
  return found;
}

function looked_up(all: Catalogue, text: string): string | undefined {
  return (
    measured(text) ??
    as_written(all, text) ??
    with_small_start(all, text) ??
    with_full_stop(all, text) ??
    in_brackets(all, text) ??
    by_clauses(all, text)
  );
}

function as_written(all: Catalogue, text: string): string | undefined {
  const fixed = all.fixed.get(text);
  if (fixed !== undefined) return fixed;
  // A sentence of its own goes before whatever a template makes of its words.
  const without_stop = /[^.]\.$/.test(text) ? all.fixed.get(text.slice(0, -1)) : undefined;
  if (without_stop !== undefined) return without_stop.endsWith(".") ? without_stop : `${without_stop}.`;
  const near = [...new Set([...words_of(text), ""])].flatMap((word) => all.by_word.get(word) ?? []);
  for (const one of near.sort((a, b) => weight(b) - weight(a))) {
    const found = filled(all, one, text);
    if (found !== undefined) return found;
  }
  return undefined;
}

function with_small_start(all: Catalogue, text: string): string | undefined {
  const small = text.charAt(0).toLowerCase() + text.slice(1);
  const found = small === text ? undefined : as_written(all, small);
  return found && found.charAt(0).toUpperCase() + found.slice(1);
}

function with_full_stop(all: Catalogue, text: string): string | undefined {
  if (!/[^.]\.$/.test(text)) return undefined;
  const found = german_of(all, text.slice(0, -1));
  return found && (found.endsWith(".") ? found : `${found}.`);
}

function in_brackets(all: Catalogue, text: string): string | undefined {
  const quoted = /^"([^"]+)"$/.exec(text)?.[1];
  const inside = quoted && german_of(all, quoted);
  return inside ? `„${inside}“` : undefined;
}

const kBetween: [RegExp, string][] = [
  [/(?<=[.?!]) (?=[A-Z"])/, " "],
  [/; /, "; "],
  [/: /, ": "],
  [/ (?=\()/, " "], // before a bracket
  [/, /, ", "],
  [/ \/ /, " / "],
];

interface Clause {
  english: string;
  german: string | undefined;
  joint: string; // before the next one
}

// In clauses, several together where the catalogue has them together.
export function clauses_of(all: Catalogue, text: string, level: number): Clause[] {
  const [at, joint] = kBetween[level] ?? [/$^/, ""];
  const parts = outside(text, at);
  if (parts.length < 2) return [];
  const clauses: Clause[] = [];
  for (let i = 0; i < parts.length; ) {
    let count = parts.length - (i === 0 ? 1 : i);
    let english = "";
    let german: string | undefined;
    for (; count > 0 && german === undefined; --count) {
      english = parts.slice(i, i + count).join(joint);
      german = count === 1 ? german_of(all, english) : as_written(all, english);
    }
    i += german === undefined ? 1 : count + 1;
    clauses.push({ english, german, joint: i < parts.length ? joint : "" });
  }
  return clauses;
}

function by_clauses(all: Catalogue, text: string): string | undefined {
  if (/^\(.*\)$/.test(text) && outside(text.slice(1, -1), /\)/).length === 1) {
    const inside = german_of(all, text.slice(1, -1));
    return inside && `(${inside})`;
  }
  for (let level = 0; level < kBetween.length; ++level) {
    const clauses = clauses_of(all, text, level);
    if (clauses.length > 0 && clauses.every((one) => one.german !== undefined))
      return clauses.map((one) => one.german + one.joint).join("");
  }
  return undefined;
}

// Split where nothing is open: not inside of brackets or quotation marks.
export function outside(text: string, at: RegExp): string[] {
  const parts: string[] = [];
  const every = new RegExp(at, "g");
  let from = 0;
  for (let found = every.exec(text); found; found = every.exec(text)) {
    const before = text.slice(from, found.index);
    const is_open = count(before, "(") > count(before, ")") || count(before, '"') % 2 === 1;
    if (is_open) continue;
    parts.push(before);
    from = found.index + found[0].length;
  }
  return [...parts, text.slice(from)];
}

// Nothing is closed that was not opened here: such a hole would hold parts of two clauses.
function is_balanced(text: string): boolean {
  let depth = 0;
  for (const one of text) {
    if (one === "(") ++depth;
    if (one === ")" && --depth < 0) return false;
  }
  return depth === 0;
}

function count(text: string, what: string): number {
  return text.split(what).length - 1;
}

function filled(all: Catalogue, one: Template, text: string): string | undefined {
  const values: Record<string, string> = {};
  const last = one.holes.length - 1;
  const from_hole = (i: number, at: number): boolean => {
    const next = one.literals[i + 1] ?? "";
    const end = i === last ? text.length - next.length : 0;
    const first = i === last ? end : text.indexOf(next, at + 1);
    for (let to = first; to > at; to = i === last ? -1 : text.indexOf(next, to + 1)) {
      if (!text.startsWith(next, to)) return false;
      const hole = one.holes[i];
      if (!hole) return false;
      // What is looked up in the catalogue comes last: it costs the most.
      const part = text.slice(at, to);
      if (!is_balanced(part)) continue;
      const is_cheap = hole.kind === "#" || hole.kind === "=";
      if (is_cheap && hole_of(all, hole.kind, part) === undefined) continue;
      if (i !== last && !from_hole(i + 1, to + next.length)) continue;
      const value = hole_of(all, hole.kind, part);
      if (value === undefined) continue;
      values[hole.name] = value;
      return true;
    }
    return false;
  };
  const begin = one.literals[0] ?? "";
  if (!text.startsWith(begin) || !text.endsWith(one.literals.at(-1) ?? "")) return undefined;
  if (!from_hole(0, begin.length)) return undefined;
  return one.german.replace(/\{(\w)\}/g, (_, name: string) => values[name] ?? "");
}

function hole_of(all: Catalogue, kind: string, text: string): string | undefined {
  switch (kind) {
    case "#":
      return measured(text);
    case "=":
      return text;
    case "/":
      return german_of(all, text) ?? (is_name(text) ? text : undefined);
    default:
      return german_of(all, text);
  }
}

// A name that a person gave to a part. What makes a sentence of it is none.
function is_name(text: string): boolean {
  return text.length <= 60 && !/[;:.,()"]|\b(not?|never|nobody|is|are|was|were|and|or|while|until|then)\b/.test(text);
}
