// SPDX-License-Identifier: Apache-2.0
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

import { changed, type Authored, rest_of, rows_of } from "../src/author/says";
import {
  block_at, block_named, block_text, moved_block, new_block, same_name, section_of, with_block, with_key, with_new_block, with_placed_block, without_block,
} from "../src/author/step_blocks";

const kText = `name: a
procedure:   # the work
  - name: A
    what: >-
      does
      - not a step
  # about B
  - {name: "B: b", what: does b}
  - name: C
    what: c

note: x
`;
const names = (text: string) => section_of(text)?.blocks.map((block) => block.name);

describe("the steps of a text", () => {
  it("are found by their dashes, comments above belong to them", () => {
    expect(names(kText)).toEqual(["A", "B: b", "C"]);
    expect(block_text(kText, block_named(kText, " b: B".replace("b: B", "B:  B"))!)).toBe('  # about B\n  - {name: "B: b", what: does b}');
    expect(block_at(kText, 6)?.name).toBe("A");
    expect(block_at(kText, 1)).toBeUndefined();
  });

  it("are those of the demo drives", () => {
    const text = readFileSync(`${import.meta.dirname}/../../drives/vessgarth-v6-12.drive.yaml`, "utf8");
    const written = text.slice(text.indexOf("\nprocedure:")).match(/^ {2}- name: .*$/gm) ?? [];
    expect(names(text)).toEqual(written.map((line) => line.slice("  - name: ".length)));
  });

  it("a text without procedure, or with none in it, has none", () => {
    expect(section_of("name: a\n")).toBeUndefined();
    expect(section_of("procedure:\nnote: x\n")?.blocks).toEqual([]);
  });

  it("taken out and put back give the same text", () => {
    const b = block_named(kText, "B: b")!;
    const less = without_block(kText, b);
    expect(names(less)).toEqual(["A", "C"]);
    expect(less).toContain("\n\nnote: x\n");
    expect(with_block(kText, b, block_text(kText, b))).toBe(kText);
  });

  it("change places with their neighbors, and not beyond the ends", () => {
    expect(names(moved_block(kText, "C", -1))).toEqual(["A", "C", "B: b"]);
    expect(moved_block(moved_block(kText, "C", -1), "C", 1)).toBe(kText);
    expect(moved_block(kText, "A", -1)).toBe(kText);
    expect(moved_block(kText, "C", 1)).toBe(kText);
  });

  it("are added behind another, behind all, and where there was no procedure", () => {
    const block = new_block({
      name: "New: one", what: "Does\n it.", stage: "prove", needs: ["chain on"], gives: [], gate: "photo",
      tightens: [{ name: "cap bolts", steps: [{ torque: "12 N·m" }, { angle: "90 deg" }] }], cautions: ["Hot."],
    });
    expect(block).toBe('- name: "New: one"\n  stage: prove\n  what: Does it.\n  needs: ["chain on"]\n  gate: photo\n  tightens:\n    - fastener: cap bolts\n      steps: [{torque: 12 N·m}, {angle: 90 deg}]\n  cautions: ["Hot."]');
    expect(names(with_new_block(kText, block, "A"))).toEqual(["A", "New: one", "B: b", "C"]);
    expect(names(with_new_block(kText, block))).toEqual(["A", "B: b", "C", "New: one"]);
    expect(names(with_new_block("name: a\n", block))).toEqual(["New: one"]);
    expect(with_new_block(kText, block).endsWith("\n\nnote: x\n")).toBe(true);
  });

  it("of a variant are put directly behind a step", () => {
    const variant = "procedure:\n  - name: N\n    after: A\n    what: n\n  - name: B\n    gate: tick\n";
    expect(names(with_placed_block(variant, "M", "A", "- name: M\n  after: A\n  what: m"))).toEqual(["M", "N", "B"]);
    expect(with_placed_block(variant, "B", "A")).toContain("  - name: B\n    after: A\n    gate: tick\n  - name: N");
    expect(with_placed_block(variant, "C", "X: y")).toContain('  - name: C\n    after: "X: y"');
  });

  it("get a key, in block and in flow style, in the place of an old one", () => {
    expect(with_key("  - name: A\n    what: a", "after", "B: b")).toBe('  - name: A\n    after: "B: b"\n    what: a');
    expect(with_key("  - name: A\n    after: X", "after", "Y")).toBe("  - name: A\n    after: Y");
    expect(with_key("  - {name: A, after: X, what: a}", "after", "Y")).toBe("  - {name: A, what: a, after: Y}");
  });
});

describe("what is found", () => {
  const step = (name: string) => ({ name, number: 1 }) as Authored["steps"][number];
  const finding = (more: object) => ({ step: 0, is_error: true, file: "a.drive.yaml", line: 0, column: 1, message: "m", hint: "", ...more });
  const authored = (steps: string[], findings: object[]) => ({ steps: steps.map(step), findings, is_readable: steps.length > 0 }) as unknown as Authored;

  it("is counted at its step, by number or, in a text that cannot be read, by its line", () => {
    const readable = authored(["A", "B: b", "C"], [finding({ step: 2 }), finding({})]);
    const rows = rows_of(kText, "a.drive.yaml", readable, readable);
    expect(rows.map((row) => row.findings.length)).toEqual([0, 1, 0]);
    expect(rest_of(rows, readable).length).toBe(1);
    const broken = authored([], [finding({ line: 10 }), finding({ line: 10, file: "base.drive.yaml" })]);
    expect(rows_of(kText, "a.drive.yaml", broken, readable).map((row) => row.findings.length)).toEqual([0, 0, 1]);
  });

  it("names are compared as the program does, states by what is new and gone", () => {
    expect(same_name(" Set  the Marks", "set the marks")).toBe(true);
    expect(changed(["chain on", "pin in"], ["chain on", "pin out"])).toEqual({ new_ones: ["pin out"], gone: ["pin in"] });
  });
});
