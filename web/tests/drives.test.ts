// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { biting_first } from "../src/drives/compare";
import { parsed_drawing } from "../src/drives/drawing";
import { line_count, line_span, name_in_text } from "../src/drives/line_numbers";
import { nearest_unlocks, rewrites } from "../src/drives/says";

describe("a definition as text", () => {
  it("finds its lines", () => {
    const text = "a: 1\nbb: 2\n";
    expect(line_count(text)).toBe(3);
    expect(text.slice(...line_span(text, 2))).toBe("bb: 2");
    expect(text.slice(...line_span(text, 1))).toBe("a: 1");
    expect(line_span(text, 99)).toEqual([11, 11]);
    expect(line_span(text, 0)).toEqual([0, 4]);
  });
  it("tells its name", () => {
    expect(name_in_text("tautmark: drive/1\nname: \"v6-12\"\n")).toBe("v6-12");
    expect(name_in_text("title: name: x\n")).toBe("");
  });
});

describe("a hint", () => {
  it("offers intervals that can be meant, never letters, never a unit", () => {
    const hint = 'write "at least 0.11 mm", "at most 0.11 mm", "0.11 ± b mm" or "a..b mm"';
    expect(rewrites(hint)).toEqual(["at least 0.11 mm", "at most 0.11 mm"]);
    expect(rewrites('for an interval write "27.960..27.980 mm"')).toEqual(["27.960..27.980 mm"]);
    expect(rewrites('write "116 mm"')).toEqual([]);
    expect(rewrites(undefined)).toEqual([]);
  });
});

describe("what comes first", () => {
  it("is the question that lacks the least", () => {
    const level = (question: string, lacks: number, can_answer = false) => ({
      level: "1", question, can_answer, missing: Array(lacks).fill({ what: "x", how: "y" }),
    });
    const check = { name: "x", warnings: [], levels: [level("two", 2), level("one", 1), level("can", 0, true)] };
    expect(nearest_unlocks(check).map((each) => each.question)).toEqual(["one", "two"]);
    expect(nearest_unlocks(check, 1)).toHaveLength(1);
  });
  it("is the difference that bites", () => {
    const all = [{ field: "a", here: "1", there: "2" }, { field: "b", here: "1", there: "2", where_it_bites: "there" }];
    expect(biting_first(all).map((each) => each.field)).toEqual(["b", "a"]);
  });
});

describe("a drawing", () => {
  it("comes without anything that runs, its style apart", () => {
    const parsed = parsed_drawing(
      '<svg xmlns="http://www.w3.org/2000/svg" width="8" height="9" onload="x()"><style>.a{fill:red}</style>' +
        '<script>x()</script><g onclick="x()"><path d="M0 0"/></g></svg>',
    );
    expect(parsed?.style).toBe(".a{fill:red}");
    const text = parsed?.picture.outerHTML ?? "";
    expect(text).not.toMatch(/script|onload|onclick|style/);
    expect(text).toContain("M0 0");
  });
  it("is none when it is none", () => {
    expect(parsed_drawing("<html></html>")).toBeUndefined();
  });
});
