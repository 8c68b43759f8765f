// SPDX-License-Identifier: Apache-2.0
// "Judge these ten readings" by hand in gloves: every tap that is no digit is counted, and a choice
// out of a list counts two. The issue allows twelve.
import assert from "node:assert/strict";
import { test } from "node:test";

import { call, in_a_browser, opened_page, sizes, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();

// Counts what a hand does.
function hand_on(page) {
  const hand = { taps: 0, digits: 0 };
  const key = (name) => page.getByRole("button", { name, exact: true }).click();
  hand.tap = async (place) => {
    ++hand.taps;
    await place.click();
  };
  hand.type = async (text) => {
    for (const one of text) {
      ++hand.digits;
      await key(one);
    }
  };
  return hand;
}

const journals = ["28069", "28071", "28070", "28072", "28068", "28031", "28044", "28066", "28070", "28069"];

test("ten readings in twelve taps and their digits", { timeout: 120000 }, async () => {
  await call(server, "POST", "/api/cases", { name: "bay 3", drive: "vessgarth-v6-12" });
  // The shop's own micrometer, as it stands in a case from then on.
  await call(server, "POST", "/api/cases/bay%203/head", {
    instruments: [{ name: "micrometer 25-50", type: "micrometer 0.001", resolution: "0.001 mm", uncertainty: "0.002 mm" }],
  });
  const page = await opened_page(browser, sizes.upright, { serviceWorkers: "block" });
  await page.goto(`${server.url}#/case/bay%203/measure`);
  const hand = hand_on(page);
  await hand.tap(page.locator('a[href*="quantity=journal+diameter"]').first());
  await page.waitForSelector(".reading");
  for (const [i, digits] of journals.entries()) {
    await hand.type(digits);
    await hand.tap(page.getByRole("button", { name: "Enter, next" }));
    await until(async () => (await entries()).length === i + 1, `reading ${i + 1}: ${await page.textContent("main")}`);
  }
  const stored = await entries();
  assert.deepEqual(stored.map((entry) => entry.values), journals.map((d) => `${d.slice(0, 2)}.${d.slice(2)} mm`));
  assert.equal(new Set(stored.map((entry) => entry.place)).size, 10);
  assert.ok(hand.taps <= 12, `${hand.taps} taps`);
  assert.equal(hand.digits, 50);
  console.log(`# ten readings: ${hand.taps} taps and ${hand.digits} digits`);
  const findings = (await call(server, "GET", "/api/cases/bay%203/findings")).findings;
  assert.equal(findings.filter((one) => one.check === "journal-diameter" && one.value).length, 10);
  await page.context().close();
});

const entries = async () => (await call(server, "GET", "/api/cases/bay%203")).case.entries ?? [];
