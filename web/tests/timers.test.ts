// SPDX-License-Identifier: Apache-2.0
import { beforeEach, describe, expect, it } from "vitest";

import { ring_due } from "../src/state/ring";
import { is_over, remove_timer, seconds_of, shown_time, start_timer, stop_timer, timers } from "../src/state/timers";

beforeEach(() => localStorage.clear());

describe("timers", () => {
  it("are kept as the moment they began, so they survive a reload", () => {
    const one = start_timer("Cure window", 600_000);
    expect(timers()).toEqual([one]);
    expect(seconds_of(one, one.began + 60_000)).toBe(540);
    expect(is_over(one, one.began + 599_000)).toBe(false);
    expect(is_over(one, one.began + 600_000)).toBe(true);
  });
  it("stop where they stopped", () => {
    const one = start_timer("Sink test");
    stop_timer(one.id);
    const [stopped] = timers();
    const then = stopped && seconds_of(stopped, one.began + 99_000);
    expect(then).toBeLessThan(5);
    stop_timer(one.id);
    expect(timers()).toEqual([stopped]);
    remove_timer(one.id);
    expect(timers()).toEqual([]);
  });
  it("ring once they are over, each a while and no longer, never when stopped before", () => {
    const one = start_timer("Cure window", 60_000);
    const stopped = start_timer("Sink", 60_000);
    stop_timer(stopped.id);
    expect(ring_due(one.began + 59_000)).toBe(false);
    let n = 0;
    while (n < 100 && ring_due(one.began + 60_000)) ++n;
    expect(n).toBe(15);
    remove_timer(one.id);
    expect(ring_due(one.began + 70_000)).toBe(false);
  });
  it("are shown as a watch shows them", () => {
    expect(shown_time(4.25, true)).toBe("4.3 s");
    expect(shown_time(61.9, true)).toBe("1:01");
    expect(shown_time(725, false)).toBe("12:05");
    expect(shown_time(0.2, false)).toBe("0:01");
    expect(shown_time(3725, false)).toBe("1:02:05");
  });
  it("begin anew when the device holds nonsense", () => {
    localStorage.setItem("tautmark.timers", "{");
    expect(timers()).toEqual([]);
  });
});
