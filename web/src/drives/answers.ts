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
}

// The chains or belts from the crankshaft.
export function loops(answers: Answers): Loop[] {
  const what = said(answers, "loop") === "toothed belt" ? "belt" : "chain";
  const places = camshaft_places(answers);
  if (said(answers, "chains") !== "one per bank" || bank_count(answers) < 2)
    return [{ key: "chain1", name: `timing ${what}`, drives: places }];
  return [1, 2].map((bank) => ({
    key: `chain${bank}`,
    name: `bank ${bank} ${what}`,
    bank,
    drives: places.filter((place) => place.bank === bank),
  }));
}

export function has_phaser(answers: Answers, camshaft: string): boolean {
  const phasers = said(answers, "phasers");
  return phasers === "all" || (phasers !== "" && camshaft.startsWith(phasers));
}

// Every order in which a chain can run from the crankshaft around its camshafts.
export function orders(loop: Loop): string[] {
  if (loop.drives.length === 0 || loop.drives.length > 2) return [];
  const paths = loop.drives.map((place) => place.path);
  const all = paths.length === 2 ? [paths, [...paths].reverse()] : [paths];
  return all.map((order) => order.join("; "));
}

// The strands between marked sprockets, around the chain.
export function strands(answers: Answers, loop: Loop): { from: string; to: string; key: string }[] {
  const possible = orders(loop);
  const order = said(answers, `${loop.key}.order`) || (possible.length === 1 ? possible[0]! : "");
  const marks = ["crank", ...names_in(order)];
  if (marks.length < 2) return [];
  return marks.map((from, i) => ({
    from,
    to: marks[(i + 1) % marks.length]!,
    key: `${loop.key}.strand${i + 1}`,
  }));
}

// Rows that grow: as many as are begun, and one more.
export function rows(answers: Answers, row: string, first: string, most = 8): string[] {
  const keys: string[] = [];
  for (let i = 1; i <= most; ++i) {
    keys.push(`${row}${i}`);
    if (!said(answers, `${row}${i}.${first}`)) break;
  }
  return keys;
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
