// SPDX-License-Identifier: Apache-2.0
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

import { all_waiting, drop, enter, entered_by, type Keeping, mend, type NewEntry, retry, send_all, start_outbox, type Waiting, why_held_up } from "../src/state/outbox";
import { last_record } from "../src/state/records";

class Shelf implements Keeping {
  kept = new Map<string, Waiting>();
  is_broken = false;
  all = async () => structuredClone([...this.kept.values()]).reverse();
  keep = async (one: Waiting) => {
    if (this.is_broken) throw new Error("full");
    this.kept.set(one.key, structuredClone(one));
  };
  forget = async (key: string) => void this.kept.delete(key);
}

// A program that stores each key once and answers as told.
class Program {
  stored: { key: string; words: string; by?: string | undefined }[] = [];
  files: string[] = [];
  asked = 0;
  is_there = true;
  refuses: Record<string, number> = {}; // by words
  fetch = async (path: string, init: RequestInit): Promise<Response> => {
    ++this.asked;
    await Promise.resolve();
    if (!this.is_there) throw new TypeError("no route");
    const json = (told: unknown, status: number) =>
      new Response(JSON.stringify(told), { status, headers: { "Content-Type": "application/json" } });
    if (path.includes("/files?")) {
      const type = new Headers(init.headers).get("Content-Type");
      if (type !== "application/octet-stream") return json({ title: "Unsupported", detail: type }, 415);
      const name = decodeURIComponent(path.split("name=")[1] ?? "");
      if (this.files.includes(name)) return json({ title: "There already", detail: "there is one" }, 409);
      this.files.push(name);
      return json({}, 201);
    }
    const sent = JSON.parse(String(init.body)) as { key: string; entry: { words: string; by?: string } };
    const status = this.refuses[sent.entry.words];
    if (status) return json({ title: "No", detail: "it moved on", mistakes: [{ line: 1, column: 3, message: "wrong" }] }, status);
    if (!this.stored.some((one) => one.key === sent.key)) this.stored.push({ key: sent.key, words: sent.entry.words, by: sent.entry.by });
    return json({ seq: 1 }, 201);
  };
  words = () => this.stored.map((one) => one.words);
}

const note = (words: string) => ({ kind: "note", words }) as NewEntry;
let shelf: Shelf;
let program: Program;

beforeEach(async () => {
  shelf = new Shelf();
  program = new Program();
  vi.stubGlobal("EventSource", class { close() {} addEventListener() {} });
  vi.stubGlobal("fetch", (path: string, init: RequestInit) => program.fetch(path, init));
  location.hash = "#/case/x";
  await start_outbox(shelf);
});
afterEach(async () => {
  await send_all(); // what is under way ends against this program
  vi.unstubAllGlobals();
});

describe("the outbox", () => {
  it("keeps the order through a lost link and a reload", async () => {
    program.is_there = false;
    for (const words of ["1", "2", "3", "4"]) await enter("x", note(words));
    await send_all();
    expect(all_waiting()).toHaveLength(4);
    expect(program.words()).toEqual([]);
    await start_outbox(shelf); // as after a reload
    expect(all_waiting()).toHaveLength(4);
    program.is_there = true;
    await send_all();
    expect(program.words()).toEqual(["1", "2", "3", "4"]);
    expect(all_waiting()).toEqual([]);
    expect(shelf.kept.size).toBe(0);
  });
  it("keeps the number of the receipt: an answer of fewer records is old from then on", async () => {
    expect(last_record("receipt", false)).toBe(0);
    await enter("receipt", note("1"));
    await send_all();
    expect([last_record("receipt", false), last_record("receipt", true)]).toEqual([1, 0]);
  });
  it("asks no further when nobody is there", async () => {
    program.is_there = false;
    for (const words of ["1", "2", "3"]) await enter("x", note(words));
    await send_all();
    program.asked = 0;
    await send_all();
    expect(program.asked).toBe(1);
  });
  it("says when an entry was made, not when it was sent", async () => {
    program.is_there = false;
    const one = await enter("x", note("1"));
    expect(Math.abs(Date.parse(one.entry.at ?? "") - Date.now())).toBeLessThan(2000);
    expect((await enter("x", { ...note("2"), at: "2026-03-02T10:15" } as NewEntry)).entry.at).toBe("2026-03-02T10:15");
  });
  it("says who entered it, whoever sends it", async () => {
    program.is_there = false;
    entered_by("ann, tablet bay 2");
    await enter("x", note("1"));
    await send_all();
    entered_by("will, tablet bay 2");
    program.is_there = true;
    await enter("x", note("2"));
    await send_all();
    entered_by(undefined);
    await enter("x", note("3"));
    await send_all();
    expect(program.stored.map((one) => one.by)).toEqual(["ann, tablet bay 2", "will, tablet bay 2", undefined]);
  });
  for (const status of [401, 503])
    it(`keeps the order until what ${status} wants is there, and says why nothing goes`, async () => {
      program.refuses = { "1": status };
      for (const words of ["1", "2"]) await enter("x", note(words));
      await send_all();
      expect([program.words(), all_waiting().map((one) => one.refused)]).toEqual([[], [undefined, undefined]]);
      expect(why_held_up()).toBe(status === 503 ? "It moved on." : "");
      program.refuses = {};
      await send_all();
      expect([program.words(), why_held_up()]).toEqual([["1", "2"], ""]);
    });
  for (const status of [403, 409, 422])
    it(`keeps what is refused with ${status}, and sends what is behind it`, async () => {
      program.refuses = { "2": status };
      for (const words of ["1", "2", "3"]) await enter("x", note(words));
      await send_all();
      expect(program.words()).toEqual(["1", "3"]);
      const [kept] = all_waiting();
      expect(kept?.refused).toMatchObject({ status, mistakes: [{ message: "wrong" }] });
      await start_outbox(shelf);
      expect(all_waiting()).toHaveLength(1);
      program.asked = 0;
      await send_all();
      expect(program.asked).toBe(0);
    });
  it("sends what was mended, or once more what was refused", async () => {
    program.refuses = { bad: 422, moved: 409 };
    const bad = await enter("x", note("bad"));
    const moved = await enter("x", note("moved"));
    await send_all();
    await mend(bad.key, note("good"));
    await send_all();
    program.refuses = {};
    await retry(moved.key);
    await send_all();
    expect(program.words()).toEqual(["good", "moved"]);
    expect(all_waiting()).toEqual([]);
  });
  it("sends an entry once, though another tab sent it and its answer was lost", async () => {
    program.is_there = false;
    const one = await enter("x", note("1"));
    program.is_there = true;
    await Promise.all([send_all(), send_all(), send_all()]);
    await shelf.keep(one); // the answer got lost: it is still there
    await start_outbox(shelf);
    expect(program.words()).toEqual(["1"]);
    expect(all_waiting()).toEqual([]);
  });
  it("does not send what another tab has sent meanwhile", async () => {
    program.is_there = false;
    const one = await enter("x", note("1"));
    await send_all();
    program.is_there = true;
    program.asked = 0;
    await shelf.forget(one.key);
    await send_all();
    expect(program.asked).toBe(0);
    expect(all_waiting()).toEqual([]);
  });
  it("holds the lock of all tabs while it sends", async () => {
    const names: string[] = [];
    const locks = { request: async (name: string, run: () => Promise<void>) => (names.push(name), run()) };
    vi.stubGlobal("navigator", { locks });
    await enter("x", note("1"));
    await send_all();
    expect(new Set(names)).toEqual(new Set(["tautmark.outbox"]));
    expect(program.words()).toEqual(["1"]);
  });
  it("loses nothing on a device that keeps nothing", async () => {
    shelf.is_broken = true;
    program.is_there = false;
    const one = await enter("x", note("1"));
    await send_all();
    expect(one.is_only_in_memory).toBe(true);
    program.is_there = true;
    await send_all();
    expect(program.words()).toEqual(["1"]);
    expect(all_waiting()).toEqual([]);
  });
  it("puts the file there before its entry, once", async () => {
    const file = { name: "photos/a.jpg", bytes: new Blob(["x"], { type: "image/jpeg" }) };
    program.refuses = { photo: 503 };
    const one = await enter("x", note("photo"), file);
    await send_all();
    expect([program.files, program.words()]).toEqual([["photos/a.jpg"], []]);
    program.refuses = {};
    await send_all();
    expect([program.files, program.words()]).toEqual([["photos/a.jpg"], ["photo"]]);
    expect(all_waiting().some((other) => other.key === one.key)).toBe(false);
  });
  it("keeps what belongs to the other store until that one is open", async () => {
    program.is_there = false;
    location.hash = "#/practice/case/x";
    await enter("x", note("practice"));
    await send_all();
    location.hash = "#/case/x";
    program.is_there = true;
    await send_all();
    expect([program.words(), all_waiting().length]).toEqual([[], 1]);
    location.hash = "#/practice/case/x";
    await send_all();
    expect(program.words()).toEqual(["practice"]);
  });
  it("forgets what somebody dropped", async () => {
    program.is_there = false;
    const one = await enter("x", note("1"));
    await drop(one.key);
    expect([all_waiting().length, shelf.kept.size]).toEqual([0, 0]);
  });
});
