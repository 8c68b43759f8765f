// SPDX-License-Identifier: Apache-2.0
// Readings between form and entry; and what the card shows of a way.
import { expect, it } from "vitest";

import { value_shown } from "../src/clearance/boxes";
import { cam_stands, stands_text, with_cam } from "../src/clearance/standing_form";
import { groups_of, next_angle, pairs_of, rows_of, with_pairs } from "../src/clearance/stop_rows";
import { beside_zero } from "../src/clearance/says";
import { with_sign } from "../src/enter/decimal_sign";
import { wheel_words } from "../src/enter/words";
import { entry_words } from "../src/case/entry_words";
import * as texts from "../src/texts";

it("pairs of a stop go out and come back; half of one stays out", () => {
  const typed = with_pairs({ cylinder: 1 }, [{ before: "24.5", after: "22.1" }, { before: "24.4", after: "22.2" }, { before: "24.6", after: "" }]);
  expect(typed).toEqual({ cylinder: 1, before: "24.5 24.4 deg crank", after: "22.1 22.2 deg crank" });
  expect(pairs_of(typed)).toEqual([{ before: "24.5", after: "22.1" }, { before: "24.4", after: "22.2" }]);
  expect(with_pairs({}, [{ before: "24.5", after: "" }])).toEqual({ before: undefined, after: undefined });
  expect(pairs_of({})).toEqual([{ before: "", after: "" }]);
  expect(pairs_of({ before: "24,5 deg crank", after: "22,1 deg crank" })).toEqual([{ before: "24.5", after: "22.1" }]); // of a case with the comma
});

it("rows of lift are groups with their units, whole ones only", () => {
  const columns = [{ name: "at", unit: "deg crank" }, { name: "lift", unit: "mm" }];
  const groups = groups_of([["-10", "0.05"], ["-5", ""], ["0", "0.23"]], columns);
  expect(groups).toEqual([{ at: "-10 deg crank", lift: "0.05 mm" }, { at: "0 deg crank", lift: "0.23 mm" }]);
  expect(rows_of(groups, columns)).toEqual([["-10", "0.05"], ["0", "0.23"]]);
  expect(groups_of([["", ""]], columns)).toBeUndefined();
});

it("the next angle follows the step, through zero, with its decimals", () => {
  expect(next_angle([["-10", "x"], ["-5", "x"]])).toBe("0");
  expect(next_angle([["2.5", "x"], ["5", "x"]])).toBe("7.5");
  expect(next_angle([["2.5", "x"]])).toBe("");
  expect(next_angle([["5", "x"], ["5", "x"]])).toBe("");
  expect(next_angle([["5", "x"], ["", ""]])).toBe("");
});

it("a camshaft stands right, or early or late by teeth, or is not said", () => {
  for (const text of ["right", "1 tooth early", "2 teeth late"]) expect(stands_text(cam_stands(text))).toBe(text);
  expect(stands_text({ way: "late", teeth: 0 })).toBeUndefined();
  expect(stands_text({ way: "", teeth: 3 })).toBeUndefined();
  expect(cam_stands("a tooth and a half left")).toEqual({ way: "", teeth: 0 });
  expect(with_cam([], "bank 1 / a", { stands: "right" })).toEqual([{ at: "bank 1 / a", stands: "right" }]);
  expect(with_cam([{ at: "bank 1 / a", stands: "right" }], "bank 1 / a", { stands: undefined, at: "bank 1 / a" })).toBeUndefined();
});

it("before top dead center is a word, never late and never a bare sign", () => {
  texts.set_language("en");
  expect([beside_zero(-1.2), beside_zero(1.2), beside_zero(-0.04)]).toEqual(["1.2° before", "1.2° after", "0.0°"]);
  expect(value_shown({ value: "-12.5", unit: "°", sides: true })).toBe("12.5° before");
  expect([wheel_words("-10 deg crank"), wheel_words("70.6 deg crank"), wheel_words("0 deg crank")]).toEqual(["10 deg crank before top", "70.6 deg crank after top", "0 deg crank"]);
  const entry = { kind: "indicator", place: "bank 1 / intake camshaft", table: [{ at: "-10 deg crank", lift: "0.05 mm" }] } as const;
  expect(entry_words(entry as never).says).toBe("0.05 mm: 10 deg crank before top");
});

it("a case that writes the comma gets it in rows and uncertainties too, not in words", () => {
  const entry = { crank: "75.5 ± 0.4 deg crank", table: [{ at: "-10.5 deg crank", lift: "0.05 mm" }], camshafts: [{ at: "bank 1 / a", stands: "1.5 teeth late" }] };
  expect(with_sign(entry, "comma")).toEqual({ crank: "75,5 ± 0,4 deg crank", table: [{ at: "-10,5 deg crank", lift: "0,05 mm" }], camshafts: [{ at: "bank 1 / a", stands: "1.5 teeth late" }] });
  expect(with_sign(entry, undefined)).toBe(entry);
});
