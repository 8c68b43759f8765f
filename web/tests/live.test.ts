// SPDX-License-Identifier: Apache-2.0
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

class Stream {
  static CLOSED = 2;
  static all: Stream[] = [];
  readyState = 0;
  onopen: (() => void) | undefined;
  onerror: (() => void) | undefined;
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
