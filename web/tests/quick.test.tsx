// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";
import { describe, expect, it, vi } from "vitest";

import { AnswerSheet } from "../src/quick/answer_sheet";
import { QuestionCard } from "../src/quick/question_card";
import {
  answer_as_text, answer_entry, pieces, proposed_case, said_in, typed_of, unit_in, unsaid, with_piece,
} from "../src/quick/said";
import type { Answer, Input, Question } from "../src/quick/says";
import { tile_order } from "../src/quick/tiles";
import { link_is } from "../src/state/live";

function input(name: string, more: Partial<Input> = {}): Input {
  return { name, ask: `${name}?`, form: "words", is_required: false, example: "", choices: [], ...more };
}

const turn: Question = {
  name: "turn",
  help: "may it be turned?",
  inputs: [
    input("apart", { form: "choice", choices: ["yes", "no", "partly", "unknown"] }),
    input("turned", { form: "choice", choices: ["no", "forward by hand", "backwards", "starter", "unknown"] }),
    input("teeth", { form: "count" }),
  ],
};

const answer: Answer = {
  question: "turn",
  lines: ["TURN ONLY forward, by hand, two turns.", "Because: all is proven.", "With it: plugs out."],
  steps: [],
  assumed: ["chain on"],
  cautions: ["Never on the starter."],
  asked: [{ input: "apart", text: "yes" }],
};

function shown(of: Answer): HTMLElement {
  const root = document.createElement("div");
  render(<AnswerSheet answer={of} />, root);
  return root;
}

describe("what was said", () => {
  it("counts only where its meaning is one of the question's own", () => {
    const { said, elsewhere } = said_in(turn, { apart: "yes", turned: "yes" });
    expect(said).toEqual({ apart: "yes" });
    expect(elsewhere).toEqual([{ input: "turned", text: "yes" }]);
    expect(said_in(turn, { turned: "no" }).said).toEqual({ turned: "no" });
    expect(said_in(turn, { elsewhere: "x" }).said).toEqual({});
  });
  it("is sent without what is not known, which is not asked again", () => {
    const said = { teeth: "", apart: "no" };
    expect(typed_of(turn, said)).toEqual([{ input: "apart", text: "no" }]);
    expect(unsaid(turn, said).map((each) => each.name)).toEqual(["turned"]);
  });
});

describe("an answer", () => {
  it("that lets turn stands with all its conditions in the head, and its cautions", () => {
    const root = shown(answer);
    const head = root.querySelector(".answer-head")?.textContent ?? "";
    for (const line of answer.lines) expect(head).toContain(line);
    expect(root.textContent).toContain("Never on the starter.");
  });
  it("that forbids turning has its reason in the head and everything on the page", () => {
    const root = shown({ ...answer, lines: ["DO NOT TURN.", "Because: a.", "Instead: b.", "What would change it: c."] });
    expect(root.querySelector(".answer-head")?.textContent).toBe("DO NOT TURN.Because: a.");
    expect(root.textContent).toContain("Instead: b.");
    expect(root.textContent).toContain("What would change it: c.");
  });
  it("shows a verdict by its link and its word, and none where none was given", () => {
    expect(shown({ ...answer, question: "clearance", verdict: "open" }).querySelector(".verdict.open")).not.toBeNull();
    expect(shown(answer).querySelector(".verdict")).toBeNull();
  });
  it("is copied whole, and kept as the command line keeps it", () => {
    const text = answer_as_text({ ...answer, steps: ["s = 1"] });
    for (const line of [...answer.lines, "s = 1", "chain on", "Never on the starter.", "apart: yes"])
      expect(text).toContain(line);
    expect(answer_entry(answer)).toEqual({
      kind: "quick", question: "turn", asked: ["apart yes"], answer: answer.lines,
    });
    expect(answer_entry({ ...answer, forbids: "2 teeth late" })).toHaveProperty("forbids", "2 teeth late");
  });
});

describe("typing", () => {
  it("offers what a small keyboard has not", () => {
    expect(unit_in("28.072 ± 0.003 mm")).toBe("mm");
    expect(unit_in("106 lbf·in")).toBe("lbf·in");
    expect(unit_in("61 60 17")).toBe("");
    expect(pieces({ form: "reading", kind: "length" }, "28.072 ± 0.003 mm")).toEqual(["±", "mm", "in"]);
    expect(pieces({ form: "count" }, "138")).toEqual([]);
    expect(pieces({ form: "quantity", kind: "torque" }, "28 N·m")).toEqual(["N·m", "lbf·ft", "lbf·in"]);
    expect(pieces({ form: "quantity" }, "0.1 ms")).toEqual(["ms"]);
    expect(pieces({ form: "quantity" }, "106 lbf·in")).toContain("lbf·ft");
    expect(with_piece("28.07", "±")).toBe("28.07 ± ");
    expect(with_piece("0.040 ", "to")).toBe("0.040 to ");
    expect(with_piece("", "at most")).toBe("at most ");
  });
  it("names a case by question and minute", () => {
    expect(proposed_case("phone-turn", new Date(2026, 2, 5, 9, 7))).toBe("phone-turn-20260305-0907");
  });
  it("asks first whether it may be turned, and keeps what it does not know", () => {
    const questions = ["links", "new-one", "turn"].map((name) => ({ ...turn, name }));
    expect(tile_order(questions).map((each) => each.name)).toEqual(["turn", "links", "new-one"]);
  });
});

describe("may it be turned", () => {
  it("is withheld as soon as the link is lost, and no other answer is", async () => {
    const told = (question: string) => ({ answer: { ...answer, question } });
    const answers = (url: string) => Response.json(url.includes("/status") ? {} : told(url.split("/").at(-1) ?? ""));
    let is_gone = false;
    vi.stubGlobal("fetch", async (url: string) => {
      if (is_gone) throw new TypeError("gone");
      return answers(url);
    });
    const gone = (now: boolean) => {
      is_gone = now;
      link_is(!now);
    };
    vi.stubGlobal("EventSource", class { addEventListener() {} close() {} });
    const root = document.createElement("div");
    const shows = async (question: Question) => {
      render(<QuestionCard question={question} query={{}} />, root);
      await vi.waitFor(() => expect(root.textContent).toContain("TURN ONLY"));
    };
    await shows({ ...turn, inputs: [] });
    gone(true);
    await vi.waitFor(() => expect(root.textContent).not.toContain("TURN ONLY"));
    expect(root.textContent).toContain("DO NOT TURN");
    gone(false);
    await vi.waitFor(() => expect(root.textContent).toContain("TURN ONLY"));
    render(null, root);
    await shows({ ...turn, name: "marks", inputs: [] });
    gone(true);
    await new Promise((done) => setTimeout(done, 30));
    expect(root.textContent).toContain("TURN ONLY");
    gone(false);
    render(null, root);
    vi.unstubAllGlobals();
  });
});
