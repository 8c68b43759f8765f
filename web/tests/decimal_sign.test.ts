// SPDX-License-Identifier: Apache-2.0
import { afterEach, beforeAll, expect, it } from "vitest";

import { with_point } from "../src/enter/decimal_sign";
import { empty_pad, pressed } from "../src/enter/pad";
import { range_words } from "../src/enter/reading_told";
import { parsed_range, type Range } from "../src/enter/units";
import { shown_words, such_as, unit_words, value_words } from "../src/enter/words";
import { as_sent, as_typed } from "../src/quick/typed";
import { is_said, load_said, said } from "../src/said/said";
import * as texts from "../src/texts";

beforeAll(async () => {
  texts.set_language("de");
  await load_said();
});
afterEach(() => texts.set_language("de"));

it("the pad and the texts beside it write one decimal mark", () => {
  const pad = "28072".split("").reduce(pressed, empty_pad(0.001));
  const free = ["2", "8", ","].reduce(pressed, empty_pad());
  const limit = parsed_range("0.05..0.20 mm") as Range;
  const all = () => [shown_words(pad), shown_words(free), range_words(limit), value_words("-2.4 deg crank")];
  expect(all()).toEqual(["28,072", "28,", "0,05 bis 0,20 mm", "2,4 Grad Kurbelwelle spät"]);
  expect(unit_words("deg cam")).toBe("Grad Nockenwelle");
  texts.set_language("en");
  expect(all()).toEqual(["28.072", "28.", "0.05 to 0.20 mm", "2.4 deg crank late"]);
});

it("a comma typed in a quantity is the decimal mark; words stay as they are", () => {
  const typed = { words: "1,5 bar", values: "320,64 320,66 mm", edges: [{ values: "117,3 deg crank" }], links: 40, when: "3, dann 4" };
  expect(with_point(typed)).toEqual({ words: "1,5 bar", values: "320.64 320.66 mm", edges: [{ values: "117.3 deg crank" }], links: 40, when: "3, dann 4" });
});

it("an example that is only English is not shown", () => {
  expect(such_as("4 months ago")).toBe("");
  expect(such_as("4000 km")).toBe("etwa 4000 km");
});

it("why an entry was not taken is German", () => {
  expect(said('no place "bank 3" in this drive')).toBe("eine Stelle „bank 3“ gibt es in diesem Steuertrieb nicht");
  expect(said("320,64 can be 320.64 or 32064: the decimal sign here is the point")).toContain("Das Dezimalzeichen ist hier der Punkt");
  expect(said("codes are named, so some were stored")).toBe("es sind Codes genannt, also waren welche gespeichert");
});

it("where a recording contradicts the definition is German", () => {
  for (const one of [
    "the crank's wheel is 36-2-2-2 in the recording, 60-2 in the definition",
    "bank 1 / intake camshaft: 3 rising edges a cycle in the definition, 6 in the recording (channel 3)",
    "by the distances of the edges channel 3 is bank 1 / intake camshaft, channel 2 is bank 1 / exhaust camshaft",
    'channel 1 ("crank"): the step before the gap after tooth 10 is 11.0°, the gap 29.1°, the step after it 8.9° instead of 10, 30 and 10°: the sensor shifts the teeth beside the gap; a cam edge there is off by as much',
    'channel 2 ("cam"), falling edges: 5 of 132 lie at no place of the wheel, over 20° off or second ones: noise or bounce',
    'channel 4 ("coil"): not used: silent for 3.5 of 12.0 cycles while the crank turns: a coil or an injector drive, or a sensor that fails',
    'channel 2 ("1"): 1 short pulses left out, 8.0 % of all: bounce, ignition noise or a bad shield',
  ])
    expect(is_said(one), `${one} -> ${said(one)}`).toBe(true);
});

it("a quick answer is typed in German and sent as the program reads it", () => {
  for (const [english, german] of [["at most 0.110 mm", "höchstens 0,110 mm"], ["0.108 ± 0.005 mm", "0,108 ± 0,005 mm"], ["0.05 to 0.20 mm", "0,05 bis 0,20 mm"], ["21.4 deg crank late", "21,4 deg crank spät"]] as const) {
    expect(as_typed(english)).toBe(german);
    expect(as_sent(german)).toBe(english);
    expect(as_sent(english)).toBe(english);
  }
  expect([as_sent("61,16,61"), as_sent("vor spät"), as_typed("at least")]).toEqual(["61,16,61", "vor spät", "mindestens"]);
  texts.set_language("en");
  expect(as_sent("1,200 mm")).toBe("1,200 mm");
});
