// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { changed_findings, type Findings, judged, place_only, wanted_next } from "../src/case/judged";
import { rounded } from "../src/case/finding_row";
import { turn_query, why_not_turn } from "../src/case/turn_asked";
import type { Finding } from "../src/case/stages";

const told = { case_sha256: "a", after_record: 7, findings: [] } as unknown as Findings;
const at = new Date("2026-03-02T10:00:00Z");
const present = { told, at, missed: 1, is_present: true, detail: "", status: 200 };
const calm = { is_lost: false, waits: 0, last_record: 7, missed: 1 };

describe("an answer of the program", () => {
  it("is in force when it is present and nothing came after it", () => {
    expect(judged(present, calm).is_in_force).toBe(true);
    // It knows of records that this page has not heard of yet.
    expect(judged(present, { ...calm, last_record: 6 }).is_in_force).toBe(true);
  });
  it("is withheld otherwise, and says why", () => {
    const why = (asked: typeof present, around: Parameters<typeof judged>[1]) =>
      judged(asked, around).why_not;
    expect(why(present, { ...calm, waits: 1 })).toBe("turning_waits");
    expect(why(present, { ...calm, is_lost: true })).toBe("turning_lost");
    expect(why({ ...present, is_present: false }, calm)).toBe("turning_old");
    expect(why(present, { ...calm, last_record: 8 })).toBe("turning_waits");
    expect(why(present, { ...calm, missed: 2 })).toBe("turning_waits");
    const of_a_file = { ...told, after_record: null };
    expect(why({ ...present, told: of_a_file }, calm)).toBe("turning_waits");
    expect(judged({ ...present, told: undefined as never }, calm).why_not).toBe("turning_unread");
  });
});

describe("what to measure next", () => {
  const open = (check: string, subject: string, next: string[], forecast = false) =>
    ({ check, subject, next, forecast, verdict: "open" }) as Finding;
  it("keeps the program's order and says each measurement once", () => {
    const wanted = wanted_next([
      open("end-play", "bank 2", ["measure it"]),
      open("what-if", "bank 1", ["never"], true),
      open("guide-groove", "arm", ["depth gauge"]),
      open("end-play", "bank 1", ["measure it"]),
      { ...open("x", "y", ["passed already"]), verdict: "pass" },
    ]);
    expect(wanted).toEqual([
      { says: "measure it", check: "end-play", subjects: ["bank 2", "bank 1"] },
      { says: "depth gauge", check: "guide-groove", subjects: ["arm"] },
    ]);
  });
  it("takes the remark off a place", () => {
    expect(place_only("bank 2 chain / tensioner (no limit in the drive)")).toBe("bank 2 chain / tensioner");
    expect(place_only("bank 2 chain / tensioner")).toBe("bank 2 chain / tensioner");
  });
});

describe("findings told anew", () => {
  const of = (sum: string, verdicts: string[]) =>
    ({
      case_sha256: sum,
      findings: verdicts.map((verdict, i) => ({ check: "c", subject: String(i), verdict, why: "" })),
    }) as unknown as Findings;
  it("count those that read otherwise, that came and that went", () => {
    expect(changed_findings(of("a", ["open", "pass"]), of("b", ["fail", "pass", "open"]))).toBe(2);
    expect(changed_findings(of("a", ["open", "pass"]), of("b", ["open"]))).toBe(1);
    expect(changed_findings(of("a", ["open"]), of("a", ["fail"]))).toBe(0);
    expect(changed_findings(undefined, of("a", ["fail"]))).toBe(0);
  });
  it("never round a probability to certainty", () => {
    expect([rounded(1), rounded(0), rounded(0.7249)]).toEqual(["> 0.999", "< 0.001", "0.72"]);
  });
});

describe("the first page's questions", () => {
  it("never allow, and pass on only what the program's question knows", () => {
    expect(why_not_turn({})).toBe("first_why_unsaid");
    expect(why_not_turn({ apart: "no" })).toBe("first_why_unsaid");
    expect(why_not_turn({ apart: "no", turned: "no" })).toBe("first_why_asked");
    expect(why_not_turn({ apart: "no", turned: "yes" })).toBe("first_why_turned");
    expect(why_not_turn({ apart: "unknown", turned: "no" })).toBe("first_why_unknown");
    expect(turn_query({ apart: "no", turned: "yes" })).toEqual({ apart: "no", turned: "unknown" });
    expect(turn_query({ turned: "no" })).toEqual({ turned: "no" });
  });
});
