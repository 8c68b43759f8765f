// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { beat } from "../src/state/pulse";

describe("the pulse of the program", () => {
  it("beats when it answers in time, whatever it answers", async () => {
    expect(await beat(Promise.resolve({ status: 200 }))).toBe(true);
    expect(await beat(Promise.resolve({ status: 503 }))).toBe(true);
  });
  it("does not when nobody answers, or the network is silent", async () => {
    expect(await beat(Promise.resolve({ status: 0 }))).toBe(false);
    expect(await beat(new Promise(() => {}), 20)).toBe(false);
  });
});
