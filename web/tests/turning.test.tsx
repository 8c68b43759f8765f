// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";
import { describe, expect, it } from "vitest";

import type { Findings, Judged } from "../src/case/judged";
import { Turning } from "../src/case/turning";

const allowed = {
  answer: "TURN ONLY by hand, clockwise, two turns",
  because: "all seen",
  instead: "",
  changes_it: "anything touched",
  next: "",
  say: "By hand only.",
  holds_for: "this state",
  cautions: ["Never on the starter."],
  never: [{ asked: "backwards", because: "a tooth can jump", instead: "go on", changes_it: "", say: "" }],
};
const told = { turning: allowed } as unknown as Findings;
const at = new Date();

function shown(judged: Judged): HTMLElement {
  const place = document.createElement("div");
  render(<Turning name="bay 3" judged={judged} />, place);
  return place;
}

describe("the turning answer", () => {
  it("is the program's own while it is in force, with its cautions in sight", () => {
    const place = shown({ told, at, is_in_force: true, why_not: undefined });
    expect(place.querySelector(".answer")?.textContent).toBe(allowed.answer);
    const folded = place.querySelector("details")!;
    const caution = place.querySelector(".caution")!;
    expect(folded.contains(caution)).toBe(false);
    expect(place.textContent).toContain("This state");
  });
  it("is DO NOT TURN and nothing of the old answer, whatever withholds it", () => {
    const whys = ["turning_waits", "turning_old", "turning_lost", "turning_unread"] as const;
    for (const why_not of whys) {
      const place = shown({ told, at, is_in_force: false, why_not });
      expect(place.querySelector(".answer")?.textContent).toBe("DO NOT TURN");
      expect(place.textContent).not.toContain("TURN ONLY");
      expect(place.textContent).not.toContain("This state");
      expect(place.textContent).toContain("Not judged since");
    }
  });
  it("is DO NOT TURN for words that allow nothing", () => {
    for (const answer of ["", "turn", "DO NOT TURN, ever"]) {
      const other = { turning: { ...allowed, answer } } as unknown as Findings;
      const place = shown({ told: other, at, is_in_force: true, why_not: undefined });
      expect(place.querySelector(".answer")?.textContent).toBe("DO NOT TURN");
      expect(place.querySelector(".allows")).toBeNull();
    }
  });
  it("is DO NOT TURN before anything was heard", () => {
    const place = shown({ told: undefined, at: undefined, is_in_force: false, why_not: "turning_unread" });
    expect(place.querySelector(".answer")?.textContent).toBe("DO NOT TURN");
  });
});
