// SPDX-License-Identifier: Apache-2.0
// Every screen at every size: nothing overflows, nothing is too small for a glove, nothing is wrong
// for those who cannot see it well (axe-core), no mistake in the console, by day and in the dark.
import assert from "node:assert/strict";
import { test } from "node:test";

import { axe_violations, in_a_browser, opened_page, overflowing, sizes, too_small } from "./browser.mjs";
import { screens, shown } from "./screens.mjs";

const { server, browser } = await in_a_browser();

for (const [size_name, size] of Object.entries(sizes)) {
  test(`screens at ${size.width} × ${size.height}`, async (t) => {
    const dark = size_name === "upright";
    const page = await opened_page(browser, size, { colorScheme: dark ? "dark" : "light", serviceWorkers: "block" });
    for (const screen of screens) {
      await t.test(screen.name, async () => {
        page.mistakes.length = 0;
        await shown(page, server, screen);
        assert.deepEqual(await overflowing(page), [], "sticks out");
        assert.deepEqual(await too_small(page), [], "smaller than 48 px");
        assert.deepEqual(await axe_violations(page), [], "axe");
        assert.deepEqual(page.mistakes, [], "console");
      });
    }
    await page.context().close();
  });
}

test("German words are longer: nothing sticks out on a phone", async (t) => {
  const page = await opened_page(browser, sizes.phone, { locale: "de-DE", serviceWorkers: "block" });
  for (const screen of screens)
    await t.test(screen.name, async () => {
      await shown(page, server, screen);
      assert.equal(await page.evaluate(() => document.documentElement.lang), "de");
      assert.deepEqual(await overflowing(page), [], "sticks out");
      assert.deepEqual(await too_small(page), [], "smaller than 48 px");
    });
  await page.context().close();
});
