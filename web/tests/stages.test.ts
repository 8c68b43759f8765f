// SPDX-License-Identifier: Apache-2.0
import { readFileSync } from "node:fs";

import { describe, expect, it } from "vitest";

import type { Schemas } from "../src/ask";
import { case_parts } from "../src/case/case_parts";
import type { Findings } from "../src/case/judged";
import {
  check_row,
  type Entry,
  type Finding,
  kChecks,
  kEntryStage,
  kStages,
  type Stage,
  stage_of_finding,
  stage_row,
  stage_state,
  stages_of_entries,
} from "../src/case/stages";
import * as en from "../src/texts/en";

const source = (path: string) => readFileSync(`${__dirname}/../../${path}`, "utf8");
const names = new Set(kStages.map((row) => row.name));

function finding(check: string, verdict: Finding["verdict"], evidence: string[] = []): Finding {
  return {
    check,
    verdict,
    evidence,
    subject: "",
    value: null,
    limit: null,
    probability_within: null,
    why: "",
    open_because: null,
    forecast: false,
    follows: [],
    next: [],
    cautions: [],
    sources: [],
    budget: [],
  };
}

describe("the table of stages", () => {
  it("has a place for every check of the program, and no other", () => {
    const checks = [...source("src/judge/table.cc").matchAll(/\.name = "([^"]+)"/g)].map((m) => m[1]);
    expect(checks.length).toBeGreaterThan(15);
    for (const check of checks)
      if (!check?.startsWith("what-if")) expect(Object.keys(kChecks)).toContain(check);
    for (const check of Object.keys(kChecks)) expect(checks).toContain(check);
    expect(check_row("what-if-new-head").at).toBe("decide");
  });
  it("has a place and a name for every kind of entry of a case file", () => {
    const kinds = [...source("docs/formats/case.md").matchAll(/^ {2}- kind: ([a-z ]+?) +#/gm)].map((m) => m[1]);
    expect(kinds.length).toBe(23);
    for (const kind of kinds) {
      expect(Object.keys(kEntryStage)).toContain(kind);
      expect(Object.keys(en.all)).toContain(`in_kind_${kind?.replaceAll(" ", "_")}`);
    }
  });
  it("names only stages that there are, eight in their order", () => {
    for (const placed of [...Object.values(kEntryStage), ...Object.values(kChecks).map((row) => row.at)])
      for (const stage of typeof placed === "string" ? [placed] : [placed.before, placed.after])
        expect(names).toContain(stage);
    expect(names.size).toBe(8);
    for (const row of kStages) for (const check of row.needs) expect(kChecks).toHaveProperty(check);
    expect(stage_row("no such")).toBeUndefined();
  });
});

describe("where things belong", () => {
  const entries: Entry[] = [
    { kind: "oil", id: "e0" },
    { kind: "pressure", id: "e1", place: "main gallery", values: "185 kPa" },
    { kind: "part", id: "e2", part: "chain", action: "ordered" },
    { kind: "pressure", id: "e3", place: "main gallery", values: "185 kPa" },
    { kind: "part", id: "e4", part: "chain", action: "fitted" },
    { kind: "pressure", id: "e5", place: "main gallery", values: "185 kPa" },
  ];
  const stages = stages_of_entries(entries);
  it("is proving only after a part was fitted; ordering is not fitting", () => {
    expect(stages.get("e1")).toBe("tests");
    expect(stages.get("e3")).toBe("tests");
    expect(stages.get("e5")).toBe("prove");
  });
  it("proves only where nothing it rests on is older", () => {
    const at = (...ids: string[]) => stage_of_finding(finding("oil-pressure", "pass", ids), stages);
    expect(at("e5", "e0")).toBe("prove");
    expect(at("e5", "e1")).toBe("tests");
    expect(at()).toBe("tests");
  });
});

describe("a link of the strand", () => {
  const tests = stage_row("tests")!;
  const both = [finding("oil-pressure", "pass"), finding("cam-timing", "pass")];
  const state = (findings: Finding[], is_unasked = false, is_judged = true) =>
    stage_state(tests, { entries: [], findings, is_unasked, is_judged });
  it("is closed only when all that the stage needs has passed", () => {
    expect(state(both).link).toBe("closed");
    expect(state(both.slice(1))).toEqual({ link: "open", says: "stage_passed_only", n: 1 });
    expect(state(both, true).link).toBe("open");
    expect(state(both, false, false)).toEqual({ link: "open", says: "stage_not_judged", n: 0 });
    expect(state([])).toEqual({ link: "open", says: "stage_nothing", n: 0 });
  });
  it("stays open with anything open, breaks with anything failed; forecasts count for nothing", () => {
    expect(state([...both, finding("sensor-signals", "open")]).link).toBe("open");
    expect(state([...both, finding("x", "open"), finding("y", "fail")])).toEqual({
      link: "broken",
      says: "stage_failed",
      n: 1,
    });
    expect(state([...both, { ...finding("what-if", "open"), forecast: true }]).link).toBe("closed");
  });
  it("is never closed by entries alone", () => {
    for (const row of kStages) {
      const entries = row.enters.map((kind) => ({ kind }) as Entry);
      const of = stage_state(row, { entries, findings: [], is_unasked: false, is_judged: true });
      expect(of, row.name).toEqual({ link: "open", says: "stage_entered", n: entries.length });
    }
  });
});

describe("the strand of a case", () => {
  const entries = [
    { kind: "marks", id: "e1" },
    { kind: "reading", id: "e2" },
    { kind: "part", id: "e3", action: "fitted" },
    { kind: "marks", id: "e4" },
    { kind: "pressure", id: "e5" },
    { kind: "recording", id: "e6" },
  ] as Entry[];
  const view = { case: { entries } } as Schemas["case_view"];
  const of = (check: string, subject: string, ...evidence: string[]) => ({
    ...finding(check, "pass", evidence),
    subject,
  });
  const whole = [
    of("end-play", "bank 1", "e2"),
    of("link-counts", "bank 1 chain", "e4"),
    of("link-counts", "bank 2 chain", "e4"),
    of("oil-pressure", "main gallery", "e5"),
    of("cam-timing", "bank 1 / camshaft", "e6"),
  ];
  const link = (stage: Stage, findings: Finding[], missing: string[] = [], drives = 1) => {
    const told = {
      findings,
      not_looked_at: missing.map((check) => ({ check, places: "x" })),
      drives: Array(drives).fill({}),
    } as unknown as Findings;
    const judged = { told, at: new Date(), is_in_force: true, why_not: undefined };
    return case_parts(view, judged).states.get(stage)?.link;
  };
  it("has proven only what was looked at in every place", () => {
    expect(link("prove", whole)).toBe("closed");
    expect(link("prove", whole, ["link-counts"])).toBe("open");
    expect(link("measure", whole)).toBe("closed");
    expect(link("measure", whole, ["end-play"])).toBe("open");
  });
  it("is not proven by one bank when the other was seen only before the fitting", () => {
    const older = whole.map((one) => (one.subject === "bank 2 chain" ? { ...one, evidence: ["e1"] } : one));
    expect(link("prove", older)).toBe("open");
    const as_found = of("cam-timing", "bank 1 / camshaft, as found", "e1");
    expect(link("prove", [...whole, as_found])).toBe("closed");
  });
  it("is not proven without a drive, or with several that it may be", () => {
    expect(link("measure", whole, [], 0)).toBe("open");
    expect(link("measure", whole, [], 2)).toBe("open");
  });
});
