// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it, vi } from "vitest";

import { entry_words, kTakenBack } from "../src/case/entry_words";
import type { Waiting } from "../src/state/outbox";
import { set_language } from "../src/texts";
import { arc, flats, on_circle } from "../src/work/angle_drawing";
import { free_step_words } from "../src/work/free_work";
import type { FastenerSaid, ProcedureSaid, StepSaid } from "../src/work/says";
import { giver_of, watched } from "../src/work/state";
import { cards_of, is_all_ticked, is_ticked } from "../src/work/step_entered";
import * as steps from "../src/work/steps";
import * as torque from "../src/work/torque";

const step = (name: string, more: Partial<StepSaid> = {}): StepSaid => ({
  number: 1, name, what: "", needs: [], gives: [], ends: [], tightens: [], fits: [], cautions: [], status: "to do", ...more,
});
const procedure = (all: StepSaid[], more: Partial<ProcedureSaid> = {}): ProcedureSaid =>
  ({ schema: "procedure/1", drive: "d", turning: { answer: "DO NOT TURN", because: "" }, steps: all, ...more });
const around = (more: Partial<steps.Around> = {}): steps.Around => ({ why_not: undefined, may_turn: false, waiting: new Map(), steps: [], ...more });
const done = new Map([["a", { is_done: true }]]);
const missing = (fact: string, may_override: boolean) => ({ fact, by_rule: true, may_override, why: "" });

describe("the step that is shown", () => {
  const all = ["a", "b", "c", "d"].map((name) => step(name));
  const named = (...said: Parameters<typeof steps.shown_step>) => steps.shown_step(...said)?.name;
  it("is the one asked for, else the interrupted one, else the next one", () => {
    const of = procedure(all, { next: ["b", "c"], interrupted: { step: "d", entry: "e1", words: "" } });
    expect(named(of, "c")).toBe("c");
    expect(named(of, "no such step")).toBe("d");
    expect(named(procedure(all, { next: ["b", "c"] }), undefined)).toBe("b");
  });
  it("goes on past what waits to be sent, and stays at what was interrupted", () => {
    expect(named(procedure(all, { next: ["a", "c"] }), undefined, done)).toBe("c");
    expect(named(procedure(all, { next: ["a"] }), undefined, done)).toBe("b");
    expect(named(procedure(all, { next: ["b"] }), undefined, new Map([["a", { is_done: false }]]))).toBe("a");
    expect(named(procedure(all, { next: ["b"], interrupted: { step: "a", entry: "e1", words: "" } }), undefined, done)).toBe("b");
  });
  it("knows what waits of its entries: refused ones and other kinds do not", () => {
    const waits = (entry: unknown, refused = false) => ({ entry, ...(refused ? { refused: {} } : {}) }) as unknown as Waiting;
    const found = steps.steps_waiting([
      waits({ kind: "step", step: "a" }), waits({ kind: "step", step: "b", interrupted: true }),
      waits({ kind: "step", step: "c" }, true), waits({ kind: "note", words: "d" }),
    ]);
    expect([...found]).toEqual([["a", { is_done: true }], ["b", { is_done: false }]]);
  });
});

describe("the link of a step", () => {
  it("is closed only where it is done and nothing is left to be shown", () => {
    const link = (more: Partial<StepSaid>, waits = false) => steps.standing(step("a", more), waits).verdict;
    expect(link({ status: "done" })).toBe("pass");
    expect(link({ status: "done" }, true)).toBe("open");
    expect(link({ status: "done", gate_open: "a photo" })).toBe("open");
    expect(link({ status: "done against its condition" })).toBe("open");
    expect(link({ status: "interrupted" })).toBe("fail");
    expect(link({ status: "left out" })).toBe("open");
    expect(link({ status: "entered while blocked" })).toBe("fail");
    expect(link({ status: "a word of a later program" as "to do" })).toBe("open");
  });
});

describe("done", () => {
  const lost = around({ why_not: "turning_lost", may_turn: true });
  it("is withheld of gates and turning while no answer is in force", () => {
    expect(steps.why_not_done(step("a", { gate: "tick" }), lost)).toBe("work_no_gate_withheld");
    expect(steps.why_not_done(step("a", { turns: "a little" }), lost)).toBe("work_no_turn_withheld");
    expect(steps.why_not_done(step("a"), lost)).toBeUndefined();
    expect(steps.why_not_done(step("a", { gate: "tick" }), around())).toBeUndefined();
  });
  it("of a turn wants the turning answer that allows it", () => {
    expect(steps.why_not_done(step("a", { turns: "two turns" }), around())).toBe("work_no_turn");
    expect(steps.why_not_done(step("a", { turns: "two turns" }), around({ may_turn: true }))).toBeUndefined();
  });
  it("is withheld of a blocked step, but for what was entered here since the link was lost", () => {
    const blocked = step("b", { missing: [missing("bank 1: chain on", true)] });
    const before = [step("a", { bank: 1, gives: ["chain on"] })];
    expect(steps.why_not_done(blocked, around())).toBe("work_no_blocked");
    expect(steps.why_not_done(blocked, around({ waiting: done, steps: before }))).toBe("work_no_blocked");
    expect(steps.why_not_done(blocked, around({ why_not: "turning_lost", waiting: done, steps: before }))).toBeUndefined();
    const other = [step("a", { bank: 2, gives: ["chain on"] })];
    expect(steps.why_not_done(blocked, around({ why_not: "turning_lost", waiting: done, steps: other }))).toBe("work_no_blocked");
  });
});

describe("against the gate", () => {
  it("is never offered of a turn, where no override exists, or while no answer is in force", () => {
    expect(steps.why_not_against(step("a", { gate: "tick" }), around())).toBeUndefined();
    expect(steps.why_not_against(step("a", { turns: "a little" }), around({ may_turn: true }))).toBe("work_no_override");
    expect(steps.why_not_against(step("a", { missing: [missing("x", true), missing("y", false)] }), around())).toBe("work_no_override");
    expect(steps.why_not_against(step("a", { gate: "tick" }), around({ why_not: "turning_old" }))).toBe("work_no_gate_withheld");
  });
});

describe("a gate", () => {
  const shows = (gate: StepSaid["gate"], shown: steps.Shown) => steps.is_gate_shown(step("a", gate ? { gate } : {}), shown, ["Anna Q", undefined]);
  it("wants what it says and nothing less", () => {
    expect(shows(undefined, {})).toBe(true);
    expect([shows("tick", {}), shows("tick", { tick: true })]).toEqual([false, true]);
    expect([shows("photo", { tick: true }), shows("photo", { shown_by: ["e1"] })]).toEqual([false, true]);
    expect([shows("reading", { shown_by: [] }), shows("reading", { shown_by: ["e1"] })]).toEqual([false, true]);
  });
  it("takes no second name that is the first", () => {
    for (const same of ["", "  ", "Anna Q", " anna  q "]) expect(shows("second name", { second: same }), same).toBe(false);
    expect(shows("second name", { second: "Will" })).toBe(true);
  });
  it("is shown by entries of its kind, the newest first", () => {
    const all = ["reading", "attachment", "marks", "note", "recording"].map((kind, i) => ({ kind, id: `e${i}` }));
    expect(steps.showing("reading", all).map((one) => one.id)).toEqual(["e4", "e2", "e0"]);
    expect(steps.showing("photo", all).map((one) => one.id)).toEqual(["e1"]);
    expect(steps.showing("tick", all)).toEqual([]);
  });
});

describe("the entry of a step", () => {
  const gated = step("Confirm the marks", { gate: "second name" });
  it("has the fields of the case, and no others", () => {
    expect(steps.step_entry(gated, { how: "done" }, { second: " Will ", fasteners: 0 })).toEqual({ kind: "step", step: "Confirm the marks", second_name: "Will" });
    expect(steps.step_entry(step("a", { gate: "photo" }), { how: "late" }, { shown_by: ["e3"], fasteners: 4 })).toEqual({ kind: "step", step: "a", late: true, shown_by: ["e3"], fasteners: 4 });
    expect(steps.step_entry(gated, { how: "against", reason: " he is away ", allowed_by: "Foreman" }, {})).toEqual({ kind: "step", step: "Confirm the marks", against_gate: "he is away", allowed_by: "Foreman" });
  });
  it("shows nothing where it was interrupted", () => {
    expect(steps.step_entry(gated, { how: "interrupted" }, { second: "Will", shown_by: ["e1"], fasteners: 3 })).toEqual({ kind: "step", step: "Confirm the marks", interrupted: true, fasteners: 3 });
  });
});

describe("the strip", () => {
  it("always says five things, of each bank, and what nobody knows is not known", () => {
    const said = watched(procedure([step("a", { bank: 1 }), step("b", { bank: 2 })], { state: ["bank 1: chain on", "crank at reference", "bank 1: phaser bolt final"] }));
    expect(said.map((one) => one.told.map(({ bank, fact }) => `${bank} ${fact}`))).toEqual([
      ["1 chain on", "2 "], ["1 ", "2 "], ["1 ", "2 "], ["1 ", "2 "], ["0 crank at reference"],
    ]);
  });
});

const card = (more: Partial<FastenerSaid>): FastenerSaid => ({
  fastener: "bolt", bank: null, thread: null, strength_class: null, count: 8, take_new: false, use: "", order: "", asks: [], clamp_load: "", cautions: [],
  steps: [{ target: "12 N·m (8.85 lbf·ft, 106 lbf·in)", to_check: false, torque_Nm: 12, angle_deg: null, wrench: "", no_wrench: [] }], ...more,
});
const typed = [{ torque: { value: 12, unit: "N·m" as const, typed: "12 N·m", spelled: "" } }];

describe("tightening", () => {
  it("shows the program's own figures, each under its unit", () => {
    const all = torque.figures("35 N·m (25.8 lbf·ft, 309 lbf·in), then 75 deg further, seen from the wrench");
    expect(all.map((one) => `${one.number} ${one.kind}`)).toEqual(["35 newton", "25.8 foot", "309 inch"]);
    expect(torque.figures("then 75 deg further, seen from the wrench")).toEqual([]);
  });
  it("sets the wrench in the unit of its own scale", () => {
    const all = torque.figures("12 N·m (8.85 lbf·ft, 106 lbf·in)");
    const named = torque.wrench_named("take small (near its end)", [{ name: "small" }, { name: "small one" }]);
    expect(named?.name).toBe("small");
    expect(torque.setting(all, "40..200 lbf·in")?.number).toBe("106");
    expect(torque.setting(all, "5..25 N·m")?.number).toBe("12");
    expect(torque.setting(all, undefined)).toBeUndefined();
  });
  it("offers no figure that cannot be meant or stands otherwise in the step", () => {
    expect(torque.is_to_check(card({}), typed)).toBe(false);
    expect(torque.is_to_check(card({ steps: [{ ...card({}).steps[0]!, to_check: true }] }), typed)).toBe(true);
    expect(torque.is_to_check(card({}), [{ torque: { ...typed[0]!.torque, value: 16.27 } }])).toBe(true);
    expect(torque.is_to_check(card({}), [...typed, { angle: { value: 1.3, unit: "rad" as const, typed: "75 deg" } }])).toBe(true);
  });
  it("of a stretch of the figures, within 1 %, takes that stretch; of none written the whole card", () => {
    const pass = (torque_Nm: number | null, angle_deg: number | null) => ({ ...card({}).steps[0]!, target: `${torque_Nm} ${angle_deg}`, torque_Nm, angle_deg });
    const own = card({ steps: [pass(20, null), pass(50, null), pass(null, 90), pass(null, 90)] });
    const N_m = (value: number) => ({ torque: { value, unit: "N·m" as const, typed: `${value} N·m`, spelled: "" } });
    const deg = (value: number) => ({ angle: { value: (value * Math.PI) / 180, unit: "rad" as const, typed: `${value} deg` } });
    const passes = (...of: Parameters<typeof torque.stretch_of>[1]) => torque.stretch_of(own, of)?.map((one) => one.target);
    expect(passes(N_m(20.2), N_m(49.5))).toEqual(["20 null", "50 null"]);
    expect(passes(N_m(50), deg(90))).toEqual(["50 null", "null 90"]);
    expect(passes(deg(90), deg(90))).toEqual(["null 90", "null 90"]);
    expect(passes()).toHaveLength(4);
    for (const other of [[N_m(20.3)], [N_m(20), deg(90)], [deg(90), deg(90), deg(90)], [{ ...N_m(50), ...deg(90) }]]) expect(passes(...other)).toBeUndefined();
    expect(torque.as_typed({ ...N_m(50), ...deg(90) })).toBe("50 N·m, then 90 deg");
  });
  it("takes the card of its bank or of none, never another bank's, and wants one for each", () => {
    const both = step("a", { bank: 2, tightens: [{ fastener: "cap  Bolts", steps: typed }, { fastener: "bolt", steps: [] }] });
    const [one, two, plain] = [card({ fastener: "Cap bolts", bank: 1 }), card({ fastener: "Cap bolts", bank: 2, count: 1 }), card({ count: 1 })];
    const found = cards_of(both, [one, two, plain]);
    expect(found.map((of) => of.card.bank)).toEqual([2, null]);
    expect(is_all_ticked(found, both, { "Cap bolts": [[1]], bolt: [[1]] })).toBe(true);
    const without = cards_of(both, [one, plain]);
    expect(without).toHaveLength(1);
    expect(is_all_ticked(without, both, { bolt: [[1]] })).toBe(false);
  });
  it("draws the order where the bolts are", () => {
    const round = torque.drawn_order("drawn (numbered round the circle), x: 1, 3, 2, 4")!;
    expect(round.bolts.map(({ bolt, turn }) => [bolt, turn])).toEqual([[1, 1], [3, 2], [2, 3], [4, 4]]);
    expect(round.bolts[1]?.x).toBeCloseTo(0.5); // opposite of the first one, which is on top
    expect(round.bolts[1]?.y).toBe(1);
    const rows = torque.drawn_order("drawn (numbered along one row, then along the other), x: 2, 5, 1, 4, 3, 6")!;
    expect(rows.bolts.map(({ x, y }) => [x, y])).toEqual([[0.5, 0], [0.5, 1], [0, 0], [0, 1], [1, 0], [1, 1]]);
    expect(torque.drawn_order("maker's order: 3, 1, 2")?.shape).toBe("list");
    expect(torque.drawn_order("")).toBeUndefined();
  });
  it("draws an angle clockwise from the top, and counts flats of 60°", () => {
    expect(on_circle(90, 10)).toEqual([10, -0]);
    expect(on_circle(180, 10)).toEqual([0, 10]);
    expect([flats(90), flats(75), flats(180)]).toEqual(["1.5", "1.25", "3"]);
    expect(arc(90, 88)).toContain(" 0 0 1 88 0"); // the short way round, clockwise
    expect(arc(270, 88)).toContain(" 0 1 1 -88 0");
  });
  it("ticks each bolt once, and takes a bolt back with the passes that came after", () => {
    let ticks: torque.Ticks = {};
    for (const bolt of [2, 1, 2]) ticks = torque.with_tick(ticks, "bolt", 0, bolt);
    expect(torque.bolts_ticked(ticks, "bolt", 0)).toEqual([2, 1]);
    ticks = torque.with_tick(torque.with_tick(ticks, "bolt", 1, 1), "bolt", 1, 2);
    expect(torque.all_ticked(ticks, [{ fastener: "bolt", passes: 2 }])).toBe(2);
    const back = torque.without_bolt(ticks, "bolt", 1);
    expect([0, 1].map((pass) => torque.bolts_ticked(back, "bolt", pass))).toEqual([[2], [2]]);
    const later = torque.without_bolt(ticks, "bolt", 1, 1);
    expect([0, 1].map((pass) => torque.ticked(later, "bolt", pass))).toEqual([2, 1]);
    expect([torque.is_begun({}), torque.is_begun({ bolt: [[]] }), torque.is_begun(later)]).toEqual([false, false, true]);
  });
  it("goes on with the next bolt of the order, else with the lowest number", () => {
    const order = torque.drawn_order("drawn (numbered round the circle), x: 1, 3, 2, 4");
    expect([[], [1], [1, 3], [1, 3, 2, 4]].map((done) => torque.next_bolt(done, order, 4))).toEqual([1, 3, 2, undefined]);
    expect([[], [2], [1, 2]].map((done) => torque.next_bolt(done, undefined, 2))).toEqual([1, 1, undefined]);
    expect(torque.next_bolt([1, 2], undefined, undefined)).toBe(3);
  });
  it("is ticked off when all are, in every pass; of a bank's step when some are", () => {
    const of = { card: card({}), typed };
    const some = { bolt: [[1, 2, 3, 4]] };
    expect(is_ticked(of, step("a"), some)).toBe(false);
    expect(is_ticked(of, step("a", { bank: 1 }), some)).toBe(true);
    expect(is_ticked(of, step("a", { bank: 1 }), {})).toBe(false);
    expect(is_ticked({ ...of, card: card({ bank: 1 }) }, step("a", { bank: 1 }), some)).toBe(false);
    expect(is_ticked(of, step("a"), { bolt: [[1, 2, 3, 4, 5, 6, 7, 8]] })).toBe(true);
    expect(is_ticked({ ...of, card: card({ steps: [{ ...card({}).steps[0]!, to_check: true }] }) }, step("a"), { bolt: [[1, 2, 3, 4, 5, 6, 7, 8]] })).toBe(false);
    const two = card({ count: null, steps: [...of.card.steps, ...of.card.steps] });
    expect(is_ticked({ card: two, typed: [...typed, ...typed] }, step("a"), { bolt: [[1, 2], [1]] })).toBe(false);
    expect(is_ticked({ card: two, typed: [...typed, ...typed] }, step("a"), { bolt: [[1, 2], [1, 2]] })).toBe(true);
  });
});

describe("what the page writes into the record", () => {
  it("is in one language, and shown in that of the page", () => {
    const says = () => [free_step_words("Tighten bolt, bank 2", [card({ bank: 2 })]), free_step_words("Cover off", [card({})]), entry_words({ kind: "note", words: `${kTakenBack} Cover off` }).says];
    expect(says()).toEqual(["Tighten bolt, bank 2", "Cover off", "Taken back, entered by mistake: Cover off"]);
    vi.stubGlobal("document", { documentElement: {} });
    vi.stubGlobal("localStorage", { setItem: () => undefined });
    vi.stubGlobal("dispatchEvent", () => true);
    set_language("de");
    expect(says()).toEqual(["Anziehen: bolt, Bank 2", "Cover off", "Zurückgenommen, versehentlich eingetragen: Cover off"]);
    set_language("en");
    vi.unstubAllGlobals();
  });
});

describe("what is missing", () => {
  it("is given by the last step before that gives it, of the same bank", () => {
    const steps_of = [step("a", { number: 1, bank: 1, gives: ["chain on"] }), step("b", { number: 2, bank: 2, gives: ["chain on"] }), step("c", { number: 3, gives: ["crank at reference"] }), step("d", { number: 4 })];
    const of = procedure(steps_of);
    const giver = (fact: string) => giver_of(of, steps_of[3]!, fact)?.name;
    expect([giver("bank 1: chain on"), giver("bank 2: chain on"), giver("crank at reference"), giver("nobody gives it")]).toEqual(["a", "b", "c", undefined]);
  });
  it("offers first what shows no other step yet", () => {
    expect([...steps.shown_elsewhere([{ kind: "step", step: "a", shown_by: ["e1"] }, { kind: "step", step: "b", shown_by: ["e2"] }], "b")]).toEqual(["e1"]);
  });
});
