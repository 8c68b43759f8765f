// SPDX-License-Identifier: Apache-2.0
// A definition opened again in the steps: what they do not know must stay as it is.
import { readdirSync, readFileSync } from "node:fs";

import { describe, expect, it } from "vitest";

import type { Answers } from "../src/drives/answers";
import { answers_of } from "../src/drives/answers_of";
import { merged, tree_of } from "../src/drives/merged";
import { steps_of } from "../src/drives/steps";
import { yaml_of_answers } from "../src/drives/yaml_of_answers";

const kDrives = readdirSync("../drives").filter((name) => name.endsWith(".drive.yaml"));
const text_of = (name: string) => readFileSync(`../drives/${name}`, "utf8");

function with_change(text: string, change: (answers: Answers) => Answers) {
  const begun = answers_of(tree_of(text));
  return merged(text, yaml_of_answers(begun, false, true), yaml_of_answers(change(begun), false, true));
}

// Every line that differs, without comments and their columns.
function changed_lines(before: string, after: string): string[] {
  const bare = (text: string) => text.split("\n").map((line) => line.replace(/\s+#.*$/, "").trim());
  const old = bare(before);
  return bare(after).filter((line) => !old.includes(line));
}

describe("a definition opened again", () => {
  it.each(kDrives)("is byte for byte the same when nothing is changed: %s", (name) => {
    expect(with_change(text_of(name), (answers) => answers).text).toBe(text_of(name));
  });
  it.each(kDrives)("keeps every key and every value but the one that is changed: %s", (name) => {
    const text = text_of(name);
    const out = with_change(text, (answers) => ({ ...answers, title: "Another title" })).text;
    expect(tree_of(out)).toEqual({ ...(tree_of(text) as object), title: "Another title" });
    expect(out.match(/#/g)?.length).toBe(text.match(/#/g)?.length);
  });
  const vessgarth = text_of("vessgarth-v6-12.drive.yaml");
  it("carries a changed value to its place, beside what the steps do not know", () => {
    const out = with_change(vessgarth, (answers) => ({
      ...answers, "chain2.mark1.next": "62", "chain2.mark2.next": "62", "limit.journal diameter.service": "at least 27.945 mm", "bolt2.steps": "11 N·m",
    })).text;
    expect(changed_lines(vessgarth, out)).toEqual(["links: 62", "links: 62", "service: at least 27.945 mm", "- torque: 11 N·m"]);
    expect(out).toContain("measure: micrometer, two directions");
    expect(out.match(/pivot_x/g)).toHaveLength(2);
    expect(out.match(/cross_checked_by/g)?.length).toBe(vessgarth.match(/cross_checked_by/g)?.length);
  });
  it("adds a row behind the others and takes one away", () => {
    const more = with_change(vessgarth, (answers) => ({ ...answers, "bolt9.name": "crank bolt", "bolt9.steps": "100 N·m; 90 deg", "bolt9.single_use": "yes" })).text;
    expect(more).toMatch(/- name: crank bolt\n    steps:\n      - torque: 100 N·m\n      - angle: 90 deg\n    single_use: yes/);
    const less = with_change(vessgarth, (answers) => Object.fromEntries(Object.entries(answers).filter(([key]) => !key.startsWith("bolt2.")))).text;
    expect(less).not.toContain("- name: camshaft cap bolts");
    expect(less).toContain("hold the camshaft at its flats");
  });
  it("names the answer of a line where the text is another one", () => {
    const { text, keys } = with_change(vessgarth, (answers) => ({ ...answers, pitch: "8.1 mm" }));
    const line = text.split("\n").findIndex((each) => each.includes("8.1 mm"));
    expect(keys[line]).toBe("pitch");
    expect(keys[text.split("\n").findIndex((each) => each.includes("crank bolt")) - 1] ?? "").not.toBe("pitch");
  });
  it("has its figures in the steps", () => {
    const answers = answers_of(tree_of(vessgarth));
    expect(answers).toMatchObject({
      chains: "one per bank", camshafts: "one", "teeth.crank": "21", "teeth.camshaft": "42", "chain1.mark1.next": "64", "chain2.side": "in the valley",
      "sensor.wheel": "36-1", phasers: "all", "phaser.camshaft.range": "50 deg crank", "limit.end play.service": "0.05..0.20 mm", "bolt1.single_use": "yes",
    });
    const asked = new Set(steps_of(answers).flatMap((step) => step.fields.map((field) => field.key)));
    const hidden = Object.keys(answers).filter((key) => !asked.has(key) && !/\.(at|quantity|speed|oil_temperature|measure|applies_to|edge|bank)$/.test(key));
    expect(hidden).toEqual([]);
  });
});
