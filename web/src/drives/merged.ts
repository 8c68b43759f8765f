// SPDX-License-Identifier: Apache-2.0
// A definition that existed before, with what was changed in the steps: only the difference between
// the answers then and now is carried into its text. Keys that the steps do not know, comments and
// the order stay. All scalars are their characters (YAML 1.2.2, 10.1: failsafe schema).
import { isMap, isScalar, isSeq, LineCounter, parseDocument, Scalar, visit, YAMLMap, YAMLSeq } from "yaml";

import type { Tree } from "./answers_of";
import { kId, type Written } from "./yaml_lines";

const kFailsafe = { schema: "failsafe" } as const;
// Lists that the steps know whole: changed, they are written anew.
const kWhole = ["recognise", "firing_order", "strands", "edges", "steps", "guides", "holds", "does_not_hold"];

export function tree_of(text: string): Tree {
  return parseDocument(text, kFailsafe).toJS() as Tree;
}

// `before` and `after`: what yaml_of_answers makes of the answers then and now, with ids.
export function merged(text: string, before: Written, after: Written): Written {
  const doc = parseDocument(text, kFailsafe);
  const then = parseDocument(before.text, kFailsafe).contents;
  const lines = new LineCounter();
  const now = parseDocument(after.text, { ...kFailsafe, lineCounter: lines }).contents;
  if (!isMap(doc.contents) || !isMap(then) || !isMap(now)) return { text, keys: [] };
  const values: Value[] = [];
  const is_only_values = merge_map(doc.contents, then, now, values);
  // Where only values changed, nothing else of the text moves, not even a space before a remark.
  const out = is_only_values ? spliced(text, values, after.text) : doc.toString({ lineWidth: 0, flowCollectionPadding: false });
  return { text: out, keys: keys_of(out, now, (at) => after.keys[lines.linePos(at).line - 1] ?? "") };
}

// A value of the text, and what stands in its place now.
interface Value {
  is: Scalar;
  now: Scalar;
}

function spliced(text: string, values: Value[], after: string): string {
  const from_last = values.sort((a, b) => (b.is.range?.[0] ?? 0) - (a.is.range?.[0] ?? 0));
  return from_last.reduce((out, { is, now }) => {
    const [begin, end] = is.range ?? [0, 0];
    const printed = now.comment ? `  #${now.comment}` : "";
    return out.slice(0, begin) + after.slice(now.range?.[0], now.range?.[1]) + printed + out.slice(end);
  }, text);
}

function is_same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

const at = (map: YAMLMap, key: string): unknown => map.get(key, true);
const name_of = (pair: { key: unknown }): string => (isScalar(pair.key) ? String(pair.key.value) : String(pair.key));

// Without the ids, which are ours alone.
function cleaned<T>(node: T): T {
  if (!isMap(node) && !isSeq(node) && !isScalar(node)) return node;
  const copy = node.clone() as T;
  visit(copy as YAMLMap, { Pair: (_, pair) => (name_of(pair) === kId ? visit.REMOVE : undefined) });
  return copy;
}

// True: nothing but values changed, all of them in `values`.
function merge_map(into: YAMLMap, before: YAMLMap | undefined, after: YAMLMap, values: Value[]): boolean {
  let is_only_values = true;
  for (const pair of after.items) {
    const key = name_of(pair);
    if (key === kId) continue;
    const [is, was, now] = [at(into, key), before && at(before, key), pair.value];
    if (isMap(now) && isMap(is)) is_only_values = merge_map(is, isMap(was) ? was : undefined, now, values) && is_only_values;
    else if (isSeq(now) && isSeq(is) && !kWhole.includes(key)) is_only_values = merge_list(is, isSeq(was) ? was : undefined, now, values) && is_only_values;
    else if (isSeq(now) && isSeq(is) && isSeq(was) && now.items.length === is.items.length && now.items.length === was.items.length && has_names(is))
      is_only_values = merge_each(is, was, now, values) && is_only_values;
    else if (!is_same(was, now)) {
      const is_value = isScalar(is) && isScalar(now) && (!now.comment || !is.comment);
      if (is_value) values.push({ is, now });
      else is_only_values = false;
      into.set(key, with_comment(cleaned(now), is));
    }
  }
  for (const pair of before?.items ?? [])
    if (!after.has(name_of(pair))) {
      remove(into, name_of(pair), pair.value);
      is_only_values = false;
    }
  return is_only_values;
}

// A list written whole, of as many items as before, that all hold keys: item by item.
function merge_each(into: YAMLSeq, before: YAMLSeq, after: YAMLSeq, values: Value[]): boolean {
  return after.items.reduce<boolean>((is_only, now, i) => {
    const [is, was] = [into.items[i], before.items[i]];
    return isMap(is) && isMap(was) && isMap(now) ? merge_map(is, was, now, values) && is_only : is_only;
  }, true);
}

function has_names(list: YAMLSeq): boolean {
  return list.items.every(isMap);
}

// A remark behind a value stays, unless the value brings its own.
function with_comment(now: unknown, is: unknown): unknown {
  if (isScalar(now) && isScalar(is) && is.comment && !is.comment.startsWith(" printed:")) now.comment ??= is.comment;
  return now;
}

// What the steps knew of it goes; what they did not know keeps it.
function remove(into: YAMLMap, key: string, was: unknown): void {
  const is = at(into, key);
  if (isMap(was) && isMap(is) && key !== "phaser") {
    for (const pair of was.items) if (name_of(pair) !== kId) remove(is, name_of(pair), pair.value);
    if (is.items.length === 0) into.delete(key);
  } else if (isSeq(was) && isSeq(is) && !kWhole.includes(key)) {
    const found = located(is, was);
    is.items = is.items.filter((item) => ![...found.values()].includes(item));
    if (is.items.length === 0) into.delete(key);
  } else {
    into.delete(key);
  }
}

function merge_list(into: YAMLSeq, before: YAMLSeq | undefined, after: YAMLSeq, values: Value[]): boolean {
  let is_only_values = true;
  const found = before ? located(into, before) : new Map<string, unknown>();
  const was = new Map((before?.items ?? []).map((item) => [id_of(item), item]));
  for (const now of after.items) {
    const id = id_of(now);
    const then = was.get(id);
    const is = found.get(id);
    if (isMap(is) && isMap(now)) is_only_values = merge_map(is, isMap(then) ? then : undefined, now, values) && is_only_values;
    else if (!is_same(then, now)) {
      is_only_values = false;
      if (is === undefined) into.add(cleaned(now));
      else into.items[into.items.indexOf(is)] = cleaned(now);
    }
  }
  const kept = new Set(after.items.map(id_of));
  const gone = [...found].filter(([id]) => !kept.has(id)).map(([, item]) => item);
  into.items = into.items.filter((item) => !gone.includes(item));
  return is_only_values && gone.length === 0;
}

function id_of(item: unknown): string {
  return isMap(item) ? String(item.get(kId) ?? "") : isScalar(item) ? String(item.value) : "";
}

// Which item of the text each of ours is: id -> item, by what both say.
function located(text: YAMLSeq, ours: YAMLSeq): Map<string, unknown> {
  const found = new Map<string, unknown>();
  const taken = new Set<unknown>();
  for (const one of ours.items) {
    let best: unknown;
    let most = 0;
    for (const item of text.items) {
      const points = taken.has(item) ? 0 : likeness(item, one);
      if (points > most) [best, most] = [item, points];
    }
    if (most === 0) continue;
    taken.add(best);
    found.set(id_of(one), best);
  }
  return found;
}

const kNames = ["name", "number", "quantity", "at", "chain", "driven", "bank"];

// 0 where a name of both differs: it is another item.
function likeness(item: unknown, one: unknown): number {
  if (isScalar(item)) return isMap(one) && kNames.some((key) => one.get(key) === item.value) ? 1 : is_same(item, one) ? 1 : 0;
  if (!isMap(item) || !isMap(one)) return 0;
  let points = 0;
  for (const pair of one.items) {
    const key = name_of(pair);
    if (key === kId || !(pair.value instanceof Scalar)) continue;
    const is = item.get(key);
    if (is === pair.value.value) points += kNames.includes(key) ? 4 : 1;
    else if (kNames.includes(key) && is !== undefined) return 0;
  }
  return points;
}

// The answer that each line of the text came from, for mistakes that the program finds in it.
function keys_of(text: string, ours: YAMLMap, key_at: (offset: number) => string): string[] {
  const lines = new LineCounter();
  const whole = parseDocument(text, { ...kFailsafe, lineCounter: lines }).contents;
  const keys: string[] = text.split("\n").slice(0, -1).map(() => "");
  const walk = (theirs: unknown, own: unknown): void => {
    if (isMap(theirs) && isMap(own))
      for (const pair of own.items) {
        const found = theirs.items.find((one) => name_of(one) === name_of(pair));
        if (!found || !isScalar(found.key) || !isScalar(pair.key)) continue;
        const line = lines.linePos(found.key.range?.[0] ?? 0).line;
        keys[line - 1] ||= key_at(pair.key.range?.[0] ?? 0);
        walk(found.value, pair.value);
      }
    if (isSeq(theirs) && isSeq(own)) {
      const found = located(theirs, own);
      for (const item of own.items) walk(found.get(id_of(item)), item);
    }
  };
  walk(whole, ours);
  return keys;
}
