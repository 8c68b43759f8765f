// SPDX-License-Identifier: Apache-2.0
// An existing definition as the answers that would make it, as far as the steps know its keys. What
// they do not know is in no answer, and stays in the text (merged.ts).
import { type Answers, bank_count } from "./answers";
import { kLimits, limit_key } from "./limits";
import { kBoltFields, kFitFields } from "./yaml_of_limits";
import { kGear, kIdler, kMarkFields } from "./yaml_of_answers";

// As the text has it: every scalar is its characters.
export type Tree = { [key: string]: Tree } | Tree[] | string | undefined;
type Map = { [key: string]: Tree };

const map_of = (tree: Tree): Map => (tree && typeof tree === "object" && !Array.isArray(tree) ? tree : {});
const list_of = (tree: Tree): Tree[] => (Array.isArray(tree) ? tree : []);
const text_of = (tree: Tree): string => (typeof tree === "string" ? tree : "");
const maps_of = (tree: Tree): Map[] => list_of(tree).map(map_of);
// Short forms: a single text in its place is its name.
const named = (tree: Tree, name = "name"): Map => (typeof tree === "string" ? { [name]: tree } : map_of(tree));
const yes = (text: string): string => (/^(yes|true)$/i.test(text) ? "yes" : /^(no|false)$/i.test(text) ? "no" : text);

type Said = Record<string, string>;

export function answers_of(tree: Tree): Answers {
  const drive = map_of(tree);
  const out: Said = {};
  const put = (key: string, value: Tree) => {
    if (text_of(value)) out[key] = text_of(value);
  };
  for (const key of ["name", "title", "decimal_sign"]) put(key, drive[key]);
  const source = named(drive["source"], "document");
  for (const key of ["origin", "document", "edition", "page"]) put(`source.${key}`, source[key]);
  put("recognise", list_of(drive["recognise"]).map(text_of).join("; ") || text_of(drive["recognise"]));
  read_cylinders(map_of(drive["cylinders"]), put);
  read_crankshaft(map_of(drive["crankshaft"]), put);
  read_chains(drive, out, put);
  for (const [name, row, fields] of [["idlers", "idler", kIdler], ["gears", "gear", kGear]] as const)
    for (const [i, one] of maps_of(drive[name]).entries()) for (const [field] of fields) put(`${row}${i + 1}.${field}`, one[field]);
  read_banks(drive, out, put);
  read_fits(drive, out, put);
  read_oil(map_of(drive["oil"]), put);
  read_bolts_and_parts(drive, put);
  return out;
}

type Put = (key: string, value: Tree) => void;

function read_cylinders(cylinders: Map, put: Put): void {
  put("cylinders", cylinders["count"]);
  put("layout", cylinders["layout"]);
  put("bank_angle", cylinders["bank_angle"]);
  for (const field of ["bore", "stroke", "rod"]) put(`cylinder.${field}`, cylinders[field]);
  put("firing_order", list_of(cylinders["firing_order"]).map(text_of).join("-"));
}

function read_crankshaft(crankshaft: Map, put: Put): void {
  put("rotation", crankshaft["rotation"]);
  put("seen_from", crankshaft["seen_from"]);
  put("crank_mark", crankshaft["mark"]);
  put("marks_at", crankshaft["marks_at"]);
  put("crank_key", crankshaft["key"]);
  for (const field of ["wheel", "edge", "kind", "gap", "first_tooth"]) put(`sensor.${field}`, map_of(crankshaft["sensor"])[field]);
}

// The two arrangements that have no list of chains are known by the names that they give.
function arrangement(drive: Map, is_two_banks: boolean): string {
  const chains = maps_of(drive["chains"]);
  const names = chains.map((chain) => text_of(chain["name"])).join("; ");
  if (list_of(drive["idlers"]).length === 0) {
    if (chains.length === 0 || /^timing (chain|belt)$/.test(names)) return "one for all";
    if (is_two_banks && /^bank 1 (chain|belt); bank 2 \1$/.test(names)) return "one per bank";
  }
  return "listed";
}

function read_chains(drive: Map, out: Said, put: Put): void {
  const chains = maps_of(drive["chains"]);
  const sprockets = maps_of(map_of(drive["crankshaft"])["sprockets"]);
  const mode = arrangement(drive, bank_count(out) > 1);
  const is_listed = mode === "listed";
  if (is_listed || bank_count(out) > 1) put("chains", mode);
  if (!is_listed) put("teeth.crank", sprockets[0]?.["teeth"]);
  const shared = (field: (chain: Map) => Tree, key: string) => {
    const all = chains.map((chain) => text_of(field(chain)));
    const is_same = !is_listed && all.every((text) => text === all[0]);
    if (is_same) return put(key, all[0]);
    for (const [i, text] of all.entries()) if (text || !is_listed) out[`chain${i + 1}.${key}`] = text;
  };
  shared((chain) => chain["type"], "loop");
  shared((chain) => chain["pitch"], "pitch");
  shared((chain) => chain["counted"], "counted");
  shared((chain) => chain["marked_links"], "marked_links");
  for (const field of ["stroke", "ratchet_step"]) shared((chain) => map_of(chain["tensioner"])[field], `tensioner.${field}`);
  shared((chain) => list_of(chain["guides"]).map(guide_words).join("; "), "guides");
  for (const [i, chain] of chains.entries()) {
    const key = `chain${i + 1}`;
    if (is_listed) {
      const name = text_of(chain["name"]);
      put(`${key}.name`, name);
      put(`${key}.bank`, chain["bank"]);
      put(`${key}.crank`, sprockets.find((one) => one["chain"] === name || chains.length === 1)?.["teeth"]);
      put(`${key}.turns`, turned_by(drive, chain, chains.length));
    }
    put(`${key}.links`, chain["links"]);
    for (const field of ["side", "recognise"]) put(`${key}.${field}`, map_of(chain["tensioner"])[field]);
    read_marks(chain, `${key}.mark`, out, put);
  }
}

function guide_words(tree: Tree): string {
  const { name, side } = named(tree);
  return side ? `${text_of(name)} (${text_of(side)})` : text_of(name);
}

function turned_by(drive: Map, chain: Map, of: number): string {
  const paths = maps_of(drive["banks"]).flatMap((bank) =>
    maps_of(bank["camshafts"]).flatMap((camshaft) => {
      const own = text_of(camshaft["chain"]);
      const is_own = own ? own === text_of(chain["name"]) : of === 1 || text_of(chain["bank"]) === text_of(bank["number"]);
      return is_own ? [`bank ${text_of(bank["number"])} / ${text_of(camshaft["name"])}`] : [];
    }));
  const all = maps_of(drive["banks"]).flatMap((bank) => list_of(bank["camshafts"])).length;
  return paths.length === 0 ? "none" : paths.length === all ? "all" : paths.join("; ");
}

// Strands say the order; marks that no strand names stand behind.
function read_marks(chain: Map, prefix: string, out: Said, put: Put): void {
  const strands = maps_of(chain["strands"]);
  const own = maps_of(chain["marks"]);
  const places = [...new Set([...strands.map((one) => text_of(one["from"])), ...own.map((one) => text_of(one["at"]))])];
  for (const [i, at] of places.entries()) {
    const row = `${prefix}${i + 1}`;
    out[`${row}.at`] = at;
    put(`${row}.next`, strands.find((one) => one["from"] === at)?.["links"]);
    const mark = own.find((one) => one["at"] === at) ?? {};
    for (const field of kMarkFields) put(`${row}.${field}`, mark[field]);
  }
}

function read_banks(drive: Map, out: Said, put: Put): void {
  const banks = maps_of(drive["banks"]);
  const all = banks.flatMap((bank) => maps_of(bank["camshafts"]).map((camshaft) => ({ bank: text_of(bank["number"]), camshaft })));
  const names = new Set(all.map(({ camshaft }) => text_of(camshaft["name"])));
  if (names.size === 1 && names.has("camshaft")) put("camshafts", "one");
  if (names.size === 2 && names.has("intake camshaft") && names.has("exhaust camshaft")) put("camshafts", "two");
  for (const bank of banks) {
    put(`bank${text_of(bank["number"])}.side`, bank["side"]);
    put("sides_from", bank["seen_from"]);
    put("head_material", bank["head_material"]);
  }
  if (!out["camshafts"]) return; // camshafts of other names stay as they are
  // One value for all of a name, or each camshaft its own.
  const shared = (field: (camshaft: Map) => Tree, made: (of: string) => string) => {
    for (const name of names) {
      const own = all.filter(({ camshaft }) => camshaft["name"] === name);
      const texts = own.map(({ camshaft }) => text_of(field(camshaft)));
      if (texts.every((text) => text === texts[0])) put(made(name), texts[0]);
      else own.forEach(({ bank }, i) => (out[made(`bank ${bank} / ${name}`)] = texts[i] ?? ""));
    }
  };
  shared((camshaft) => camshaft["sprocket_teeth"], (of) => `teeth.${of}`);
  for (const field of ["base", "range", "base_check"]) shared((camshaft) => map_of(camshaft["phaser"])[field], (of) => `phaser.${of}.${field}`);
  const journals = all.map(({ camshaft }) => text_of(camshaft["journals"]));
  if (journals.every((text) => text === journals[0])) put("journals", journals[0]);
  else all.forEach(({ bank, camshaft }, i) => put(`journals.bank ${bank} / ${text_of(camshaft["name"])}`, journals[i]));
  put("cam_material", all.find(({ camshaft }) => camshaft["material"])?.camshaft["material"]);
  put("phasers", phasers_said(all.map(({ camshaft }) => camshaft)));
  for (const { bank, camshaft } of all) read_cam_sensor(camshaft, `cam.bank ${bank} / ${text_of(camshaft["name"])}`, put);
}

function phasers_said(all: Map[]): string {
  const own = new Set(all.filter((camshaft) => camshaft["phaser"] !== undefined).map((camshaft) => text_of(camshaft["name"])));
  if (own.size === 0) return "";
  const names = new Set(all.map((camshaft) => text_of(camshaft["name"])));
  return own.size === names.size ? "all" : ([...own][0]?.split(" ")[0] ?? "");
}

function read_cam_sensor(camshaft: Map, key: string, put: Put): void {
  const sensor = map_of(camshaft["sensor"]);
  put(`${key}.wheel`, sensor["wheel"]);
  put(`${key}.window`, sensor["window"]);
  const edges = list_of(sensor["edges"]).map((edge) => named(edge, "at"));
  const words = new Set(edges.map((edge) => text_of(edge["edge"])));
  const is_same = words.size === 1;
  if (is_same) put(`${key}.edge`, [...words][0]);
  put(`${key}.edges`, edges.map((edge) => `${text_of(edge["at"])}${is_same ? "" : ` ${text_of(edge["edge"])}`}`.trim()).join("; "));
}

function read_fits(drive: Map, out: Said, put: Put): void {
  let row = 0;
  for (const fit of maps_of(drive["fits"])) {
    const topic = kLimits.find((one) => one.quantity === fit["quantity"] && one.at === fit["at"]);
    const is_free = topic && !["new", "service"].some((field) => limit_key(topic.quantity, field) in out);
    const key = topic && is_free
      ? (field: string) => limit_key(topic.quantity, field)
      : undefined;
    const prefix = `fit${row + 1}`;
    if (!key) ++row;
    const own = key ?? ((field: string) => `${prefix}.${field}`);
    for (const field of ["new", "service", ...kFitFields, ...(key ? [] : ["quantity", "at"])]) put(own(field), fit[field]);
  }
}

function read_oil(oil: Map, put: Put): void {
  put("oil.grade", oil["grade"]);
  put("oil.fill", oil["fill"]);
  for (const [i, one] of maps_of(oil["pressures"]).entries()) {
    const row = `pressure${i + 1}`;
    const [, port] = /^every (.*)$/.exec(text_of(one["at"])) ?? [];
    put(`${row}.port`, port ?? one["at"]);
    if (port) put(`${row}.each_bank`, "yes");
    put(`${row}.limit`, one["limit"]);
    put(`${row}.speed`, one["speed"]);
    put(`${row}.temperature`, one["oil_temperature"]);
  }
}

function read_bolts_and_parts(drive: Map, put: Put): void {
  for (const [i, bolt] of maps_of(drive["fasteners"]).entries()) {
    const row = `bolt${i + 1}`;
    for (const field of ["name", ...kBoltFields, "note"]) put(`${row}.${field}`, bolt[field]);
    put(`${row}.single_use`, yes(text_of(bolt["single_use"])));
    const steps = list_of(bolt["steps"]).map((step) => named(step, "torque"));
    put(`${row}.steps`, steps.flatMap((step) => [text_of(step["torque"]), text_of(step["angle"])]).filter(Boolean).join("; "));
  }
  for (const [i, part] of maps_of(drive["parts"]).entries()) {
    const row = `part${i + 1}`;
    for (const field of ["name", "bank"]) put(`${row}.${field}`, part[field]);
    put(`${row}.single_use`, yes(text_of(part["single_use"])));
    for (const field of ["holds", "does_not_hold"]) put(`${row}.${field}`, list_of(part[field]).map(text_of).join("; "));
  }
}
