// SPDX-License-Identifier: Apache-2.0
// What was typed from the manual: key -> text. No key, or a blank text: not in the manual.
export type Answers = Readonly<Record<string, string>>;

export function said(answers: Answers, key: string): string {
  return (answers[key] ?? "").trim();
}

// "fixed guide; tensioner arm" -> both.
export function names_in(text: string): string[] {
  return text
    .split(";")
    .map((name) => name.trim())
    .filter(Boolean);
}

// Digits, signs and "at least": no unit in it.
export function is_bare(text: string): boolean {
  const rest = text.toLowerCase().replace(/at least|at most|to|±|≤|≥/g, " ");
  return /\d/.test(rest) && /^[\d.,+\-<>=/ ]+$/.test(rest);
}

// A number alone gets the unit of its table; one with its own unit keeps it.
export function with_unit(text: string, unit: string): string {
  return unit && is_bare(text) ? `${text} ${unit}` : text;
}

export function bank_count(answers: Answers): number {
  const layout = said(answers, "layout");
  return layout === "v" || layout === "flat" ? 2 : 1;
}

export function camshafts(answers: Answers): string[] {
  const per_bank = said(answers, "camshafts");
  if (per_bank === "one") return ["camshaft"];
  return per_bank === "two" ? ["intake camshaft", "exhaust camshaft"] : [];
}

// Where a camshaft stands: "bank 1 / camshaft", as readings speak of it.
export interface Place {
  bank: number;
  camshaft: string;
  path: string;
}

export function camshaft_places(answers: Answers): Place[] {
  const places: Place[] = [];
  for (let bank = 1; bank <= bank_count(answers); ++bank)
    for (const camshaft of camshafts(answers))
      places.push({ bank, camshaft, path: `bank ${bank} / ${camshaft}` });
  return places;
}

export interface Loop {
  key: string; // "chain1"
  name: string; // "bank 1 chain"
  bank?: number; // where each bank has its own
  drives: Place[];
  crank: string; // key of the teeth of its crank sprocket
}

export function is_listed(answers: Answers): boolean {
  return said(answers, "chains") === "listed";
}

// The chains or belts: one, one for each bank, or those that were listed.
export function loops(answers: Answers): Loop[] {
  const what = said(answers, "loop") === "toothed belt" ? "belt" : "chain";
  if (is_listed(answers)) return rows(answers, "chain").map((key) => listed_loop(answers, key));
  const places = camshaft_places(answers);
  const crank = "teeth.crank";
  if (said(answers, "chains") !== "one per bank" || bank_count(answers) < 2)
    return [{ key: "chain1", name: `timing ${what}`, drives: places, crank }];
  return [1, 2].map((bank) => ({
    key: `chain${bank}`,
    name: `bank ${bank} ${what}`,
    bank,
    drives: places.filter((place) => place.bank === bank),
    crank,
  }));
}

// Several chains, one after the other: which camshafts each one turns is said.
function listed_loop(answers: Answers, key: string): Loop {
  const turns = said(answers, `${key}.turns`);
  const wanted = names_in(turns);
  const drives = camshaft_places(answers).filter(
    (place) => turns === "all" || wanted.some((one) => [`bank ${place.bank}`, place.camshaft, place.path].includes(one)),
  );
  const bank = /^[12]$/.test(said(answers, `${key}.bank`)) ? { bank: Number(said(answers, `${key}.bank`)) } : {};
  return { key, name: said(answers, `${key}.name`), ...bank, drives, crank: `${key}.crank` };
}

// The key of one chain's own value where it has one, else that of all chains.
export function loop_key(answers: Answers, loop: Loop, field: string): string {
  const own = `${loop.key}.${field}`;
  return own in answers || is_listed(answers) ? own : field;
}

// The same of a camshaft: one camshaft's own value, else that of all of this name.
export function camshaft_key(answers: Answers, place: Place, made: (of: string) => string): string {
  const own = made(place.path);
  return own in answers ? own : made(place.camshaft);
}

// What can carry a mark under this chain.
export function sprockets_of(answers: Answers, loop: Loop): string[] {
  const idlers = rows(answers, "idler")
    .filter((row) => [`${row}.driven_by`, `${row}.drives`].some((key) => said(answers, key) === loop.name))
    .map((row) => said(answers, `${row}.name`));
  const has_crank = !is_listed(answers) || said(answers, loop.crank) !== "";
  return [...(has_crank ? ["crank"] : []), ...idlers, ...loop.drives.map((place) => place.path)].filter(Boolean);
}

export function has_phaser(answers: Answers, { camshaft }: Place): boolean {
  const phasers = said(answers, "phasers");
  return phasers === "all" || (phasers !== "" && camshaft.startsWith(phasers));
}

export interface Strand {
  from: string;
  to: string;
  key: string;
}

// From each mark to the next, in running direction, and from the last one back to the first.
export function strands(answers: Answers, loop: Loop): Strand[] {
  const marks = rows(answers, `${loop.key}.mark`);
  if (marks.length < 2) return [];
  const at = (row: string) => said(answers, `${row}.at`);
  return marks.map((row, i) => ({
    from: at(row),
    to: at(marks[(i + 1) % marks.length] ?? row),
    key: `${row}.next`,
  }));
}

// Rows of a list, in the order of their numbers: what has a key, if only a blank one, is there.
export function rows(answers: Answers, row: string): string[] {
  const numbers = Object.keys(answers)
    .map((key) => (key.startsWith(row) ? /^(\d+)\./.exec(key.slice(row.length)) : null))
    .map((found) => Number(found?.[1] ?? 0));
  return [...new Set(numbers)].filter((number) => number > 0).sort((a, b) => a - b).map((number) => `${row}${number}`);
}

export function next_row(answers: Answers, row: string): string {
  return `${row}${1 + Math.max(0, ...rows(answers, row).map((key) => Number(key.slice(row.length))))}`;
}

export function without_row(answers: Answers, row: string): Answers {
  return Object.fromEntries(Object.entries(answers).filter(([key]) => !key.startsWith(`${row}.`)));
}

// "1", "2-5", "1; 3": numbers of journals.
export function numbers_in(text: string): number[] {
  return [...text.matchAll(/(\d+)(?:\s*(?:-|–|to|\.\.)\s*(\d+))?/g)].flatMap(([, first, last]) => {
    const from = Number(first);
    const to = Math.min(Number(last ?? first), from + 40);
    return Array.from({ length: Math.max(0, to - from + 1) }, (_, i) => from + i);
  });
}

// 3/8 in, 1 1/8 in: what a definition cannot hold, as the decimal number it is. Undefined: no
// fraction, or one that has no end as a decimal.
export function without_fractions(text: string): string | undefined {
  let is_exact = true;
  const told = text.replace(/(?:(\d+)[ -])?(\d+)\/(\d+)(?=\s*(?:in\b|"|$|\.\.|to\b|±))/g, (_, whole, over, under) => {
    const value = Number(whole ?? 0) + Number(over) / Number(under);
    is_exact &&= Number(under) > 0 && (Number(under) & (Number(under) - 1)) === 0;
    return String(value);
  });
  return told === text || !is_exact ? undefined : told;
}

// "Thornholm 1.6 (2019)" -> "thornholm-1-6-2019": letters, digits, - and _.
export function short_name(title: string): string {
  return title
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "")
    .slice(0, 40);
}

export function drive_name(answers: Answers): string {
  return said(answers, "name") || short_name(said(answers, "title")) || "new-engine";
}
