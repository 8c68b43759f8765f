// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { digits_of, empty_pad, is_between_steps, number_of, type Pad, pressed, refitted, shown, text_of } from "../src/enter/pad";

const typed = (keys: string[], pad: Pad) => keys.reduce(pressed, pad);
const digits = (text: string) => text.split("");

describe("the number pad", () => {
  it("shifts digits in from the right, the point where the instrument has it", () => {
    const seen: string[] = [];
    let pad = empty_pad(0.001);
    for (const key of digits("28072")) seen.push(shown((pad = pressed(pad, key))));
    expect(seen).toEqual(["0.002", "0.028", "0.280", "2.807", "28.072"]);
    expect(number_of(pad)).toBe(28.072);
    expect(shown(pressed(pad, "Backspace"))).toBe("2.807");
    expect(shown(pressed(pad, "Delete"))).toBe("");
  });
  it("never comes near floating point: every five digits are shown as typed", () => {
    for (let n = 10000; n < 100000; n += 7)
      expect(text_of(typed(digits(String(n)), empty_pad(0.001)))).toBe(
        `${Math.floor(n / 1000)}.${String(n % 1000).padStart(3, "0")}`,
      );
  });
  it("steps by what the instrument reads, not below nothing", () => {
    expect(shown(pressed(typed(digits("28070"), empty_pad(0.005)), "ArrowUp"))).toBe("28.075");
    expect(shown(pressed(typed(["1"], empty_pad(0.001)), "ArrowDown"))).toBe("0.000");
    expect(shown(pressed(typed(["0"], empty_pad(0.001)), "ArrowDown"))).toBe("0.000");
    expect(shown(pressed(empty_pad(0.001), "ArrowUp"))).toBe("");
    expect(is_between_steps(typed(digits("28072"), empty_pad(0.005)))).toBe(true);
    expect(is_between_steps(typed(digits("28075"), empty_pad(0.005)))).toBe(false);
  });
  it("knows the point of every shop gauge", () => {
    expect(digits_of(0.001)).toEqual({ decimals: 3, step: 1 });
    expect(digits_of(0.025)).toEqual({ decimals: 3, step: 25 });
    expect(digits_of(0.5)).toEqual({ decimals: 1, step: 5 });
    expect(digits_of(0.0001)).toEqual({ decimals: 4, step: 1 });
    expect(digits_of(20)).toEqual({ decimals: 0, step: 20 });
    expect(digits_of(undefined).decimals).toBeUndefined();
  });
  it("takes a typed point where nothing is known of the instrument", () => {
    expect(text_of(typed(["2", "8", ",", "0", "7"], empty_pad()))).toBe("28.07");
    expect(text_of(typed([".", "5", "."], empty_pad()))).toBe("0.5");
    expect(text_of(typed(["2", "8", "."], empty_pad()))).toBe("28");
    expect(shown(typed(["2", ".", "0", "9", "ArrowUp"], empty_pad()))).toBe("2.10");
  });
  it("heeds a typed point where the instrument has one too: 28.5 is never 0.285", () => {
    expect(shown(typed(digits("28.5"), empty_pad(0.001)))).toBe("28.500");
    expect(shown(typed(digits("0,4"), empty_pad(0.01)))).toBe("0.40");
    expect(shown(typed(digits("28.0729"), empty_pad(0.001)))).toBe("28.072");
    expect(shown(typed([...digits("28.07"), "Backspace", "5"], empty_pad(0.001)))).toBe("28.050");
    expect(shown(typed([...digits("28."), "Backspace", "Backspace"], empty_pad(0.001)))).toBe("0.002");
    expect(shown(typed([...digits("28.5"), "ArrowUp", "1"], empty_pad(0.001)))).toBe("285.011");
    expect(shown(typed(digits("184.5"), empty_pad(1)))).toBe("1845");
  });
  it("says a sign in a word, and drops it with the digits", () => {
    const pad = typed(["2", "4", "late"], empty_pad(0.1));
    expect([shown(pad), pad.way]).toEqual(["2.4", "late"]);
    expect(pressed(pad, "Delete").way).toBeUndefined();
    expect(pressed(pad, "-")).toBe(pad);
  });
  it("keeps the value on another instrument", () => {
    const pad = typed(digits("28072"), empty_pad(0.001));
    expect(shown(refitted(pad, 0.01))).toBe("28.07");
    expect(shown(refitted(pad, undefined))).toBe("28.072");
    expect(shown(refitted(typed(["2", "8", ".", "1"], empty_pad()), 0.001))).toBe("28.100");
  });
});
