// SPDX-License-Identifier: Apache-2.0
// Every screen at every size: nothing overflows, nothing is too small for a glove, nothing is wrong
// for those who cannot see it well (axe-core), no mistake in the console, by day and in the dark.
import assert from "node:assert/strict";
import { test } from "node:test";

import { axe_violations, in_a_browser, opened_page, overflowing, sized, sizes, too_small } from "./browser.mjs";
import { screens, shown, turned_to } from "./screens.mjs";

const { server, browser } = await in_a_browser();
const is_long = "TAUTMARK_LONG" in process.env; // opened anew at each size, and axe at each

async function is_sound(page, size_name) {
  assert.deepEqual(await overflowing(page), [], `${size_name}: sticks out`);
  assert.deepEqual(await too_small(page), [], `${size_name}: smaller than 48 px`);
  // What axe looks at changes little with the size: the smallest by day, the next in the dark.
  if (is_long || ["phone", "upright"].includes(size_name)) assert.deepEqual(await axe_violations(page), [], `${size_name}: axe`);
}

// In ordinary runs one page shows them all, one after the other.
const turned = (page, screen) => (is_long ? shown(page, server, screen) : turned_to(page, screen));

test("screens at every size", async (t) => {
  const page = await opened_page(browser, sizes.phone, { serviceWorkers: "block" });
  await page.goto(server.url);
  for (const screen of screens)
    await t.test(screen.name, async () => {
      page.mistakes.length = 0;
      await sized(page, "phone");
      await turned(page, screen);
      for (const size_name of Object.keys(sizes)) {
        await sized(page, size_name);
        if (is_long) await shown(page, server, screen);
        await is_sound(page, size_name);
      }
      assert.deepEqual(page.mistakes, [], "console");
    });
  await page.context().close();
});

test("German words are longer: nothing sticks out on a phone", async (t) => {
  const page = await opened_page(browser, sizes.phone, { locale: "de-DE", serviceWorkers: "block" });
  await page.goto(server.url);
  for (const screen of screens)
    await t.test(screen.name, async () => {
      await turned(page, screen);
      assert.equal(await page.evaluate(() => document.documentElement.lang), "de");
      assert.deepEqual(await overflowing(page), [], "sticks out");
      assert.deepEqual(await too_small(page), [], "smaller than 48 px");
    });
  await page.context().close();
});
