// SPDX-License-Identifier: Apache-2.0
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

class Stream {
  static CLOSED = 2;
  static all: Stream[] = [];
  readyState = 0;
  onopen: (() => void) | undefined;
  onerror: (() => void) | undefined;
  onmessage: ((event: { data: string }) => void) | undefined;
  constructor() {
    Stream.all.push(this);
  }
  close() {}
  addEventListener() {}
}

const at = (i: number) => Stream.all[i] as Stream;

beforeEach(() => {
  vi.useFakeTimers();
  vi.resetModules();
  Stream.all = [];
  vi.stubGlobal("EventSource", Stream);
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

describe("the stream of changes", () => {
  it("is opened again after a refusal, and what it missed is asked for", async () => {
    const { link_is, link_lost_since, on_change } = await import("../src/state/live");
    const heard: string[] = [];
    on_change((which) => heard.push(which));
    at(0).onopen?.();
    vi.stubGlobal("fetch", () => Promise.reject(new Error("nobody there")));
    at(0).readyState = Stream.CLOSED;
    at(0).onerror?.();
    await vi.waitFor(() => expect(link_lost_since()).toBeDefined());
    link_is(true); // somebody got an answer
    heard.length = 0;
    vi.advanceTimersByTime(10_000);
    expect(Stream.all).toHaveLength(2);
    at(1).onopen?.();
    expect(heard).toEqual([""]);
  });
  it("tells the number of a case's last record, which a missed change makes unknown", async () => {
    const { link_is, on_change } = await import("../src/state/live");
    const { last_record, times_missed } = await import("../src/state/records");
    on_change(() => undefined);
    const hear = (told: object) => at(0).onmessage?.({ data: JSON.stringify(told) });
    hear({ case: "bay 3", seq: 9 });
    hear({ case: "bay 3", seq: 8 });
    expect([last_record("bay 3", false), last_record("bay 3", true)]).toEqual([9, 0]);
    hear({ case: "bay 3", gone: true });
    expect(last_record("bay 3", false)).toBe(0);
    hear({ case: "bay 3", seq: 2 });
    expect([last_record("bay 3", false), times_missed()]).toEqual([2, 0]);
    link_is(false);
    link_is(true);
    expect([last_record("bay 3", false), times_missed()]).toEqual([0, 1]);
  });
  it("is left to the browser while the link is lost", async () => {
    const { link_lost_since, on_change } = await import("../src/state/live");
    on_change(() => undefined);
    at(0).onerror?.();
    expect(link_lost_since()).toBeDefined();
    vi.advanceTimersByTime(60_000);
    expect(Stream.all).toHaveLength(1);
  });
  it("is no lost link where a log-in is needed, whatever the screen asks for", async () => {
    const { link_lost_since, on_change } = await import("../src/state/live");
    const asked = vi.fn(async () => new Response("{}", { headers: { "Content-Type": "application/json" } }));
    vi.stubGlobal("fetch", asked);
    on_change(() => undefined);
    at(0).readyState = Stream.CLOSED;
    at(0).onerror?.();
    await vi.advanceTimersByTimeAsync(10);
    expect(asked).toHaveBeenCalledOnce();
    expect(link_lost_since()).toBeUndefined();
  });
});
