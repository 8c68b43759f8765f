// SPDX-License-Identifier: Apache-2.0
// What the keys of the number pad do, without the pad. With a fixed number of decimals the digits
// shift in from the right, as on the instrument: "28072" is 28.072 on a gauge that reads 0.001 mm.
// Where nothing is known of the instrument the point is typed; a point typed anyway is heeded. A sign is a word, never bare.
export type Way = "early" | "late";

export interface Pad {
  digits: string; // as typed; with free decimals also one point
  decimals: number | undefined; // undefined: the point is typed
  step: number; // of the last digit: a gauge that reads 0.005 mm steps by 5
  way: Way | undefined; // only where the quantity has one
  after?: number | undefined; // digits typed behind a typed point, where the decimals are fixed
}

const kLongest = 9;

export function empty_pad(resolution?: number): Pad {
  return { digits: "", way: undefined, ...digits_of(resolution) };
}

// 0.001 -> three decimals, steps of 1; 0.0005 -> four, steps of 5; 20 -> none, steps of 20.
export function digits_of(resolution?: number): { decimals: number | undefined; step: number } {
  if (resolution === undefined || !(resolution > 0)) return { decimals: undefined, step: 1 };
  for (let decimals = 0; decimals <= 6; ++decimals) {
    const step = resolution * 10 ** decimals;
    if (step > 0.999 && Math.abs(step - Math.round(step)) < 1e-6 * step)
      return { decimals, step: Math.round(step) };
  }
  const decimals = Math.max(0, Math.ceil(-Math.log10(resolution)));
  return { decimals, step: 1 };
}

export function pressed(pad: Pad, key: string): Pad {
  if (/^[0-9]$/.test(key)) return with_digit(pad, key);
  switch (key) {
    case "Backspace":
      return without_last(pad);
    case "Delete":
      return { ...pad, digits: "", way: undefined, after: undefined };
    case "ArrowUp":
      return stepped(pad, 1);
    case "ArrowDown":
      return stepped(pad, -1);
    case "early":
    case "late":
      return { ...pad, way: key };
    case ".":
    case ",":
      return with_point(pad);
  }
  return pad;
}

function with_digit(pad: Pad, digit: string): Pad {
  if (pad.after !== undefined) return behind_point(pad, pad.after, digit);
  const digits = pad.digits + digit;
  const bare = pad.decimals === undefined ? digits.replace(/^0+(?=\d)/, "") : digits.replace(/^0+(?=.)/, "");
  return bare.replace(".", "").length > kLongest ? pad : { ...pad, digits: bare };
}

// With fixed decimals a typed point fills up to it, "28." is 28.000, and what follows goes behind it:
// "28.5" is 28.500 and never 0.285.
function with_point(pad: Pad): Pad {
  if (pad.decimals === undefined)
    return pad.digits.includes(".") ? pad : { ...pad, digits: `${pad.digits || "0"}.` };
  const digits = (pad.digits || "0") + "0".repeat(pad.decimals);
  const fits = pad.decimals > 0 && pad.after === undefined && digits.length <= kLongest;
  return fits ? { ...pad, digits, after: 0 } : pad;
}

function behind_point(pad: Pad, after: number, digit: string): Pad {
  const decimals = pad.decimals ?? 0;
  if (after >= decimals) return pad;
  const at = pad.digits.length - decimals + after;
  return { ...pad, digits: pad.digits.slice(0, at) + digit + pad.digits.slice(at + 1), after: after + 1 };
}

function without_last(pad: Pad): Pad {
  if (pad.after === undefined) return { ...pad, digits: pad.digits.slice(0, -1) };
  if (pad.after > 0) return { ...behind_point(pad, pad.after - 1, "0"), after: pad.after - 1 };
  const digits = pad.digits.slice(0, -(pad.decimals ?? 0));
  return { ...pad, digits: digits === "0" ? "" : digits, after: undefined };
}

function stepped(pad: Pad, by: number): Pad {
  if (pad.digits === "") return pad;
  const decimals = decimals_now(pad);
  const now = Math.round((number_of(pad) ?? 0) * 10 ** decimals);
  const next = Math.max(0, now + by * pad.step);
  if (String(next).length > kLongest) return pad;
  return { ...pad, digits: pad.decimals === undefined ? fixed(next, decimals) : String(next), after: undefined };
}

function decimals_now(pad: Pad): number {
  return pad.decimals ?? (pad.digits.split(".")[1] ?? "").length;
}

// 28072 with three decimals is "28.072": by the digits, no floating point between.
function fixed(units: number, decimals: number): string {
  const digits = String(units).padStart(decimals + 1, "0");
  return decimals === 0 ? digits : `${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`;
}

// What stands in the display: "" as long as nothing was typed.
export function shown(pad: Pad): string {
  if (pad.digits === "" || pad.decimals === undefined) return pad.digits;
  return fixed(Number(pad.digits), pad.decimals);
}

// What is sent: as shown, but no point at the end.
export function text_of(pad: Pad): string {
  return shown(pad).replace(/\.$/, "");
}

export function number_of(pad: Pad): number | undefined {
  return pad.digits === "" ? undefined : Number(text_of(pad));
}

// Between two steps of the instrument: it cannot have shown this.
export function is_between_steps(pad: Pad): boolean {
  return pad.decimals !== undefined && pad.digits !== "" && Number(pad.digits) % pad.step !== 0;
}

// The same digits on another instrument keep their value; what it cannot show is dropped.
export function refitted(pad: Pad, resolution: number | undefined): Pad {
  const next = { ...pad, ...digits_of(resolution), after: undefined };
  const value = number_of(pad);
  if (value === undefined) return { ...next, digits: "" };
  if (next.decimals === undefined) return { ...next, digits: text_of(pad) };
  return { ...next, digits: String(Math.round(value * 10 ** next.decimals)) };
}
