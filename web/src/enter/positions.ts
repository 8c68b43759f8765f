// SPDX-License-Identifier: Apache-2.0
// Where something can be measured that the drive can judge, named as findings and entries name it
// (src/drive/places.cc), and what is still to do there.
import type { Schemas } from "../ask";

type Drive = Schemas["drive"];
type Fit = NonNullable<Drive["fits"]>[number];
type Fastener = NonNullable<Drive["fasteners"]>[number];
export type AnyEntry = Record<string, unknown> & { kind: string; id?: string };

export interface Position {
  quantity: string; // what is measured: "chain length", where the limit is one of elongation
  place: string;
  limit: string | undefined; // "at least 27.950 mm", of this quantity itself
  fresh: string | undefined; // range of a new part
  applies_to: string | undefined;
  fit: Fit | undefined;
  chain_pitch: string | undefined; // chain length: elongation is judged by it
}

interface Place {
  path: string;
  type: string;
  fastener?: Fastener; // a bolt that may go in again, with its limits
}

export function places_of(drive: Drive): Place[] {
  const places: Place[] = [];
  for (const bank of drive.banks ?? []) {
    for (const cam of bank.camshafts ?? []) {
      const path = `bank ${bank.number} / ${cam.name}`;
      places.push({ path, type: "camshaft" });
      for (let n = 1; n <= (cam.journals ?? 0); ++n)
        places.push({ path: `${path} / journal ${n}`, type: "journal" });
      if (cam.phaser) places.push({ path: `${path} / phaser`, type: "phaser" });
    }
  }
  for (const chain of drive.chains ?? []) {
    places.push({ path: chain.name, type: "chain" });
    if (chain.tensioner) places.push({ path: `${chain.name} / tensioner`, type: "tensioner" });
    for (const guide of chain.guides ?? [])
      places.push({ path: `${chain.name} / ${name_of(guide)}`, type: "guide" });
  }
  for (const port of drive.oil?.ports ?? []) {
    const bank = typeof port === "string" ? undefined : port.bank;
    const path = bank ? `bank ${bank} / ${name_of(port)}` : name_of(port);
    places.push({ path, type: "port" });
  }
  for (const fastener of drive.fasteners ?? []) places.push(...bolts_of(fastener));
  const cylinders = drive.cylinders?.count ?? drive.cylinders?.firing_order?.length ?? 0;
  for (let n = 1; n <= cylinders; ++n) places.push({ path: `cylinder ${n}`, type: "cylinder" });
  return places;
}

// What is used once, or may be, is not measured for going in again.
function bolts_of(fastener: Fastener): Place[] {
  if ((fastener.single_use ?? true) || (!fastener.longest && !fastener.thinnest)) return [];
  const path = fastener.bank ? `bank ${fastener.bank} / ${fastener.name}` : fastener.name;
  const count = fastener.count ?? 1;
  const bolt = { type: "fastener", fastener };
  return count === 1 ? [{ path, ...bolt }] : Array.from({ length: count }, (_, i) => ({ path: `${path} / no. ${i + 1}`, ...bolt }));
}

// A short form is a name alone.
function name_of(one: string | { name: string }): string {
  return typeof one === "string" ? one : one.name;
}

// The same rules as place_matches() of src/drive/places.cc.
export function matches(pattern: string, place: Place): boolean {
  const folded = (text: string) => text.split("/").map((part) => part.trim().toLowerCase());
  const wanted = folded(pattern);
  const path = folded(place.path);
  if (wanted.join("/") === path.join("/")) return true;
  const last = wanted.at(-1) ?? "";
  if (!last.startsWith("every ")) return false;
  const what = last.slice("every ".length);
  if (what !== place.type && what !== path.at(-1)) return false;
  return wanted
    .slice(0, -1)
    .every(
      (part, i) =>
        path[i] === part ||
        (part === "every bank" && path[i]?.startsWith("bank ")) ||
        (part === "every camshaft" && i === 1),
    );
}

const kMeasuredAt: Record<string, string> = {
  "journal diameter": "journal",
  "bore diameter": "journal",
  "journal clearance": "journal",
  "end play": "camshaft",
  "lock play": "phaser",
  "chain length": "chain",
  "groove depth": "guide",
  "tensioner extension": "tensioner",
  "sink time": "tensioner",
  "bolt length": "fastener",
  "bolt diameter": "fastener",
  compression: "cylinder",
  "leak-down": "cylinder",
};

// A limit of the one is judged from readings of the others.
const kJudgedBy: Record<string, string[]> = {
  "journal clearance": ["journal diameter", "bore diameter"],
  "chain elongation": ["chain length"],
  "tensioner stroke left": ["tensioner extension"],
};

export const kQuantityOf: Record<string, string> = {
  "journal-diameter": "journal diameter",
  "bore-diameter": "bore diameter",
  "journal-clearance": "journal clearance",
  "end-play": "end play",
  "phaser-lock-play": "lock play",
  "chain-elongation": "chain length",
  "guide-groove": "groove depth",
  "tensioner-sink-time": "sink time",
  "tensioner-extension": "tensioner extension",
  "bolt-length": "bolt length",
  "bolt-diameter": "bolt diameter",
  compression: "compression",
  "leak-down": "leak-down",
};

// A bolt has its limits in its own lines.
const kLimitOfBolt: Record<string, "longest" | "thinnest"> = { "bolt length": "longest", "bolt diameter": "thinnest" };

// Everything readings of which this drive can judge, in its own order.
export function positions_of(drive: Drive): Position[] {
  const fits = drive.fits ?? [];
  const places = places_of(drive);
  const is_limited = (quantity: string, place: Place) =>
    fits.find((fit) => fit.quantity === quantity && matches(fit.at, place));
  const all: Position[] = [];
  for (const [quantity, type] of Object.entries(kMeasuredAt)) {
    const limited = Object.keys(kJudgedBy).filter((name) => kJudgedBy[name]?.includes(quantity));
    for (const place of places.filter((one) => one.type === type)) {
      const own = is_limited(quantity, place);
      const of_bolt = kLimitOfBolt[quantity];
      const limit = of_bolt && place.fastener?.[of_bolt];
      if (!own && !limit && !limited.some((name) => is_limited(name, place))) continue;
      const chain = drive.chains?.find((one) => one.name === place.path);
      all.push({
        quantity,
        place: place.path,
        limit: limit || (own?.service ?? own?.new),
        fresh: own?.new,
        applies_to: own?.applies_to,
        fit: own,
        chain_pitch: chain?.pitch,
      });
    }
  }
  return all;
}

const kClearance = "journal clearance";

// In force: not replaced by a later entry.
export function in_force(entries: readonly AnyEntry[]): AnyEntry[] {
  const replaced = new Set(entries.map((one) => one["replaces"]).filter(Boolean));
  return entries.filter((one) => !replaced.has(one.id));
}

export function readings_at(
  entries: readonly AnyEntry[],
  quantity: string,
  place: string,
  direction?: string,
): AnyEntry[] {
  return in_force(entries).filter(
    (one) =>
      one.kind === "reading" &&
      one["quantity"] === quantity &&
      one["place"] === place &&
      (direction === undefined || one["direction"] === direction),
  );
}

export interface ToDo {
  position: Position;
  direction: string | undefined;
}

// In the order of the drive, one step for each direction wanted.
export function to_do(positions: readonly Position[], directions: readonly string[]): ToDo[] {
  return positions.flatMap((position): ToDo[] =>
    directions.length > 0 && kMeasuredAt[position.quantity] === "journal" &&
    position.quantity !== "journal clearance"
      ? directions.map((direction) => ({ position, direction }))
      : [{ position, direction: undefined }],
  );
}

// The next one behind `from` with no reading yet, going round; undefined: all have one.
export function next_open(
  list: readonly ToDo[],
  from: number,
  entries: readonly AnyEntry[],
): number | undefined {
  for (let step = 1; step <= list.length; ++step) {
    const at = (from + step) % list.length;
    const one = list[at];
    if (one && readings_at(entries, one.position.quantity, one.position.place, one.direction).length === 0)
      return at;
  }
  return undefined;
}

// What the findings ask for first: the open ones, in their order, then what nobody looked at. A
// clearance follows from bore and journal, so those are asked for.
export function first_wanted(
  found: Pick<Schemas["findings"], "findings" | "not_looked_at"> | undefined,
  positions: readonly Position[],
  entries: readonly AnyEntry[],
): Position | undefined {
  for (const finding of found?.findings ?? []) {
    if (finding.verdict !== "open" || finding.open_because !== "not measured") continue;
    const quantity = kQuantityOf[finding.check];
    const is = positions.find((one) => one.quantity === quantity && one.place === finding.subject);
    if (is && quantity !== kClearance) return is;
    const part = positions.find(
      (one) =>
        one.place === finding.subject &&
        kJudgedBy[kClearance]?.includes(one.quantity) &&
        readings_at(entries, one.quantity, one.place).length === 0,
    );
    if (is && part) return part;
  }
  for (const row of found?.not_looked_at ?? []) {
    const quantity = kQuantityOf[row.check];
    const is = positions.find((one) => one.quantity === quantity);
    if (is && quantity !== kClearance) return is;
  }
  return undefined;
}
