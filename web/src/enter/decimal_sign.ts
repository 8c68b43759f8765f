// SPDX-License-Identifier: Apache-2.0
// Quantities as forms hold them, "184 186.5 kPa" with the point as decimal sign, and as a case that
// declares the comma wants them.

// The numbers as written, and the unit behind them.
export function value_parts(text: string): { values: string[]; unit: string } {
  const words = text.trim().split(/\s+/).filter(Boolean);
  const end = words.findIndex((one) => !/^-?[0-9]+([.,][0-9]+)?$/.test(one));
  const numbers = end < 0 ? words.length : end;
  return { values: words.slice(0, numbers), unit: words.slice(numbers).join(" ") };
}

export function with_sign<T extends Record<string, unknown>>(entry: T, sign: string | undefined): T {
  if (sign !== "comma") return entry;
  const written = (value: unknown, name = ""): unknown => {
    if (name === "stands") return value; // words
    if (Array.isArray(value)) return value.map((one) => written(one));
    if (value !== null && typeof value === "object") return with_sign(value as Record<string, unknown>, sign);
    if (typeof value !== "string") return value;
    const { values, unit } = value_parts(value);
    if (values.length === 0 || unit === "") return value;
    return `${values.map((one) => one.replace(".", ",")).join(" ")} ${unit.replace(/^(± \d+)\./, "$1,")}`;
  };
  return Object.fromEntries(Object.entries(entry).map(([name, value]) => [name, written(value, name)])) as T;
}

const kOwnWords = ["words", "remark", "reason", "file", "paint"];

// Typed with a comma on a page that writes the comma: a quantity goes out with the point. Words stay.
export function with_point(entry: unknown): unknown {
  if (Array.isArray(entry)) return entry.map(with_point);
  if (entry === null || typeof entry !== "object") return entry;
  const written = (name: string, value: unknown) => {
    if (typeof value !== "string" || kOwnWords.includes(name)) return with_point(value);
    const { values, unit } = value_parts(value);
    return values.length === 0 || unit === "" ? value : `${values.map((one) => one.replace(",", ".")).join(" ")} ${unit}`;
  };
  return Object.fromEntries(Object.entries(entry).map(([name, value]) => [name, written(name, value)]));
}
