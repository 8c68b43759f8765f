// SPDX-License-Identifier: Apache-2.0
// The fields of an entry as the program describes them (openapi.json), for forms nobody wrote by
// hand; and which field a mistake belongs to.
export interface Field {
  name: string;
  word: string; // under which its word stands in the texts: mostly its name
  says: string; // what the program says of it
  type: "text" | "choice" | "yes or no" | "whole number" | "texts" | "group" | "groups";
  choices: string[];
  example: string;
  is_required: boolean;
  fields: Field[]; // of a group
}

interface Described {
  type?: string | string[];
  const?: string;
  enum?: string[];
  description?: string;
  examples?: unknown[];
  properties?: Record<string, Described>;
  required?: string[];
  items?: Described;
  oneOf?: Described[];
  anyOf?: Described[];
  $ref?: string;
}
export interface OpenApi {
  components: { schemas: Record<string, Described> };
}

// A name that means something else in another kind of entry.
const kWordOf: Record<string, string> = {
  "indicator/valves": "which_valves",
  "valve gap/valves": "which_valves",
  "valve gap/how": "gap_how",
  "standing/after": "after_top",
};

export function word_of(kind: string, name: string): string {
  return kWordOf[`${kind}/${name}`] ?? name;
}

// Said by the program itself, not by the person.
const kNotAsked = new Set(["kind", "id", "at", "by", "replaces"]);

export function fields_of(api: OpenApi, kind: string): Field[] {
  const entry = api.components.schemas["new_entry"]?.oneOf?.find(
    (one) => one.properties?.["kind"]?.const === kind,
  );
  const asked = entry ? group_fields(api, entry).filter((field) => !kNotAsked.has(field.name)) : [];
  return asked.map((field) => ({ ...field, word: word_of(kind, field.name) }));
}

// What stands before the entries of a case. "name" and the like mean something else there.
export function head_fields(api: OpenApi): Field[] {
  const of_case = (field: Field): Field => ({
    ...field,
    word: `case_${field.name}`,
    fields: field.fields.map(of_case),
  });
  return group_fields(api, api.components.schemas["case_head"] ?? {}).map(of_case);
}

export function kinds_of(api: OpenApi): { kind: string; says: string }[] {
  return (api.components.schemas["new_entry"]?.oneOf ?? []).flatMap((one) => {
    const kind = one.properties?.["kind"]?.const;
    return kind ? [{ kind, says: one.description ?? "" }] : [];
  });
}

function group_fields(api: OpenApi, group: Described): Field[] {
  return Object.entries(group.properties ?? {}).map(([name, is]) =>
    field(api, name, is, group.required?.includes(name) ?? false),
  );
}

function resolved(api: OpenApi, is: Described): Described {
  const known = is.$ref && api.components.schemas[is.$ref.split("/").at(-1) ?? ""];
  if (known) return { ...resolved(api, known), description: is.description ?? known.description ?? "" };
  const group = [...(is.anyOf ?? []), ...(is.oneOf ?? [])].find((one) => one.$ref || one.properties);
  return group ? { ...resolved(api, group), description: is.description ?? "" } : is;
}

function field(api: OpenApi, name: string, written: Described, is_required: boolean): Field {
  const is = resolved(api, written);
  const items = is.items && resolved(api, is.items);
  return {
    name,
    word: name,
    says: is.description ?? "",
    type: type_of(is, items),
    choices: is.enum ?? [],
    example: String(is.examples?.[0] ?? items?.examples?.[0] ?? ""),
    is_required,
    fields: group_fields(api, items?.properties ? items : is),
  };
}

function type_of(is: Described, items: Described | undefined): Field["type"] {
  if (is.enum) return "choice";
  if (is.type === "boolean") return "yes or no";
  if (is.type === "integer") return "whole number";
  if (is.type === "array") return items?.properties ? "groups" : "texts";
  return is.properties ? "group" : "text";
}

// Without what was left empty: a field not filled is not sent.
export function filled(value: unknown): unknown {
  if (typeof value === "string") return value.trim() === "" ? undefined : value.trim();
  if (Array.isArray(value)) {
    const all = value.map(filled).filter((one) => one !== undefined);
    return all.length > 0 ? all : undefined;
  }
  if (value !== null && typeof value === "object") {
    const all = Object.entries(value)
      .map(([name, one]) => [name, filled(one)] as const)
      .filter(([, one]) => one !== undefined);
    return all.length > 0 ? Object.fromEntries(all) : undefined;
  }
  return value ?? undefined;
}

// An address may bring along what this kind of entry has no field for.
export function only_fields(fields: readonly Field[], values: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(values).filter(([name]) => fields.some((one) => one.name === name)));
}

export function missing(fields: Field[], values: Record<string, unknown>): Field[] {
  return fields.filter((one) => one.is_required && filled(values[one.name]) === undefined);
}

export interface Mistake {
  line: number;
  column: number;
  message: string;
  hint?: string | undefined;
}

// The path of a mistake in what was sent, "entry/values", or "" when no field is named. By its
// column in the text sent; or, where the program gives no line, by the value it quotes.
export function mistake_path(sent: unknown, mistake: Mistake): string {
  if (mistake.line === 1) return path_at(JSON.stringify(sent), mistake.column - 1);
  const quoted = /"([^"]+)"/.exec(mistake.message)?.[1];
  return quoted === undefined ? "" : path_of(sent, quoted);
}

function path_of(value: unknown, wanted: string, path = ""): string {
  if (value === wanted) return path;
  if (value === null || typeof value !== "object") return "";
  for (const [name, one] of Object.entries(value)) {
    const found = path_of(one, wanted, path === "" ? name : `${path}/${name}`);
    if (found !== "") return found;
  }
  return "";
}

// Columns count characters, so the text is taken apart by code points. JSON without blanks.
export function path_at(json: string, at: number): string {
  const text = [...json];
  let i = 0;
  let found = "";
  const string_end = (from: number) => {
    let end = from + 1;
    while (end < text.length && text[end] !== '"') end += text[end] === "\\" ? 2 : 1;
    return end + 1;
  };
  const inside = (from: number, path: string) => {
    if (at >= from && at < i && path.length > found.length) found = path;
  };
  const value = (path: string): void => {
    const from = i;
    const opens = text[i];
    if (opens === '"') i = string_end(i);
    else if (opens === "{" || opens === "[") members(path, opens === "{");
    else while (i < text.length && !",]}".includes(text[i] ?? ",")) ++i;
    inside(from, path);
  };
  const members = (path: string, is_object: boolean): void => {
    ++i;
    for (let n = 0; i < text.length && text[i] !== "}" && text[i] !== "]"; ++n) {
      if (text[i] === ",") ++i;
      const from = i;
      let name = String(n);
      if (is_object) {
        i = string_end(i);
        name = JSON.parse(text.slice(from, i).join("")) as string;
        ++i; // the colon
      }
      const inner = path === "" ? name : `${path}/${name}`;
      value(inner);
      inside(from, inner);
    }
    ++i;
  };
  value("");
  return found;
}
